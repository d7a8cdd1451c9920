package bedpack

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// pushes is how many times at most a part is pushed out of others in a row.
const pushes = 6

// pushOut betters a probe by moving its part straight out of what it is in,
// by just as much as it is in it. Steps that are halved come near such a
// place but seldom to it, and where parts fit exactly near is not enough.
func (p *prober) pushOut(q probe) probe {
	s := q.stance
	if s == nil {
		s = p.turn
		p.members[p.i].form.turnInto(s, q.spin)
	}
	lo, hi, ok := p.span(s, p.bayOf(s, q.x))
	if !ok {
		return q
	}
	for range pushes {
		better := false
		for _, by := range p.exits(s, q.x, q.y) {
			x, y := min(max(q.x+by.X, lo.X), hi.X), min(max(q.y+by.Y, lo.Y), hi.Y)
			if l := p.weigh(p.i, s, x, y, q.loss); l < q.loss {
				q.x, q.y, q.loss, better = x, y, l, true
			}
		}
		if !better || q.loss == 0 {
			break
		}
	}
	return q
}

// exits returns, for each member that the part overlaps at (x, y), the move
// that takes it out of the lobe that it is deepest in.
func (p *prober) exits(s *stance, x, y float64) []r2.Vec {
	var out []r2.Vec
	for j := range p.seats {
		o := &p.seats[j]
		if j == p.i || o.box.Min.X >= s.box.Max.X+x+p.gap || o.box.Max.X <= s.box.Min.X+x-p.gap ||
			o.box.Min.Y >= s.box.Max.Y+y+p.gap || o.box.Max.Y <= s.box.Min.Y+y-p.gap {
			continue
		}
		gap := p.gap
		if j >= p.movers {
			gap = p.wallGap
		}
		if by := exit(s, o.stance, o.x-x, o.y-y, gap); by != (r2.Vec{}) {
			out = append(out, by)
		}
	}
	return out
}

// exit returns the least move of a that takes the two lobes that are deepest
// in each other apart, b being shifted by (dx, dy); zero when none overlap.
func exit(a, b *stance, dx, dy, gap float64) r2.Vec {
	deepest, pi, qi := 0.0, 0, 0
	for i := range a.lobes {
		for j := range b.lobes {
			p, q := &a.lobes[i], &b.lobes[j]
			if p.box.Min.X >= q.box.Max.X+dx+gap || p.box.Max.X <= q.box.Min.X+dx-gap ||
				p.box.Min.Y >= q.box.Max.Y+dy+gap || p.box.Max.Y <= q.box.Min.Y+dy-gap {
				continue
			}
			if d := lobeDepth(p, q, dx, dy, gap); d > deepest {
				deepest, pi, qi = d, i, j
			}
		}
	}
	if deepest == 0 {
		return r2.Vec{}
	}
	least, by := math.Inf(1), r2.Vec{}
	for _, h := range newSum(&a.lobes[pi], &b.lobes[qi], gap).halves {
		if t := h.c - h.x*dx - h.y*dy; t < least {
			// Rounding must not leave a little overlap.
			const over = 1 + 1e-9
			least, by = t, r2.Vec{X: -h.x * t * over, Y: -h.y * t * over}
		}
	}
	return by
}
