package support

import (
	"math"

	"platewright/support/mesh"
)

// storeys is a run of layers, from up to, not including, to.
type storeys struct{ from, to int }

// addSupport finds the support of each layer along columns.
func (s Settings) addSupport(m *mesh.Mesh, middles []float64, step float64, out []LayerWork) {
	var c columns
	c.sample(surfaceOf(m), step)
	held := make([][]storeys, c.nx*c.ny)
	for i := range held {
		held[i] = s.heldUp(m, c.of(i), newRungs(middles))
	}
	area := newSteps(len(out))
	across := [2]*steps{newSteps(len(out)), newSteps(len(out))}
	for i, here := range held {
		for _, r := range here {
			area.add(r, step*step)
		}
		// Neighbours along the diagonals lie on lines step/√2 apart. A line
		// that crosses the support meets its outline twice.
		for d, o := range [2]int{i + c.nx + 1, i + c.nx - 1} {
			if o < len(held) {
				across[d].addDifference(here, held[o], step/math.Sqrt2/2)
			}
		}
	}
	for k := range out {
		out[k].Support = area.next(k)
		out[k].SupportAcross = [2]float64{across[0].next(k), across[1].next(k)}
	}
}

// heldUp returns the layers in which a column is support.
func (s Settings) heldUp(m *mesh.Mesh, spans []span, middles rungs) []storeys {
	var out []storeys
	floor := float32(0)
	for _, x := range spans {
		if s.leans(m.Normal(x.in).Z) && float64(x.bottom) > s.FirstLayer*(1+layerSlack) {
			r := storeys{middles.first(float64(floor)), middles.first(float64(x.bottom))}
			if r.from < r.to {
				out = append(out, r)
			}
		}
		floor = x.top
	}
	return out
}

// steps is a figure for each layer, held as what it changes by from one to the
// next, so that a run of layers costs two additions.
type steps struct {
	change []float64
	sum    float64
}

func newSteps(layers int) *steps { return &steps{change: make([]float64, layers+1)} }

func (s *steps) add(r storeys, x float64) {
	s.change[r.from] += x
	s.change[r.to] -= x
}

// addDifference adds x where one of two columns is held and the other is not.
func (s *steps) addDifference(a, b []storeys, x float64) {
	for _, r := range a {
		s.add(r, x)
		for _, o := range b {
			if both := (storeys{max(r.from, o.from), min(r.to, o.to)}); both.from < both.to {
				s.add(both, -2*x)
			}
		}
	}
	for _, o := range b {
		s.add(o, x)
	}
}

// next returns the figure of layer k; the layers are asked for in order.
func (s *steps) next(k int) float64 {
	s.sum += s.change[k]
	if math.Abs(s.sum) < 1e-9 {
		s.sum = 0 // rounding
	}
	return s.sum
}
