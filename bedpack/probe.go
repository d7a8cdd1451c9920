package bedpack

import (
	"math"

	"platewright/support/plane"
)

// How many places are looked at for each part that is moved, and how many of
// the best are bettered step by step. Measured on shapes0 and shirts, 8 s, two
// seeds each: 50 and 25 places give strips 0.4 % longer on average.
const (
	probesAnywhere = 25
	probesNear     = 15
	probesKept     = 3
)

// probe is a place that a part might move to.
type probe struct {
	berth
	loss float64
}

// prober looks for a better place for one part.
type prober struct {
	*crowd
	i    int
	best [probesKept]probe // rising; those not found have +Inf
	turn *stance           // a freely turning part as looked at last
}

// improve moves a mover to the best place found, if that is better than where
// it is.
func (c *crowd) improve(i int) bool {
	now, _ := c.own(i)
	p := prober{crowd: c, i: i, turn: &c.spare[0]}
	for k := range p.best {
		p.best[k].loss = math.Inf(1)
	}
	at := c.berthOf(i)
	p.keep(probe{at, now})
	p.scatter(at)
	found := p.best[0]
	for k := range p.best {
		if !math.IsInf(p.best[k].loss, 1) {
			if b := p.descend(p.best[k], coarseSteps()); b.loss < found.loss {
				found = b
			}
		}
	}
	if found.loss > 0 {
		found = p.pushOut(p.descend(found, fineSteps()))
	}
	if found.loss >= now {
		return false
	}
	c.seat(i, found.berth)
	c.settle(i)
	return true
}

func (c *crowd) berthOf(i int) berth {
	s := &c.seats[i]
	if c.members[i].spins == nil {
		return berth{nil, s.stance.spin, s.x, s.y}
	}
	return berth{s.stance, s.stance.spin, s.x, s.y}
}

// keep files a probe among the best; one near a better one is dropped.
func (p *prober) keep(q probe) {
	m := p.members[p.i].size
	near := 0.05 * m * m // size² is the root of the area
	for k := range p.best {
		b := &p.best[k]
		if !math.IsInf(b.loss, 1) && b.stance == q.stance && math.Abs(b.x-q.x) < near && math.Abs(b.y-q.y) < near && math.Abs(float64(b.spin-q.spin)) < 0.05 {
			if q.loss < b.loss {
				*b = q
				for ; k > 0 && p.best[k].loss < p.best[k-1].loss; k-- {
					p.best[k], p.best[k-1] = p.best[k-1], p.best[k]
				}
			}
			return
		}
		if q.loss < b.loss {
			copy(p.best[k+1:], p.best[k:])
			p.best[k] = q
			return
		}
	}
}

// scatter looks at places all over the room and at places near the part.
func (p *prober) scatter(at berth) {
	for range probesAnywhere {
		p.look(p.anySpin(), nil)
	}
	for range probesNear {
		p.look(p.nearSpin(at), &at)
	}
}

// anySpin returns a spin, turned to.
func (p *prober) anySpin() *stance {
	m := &p.members[p.i]
	if m.spins != nil {
		return m.spins[p.rnd.IntN(len(m.spins))]
	}
	spin := plane.Angle(2 * math.Pi * p.rnd.Float64())
	if n := len(m.likely); n > 0 && p.rnd.IntN(2) == 0 {
		spin = m.likely[p.rnd.IntN(n)]
	}
	m.form.turnInto(p.turn, spin)
	return p.turn
}

// nearSpin returns the spin of the part, give or take some degrees if it
// turns freely.
func (p *prober) nearSpin(at berth) *stance {
	if at.stance != nil {
		return at.stance
	}
	p.members[p.i].form.turnInto(p.turn, at.spin+plane.Angle(0.1*p.rnd.NormFloat64()))
	return p.turn
}

