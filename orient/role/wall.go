package role

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// backs tells what lies behind each facet of a part, on the other side of a
// wall. Slices have one entry a facet.
type backs struct {
	face  []mesh.FaceID // a facet of the other side, or noWall
	open  []float32     // mean openness of the other side
	thick []float32     // mean thickness, mm
}

const (
	noWall  mesh.FaceID = -1
	untried mesh.FaceID = -2
)

// Measures of the search for walls.
const (
	maxTried = 20_000 // facets of a part that lines are cast from
	maxLines = 16     // from one facet
)

// backsOf casts lines from the samples of facets through walls of the given
// thickness or less. A facet has a wall behind it if half of its lines meet
// one. Of a part of many facets some are tried, spread evenly over the area,
// and the others are taken to be as their neighbours are.
//
// Cost: O(facets + facets tried · log facets).
func backsOf(t *tree, topology *mesh.Topology, s *samples, open []float32, thickest float64) backs {
	n := t.mesh.NumFaces()
	b := backs{face: make([]mesh.FaceID, n), open: make([]float32, n), thick: make([]float32, n)}
	tried := allFaces(t.mesh)
	if n > maxTried {
		tried = spreadFaces(t.mesh, maxTried)
	}
	isTried := make([]bool, n)
	for _, f := range tried {
		isTried[f] = true
	}
	s.eachFace(func(f mesh.FaceID, lo, hi int) {
		if b.face[f] = untried; isTried[f] {
			b.cast(t, s, open, thickest, f, lo, hi)
		}
	})
	b.passOn(topology, tried)
	return b
}

// cast casts lines from the samples lo to hi of facet f.
func (b *backs) cast(t *tree, s *samples, open []float32, thickest float64, f mesh.FaceID, lo, hi int) {
	lines, hits := 0, 0
	last := noWall
	for i := lo; i < hi; i += 1 + (hi-lo-1)/maxLines {
		lines++
		if g, thick, ok := behind(t, f, s.place(i), thickest); ok {
			hits, last = hits+1, g
			b.open[f] += open[g]
			b.thick[f] += float32(thick)
		}
	}
	b.face[f] = noWall
	if 2*hits >= lines {
		b.face[f] = last
		b.open[f] /= float32(hits)
		b.thick[f] /= float32(hits)
	}
}

// passOn gives facets that were not tried what the nearest facet has that was,
// counted in facets and not across creases; where there is none, no wall.
func (b *backs) passOn(t *mesh.Topology, tried []mesh.FaceID) {
	level := smooth(t.Mesh(), crease.Cos())
	queue := tried
	for len(queue) > 0 {
		f := queue[0]
		queue = queue[1:]
		for k := range 3 {
			if g, ok := t.Neighbour(f, k); ok && b.face[g] == untried && level(f, g) {
				b.face[g], b.open[g], b.thick[g] = b.face[f], b.open[f], b.thick[f]
				queue = append(queue, g)
			}
		}
	}
	for f, g := range b.face {
		if g == untried {
			b.face[f] = noWall
		}
	}
}

// behind returns the facet by which a line into the material below a point of
// a facet leaves it again, if that is within reach and about level with it.
func behind(t *tree, f mesh.FaceID, p r3.Vec, reach float64) (back mesh.FaceID, thick float64, ok bool) {
	n := t.mesh.Normal(f)
	best, nearest := f, math.Inf(1)
	t.through(p, r3.Scale(-1, n), reach, func(g mesh.FaceID, at float64) float64 {
		if g != f && r3.Dot(t.mesh.Normal(g), n) < 0 && (at < nearest || (at == nearest && g < best)) {
			best, nearest = g, at
		}
		return min(nearest, reach)
	})
	return best, nearest, best != f && r3.Dot(t.mesh.Normal(best), n) < opposed
}
