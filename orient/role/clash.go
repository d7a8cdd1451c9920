package role

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Measures of parts in each other's way.
const (
	probes     = 200  // places at which a part is tried for being inside another
	leastClash = 0.01 // share of them that makes a clash
)

// buried returns the share of the surface of s that lies inside t, deeper than
// the given depth on both sides of it: faces in contact have t on one side only.
//
// Cost: O(probes · log facets).
func buried(s, t *tree, deep float64) float64 {
	n := 0
	for i, f := range spreadFaces(s.mesh, probes) {
		p, out := spot(s.mesh, f, i), r3.Scale(deep, s.mesh.Normal(f))
		if t.holds(r3.Sub(p, out)) && t.holds(r3.Add(p, out)) {
			n++
		}
	}
	return float64(n) / probes
}

// spreadFaces returns n facets spread evenly over the area of a mesh; large
// ones come several times. There are none without area.
func spreadFaces(m *mesh.Mesh, n int) []mesh.FaceID {
	out := make([]mesh.FaceID, 0, n)
	step := m.Area() / float64(n)
	sum := 0.0
	for f := range m.NumFaces() {
		sum += m.FaceArea(mesh.FaceID(f))
		for len(out) < n && sum > (float64(len(out))+half)*step {
			out = append(out, mesh.FaceID(f))
		}
	}
	return out
}

// holds reports whether p is inside the mesh: whether a line from it leaves
// the mesh more often than it comes in.
func (t *tree) holds(p r3.Vec) bool {
	b := t.boxes[0]
	if !near(r3.Box{Min: p, Max: p}, b, 0) {
		return false
	}
	// No direction that a designer would choose, so that edges are missed.
	way := r3.Unit(r3.Vec{X: 0.5319, Y: 0.2846, Z: 0.7974})
	leaves := 0
	t.through(p, way, math.Inf(1), func(f mesh.FaceID, _ float64) float64 {
		if r3.Dot(t.mesh.Normal(f), way) > 0 {
			leaves++
		} else {
			leaves--
		}
		return math.Inf(1)
	})
	return leaves > 0
}
