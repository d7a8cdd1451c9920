package role

import (
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// patches are the connected sets that the facets of a mesh fall into.
type patches struct {
	of []int32 // by facet, numbered from 0 in order of first facets; −1 for none
	n  int
}

// patchesOf joins the facets that are in, across all edges where joined says
// so.
//
// Cost: O(facets).
func patchesOf(t *mesh.Topology, in func(f mesh.FaceID) bool, joined func(f, g mesh.FaceID) bool) patches {
	p := patches{of: make([]int32, t.Mesh().NumFaces())}
	for f := range p.of {
		p.of[f] = -1
	}
	var stack []mesh.FaceID
	for first := range p.of {
		if p.of[first] >= 0 || !in(mesh.FaceID(first)) {
			continue
		}
		p.of[first] = int32(p.n)
		stack = append(stack[:0], mesh.FaceID(first))
		for len(stack) > 0 {
			f := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for k := range 3 {
				g, ok := t.Neighbour(f, k)
				if ok && p.of[g] < 0 && in(g) && joined(f, g) {
					p.of[g] = int32(p.n)
					stack = append(stack, g)
				}
			}
		}
		p.n++
	}
	return p
}

// smooth returns a rule that joins facets whose normals have at least the given
// cosine.
func smooth(m *mesh.Mesh, cosine float64) func(f, g mesh.FaceID) bool {
	return func(f, g mesh.FaceID) bool { return r3.Dot(m.Normal(f), m.Normal(g)) >= cosine }
}

func always(mesh.FaceID) bool               { return true }
func anyEdge(mesh.FaceID, mesh.FaceID) bool { return true }

// sums adds up a figure of facets over each patch.
func (p patches) sums(of func(f mesh.FaceID) float64) []float64 {
	out := make([]float64, p.n)
	for f, i := range p.of {
		if i >= 0 {
			out[i] += of(mesh.FaceID(f))
		}
	}
	return out
}

// borders calls visit for each edge between a facet of a patch and a facet
// that is not of it, with the edge's length in mm.
func (p patches) borders(t *mesh.Topology, visit func(patch int, across mesh.FaceID, long float64)) {
	m := t.Mesh()
	for f, i := range p.of {
		if i < 0 {
			continue
		}
		for k, v := range m.Face(mesh.FaceID(f)) {
			if g, ok := t.Neighbour(mesh.FaceID(f), k); ok && p.of[g] != i {
				w := m.Face(mesh.FaceID(f))[(k+1)%3]
				visit(int(i), g, r3.Norm(r3.Sub(m.Vertex(w), m.Vertex(v))))
			}
		}
	}
}
