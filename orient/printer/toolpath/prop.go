package toolpath

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// props are the stretches of vertical columns that support stands in.
type props struct {
	raster
	columns [][]stretch
}

type stretch struct{ bottom, top float64 }

// passage is where a column meets a facet.
type passage struct {
	z     float64
	into  bool // going up, the body is entered here
	hangs bool
}

// props finds the support of a part: under each facet that leans out further
// than the limit and reaches above the first layer, down to the next surface
// of the body below it or the plate.
func (m *Machine) props(facets []Triangle, r raster) props {
	const slack = 1e-9 // a facet exactly at the limit needs none
	met := make([][]passage, r.nx*r.ny)
	for _, t := range facets {
		n := r3.Unit(r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0])))
		if math.Abs(n.Z) < slack || math.IsNaN(n.Z) {
			continue
		}
		high := max(t[0].Z, t[1].Z, t[2].Z)
		hangs := -n.Z > math.Sin(m.Overhang)+slack && high > m.FirstLayer*(1+1e-4)
		r.under(t, func(i int, p r2.Vec) {
			z := t[0].Z - (n.X*(p.X-t[0].X)+n.Y*(p.Y-t[0].Y))/n.Z
			met[i] = append(met[i], passage{min(z, high), n.Z < 0, hangs})
		})
	}
	out := props{r, make([][]stretch, r.nx*r.ny)}
	for i, column := range met {
		out.columns[i] = gaps(column)
	}
	return out
}

// under calls do for each point of the raster in a facet's shadow.
func (r raster) under(t Triangle, do func(i int, p r2.Vec)) {
	a, b, c := r2.Vec{X: t[0].X, Y: t[0].Y}, r2.Vec{X: t[1].X, Y: t[1].Y}, r2.Vec{X: t[2].X, Y: t[2].Y}
	x0, y0 := r.nearest(r2.Vec{X: min(a.X, b.X, c.X), Y: min(a.Y, b.Y, c.Y)})
	x1, y1 := r.nearest(r2.Vec{X: max(a.X, b.X, c.X), Y: max(a.Y, b.Y, c.Y)})
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			p := r.at(x, y)
			if odd := crosses(a, b, p) != crosses(b, c, p); odd != crosses(c, a, p) {
				do(y*r.nx+x, p)
			}
		}
	}
}

// crosses reports whether the way from p towards +X crosses the edge ab,
// computed alike for both facets of the edge.
func crosses(a, b, p r2.Vec) bool {
	if a.Y > b.Y {
		a, b = b, a
	}
	return a.Y <= p.Y && p.Y < b.Y && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X)
}

// gaps returns the stretches of a column below hanging surfaces.
func gaps(column []passage) []stretch {
	slices.SortFunc(column, func(a, b passage) int { return cmp.Compare(a.z, b.z) })
	var out []stretch
	winding, floor := 0, 0.0
	for _, p := range column {
		if !p.into {
			winding--
			floor = p.z
			continue
		}
		if winding <= 0 && p.hangs && p.z > floor {
			out = append(out, stretch{floor, p.z})
		}
		winding++
	}
	return out
}

// depth returns a function that is a tenth of a millimetre where support stands
// at height z, and as much below zero elsewhere.
func (p props) depth(z float64) func(r2.Vec) float64 {
	return func(at r2.Vec) float64 {
		for _, s := range p.columns[p.index(at)] {
			if s.bottom < z && z < s.top {
				return 0.1
			}
		}
		return -0.1
	}
}

// any reports whether support stands anywhere at height z.
func (p props) any(z float64) bool {
	for _, column := range p.columns {
		for _, s := range column {
			if s.bottom < z && z < s.top {
				return true
			}
		}
	}
	return false
}
