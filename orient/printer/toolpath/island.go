package toolpath

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// island is what is drawn in one go before the head leaves for the next.
type island struct {
	walls        [][]r2.Vec
	skin, infill []segment
}

type islands []island

// lay lays all lines of a layer and sorts them by island.
func (p *part) lay(l layer, f *field, in, bare mask) islands {
	label := p.label(in)
	count := int32(0)
	for _, c := range label {
		count = max(count, c)
	}
	out := make(islands, count+1) // the first for what the grid cannot place
	at := func(q r2.Vec) *island { return &out[label[p.index(q)]] }
	for i := range l.Walls {
		for _, c := range f.contours(l.inset(i)) {
			if c = thinned(c, thinning); len(c) > 2 {
				to := at(c[0])
				to.walls = append(to.walls, c)
			}
		}
	}
	for _, s := range p.fillWith(l, f, bare, true, l.spacing()) {
		to := at(s.p)
		to.skin = append(to.skin, s)
	}
	if l.Infill > 0 {
		for _, s := range p.fillWith(l, f, bare, false, l.spacing()/l.Infill) {
			to := at(s.p)
			to.infill = append(to.infill, s)
		}
	}
	return out
}

// fillWith lays lines inside the walls, where skin is bare or where it is not.
func (p *part) fillWith(l layer, f *field, bare mask, skin bool, spacing float64) []segment {
	within := l.inside()
	return p.hatch(l.turn(), spacing, l.LineWidth, func(at r2.Vec) float64 {
		if d := f.value(at) - within; d <= 0 || bare[p.index(at)] == skin {
			return d
		}
		return -p.cell / 2
	})
}

// nearestFirst sorts islands so that the head goes to the nearest each time,
// as told by the first corners of what is drawn there.
func (is islands) nearestFirst(at r2.Vec) islands {
	left := append(islands(nil), is...)
	var out islands
	for len(left) > 0 {
		best, near, place := 0, math.Inf(1), at
		for i, c := range left {
			if p, d := c.nearest(at); d < near {
				best, near, place = i, d, p
			}
		}
		if !math.IsInf(near, 1) {
			out = append(out, left[best])
		}
		at = place
		left = append(left[:best], left[best+1:]...)
	}
	return out
}

// nearest returns the corner of an island's paths that is nearest to a place,
// and its distance squared; infinite for an empty island.
func (i island) nearest(at r2.Vec) (corner r2.Vec, near float64) {
	near = math.Inf(1)
	look := func(p r2.Vec) {
		if d := r2.Norm2(r2.Sub(p, at)); d < near {
			corner, near = p, d
		}
	}
	for _, w := range i.walls {
		for _, p := range w {
			look(p)
		}
	}
	for _, s := range append(append([]segment(nil), i.skin...), i.infill...) {
		look(s.p)
		look(s.q)
	}
	return corner, near
}

// draw draws an island: walls, then skin, then infill.
func (h *head) draw(i island) {
	h.loops(i.walls)
	h.lines(i.skin, Skin, 3*h.spacing())
	h.lines(i.infill, Infill, 3*h.spacing()/h.Infill)
}
