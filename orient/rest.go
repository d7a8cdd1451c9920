package orient

import (
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// maxRests bounds the faces of the hull that are tried: round parts have
// thousands of tiny ones, and the sphere of directions stands in for those.
const maxRests = 64

// rests returns the orientations in which the part rests on a face of its hull
// with its mass centre above that face, largest face first.
//
// Source: stable rest of a rigid body on a plane; S. Allen & D. Dutta,
// "Determination and evaluation of support structures in layered
// manufacturing", Journal of Design and Manufacturing 5, 1995.
func rests(m *mesh.Mesh, hull *mesh.HullMesh) []mesh.Direction {
	centre, _ := m.Centroid()
	var out []mesh.Direction
	for _, f := range hull.Faces() {
		if len(out) == maxRests {
			break
		}
		if above(hull.Mesh(), f, centre) {
			out = append(out, unit(r3.Scale(-1, f.Normal)))
		}
	}
	return out
}

// above reports whether a point, seen along a face's normal, lies within it.
func above(m *mesh.Mesh, f mesh.HullFace, point r3.Vec) bool {
	for i, v := range f.Corners {
		p, q := m.Vertex(v), m.Vertex(f.Corners[(i+1)%len(f.Corners)])
		if r3.Dot(r3.Cross(r3.Sub(q, p), r3.Sub(point, p)), f.Normal) < 0 {
			return false
		}
	}
	return true
}
