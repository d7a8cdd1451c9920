package mesh

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// ErrFlat reports corners that all lie in one plane, so that their hull
// encloses nothing.
var ErrFlat = errors.New("mesh: all corners lie in one plane")

// HullTolerance is the thickness, relative to the diagonal of the bounding
// box, below which corners lie in one plane: that of the whole part, which is
// then flat, and that of neighbouring facets of the hull, which then are one
// face. It is WeldTolerance, for the same reason.
const HullTolerance = WeldTolerance

// HullFace is one flat face of a hull: its largest triangle, with whatever
// around it lies within HullTolerance of that triangle's plane.
type HullFace struct {
	Normal  r3.Vec     // unit, outward, of the largest triangle
	Area    float64    // mm², seen along Normal
	Corners []VertexID // of HullMesh.Mesh, counter-clockwise seen from outside
}

// HullMesh is the convex hull of a mesh. It is immutable and safe for
// concurrent use.
type HullMesh struct {
	mesh  *Mesh
	faces []HullFace
}

// Hull returns the convex hull of the corners that the mesh's facets use.
//
// Laws: (1) no corner is farther than HullTolerance times the diagonal outside
// any face; (2) the hull of a hull is the same; (3) its volume is not below the
// mesh's; (4) the order of corners and facets makes no difference.
// Errors: ErrFlat.
// Cost: O(n log h) for h corners of the hull, as a rule.
func Hull(m *Mesh) (*HullMesh, error) {
	used := make([]bool, len(m.vertices))
	for _, f := range m.faces {
		used[f[0]], used[f[1]], used[f[2]] = true, true, true
	}
	points := make([]r3.Vec, 0, len(m.vertices))
	for i, v := range m.vertices {
		if used[i] {
			points = append(points, v)
		}
	}
	corners, triangles, err := quickHull(points, m.bounds)
	if err != nil {
		return nil, err
	}
	hull, err := New(corners, triangles)
	if err != nil {
		return nil, fmt.Errorf("hull: %w", err)
	}
	return &HullMesh{hull, flatFaces(hull)}, nil
}

// Mesh returns the hull as a closed mesh of triangles, its corners sorted by x,
// then y, then z.
func (h *HullMesh) Mesh() *Mesh { return h.mesh }

// Faces returns the flat faces, largest first. The caller must not change them.
func (h *HullMesh) Faces() []HullFace { return h.faces }

// Height returns the extent of the part along up: its height when printed that
// way up. Unit: mm. Laws: Height(up) = Height(−up). Cost: O(hull corners).
func (h *HullMesh) Height(up Direction) float64 {
	low, high := h.Extent(up)
	return high - low
}

// Extent returns the lowest and the highest coordinate of the part along a
// direction. Unit: mm. Cost: O(hull corners).
func (h *HullMesh) Extent(along Direction) (low, high float64) {
	d := along.Vec()
	low, high = math.Inf(1), math.Inf(-1)
	for i := range h.mesh.vertices {
		x := r3.Dot(d, h.mesh.vertices[i])
		low, high = min(low, x), max(high, x)
	}
	return low, high
}

// flatFaces gathers the triangles of a hull into flat faces. Each grows from
// the largest triangle left over all neighbours with corners near its plane,
// so that a finely rounded surface is not taken for one face bit by bit.
func flatFaces(m *Mesh) []HullFace {
	t := NewTopology(m)
	order := make([]FaceID, m.NumFaces())
	for i := range order {
		order[i] = FaceID(i)
	}
	slices.SortFunc(order, func(a, b FaceID) int {
		return cmp.Or(cmp.Compare(m.areas[b], m.areas[a]), cmp.Compare(a, b))
	})
	region := make([]int32, m.NumFaces()) // number of the face + 1
	var faces []HullFace
	var triangles []FaceID
	for _, seed := range order {
		if region[seed] == 0 {
			triangles = growRegion(t, append(triangles[:0], seed), region, int32(len(faces)+1))
			faces = append(faces, outlineOf(t, triangles, region))
		}
	}
	slices.SortStableFunc(faces, func(a, b HullFace) int { return cmp.Compare(b.Area, a.Area) })
	return faces
}

// growRegion marks the triangles connected with the seed, the one triangle in
// out, that lie in its plane, and returns them.
func growRegion(t *Topology, out []FaceID, region []int32, number int32) []FaceID {
	m, seed := t.mesh, out[0]
	tolerance := HullTolerance * m.Diagonal()
	region[seed] = number
	for i := 0; i < len(out); i++ {
		for k := range 3 {
			g, ok := t.Neighbour(out[i], k)
			if !ok || region[g] != 0 || m.normals[seed] == (r3.Vec{}) {
				continue
			}
			h := m.heights(g, seed)
			if min(h[0], h[1], h[2]) >= -tolerance {
				region[g] = number
				out = append(out, g)
			}
		}
	}
	return out
}

// outlineOf returns the face that a region of triangles forms, the largest of
// which comes first.
func outlineOf(t *Topology, triangles []FaceID, region []int32) HullFace {
	m := t.mesh
	number := region[triangles[0]]
	isRim := func(half int32) bool { return region[t.mates[half]/3] != number }
	var sum r3.Vec
	rim := int32(-1)
	for _, f := range triangles {
		sum = r3.Add(sum, r3.Scale(m.areas[f], m.normals[f]))
		for k := range int32(3) {
			if h := 3*int32(f) + k; rim < 0 && isRim(h) {
				rim = h
			}
		}
	}
	normal := m.normals[triangles[0]]
	out := HullFace{Area: r3.Dot(sum, normal), Normal: normal}
	for h := rim; ; {
		out.Corners = append(out.Corners, m.start(h))
		// The next edge of the rim: about the corner the last one leads to,
		// through the region.
		for h = nextHalf(h); !isRim(h); h = nextHalf(t.mates[h]) {
		}
		if h == rim {
			return out
		}
	}
}

// nextHalf returns the half-edge that follows in the same facet.
func nextHalf(half int32) int32 {
	if half%3 == 2 {
		return half - 2
	}
	return half + 1
}
