package partfile

import (
	"archive/zip"
	"bufio"
	"io"
	"strconv"
	"strings"
	"time"

	"platewright/support/mesh"
)

const contentTypes = `<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
`

const modelMember = "3D/3dmodel.model"

const rootRels = `<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Target="/` + modelMember + `" Id="rel0" Type="` + modelRelationship + `"/>
</Relationships>
`

// Write3MF writes a plate as a core 3MF file: each distinct mesh once, in its
// file frame with shared corners, and a build item with a transform for each
// copy. The file goes out as it is made, in constant memory. On an error it is
// not whole and must be thrown away.
//
// Units: millimeter. Numbers have the fewest digits that read back to the same
// 64 bits.
// Laws: (1) same plate, same bytes; (2) Read gives back the facets of
// Triangles, within rounding. Facets that name a corner twice are left out, as
// 3MF forbids them; they have no area.
// Errors: *Error around ErrEmpty, ErrOutside, ErrNotFinite, ErrFormat for a
// Pose that is no rotation; or w's own.
func Write3MF(w io.Writer, p Plate) error {
	return about("write", p.Title, write3MF(w, p))
}

func write3MF(w io.Writer, p Plate) error {
	if len(p.Copies) == 0 {
		return &Error{Err: ErrEmpty, Value: "no parts on the plate"}
	}
	for _, c := range p.Copies {
		if err := c.checkInside(); err != nil {
			return err
		}
		if countSound(c.Mesh) == 0 {
			return &Error{Err: ErrEmpty, Place: quoted(c.Number)}
		}
	}
	z := zip.NewWriter(w)
	err := addMember(z, contentTypesMember, func(m *modelWriter) { m.text(contentTypes) })
	if err == nil {
		err = addMember(z, rootRelsMember, func(m *modelWriter) { m.text(rootRels) })
	}
	if err == nil {
		err = addMember(z, modelMember, func(m *modelWriter) { m.plate(p) })
	}
	if err != nil {
		return err
	}
	return z.Close()
}

// addMember writes one member of the zip file, dated with the earliest day
// that zip knows so that equal plates are equal files.
func addMember(z *zip.Writer, name string, write func(*modelWriter)) error {
	out, err := z.CreateHeader(&zip.FileHeader{
		Name:     name,
		Method:   zip.Deflate,
		Modified: time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC),
	})
	if err != nil {
		return err
	}
	m := &modelWriter{out: bufio.NewWriterSize(out, 1<<16)}
	write(m)
	return m.out.Flush()
}

// isSound tells whether 3MF allows a facet: its corners must differ.
func isSound(f [3]mesh.VertexID) bool { return f[0] != f[1] && f[1] != f[2] && f[2] != f[0] }

func countSound(m *mesh.Mesh) int {
	n := 0
	for _, f := range m.Faces() {
		if isSound(f) {
			n++
		}
	}
	return n
}

// modelWriter writes XML. Errors of the writer below wait in out until it is
// flushed.
type modelWriter struct {
	out     *bufio.Writer
	scratch []byte
}

func (m *modelWriter) text(s string) { _, _ = m.out.WriteString(s) } // kept by out

// escape makes any text fit for XML: marks as named entities, characters that
// XML cannot hold as U+FFFD, line ends and tabs as blanks. Numbered entities, as
// encoding/xml writes them, make lib3mf 1.8.1 refuse the file.
func escape(text string) string {
	text = strings.Map(func(c rune) rune {
		switch {
		case c == '\t' || c == '\n' || c == '\r':
			return ' '
		case c < ' ' || c == '\uFFFE' || c == '\uFFFF':
			return '\uFFFD'
		}
		return c
	}, strings.ToValidUTF8(text, "\uFFFD"))
	return entities.Replace(text)
}

var entities = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&apos;")

func (m *modelWriter) attribute(name, value string) {
	m.text(" " + name + `="` + escape(value) + `"`)
}

func (m *modelWriter) number(v float64) {
	v += 0 // −0 reads oddly
	m.scratch = strconv.AppendFloat(m.scratch[:0], v, 'g', -1, 64)
	_, _ = m.out.Write(m.scratch) // kept by out
}

func (m *modelWriter) integer(v int) {
	m.scratch = strconv.AppendInt(m.scratch[:0], int64(v), 10)
	_, _ = m.out.Write(m.scratch) // kept by out
}

func (m *modelWriter) plate(p Plate) {
	m.text(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	m.text(`<model unit="millimeter" xml:lang="en-US" xmlns="` + coreNS + `">` + "\n")
	m.metadata("Title", p.Title)
	m.metadata("Application", "Platewright")
	m.text("<resources>\n")
	ids := map[*mesh.Mesh]int{}
	for _, c := range p.Copies {
		if ids[c.Mesh] == 0 {
			ids[c.Mesh] = len(ids) + 1
			m.object(ids[c.Mesh], c)
		}
	}
	m.text("</resources>\n<build>\n")
	for _, c := range p.Copies {
		m.item(ids[c.Mesh], c)
	}
	m.text("</build>\n</model>\n")
}

func (m *modelWriter) metadata(name, value string) {
	if value == "" {
		return
	}
	m.text(`<metadata name="` + name + `">` + escape(value) + "</metadata>\n")
}

func (m *modelWriter) object(id int, c Copy) {
	m.text(`<object id="`)
	m.integer(id)
	m.text(`" type="model"`)
	if c.Name != "" {
		m.attribute("name", c.Name)
	}
	m.text("><mesh><vertices>\n")
	for _, v := range c.Mesh.Vertices() {
		m.text(`<vertex x="`)
		m.number(v.X)
		m.text(`" y="`)
		m.number(v.Y)
		m.text(`" z="`)
		m.number(v.Z)
		m.text("\"/>\n")
	}
	m.text("</vertices><triangles>\n")
	for _, f := range c.Mesh.Faces() {
		if !isSound(f) {
			continue
		}
		m.text(`<triangle v1="`)
		m.integer(int(f[0]))
		m.text(`" v2="`)
		m.integer(int(f[1]))
		m.text(`" v3="`)
		m.integer(int(f[2]))
		m.text("\"/>\n")
	}
	m.text("</triangles></mesh></object>\n")
}

func (m *modelWriter) item(id int, c Copy) {
	m.text(`<item objectid="`)
	m.integer(id)
	m.text(`" transform="`)
	for i, v := range affineOf(c.Pose) {
		if i > 0 {
			m.text(" ")
		}
		m.number(v)
	}
	m.text(`"`)
	if c.Number != "" {
		m.attribute("partnumber", c.Number)
	}
	m.text("/>\n")
}
