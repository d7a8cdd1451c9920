package mesh

import "gonum.org/v1/gonum/spatial/r3"

// What tests in package mesh_test, which may use package solid, need to see of
// the inside.

// Tree is a tree over all facets of a mesh.
type Tree struct{ t *tree }

func NewTree(m *Mesh) Tree {
	faces := make([]FaceID, m.NumFaces())
	for i := range faces {
		faces[i] = FaceID(i)
	}
	return Tree{newTree(m, faces)}
}

func (t Tree) Winding(p r3.Vec) int                      { return t.t.winding(p) }
func (t Tree) WindingAlong(p, d r3.Vec) (int, bool)      { return t.t.windingAlong(p, d) }
func (t Tree) WindingByAngle(p r3.Vec) int               { return t.t.windingByAngle(p) }
func (t Tree) Near(p r3.Vec, reach float64) bool         { return t.t.near(p, reach) }
func (t Tree) InnerPoint(reach float64) (r3.Vec, bool)   { return t.t.innerPoint(reach) }
func (t Tree) Chord(p, d r3.Vec) (float64, bool)         { return t.t.chord(p, d, 0) }
func (t Tree) Pairs(o Tree, reach float64) [][2]FaceID   { return pairs(t.t, o.t, reach) }
func CornerGap2(p r3.Vec, t Triangle) float64            { return cornerGap2(p, t) }
func EdgeGap2(p, q, r, s r3.Vec) float64                 { return edgeGap2(p, q, r, s) }
func FacetContact(m *Mesh, f, g FaceID, tol float64) int { return int(m.facetContact(f, g, tol)) }

func pairs(s, t *tree, reach float64) (out [][2]FaceID) {
	eachPair(s, t, reach, func(a, b FaceID) bool {
		out = append(out, [2]FaceID{a, b})
		return true
	})
	return out
}

// Values of FacetContact.
const (
	Apart    = int(apart)
	Touching = int(touching)
	Crossing = int(crossing)
)
