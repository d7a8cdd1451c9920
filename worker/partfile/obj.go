package partfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// objReader gathers corners and polygons of an OBJ file. Polygons are cut only
// at the end, as a face may name corners that come after it.
type objReader struct {
	limits   Limits
	vertices []r3.Vec
	corners  []int32   // corners of all polygons, counted from 0
	polygons []polygon // in the order of the file
	facets   int       // that the polygons will give

	objects  tally
	groups   tally
	notFaces int // lines, points, curves
	tooFew   int // faces of fewer than three corners
	crossed  int
	clip     clipper
}

// polygon is one face: its corners end where the next polygon's begin.
type polygon struct {
	end  int32
	line int32
}

// tally counts the objects, or the groups, that hold faces.
type tally struct {
	n     int
	named bool // a name came after the last face
	seen  bool // a name came at all
	name  string
}

func (t *tally) start(name [][]byte) {
	t.named, t.seen = true, true
	t.name = short(string(bytes.Join(name, []byte(" "))), maxQuoted)
}

func (t *tally) face() {
	if t.named || t.n == 0 {
		t.n++
		t.named = false
	}
}

// readOBJ reads the faces of an OBJ file; texture corners, normals, materials
// and smoothing are passed over.
func readOBJ(r io.ReaderAt, size int64, limits Limits) (Part, error) {
	o := &objReader{limits: limits}
	in := newLines(io.NewSectionReader(r, 0, size))
	for {
		text, err := in.read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Part{}, err
		}
		if err := o.statement(text, in.line); err != nil {
			return Part{}, at(line(in.line), err)
		}
	}
	if len(o.polygons) == 0 {
		return Part{}, &Error{
			Err:   ErrEmpty,
			Value: fmt.Sprintf("%d points, no faces", len(o.vertices)),
			Hint:  "export the part as a mesh",
		}
	}
	triangles, err := o.cut()
	if err != nil {
		return Part{}, err
	}
	items := o.items()
	part := Part{Triangles: triangles, Items: items.n, Notes: o.notes()}
	if items.n == 1 {
		part.Name = items.name
	}
	return part, nil
}

// statement reads one line.
func (o *objReader) statement(text []byte, lineNumber int) error {
	fields := bytes.Fields(text)
	if len(fields) == 0 || fields[0][0] == '#' {
		return nil
	}
	if comment := slices.IndexFunc(fields, func(f []byte) bool { return f[0] == '#' }); comment > 0 {
		fields = fields[:comment]
	}
	switch key, values := string(fields[0]), fields[1:]; key {
	case "v":
		return o.vertex(values)
	case "f", "fo": // fo: what the first versions of the format wrote
		return o.face(values, lineNumber)
	case "o":
		o.objects.start(values)
	case "g":
		o.groups.start(values)
	case "l", "p", "curv", "curv2", "surf", "vp":
		o.notFaces++
	default:
		if bytes.IndexByte(fields[0], 0) >= 0 {
			return &Error{Err: ErrFormat, Value: quoted(key), Hint: "this is not text: export the part as OBJ again"}
		}
	}
	return nil
}

func (o *objReader) vertex(values [][]byte) error {
	if len(values) < 3 {
		return &Error{Err: ErrFormat, Value: fmt.Sprintf("%d coordinates, 3 needed", len(values))}
	}
	if len(o.vertices) >= o.limits.vertices() {
		return tooLarge("points and more", len(o.vertices), o.limits.vertices())
	}
	var xyz [3]float64
	for i := range xyz {
		v, err := number(string(values[i]))
		if err != nil {
			return err
		}
		xyz[i] = v
	}
	o.vertices = append(o.vertices, r3.Vec{X: xyz[0], Y: xyz[1], Z: xyz[2]})
	return nil
}

// face keeps one polygon without corners that repeat the one before them.
func (o *objReader) face(values [][]byte, lineNumber int) error {
	if len(values) > o.limits.Corners {
		return tooLarge("corners in one face", len(values), o.limits.Corners)
	}
	start := len(o.corners)
	for _, v := range values {
		corner, err := o.corner(v)
		if err != nil {
			return err
		}
		if len(o.corners) == start || o.corners[len(o.corners)-1] != corner {
			o.corners = append(o.corners, corner)
		}
	}
	for last := len(o.corners) - 1; last > start && o.corners[last] == o.corners[start]; last-- {
		o.corners = o.corners[:last]
	}
	n := len(o.corners) - start
	if n < 3 {
		o.corners = o.corners[:start]
		o.tooFew++
		return nil
	}
	o.facets += n - 2
	if o.facets > o.limits.Facets {
		return tooLarge("facets and more", o.facets, o.limits.Facets)
	}
	o.objects.face()
	o.groups.face()
	o.polygons = append(o.polygons, polygon{int32(len(o.corners)), int32(min(lineNumber, math.MaxInt32))})
	return nil
}

// corner reads v, v/vt, v//vn or v/vt/vn. Negative numbers count back from the
// corner read last.
func (o *objReader) corner(text []byte) (int32, error) {
	digits, _, _ := bytes.Cut(text, []byte("/"))
	n, err := strconv.ParseInt(string(digits), 10, 32)
	if err != nil {
		return 0, &Error{Err: ErrFormat, Value: quoted(string(text)), Hint: "the number of a point should stand here"}
	}
	if n < 0 {
		n += int64(len(o.vertices)) + 1
	}
	if n < 1 {
		return 0, &Error{Err: ErrIndex, Value: quoted(string(text)), Hint: "points are counted from 1"}
	}
	return int32(n - 1), nil
}

// cut turns the polygons into triangles.
func (o *objReader) cut() ([]mesh.Triangle, error) {
	out := make([]mesh.Triangle, 0, o.facets)
	var ring []r3.Vec
	start := int32(0)
	for _, p := range o.polygons {
		ring = ring[:0]
		for _, corner := range o.corners[start:p.end] {
			if int(corner) >= len(o.vertices) {
				return nil, &Error{
					Err:   ErrIndex,
					Place: line(int(p.line)),
					Value: fmt.Sprintf("point %d of %d", corner+1, len(o.vertices)),
					Hint:  "copy or export the file again",
				}
			}
			ring = append(ring, o.vertices[corner])
		}
		start = p.end
		facets, clean := o.clip.cut(ring)
		if o.clip.work > clipWork {
			return nil, &Error{
				Err:   ErrTooLarge,
				Place: line(int(p.line)),
				Value: "faces with too many corners that turn inwards",
				Hint:  "export the part as triangles",
			}
		}
		if !clean {
			o.crossed++
		}
		for _, f := range facets {
			out = append(out, mesh.Triangle{ring[f[0]], ring[f[1]], ring[f[2]]})
		}
	}
	return out, nil
}

// items returns the count of objects, or of groups in a file that names none.
func (o *objReader) items() tally {
	if o.objects.seen {
		return o.objects
	}
	return o.groups
}

func (o *objReader) notes() []Note {
	var notes []Note
	if n := o.items().n; n > 1 {
		notes = append(notes, several(n, "objects or groups"))
	}
	if o.notFaces > 0 {
		notes = append(notes, Note{NoteNotFaces, fmt.Sprintf("%d lines, points or curves were left out", o.notFaces)})
	}
	if o.tooFew > 0 {
		notes = append(notes, Note{NoteFewCorners, fmt.Sprintf("%d faces of fewer than three corners were left out", o.tooFew)})
	}
	if o.crossed > 0 {
		notes = append(notes, Note{NoteCrossed, fmt.Sprintf("%d faces cross themselves or have no area; check their surface", o.crossed)})
	}
	return notes
}
