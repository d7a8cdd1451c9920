package worker

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/orient"
	"platewright/support"
	"platewright/support/mesh"
	"platewright/worker/joblist"
	"platewright/worker/partfile"
)

// part is one file on its way through the plan. A part with an err is carried
// along to be listed, and nothing else is done with it.
type part struct {
	name  string
	file  string
	count int

	sha256 string
	mesh   *mesh.Mesh
	roles  []support.Role // one a facet of mesh
	body   body
	notes  []joblist.Note
	err    error

	orient.Answer
	solid    support.Body
	stands   []stand  // one an option
	costs    [][]cost // by option, then by printer
	recalled bool
}

// body is what a part is, whichever way up.
type body struct {
	volume, area float64 // mm³, mm²
	size         r3.Vec  // mm, file frame
}

func (p *part) note(code, text string) {
	p.notes = append(p.notes, joblist.Note{Code: code, Text: text})
}

// contained runs f on a part and turns a panic into that part's error: one bad
// part must not take the others down.
func (p *part) contained(f func() error) {
	defer func() {
		if r := recover(); r != nil {
			p.err = fmt.Errorf("%s: this part broke the program, which is a fault of ours: %v\n%s", p.file, r, debug.Stack())
		}
	}()
	if p.err == nil {
		p.err = f()
	}
}

// load reads one part file, welds, checks and mends it.
func (b *build) load(p *part, limits partfile.Limits) error {
	raw, err := p.read(filepath.Join(b.folder, p.file), limits)
	if err != nil {
		return err
	}
	for _, n := range raw.Notes {
		p.note(n.Code, n.Text)
	}
	// Facets of a format that states its unit are in millimetres already, and
	// then 1 is what Factor starts from, as it is for one that states none.
	scale(raw.Triangles, b.build.Factor(p.file, 1))
	m, report, err := mesh.Build(raw.Triangles)
	if err != nil {
		return fmt.Errorf("%s: %w", p.file, err)
	}
	for _, n := range report.Notes() {
		p.note(n.Code, n.Text)
	}
	box := m.Bounds()
	p.mesh = m
	p.body = body{volume: m.Volume(), area: m.Area(), size: r3.Sub(box.Max, box.Min)}
	if len(report.Contacts.Crossing) > 0 || report.Nested > 0 {
		p.body.volume = unionVolume(m)
	}
	return nil
}

// unionVolume returns the volume of the union of a mesh's shells, which their
// own volumes overstate where they overlap: to about a part in a thousand.
func unionVolume(m *mesh.Mesh) float64 {
	const slices = 500
	standing, _ := support.NewBody(m, nil).Stand(mesh.Direction{})
	t := standing.Mesh.Bounds().Max.Z / slices
	return support.Settings{Layer: t, FirstLayer: t}.Layers(standing).Volume()
}

// scale multiplies all coordinates.
func scale(soup []mesh.Triangle, k float64) {
	if k == 1 {
		return
	}
	for i := range soup {
		for j := range soup[i] {
			soup[i][j] = r3.Scale(k, soup[i][j])
		}
	}
}

// read opens the file once, for the hash and for the facets, so that both are
// of the same bytes even while somebody saves over it.
func (p *part) read(path string, limits partfile.Limits) (partfile.Part, error) {
	f, err := os.Open(path)
	if err != nil {
		return partfile.Part{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return partfile.Part{}, err
	}
	if !info.Mode().IsRegular() {
		return partfile.Part{}, fmt.Errorf("%s: not a regular file", p.file)
	}
	part, err := partfile.Read(p.file, f, info.Size(), limits)
	if err != nil {
		return partfile.Part{}, err
	}
	h := sha256.New()
	if _, err := io.Copy(h, io.NewSectionReader(f, 0, info.Size())); err != nil {
		return partfile.Part{}, err
	}
	p.sha256 = hex.EncodeToString(h.Sum(nil))
	return part, nil
}
