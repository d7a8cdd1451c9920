package bedpack

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// depth returns how deep two stances lie in each other when the second is
// shifted by (dx, dy) against the first: the root of the sum of the squared
// depths of their lobes, where the depth of two lobes is how far one must at
// least move to leave the other by gap. It is 0 just when no lobe comes
// nearer to another than gap, as measured along the normals of the lobes,
// which is never more than the true distance.
func depth(a, b *stance, dx, dy, gap float64) float64 {
	total := 0.0
	bx0, by0, bx1, by1 := b.box.Min.X+dx-gap, b.box.Min.Y+dy-gap, b.box.Max.X+dx+gap, b.box.Max.Y+dy+gap
	for i := range a.lobes {
		p := &a.lobes[i]
		if p.box.Min.X >= bx1 || p.box.Max.X <= bx0 || p.box.Min.Y >= by1 || p.box.Max.Y <= by0 {
			continue
		}
		px0, py0, px1, py1 := p.box.Min.X-dx-gap, p.box.Min.Y-dy-gap, p.box.Max.X-dx+gap, p.box.Max.Y-dy+gap
		for j := range b.lobes {
			q := &b.lobes[j]
			if q.box.Min.X >= px1 || q.box.Max.X <= px0 || q.box.Min.Y >= py1 || q.box.Max.Y <= py0 {
				continue
			}
			if d := lobeDepth(p, q, dx, dy, gap); d > 0 {
				total += d * d
			}
		}
	}
	return math.Sqrt(total)
}

// lobeDepth is the depth of two lobes; not positive when they are apart. The
// middles and radii of the lobes tell most halves from which no corner needs
// to be looked at.
func lobeDepth(p, q *lobe, dx, dy, gap float64) float64 {
	least := lobeBelow(p, q, dx, dy, gap, math.Inf(1))
	if least > 0 {
		least = lobeBelow(q, p, -dx, -dy, gap, least)
	}
	return least
}

// lobeBelow is the part of lobeDepth that the halves of p decide.
func lobeBelow(p, q *lobe, dx, dy, gap, least float64) float64 {
	mx, my := dx+q.middle.X, dy+q.middle.Y
	for i := range p.halves {
		h := &p.halves[i]
		t := h.c + gap - h.x*mx - h.y*my // of the middle of q
		if t+q.radius <= 0 {
			return 0
		}
		if t >= least {
			continue // a corner is at least as low as the middle
		}
		if t = h.c + gap - h.x*dx - h.y*dy - lowest2(q.corners, h.x, h.y); t < least {
			if t <= 0 {
				return 0
			}
			least = t
		}
	}
	return least
}

// lowest2 returns the least of x·p.X + y·p.Y.
func lowest2(corners []r2.Vec, x, y float64) float64 {
	least := math.Inf(1)
	for _, p := range corners {
		if t := x*p.X + y*p.Y; t < least {
			least = t
		}
	}
	return least
}

// sum is the set of shifts at which two lobes are nearer than the gap: the
// Minkowski sum of one and the mirrored other, grown by the gap.
type sum struct {
	box    r2.Box
	middle r2.Vec
	halves []half // by the angle of their normals, twice over
	first  [4]int // by quadrant of the normals: index of the first
}

// quadrant numbers the quadrants in the order of the angles.
func quadrant(x, y float64) int {
	switch {
	case y >= 0 && x > 0:
		return 0
	case x <= 0 && y > 0:
		return 1
	case y <= 0 && x < 0:
		return 2
	}
	return 3
}

// newSum returns the shifts of q against p. The lobes' normals are all there
// is to the sum's.
func newSum(p, q *lobe, gap float64) sum {
	s := sum{box: r2.Box{
		Min: r2.Vec{X: p.box.Min.X - q.box.Max.X - gap, Y: p.box.Min.Y - q.box.Max.Y - gap},
		Max: r2.Vec{X: p.box.Max.X - q.box.Min.X + gap, Y: p.box.Max.Y - q.box.Min.Y + gap},
	}}
	s.middle = s.box.Center()
	for _, h := range p.halves {
		s.add(half{h.x, h.y, h.c + gap - lowest2(q.corners, h.x, h.y)})
	}
	for _, h := range q.halves {
		s.add(half{-h.x, -h.y, h.c + gap - lowest2(p.corners, h.x, h.y)})
	}
	slices.SortFunc(s.halves, func(a, b half) int {
		return cmp.Or(cmp.Compare(quadrant(a.x, a.y), quadrant(b.x, b.y)), cmp.Compare(0, a.x*b.y-a.y*b.x))
	})
	for k := range s.first {
		for s.first[k] < len(s.halves) && quadrant(s.halves[s.first[k]].x, s.halves[s.first[k]].y) < k {
			s.first[k]++
		}
		s.first[k] %= len(s.halves)
	}
	s.halves = append(s.halves, s.halves...)
	return s
}

// add appends a half unless it is there.
func (s *sum) add(h half) {
	const same = 1e-12
	for _, o := range s.halves {
		if math.Abs(o.x-h.x) < same && math.Abs(o.y-h.y) < same && math.Abs(o.c-h.c) <= same*(math.Abs(h.c)+1) {
			return
		}
	}
	s.halves = append(s.halves, h)
}

// newSums returns the sums of all pairs of lobes of two stances.
func newSums(a, b *stance, gap float64) []sum {
	out := make([]sum, 0, len(a.lobes)*len(b.lobes))
	for i := range a.lobes {
		for j := range b.lobes {
			out = append(out, newSum(&a.lobes[i], &b.lobes[j], gap))
		}
	}
	return out
}

// sumDepth is depth from sums made before. It begins with the halves on the
// side of the sum that the shift is on: if one tells that it is outside, then
// most likely one of those.
func sumDepth(sums []sum, dx, dy float64) float64 {
	total := 0.0
next:
	for i := range sums {
		s := &sums[i]
		if dx >= s.box.Max.X || dx <= s.box.Min.X || dy >= s.box.Max.Y || dy <= s.box.Min.Y {
			continue
		}
		least := math.Inf(1)
		at := s.first[quadrant(dx-s.middle.X, dy-s.middle.Y)]
		for _, h := range s.halves[at : at+len(s.halves)/2] {
			t := h.c - h.x*dx - h.y*dy
			if t < least {
				if t <= 0 {
					continue next
				}
				least = t
			}
		}
		total += least * least
	}
	if total == 0 {
		return 0
	}
	return math.Sqrt(total)
}
