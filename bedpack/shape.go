package bedpack

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// shape is a part, in one option, on one bed.
type shape struct {
	*Option
	option int
	bed    *bed
	hours  float64
	area   float64       // of the outline, mm²
	rough  plane.Outline // holds the outline, with fewer corners
	reach  float64       // how far it extends beyond the hull, mm
	spins  []plane.Angle // at which it fits on the bed
	stamps []stamp       // drawn on first use
	fine   []stamp       // the same on the finer raster
}

// roughCells is how much, in cells, outlines are simplified by before they
// are drawn. Measured with BenchmarkArrange: with 0, 20 parts take two to
// three times as long; 0.5 and 1 are quicker by up to a third, and all use as
// many plates. What is simplified away is lost to the neighbours, so the least
// that pays was taken.
const roughCells = 0.25

// newShape returns the part in one option on a bed, or nil when it is too
// large or the printer may not print it.
func newShape(b *bed, o *Option, index int, step plane.Angle) *shape {
	hours := o.hours(b.index)
	if math.IsInf(hours, 1) || o.Height > b.Height {
		return nil
	}
	spins := b.spins(o.Hull, step)
	if len(spins) == 0 {
		return nil
	}
	s := &shape{Option: o, option: index, bed: b, hours: hours, area: o.Outline.Area(), spins: spins}
	s.rough = plane.Simplified(o.Outline, roughCells*b.cell)
	hull := plane.NewTree(plane.Outline{o.Hull})
	for _, p := range s.rough.Points() {
		s.reach = max(s.reach, hull.DistanceTo(p))
	}
	return s
}

// hours returns the hours a printer takes, +Inf when it cannot.
func (o *Option) hours(printer int) float64 {
	if printer >= len(o.Hours) || math.IsNaN(o.Hours[printer]) || math.IsInf(o.Hours[printer], 0) {
		return math.Inf(1)
	}
	return o.Hours[printer]
}

// sound reports whether the option has a shape that can be placed.
func (o *Option) sound() bool {
	finite := func(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
	for _, p := range slices.Concat(o.Outline.Points(), o.Hull) {
		if !finite(p.X) || !finite(p.Y) {
			return false
		}
	}
	return finite(o.Height) && o.Outline.Area() > 0 && o.Hull.SignedArea() > 0
}

// mostEdges is how many of a hull's edges are laid along the axes. A hull of
// more is round; the steps then do as well.
const mostEdges = 16

// spins returns the spins at which a hull fits on the bed: even steps, and
// those that lay one of its longest edges along an axis. Where none of them
// fits, those that snugSpins names, so that each range of spins in which the
// hull fits, however narrow, has its own.
func (b *bed) spins(hull plane.Ring, step plane.Angle) []plane.Angle {
	var out []plane.Angle
	add := func(spins ...plane.Angle) {
		for _, spin := range spins {
			if b.fits(hull.Placed(spin, r2.Vec{})) {
				out = append(out, spin)
			}
		}
	}
	const turn = 360 * plane.Degree
	for k := range int(math.Ceil(float64(turn/step) - 1e-9)) {
		add(plane.Angle(k) * step)
	}
	add(edgeSpins(hull)...)
	if len(out) == 0 && !b.Bed.Round() {
		width, depth := b.room()
		for _, s := range snugSpins(hull, width, depth) {
			add(s.spin, s.spin+turn/2)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// edgeSpins returns the spins that lay the longest edges of a hull along the
// axes, four for each edge.
func edgeSpins(hull plane.Ring) []plane.Angle {
	edges := make([]r2.Vec, len(hull))
	for i, a := range hull {
		edges[i] = r2.Sub(hull[(i+1)%len(hull)], a)
	}
	slices.SortStableFunc(edges, func(a, b r2.Vec) int {
		if d := r2.Norm2(b) - r2.Norm2(a); d < 0 {
			return -1
		} else if d > 0 {
			return 1
		}
		return 0
	})
	const quarter = 90 * plane.Degree
	var out []plane.Angle
	for _, e := range edges[:min(len(edges), mostEdges)] {
		spin := -plane.Angle(math.Atan2(e.Y, e.X))
		spin -= plane.Angle(math.Floor(float64(spin/quarter))) * quarter
		out = append(out, spin, spin+quarter, spin+2*quarter, spin+3*quarter)
	}
	return out
}

// drawn returns the stamps of the part, one for each spin; spins that give
// the same stamp as an earlier one are left out.
func (s *shape) drawn() []stamp {
	if s.stamps == nil {
		s.stamps = s.draw(s.bed)
	}
	return s.stamps
}

// drawnFine is drawn on the finer raster.
func (s *shape) drawnFine() []stamp {
	if s.fine == nil {
		s.fine = s.draw(s.bed.finer())
	}
	return s.fine
}

func (s *shape) draw(b *bed) []stamp {
	var out []stamp
	for _, spin := range s.spins {
		drawn := newStamp(b, s.rough, s.Hull, spin)
		same := func(other stamp) bool { return drawn.same(&other) }
		if !slices.ContainsFunc(out, same) {
			out = append(out, drawn)
		}
	}
	return out
}
