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

// island lays all lines of a layer and sorts them by island.
func (p *part) island(l layer, f *field, in, bare mask) islands {
	label := p.islands(in)
	count := int32(0)
	for _, c := range label {
		count = max(count, c)
	}
	out := make(islands, count+1) // the first for what the grid cannot place
	for i := range l.Walls {
		for _, c := range f.contours(l.inset(i)) {
			if c = thinned(c, thinning); len(c) > 2 {
				to := &out[label[p.index(c[0])]]
				to.walls = append(to.walls, c)
			}
		}
	}
	within := l.inside()
	skin := func(at r2.Vec) float64 {
		if d := f.value(at) - within; d <= 0 || bare[p.index(at)] {
			return d
		}
		return -p.cell / 2
	}
	for _, s := range p.hatch(l.turn(), l.spacing(), l.LineWidth, skin) {
		to := &out[label[p.index(s.p)]]
		to.skin = append(to.skin, s)
	}
	if l.Infill == 0 {
		return out
	}
	infill := func(at r2.Vec) float64 {
		if d := f.value(at) - within; d <= 0 || !bare[p.index(at)] {
			return d
		}
		return -p.cell / 2
	}
	for _, s := range p.hatch(l.turn(), l.spacing()/l.Infill, l.LineWidth, infill) {
		to := &out[label[p.index(s.p)]]
		to.infill = append(to.infill, s)
	}
	return out
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
