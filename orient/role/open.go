package role

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Measures of the look-around.
const (
	axes = 48 // from both ends of which the assembly is looked at

	// A cell of a picture is cellSize wide, unless the picture would then have
	// more than finestCells or less than coarsestCells across.
	cellSize      = 1.0 // mm
	finestCells   = 1500
	coarsestCells = 250

	// grazing is the cosine below which a facet is seen too much edge on for a
	// cell to tell what is in front of it. What is lost weighs 1 %.
	grazing = 0.1
	// lift is how far over its own facet a sample is looked at, and slack how
	// far under what a cell shows it may lie, in cells, besides what the slope
	// of its facet makes. Beyond the slope steepest that grows no more, so that
	// a wall of two cells still hides what is behind it.
	lift, slack, steepest = 0.3, 0.3, 2.5
)

// directions returns axes whose ends are spread evenly over the sphere.
//
// Source: R. Swinbank & R. J. Purser, "Fibonacci grids: a novel approach to
// global modelling", Quarterly Journal of the Royal Meteorological Society
// 132, 2006; here its upper half.
func directions() [axes]mesh.Direction {
	var out [axes]mesh.Direction
	golden := math.Pi * (3 - math.Sqrt(5))
	for i := range out {
		z := (float64(i) + 0.5) / axes
		r := math.Sqrt(1 - z*z)
		sin, cos := math.Sincos(golden * float64(i))
		d, err := mesh.NewDirection(r3.Vec{X: r * cos, Y: r * sin, Z: z})
		if err != nil {
			panic("role: " + err.Error()) // z is not zero
		}
		out[i] = d
	}
	return out
}

// openness lets light fall on fresh samples and returns, for each facet of the
// meshes sampled, the share of the light from all around that reaches it with
// all meshes in the way.
//
// Laws: (1) 1 on a convex solid alone; (2) 0 in a closed hollow; (3) 1/2 inside
// a half sphere. All within some hundredths.
// Cost: O(axes · (corners + facets + samples + cells)).
func openness(meshes []*mesh.Mesh, all []*samples) [][]float32 {
	p := newPicture(meshes)
	for _, axis := range directions() {
		p.take(axis, meshes)
		for _, s := range all {
			s.expose(p)
		}
	}
	out := make([][]float32, len(all))
	for i, s := range all {
		out[i] = s.openness()
	}
	return out
}
