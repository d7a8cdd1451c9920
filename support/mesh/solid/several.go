package solid

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Together returns the shells of several meshes as one mesh, corners and
// facets in the order given. Corners are not shared between the meshes.
//
// Laws: volume and area are the sums.
func Together(parts ...*mesh.Mesh) *mesh.Mesh {
	b := &builder{}
	for _, m := range parts {
		first := mesh.VertexID(len(b.vertices))
		b.vertices = append(b.vertices, m.Vertices()...)
		for _, f := range m.Faces() {
			b.triangle(first+f[0], first+f[1], first+f[2])
		}
	}
	return b.mesh()
}

// InsideOut returns the mesh with every facet reversed.
//
// Laws: volume changes its sign; twice inside out is the mesh again.
func InsideOut(m *mesh.Mesh) *mesh.Mesh {
	b := &builder{vertices: m.Vertices(), faces: slices.Clone(m.Faces())}
	b.turnOut(0)
	return b.mesh()
}

// At returns the mesh shifted by x, y, z.
func At(m *mesh.Mesh, x, y, z float64) *mesh.Mesh {
	return m.Moved(mesh.Pose{Frame: mesh.Identity(), Shift: r3.Vec{X: x, Y: y, Z: z}})
}