// look tries a stance somewhere, or near where the part is.
func (p *prober) look(s *stance, near *berth) {
	bay := 0
	if near != nil {
		bay = p.bayOf(p.seats[p.i].stance, near.x)
	} else if p.bays > 1 {
		bay = p.rnd.IntN(p.bays)
	}
	lo, hi, ok := p.span(s, bay)
	if !ok || !p.admits(p.i, bay) {
		return
	}
	q := probe{berth: berth{spin: s.spin}}
	if p.members[p.i].spins != nil {
		q.stance = s
	}
	if near != nil {
		w, d := s.box.Max.X-s.box.Min.X, s.box.Max.Y-s.box.Min.Y
		lo.X, hi.X = max(lo.X, near.x-w/2), min(hi.X, near.x+w/2)
		lo.Y, hi.Y = max(lo.Y, near.y-d/2), min(hi.Y, near.y+d/2)
	}
	q.x, q.y = lo.X+(hi.X-lo.X)*p.rnd.Float64(), lo.Y+(hi.Y-lo.Y)*p.rnd.Float64()
	bound := p.best[probesKept-1].loss
	if q.loss = p.weigh(p.i, s, q.x, q.y, bound); q.loss < bound {
		p.keep(q)
	}
}

// steps of a descent, relative to the root of the part's area; turns in
// radians.
type descent struct{ first, last, turn float64 }

func coarseSteps() descent { return descent{0.25, 0.02, 0.05} }
func fineSteps() descent   { return descent{0.02, 0.0002, 0.005} }

// descend betters a probe by steps along the axes and the diagonals, and
// turns, in random order: longer after a success, half as long after a
// failure.
func (p *prober) descend(q probe, d descent) probe {
	m := &p.members[p.i]
	scale := m.size * m.size
	s := q.stance
	if s == nil {
		m.form.turnInto(p.turn, q.spin)
		s = p.turn
	}
	bay := p.bayOf(s, q.x)
	lo, hi, ok := p.span(s, bay)
	if !ok {
		return q
	}
	step := [3]float64{d.first * scale, d.first * scale, d.turn}
	last := d.last * scale
	lastTurn := d.turn * d.last / d.first
	for q.loss > 0 && (step[0] > last || step[1] > last || (m.spins == nil && step[2] > lastTurn)) {
		kinds := 4
		if m.spins == nil {
			kinds = 5
		}
		axis := p.rnd.IntN(kinds)
		if axis == 4 {
			step[2] *= p.twist(&q, bay, step[2])
			s = p.turn
			lo, hi, _ = p.span(s, bay)
			continue
		}
		dx, dy := step[0], step[1]
		switch axis {
		case 0:
			dy = 0
		case 1:
			dx = 0
		case 3:
			dy = -dy
		}
		better := false
		x0, y0 := q.x, q.y
		for _, sign := range [2]float64{1, -1} {
			x, y := min(max(x0+sign*dx, lo.X), hi.X), min(max(y0+sign*dy, lo.Y), hi.Y)
			if x == x0 && y == y0 {
				continue
			}
			if l := p.weigh(p.i, s, x, y, q.loss); l < q.loss {
				q.x, q.y, q.loss, better = x, y, l, true
			}
		}
		factor := 0.5
		if better {
			factor = 1.1
		}
		if dx != 0 {
			step[0] *= factor
		}
		if dy != 0 {
			step[1] *= factor
		}
	}
	return q
}

// twist tries turning a probe about the middle of its part and returns by
// what to change the step. The stance in p.turn is left as the probe has it.
func (p *prober) twist(q *probe, bay int, by float64) float64 {
	f := p.members[p.i].form
	s := &p.spare[1]
	mx, my := (p.turn.box.Min.X+p.turn.box.Max.X)/2, (p.turn.box.Min.Y+p.turn.box.Max.Y)/2
	for _, turn := range [2]float64{by, -by} {
		f.turnInto(s, q.spin+plane.Angle(turn))
		lo, hi, ok := p.span(s, bay)
		if !ok {
			continue
		}
		sin, cos := math.Sincos(turn)
		x, y := q.x+mx-(mx*cos-my*sin), q.y+my-(mx*sin+my*cos)
		x, y = min(max(x, lo.X), hi.X), min(max(y, lo.Y), hi.Y)
		if l := p.weigh(p.i, s, x, y, q.loss); l < q.loss {
			q.x, q.y, q.spin, q.loss = x, y, s.spin, l
			*p.turn, *s = *s, *p.turn
			return 1.1
		}
	}
	return 0.5
}
