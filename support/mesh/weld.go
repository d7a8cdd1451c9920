package mesh

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// WeldTolerance is the distance within which corners on open edges are taken
// for one, relative to the diagonal of the bounding box. Files of triangles
// hold 24-bit floats: one coordinate is off by at most 2⁻²⁴ of its size, two
// copies of a corner reached by different arithmetic by a few times that, in
// all below 1e-6 of the diagonal. On a part of 300 mm this is 0.3 µm, a
// thousandth of what a printer can place, so nothing that could be printed is
// lost.
const WeldTolerance = 1e-6

// weldSteps is the least joining distance in steps of a 24-bit float at the
// farthest coordinate, for parts far from their origin: copies of a corner that
// are off by a step along each axis, this way and that, lie 2√3 steps apart.
const weldSteps = 4

// step32 is the distance of neighbouring 24-bit floats, relative to their size,
// at its largest.
const step32 = 1.0 / (1 << 23)

// WeldReport tells what Weld did.
type WeldReport struct {
	Facets    int     // facets given
	Corners   int     // distinct corners before near ones were joined
	Tolerance float64 // mm, the distance within which corners were joined
	Open      int     // open edges before near corners were joined
	Joined    int     // corners on open edges joined to a near one
	Collapsed int     // facets dropped: two of their corners are one
	NoArea    int     // facets kept although their three corners lie on a line
}

// Weld builds a mesh out of loose triangles by sharing corners: first those
// that are equal, then, within tol times the diagonal of the bounding box (but
// not less than weldSteps steps of a 24-bit float at the farthest coordinate), those
// that lie on open edges. What is closed already is never touched by the
// second step. A tol of 0 leaves the second step out.
//
// Facets with two equal corners are dropped, which opens no edge; facets whose
// corners lie on a line are kept, because dropping one would. Corners and
// facets keep the order of the soup. Each corner joins the nearest corner
// before it that has not itself been joined, so chains do not creep.
//
// Laws: (1) every facet of the mesh is a facet of the soup, each corner moved
// by at most Tolerance; (2) the same soup gives the same mesh.
// Errors: ErrEmpty when no facet is left, ErrNotFinite, ErrTooLarge.
// Cost: O(triangles).
func Weld(soup []Triangle, tol float64) (*Mesh, WeldReport, error) {
	report := WeldReport{Facets: len(soup)}
	if len(soup) == 0 {
		return nil, report, ErrEmpty
	}
	if len(soup) > maxFacets {
		return nil, report, ErrTooLarge
	}
	for i := range soup {
		for _, v := range soup[i] {
			if !finite(v) {
				return nil, report, fmt.Errorf("facet %d: %w", i, ErrNotFinite)
			}
		}
	}
	vertices, faces := shareEqual(soup)
	report.Corners = len(vertices)
	faces = dropCollapsed(faces)
	if tol > 0 && len(faces) > 0 {
		report.Tolerance = toleranceIn(boundsOf(faces, vertices), tol)
		report.Open, report.Joined = joinNear(vertices, faces, report.Tolerance)
	}
	if report.Joined > 0 {
		faces = dropCollapsed(faces)
	}
	report.Collapsed = len(soup) - len(faces)
	if len(faces) < len(soup) || report.Joined > 0 {
		vertices = dropUnused(vertices, faces)
	}
	m, err := New(vertices, faces)
	if err != nil {
		return nil, report, err
	}
	for _, a := range m.areas {
		if a == 0 {
			report.NoArea++
		}
	}
	return m, report, nil
}

// toleranceIn returns tol times the diagonal of a box, but not less than
// weldSteps steps of a 24-bit float at its farthest coordinate. Unit: mm.
func toleranceIn(box r3.Box, tol float64) float64 {
	far := max(math.Abs(box.Min.X), math.Abs(box.Min.Y), math.Abs(box.Min.Z),
		math.Abs(box.Max.X), math.Abs(box.Max.Y), math.Abs(box.Max.Z))
	return max(tol*r3.Norm(r3.Sub(box.Max, box.Min)), weldSteps*step32*far)
}

