package mesh

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// VertexID numbers the corners of a mesh from 0.
type VertexID int32

// FaceID numbers the facets of a mesh from 0.
type FaceID int32

// Triangle is one facet by its corners, counter-clockwise seen from outside.
// A slice of triangles is what a file without shared corners holds.
type Triangle [3]r3.Vec

// Errors that a caller may branch on.
var (
	ErrEmpty     = errors.New("mesh: no facets")
	ErrIndex     = errors.New("mesh: facet names a corner that does not exist")
	ErrNotFinite = errors.New("mesh: a coordinate is not a finite number")
	ErrTooLarge  = errors.New("mesh: more facets than can be numbered")
)

// maxFacets leaves room to number the three edges of every facet.
const maxFacets = math.MaxInt32 / 3

// Mesh is a set of triangular facets that share corners. The zero Mesh is
// empty. It is immutable and safe for concurrent use.
type Mesh struct {
	vertices []r3.Vec
	faces    [][3]VertexID
	normals  []r3.Vec  // len NumFaces, unit outward, zero for a facet without area
	areas    []float64 // len NumFaces, mm²
	bounds   r3.Box
}

// New builds a mesh out of corners and facets, which it keeps: the caller must
// not change them afterwards.
//
// Errors: ErrEmpty, ErrIndex, ErrNotFinite, ErrTooLarge.
// Cost: O(corners + facets).
func New(vertices []r3.Vec, faces [][3]VertexID) (*Mesh, error) {
	if len(faces) == 0 {
		return nil, ErrEmpty
	}
	if len(faces) > maxFacets || len(vertices) > math.MaxInt32 {
		return nil, ErrTooLarge
	}
	for i, v := range vertices {
		if !finite(v) {
			return nil, fmt.Errorf("corner %d: %w", i, ErrNotFinite)
		}
	}
	m := &Mesh{
		vertices: vertices,
		faces:    faces,
		normals:  make([]r3.Vec, len(faces)),
		areas:    make([]float64, len(faces)),
	}
	for i, f := range faces {
		for _, v := range f {
			if v < 0 || int(v) >= len(vertices) {
				return nil, fmt.Errorf("facet %d, corner %d: %w", i, v, ErrIndex)
			}
		}
		a, b, c := m.Corners(FaceID(i))
		m.normals[i], m.areas[i] = normalAndArea(a, b, c)
	}
	m.bounds = boundsOf(faces, vertices)
	return m, nil
}

// NumVertices returns the number of corners.
func (m *Mesh) NumVertices() int { return len(m.vertices) }

// NumFaces returns the number of facets.
func (m *Mesh) NumFaces() int { return len(m.faces) }

// Vertex returns the place of a corner. Unit: mm.
func (m *Mesh) Vertex(v VertexID) r3.Vec { return m.vertices[v] }

// Vertices returns all corners in order. The caller must not change them.
func (m *Mesh) Vertices() []r3.Vec { return m.vertices }

// Face returns the corners of a facet by number.
func (m *Mesh) Face(f FaceID) [3]VertexID { return m.faces[f] }

// Faces returns all facets in order. The caller must not change them.
func (m *Mesh) Faces() [][3]VertexID { return m.faces }

// Corners returns the places of a facet's corners. Unit: mm.
func (m *Mesh) Corners(f FaceID) (a, b, c r3.Vec) {
	t := m.faces[f]
	return m.vertices[t[0]], m.vertices[t[1]], m.vertices[t[2]]
}

// Normal returns a facet's unit outward normal, or zero for a facet without
// area.
func (m *Mesh) Normal(f FaceID) r3.Vec { return m.normals[f] }

// Normals returns the unit normals of all facets in order. The caller must not
// change them.
func (m *Mesh) Normals() []r3.Vec { return m.normals }

// FaceArea returns a facet's area. Unit: mm².
func (m *Mesh) FaceArea(f FaceID) float64 { return m.areas[f] }

// FaceAreas returns the areas of all facets in order. Unit: mm². The caller
// must not change them.
func (m *Mesh) FaceAreas() []float64 { return m.areas }

// Bounds returns the smallest upright box around all facets. Unit: mm.
func (m *Mesh) Bounds() r3.Box { return m.bounds }

// Diagonal returns the length of the bounding box's diagonal, the length that
// tolerances are relative to. Unit: mm.
func (m *Mesh) Diagonal() float64 { return r3.Norm(r3.Sub(m.bounds.Max, m.bounds.Min)) }

// Triangles returns the facets with their corners spelled out, in order.
func (m *Mesh) Triangles() []Triangle {
	out := make([]Triangle, len(m.faces))
	for i := range out {
		a, b, c := m.Corners(FaceID(i))
		out[i] = Triangle{a, b, c}
	}
	return out
}

func finite(v r3.Vec) bool {
	// The sum is NaN or infinite whenever a term is; 0·sum then is not zero.
	return 0*(v.X+v.Y+v.Z) == 0
}

func normalAndArea(a, b, c r3.Vec) (r3.Vec, float64) {
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	length := r3.Norm(n)
	if length == 0 {
		return r3.Vec{}, 0
	}
	return r3.Scale(1/length, n), length / 2
}

// boundsOf covers the corners that facets use; stray corners do not count.
func boundsOf(faces [][3]VertexID, vertices []r3.Vec) r3.Box {
	inf := math.Inf(1)
	box := r3.Box{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
	for _, f := range faces {
		for _, id := range f {
			box = grown(box, vertices[id])
		}
	}
	return box
}

// grown returns the smallest box around a box and a point.
func grown(box r3.Box, v r3.Vec) r3.Box {
	return r3.Box{
		Min: r3.Vec{X: min(box.Min.X, v.X), Y: min(box.Min.Y, v.Y), Z: min(box.Min.Z, v.Z)},
		Max: r3.Vec{X: max(box.Max.X, v.X), Y: max(box.Max.Y, v.Y), Z: max(box.Max.Z, v.Z)},
	}
}
