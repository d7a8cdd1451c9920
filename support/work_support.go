package support

import (
	"cmp"
	"math"
	"slices"

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
	for _, here := range held {
		for _, r := range here {
			area.add(r, step*step)
		}
	}
	for k := range out {
		out[k].Support = area.next(k)
	}
	for d := range 2 {
		diagonal := diagonal{held, c.nx, 1 - 2*d}
		diagonal.addAcross(step, d, out)
	}
}

// SupportGap is how wide a gap between two pieces of support may be, in mm, so
// that a line is drawn across it rather than turned round: about as wide as
// the lines lie apart.
const SupportGap = 2

// diagonal is the support of columns as it lies along one of their diagonals,
// which are step/√2 apart: from row to row, across columns to the right, 1, or
// to the left, −1.
type diagonal struct {
	held [][]storeys
	nx   int
	side int
}

// at returns the support n columns on from column i.
func (d diagonal) at(i, n int) []storeys {
	x := i%d.nx + n*d.side
	y := i/d.nx + n
	if x < 0 || x >= d.nx || y < 0 || y*d.nx+x >= len(d.held) {
		return nil
	}
	return d.held[y*d.nx+x]
}

// addAcross measures the support along the diagonal.
func (d diagonal) addAcross(step float64, direction int, out []LayerWork) {
	most := int(SupportGap / (step * math.Sqrt2))
	filled := diagonal{make([][]storeys, len(d.held)), d.nx, d.side}
	gaps, across := newSteps(len(out)), newSteps(len(out))
	for i := range filled.held {
		filled.held[i] = d.bridged(i, most)
		for _, r := range filled.held[i] {
			gaps.add(r, step*step)
		}
		// A line that crosses the support meets its outline twice.
		across.addDifference(filled.held[i], filled.at(i, -1), step/math.Sqrt2/2)
	}
	for k := range out {
		out[k].SupportGaps[direction] = math.Max(0, gaps.next(k)-out[k].Support)
		out[k].SupportAcross[direction] = across.next(k)
	}
}

// bridged returns the layers in which column i is support or lies in a gap of
// at most so many columns between support.
func (d diagonal) bridged(i, most int) []storeys {
	held := d.held[i]
	out := slices.Clone(held)
	for back := 1; back <= most; back++ {
		for on := 1; on <= most+1-back; on++ {
			for _, a := range d.at(i, -back) {
				for _, b := range d.at(i, on) {
					if both := (storeys{max(a.from, b.from), min(a.to, b.to)}); both.from < both.to {
						out = append(out, both)
					}
				}
			}
		}
	}
	if len(out) < 2 || len(out) == len(held) {
		return out
	}
	slices.SortFunc(out, func(a, b storeys) int { return cmp.Compare(a.from, b.from) })
	joined := out[:1]
	for _, r := range out[1:] {
		if last := &joined[len(joined)-1]; r.from <= last.to {
			last.to = max(last.to, r.to)
		} else {
			joined = append(joined, r)
		}
	}
	return joined
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
