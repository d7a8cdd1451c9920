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

// HullTolerance is the distance, relative to the diagonal of the bounding box,
// within which corners of a hull lie in one plane, so that its triangles form
// one face. It is WeldTolerance, for the same reason.
const HullTolerance = WeldTolerance

// flatHull is the thickness, relative to the diagonal, up to which a part is
// flat. Thickness is taken from the plane of three far corners, which may lean
// against the plane of a face: corners within HullTolerance of the face are
// then up to 12 times as far from the other. Were a part thinner, one face
// could take in all of it and have no rim.
const flatHull = 12 * HullTolerance

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

// Across returns the vector from one of the lowest corners along up to one of
// the highest: its part along up is the height, and along any other direction
// no more than the height that way up. Unit: mm. Cost: O(hull corners).
func (h *HullMesh) Across(up Direction) r3.Vec {
	d := up.Vec()
	low, high := math.Inf(1), math.Inf(-1)
	var from, to r3.Vec
	for _, v := range h.mesh.vertices {
		x := r3.Dot(d, v)
		if x < low {
			low, from = x, v
		}
		if x > high {
			high, to = x, v
		}
	}
	return r3.Sub(to, from)
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
	corners := make([]VertexID, 0, 3*m.NumFaces()) // of all faces, in one piece
	for _, seed := range order {
		if region[seed] == 0 {
			triangles = growRegion(t, append(triangles[:0], seed), region, int32(len(faces)+1))
			first := len(corners)
			face := HullFace{Normal: m.normals[seed], Area: areaAlong(m, triangles, m.normals[seed])}
			corners = outlineOf(t, triangles, region, corners)
			face.Corners = corners[first:len(corners):len(corners)]
			faces = append(faces, face)
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
			// At a sharp rim the plane comes near facets of the other side; of
			// a sliver the normal tells nothing.
			if !ok || region[g] != 0 || (r3.Dot(m.normals[g], m.normals[seed]) <= 0 && m.slimness(g) > tolerance) {
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

// areaAlong returns the area of triangles as seen along a normal.
func areaAlong(m *Mesh, triangles []FaceID, normal r3.Vec) float64 {
	sum := 0.0
	for _, f := range triangles {
		sum += m.areas[f] * r3.Dot(m.normals[f], normal)
	}
	return sum
}

// outlineOf adds the corners around a region of triangles, counter-clockwise,
// to a list.
func outlineOf(t *Topology, triangles []FaceID, region []int32, corners []VertexID) []VertexID {
	number := region[triangles[0]]
	isRim := func(half int32) bool { return region[t.mates[half]/3] != number }
	rim := 3 * int32(triangles[0])
	for i := 0; !isRim(rim); i++ {
		rim = 3*int32(triangles[i/3]) + int32(i%3)
	}
	for h := rim; ; {
		corners = append(corners, t.mesh.start(h))
		// The next edge of the rim: about the corner the last one leads to,
		// through the region.
		for h = nextHalf(h); !isRim(h); h = nextHalf(t.mates[h]) {
		}
		if h == rim {
			return corners
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