// shareEqual numbers the distinct corners in order of first use. Zero and
// negative zero are one.
func shareEqual(soup []Triangle) ([]r3.Vec, [][3]VertexID) {
	// A closed surface has half as many corners as facets.
	t := cornerTable{vertices: make([]r3.Vec, 0, len(soup)/2+4)}
	t.grow(len(soup) + 8)
	faces := make([][3]VertexID, len(soup))
	for i := range soup {
		for k, v := range soup[i] {
			faces[i][k] = t.number(v)
		}
	}
	return t.vertices, faces
}

// cornerTable finds corners by place: open addressing over corner numbers,
// since a map of 24-byte keys takes five times as long and as much room.
type cornerTable struct {
	vertices []r3.Vec
	slots    []VertexID // number + 1, 0 for free; len a power of two
	shift    uint       // 64 − log₂ len(slots)
}

// grow makes room for at least n corners at a load below ½.
func (t *cornerTable) grow(n int) {
	bits := uint(4)
	for 1<<bits < 2*n {
		bits++
	}
	t.slots, t.shift = make([]VertexID, 1<<bits), 64-bits
	for i, v := range t.vertices {
		t.slots[t.find(v)] = VertexID(i + 1)
	}
}

// find returns the slot that holds v, or the free slot where it belongs.
func (t *cornerTable) find(v r3.Vec) uint64 {
	mask := uint64(len(t.slots) - 1)
	for s := hashPlace(v) >> t.shift; ; s = (s + 1) & mask {
		if id := t.slots[s]; id == 0 || t.vertices[id-1] == v {
			return s
		}
	}
}

func (t *cornerTable) number(v r3.Vec) VertexID {
	v = r3.Vec{X: v.X + 0, Y: v.Y + 0, Z: v.Z + 0} // −0 + 0 is +0
	s := t.find(v)
	if id := t.slots[s]; id != 0 {
		return id - 1
	}
	if 2*(len(t.vertices)+1) > len(t.slots) {
		t.grow(2 * len(t.vertices))
		s = t.find(v)
	}
	t.vertices = append(t.vertices, v)
	t.slots[s] = VertexID(len(t.vertices))
	return VertexID(len(t.vertices) - 1)
}

// hashPlace spreads a place over 64 bits, best in the high ones.
func hashPlace(v r3.Vec) uint64 {
	return hashInts(math.Float64bits(v.X), math.Float64bits(v.Y), math.Float64bits(v.Z))
}

// hashInts mixes by odd constants and folds the high half down in between,
// because coordinates from a file of 24-bit floats have 29 zero bits at the
// low end.
func hashInts(x, y, z uint64) uint64 {
	h := x * 0x9e3779b97f4a7c15
	h = (h ^ h>>32 ^ y) * 0xbf58476d1ce4e5b9
	h = (h ^ h>>32 ^ z) * 0x94d049bb133111eb
	return (h ^ h>>32) * 0x9e3779b97f4a7c15
}

// dropCollapsed removes, in place, the facets that name a corner twice. The
// two edges such a facet has left cancel, so no edge is opened.
func dropCollapsed(faces [][3]VertexID) [][3]VertexID {
	kept := faces[:0]
	for _, f := range faces {
		if f[0] != f[1] && f[1] != f[2] && f[2] != f[0] {
			kept = append(kept, f)
		}
	}
	return kept
}

// dropUnused renumbers, in place, the corners that facets name, in order.
func dropUnused(vertices []r3.Vec, faces [][3]VertexID) []r3.Vec {
	number := make([]VertexID, len(vertices))
	for _, f := range faces {
		for _, v := range f {
			number[v] = 1
		}
	}
	kept := vertices[:0]
	for i, used := range number {
		if used != 0 {
			number[i] = VertexID(len(kept))
			kept = append(kept, vertices[i])
		}
	}
	for i := range faces {
		for k := range faces[i] {
			faces[i][k] = number[faces[i][k]]
		}
	}
	return kept
}
