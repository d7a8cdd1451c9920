package toolpath

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// hatch fills the places where depth is positive with parallel lines, spacing
// apart, that run in the given direction. Lines shorter than least are left
// out. Lines of different layers lie above each other.
//
// A depth below −2 cells must be no further below zero than the nearest place
// to fill is away: that much is passed over.
func (r raster) hatch(angle, spacing, least float64, depth func(r2.Vec) float64) []segment {
	sin, cos := math.Sincos(angle)
	along, across := r2.Vec{X: cos, Y: sin}, r2.Vec{X: -sin, Y: cos}
	a0, a1 := r.extent(along)
	c0, c1 := r.extent(across)
	var out []segment
	for i := math.Ceil(c0 / spacing); i*spacing < c1; i++ {
		line := r2.Scale(i*spacing, across)
		at := func(a float64) r2.Vec { return r2.Add(line, r2.Scale(a, along)) }
		start, before, step := 0.0, -1.0, r.cell
		for a := a0; a <= a1+step; a += step {
			now := -1.0
			if a <= a1 {
				now = depth(at(a))
			}
			// Where the depth changes sign between two steps, it does so
			// linearly.
			switch edge := a - step*now/(now-before); {
			case before <= 0 && now > 0:
				start = edge
			case before > 0 && now <= 0 && edge-start >= least:
				out = append(out, segment{at(start), at(edge)})
			}
			before, step = now, max(r.cell, -now-r.cell)
		}
	}
	return out
}

// extent returns the least and greatest reach of the raster in a direction.
func (r raster) extent(d r2.Vec) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, c := range [4]r2.Vec{r.at(0, 0), r.at(r.nx-1, 0), r.at(0, r.ny-1), r.at(r.nx-1, r.ny-1)} {
		low, high = min(low, r2.Dot(c, d)), max(high, r2.Dot(c, d))
	}
	return low, high
}
