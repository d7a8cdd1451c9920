package bedpack

import (
	"math"

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

// lobeDepth is the depth of two lobes; not positive when they are apart.
func lobeDepth(p, q *lobe, dx, dy, gap float64) float64 {
	least := math.Inf(1)
	for _, h := range p.halves {
		if t := h.c + gap - h.x*dx - h.y*dy - lowest2(q.corners, h.x, h.y); t < least {
			if t <= 0 {
				return 0
			}
			least = t
		}
	}
	for _, h := range q.halves {
		if t := h.c + gap + h.x*dx + h.y*dy - lowest2(p.corners, h.x, h.y); t < least {
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
	halves []half
}

// newSum returns the shifts of q against p. A lobe's normals are all there is
// to the sum's.
func newSum(p, q *lobe, gap float64) sum {
	s := sum{box: r2.Box{
		Min: r2.Vec{X: p.box.Min.X - q.box.Max.X - gap, Y: p.box.Min.Y - q.box.Max.Y - gap},
		Max: r2.Vec{X: p.box.Max.X - q.box.Min.X + gap, Y: p.box.Max.Y - q.box.Min.Y + gap},
	}}
	add := func(h half) {
		for _, o := range s.halves {
			if math.Abs(o.x-h.x) < 1e-12 && math.Abs(o.y-h.y) < 1e-12 && math.Abs(o.c-h.c) <= 1e-12*(math.Abs(h.c)+1) {
				return
			}
		}
		s.halves = append(s.halves, h)
	}
	for _, h := range p.halves {
		add(half{h.x, h.y, h.c + gap - lowest2(q.corners, h.x, h.y)})
	}
	for _, h := range q.halves {
		add(half{-h.x, -h.y, h.c + gap - lowest2(p.corners, h.x, h.y)})
	}
	return s
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

// sumDepth is depth from sums made before.
func sumDepth(sums []sum, dx, dy float64) float64 {
	total := 0.0
next:
	for i := range sums {
		s := &sums[i]
		if dx >= s.box.Max.X || dx <= s.box.Min.X || dy >= s.box.Max.Y || dy <= s.box.Min.Y {
			continue
		}
		least := math.Inf(1)
		for _, h := range s.halves {
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
