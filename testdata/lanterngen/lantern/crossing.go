package lantern

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// crossing adds the corner where edge a, b meets surface f.
func (c *cutter) crossing(a, b int32, f faceID) int32 {
	on, below, above := c.common(a, b)
	on.set(f)
	return c.between(a, b, c.root(a, b, f), on, below, above)
}

// halfway adds the corner in the middle of edge a, b.
func (c *cutter) halfway(a, b int32) int32 {
	on, below, above := c.common(a, b)
	middle := r3.Scale(0.5, r3.Add(c.corners[a].place, c.corners[b].place))
	return c.between(a, b, middle, on, below, above)
}

// common tells what a corner between a and b has from both: an edge between
// two corners on a surface lies on it, and one between corners below it or on
// it lies below it.
func (c *cutter) common(a, b int32) (on, below, above mask) {
	ka, kb := &c.corners[a], &c.corners[b]
	on = ka.on.and(kb.on)
	below = ka.below.or(ka.on).and(kb.below.or(kb.on)).without(on)
	above = ka.known.without(ka.below).and(kb.known.without(kb.below)).without(on)
	return on, below, above
}

// between adds a corner that splits edge a, b near p.
func (c *cutter) between(a, b int32, p r3.Vec, on, below, above mask) int32 {
	below, above = below.without(on), above.without(on)
	m := c.addCorner(c.settle(p, on, 0.5*length(r3.Sub(c.corners[a].place, c.corners[b].place))))
	k := &c.corners[m]
	k.known, k.on, k.below = on.or(below).or(above), on, below
	return m
}

// root finds where edge a, b meets surface f, between its ends.
//
// Source: the Illinois variant of false position, M. Dowell & P. Jarratt, "A
// modified regula falsi method", BIT 11, 1971.
func (c *cutter) root(a, b int32, f faceID) r3.Vec {
	s := &c.recipe.surfaces[f]
	pa, pb := c.corners[a].place, c.corners[b].place
	low, high := 0.0, 1.0
	fLow, fHigh := c.value(a, f), c.value(b, f)
	if fLow*fHigh >= 0 {
		// The sides were settled before the corners moved a little: the nearer
		// end is as good as the crossing.
		if math.Abs(fLow) < math.Abs(fHigh) {
			return r3.Add(pa, r3.Scale(1e-3, r3.Sub(pb, pa)))
		}
		return r3.Add(pb, r3.Scale(1e-3, r3.Sub(pa, pb)))
	}
	p, last := pa, 0
	for range 30 {
		t := (low*fHigh - high*fLow) / (fHigh - fLow)
		p = r3.Add(pa, r3.Scale(t, r3.Sub(pb, pa)))
		if s.flat {
			break
		}
		v := s.value(s.at(p))
		if math.Abs(v) < 1e-7 {
			break
		}
		if (v < 0) == (fLow < 0) {
			low, fLow = t, v
			if last == -1 {
				fHigh /= 2
			}
			last = -1
		} else {
			high, fHigh = t, v
			if last == 1 {
				fLow /= 2
			}
			last = 1
		}
	}
	return p
}

// settle moves p onto all surfaces of a set at once, by at most reach; if that
// fails p is good enough. A corner on a curved edge starts on the chord.
func (c *cutter) settle(p r3.Vec, on mask, reach float64) r3.Vec {
	curved := false
	on.each(func(f faceID) bool {
		curved = !c.recipe.surfaces[f].flat
		return !curved
	})
	if !curved {
		return p
	}
	if q, ok := c.meet(p, on, reach); ok {
		return q
	}
	return p
}

// meet finds the point near p that is on all surfaces of a set, within reach.
func (c *cutter) meet(p r3.Vec, on mask, reach float64) (r3.Vec, bool) {
	var faces []*surface
	on.each(func(f faceID) bool {
		faces = append(faces, &c.recipe.surfaces[f])
		return true
	})
	if len(faces) > 3 {
		return p, false
	}
	q := p
	for range 8 {
		var v [3]float64
		off := 0.0
		for i, s := range faces {
			v[i] = s.value(s.at(q))
			off = max(off, math.Abs(v[i]))
		}
		if off < onCrease {
			return q, length(r3.Sub(q, p)) <= reach
		}
		q = newton(q, faces, v)
	}
	return p, false
}

// onCrease is how far off its surfaces a corner may stay, mm. It is below the
// rounding of the files.
const onCrease = 1e-6

// newton takes the shortest step after which the surfaces, taken as planes,
// are all met. The values are those of the surfaces at p.
func newton(p r3.Vec, faces []*surface, values [3]float64) r3.Vec {
	var g [3]r3.Vec
	for i, s := range faces {
		g[i] = s.gradient(p)
	}
	// Gram matrix of the gradients, with a trace of damping so that surfaces
	// that touch do not throw the corner far away. Absent rows stay 1 on the
	// diagonal and 0 in the step.
	var m [3][3]float64
	for i := range m {
		m[i][i] = 1
		for j := range faces {
			if i < len(faces) {
				m[i][j] = r3.Dot(g[i], g[j])
			}
		}
		m[i][i] += 1e-9
	}
	for i, w := range solve3(m, values) {
		p = r3.Sub(p, r3.Scale(w, g[i]))
	}
	return p
}

func (s *surface) gradient(p r3.Vec) r3.Vec {
	g := gradient(s.at, p)
	if s.flip {
		return r3.Scale(-1, g)
	}
	return g
}

// gradient is by differences between the corners of a tetrahedron, which takes
// four values where central differences take six. It is off by h times the
// mixed second derivative of the other two axes.
func gradient(at field, p r3.Vec) r3.Vec {
	const h = 1e-4 // mm
	a := at(r3.Vec{X: p.X + h, Y: p.Y - h, Z: p.Z - h})
	b := at(r3.Vec{X: p.X - h, Y: p.Y - h, Z: p.Z + h})
	c := at(r3.Vec{X: p.X - h, Y: p.Y + h, Z: p.Z - h})
	d := at(r3.Vec{X: p.X + h, Y: p.Y + h, Z: p.Z + h})
	return r3.Scale(1/(4*h), r3.Vec{X: a - b - c + d, Y: -a - b + c + d, Z: -a + b - c + d})
}

// length is r3.Norm without its guard against overflow, which costs more than
// the rest of a field.
func length(v r3.Vec) float64 { return math.Sqrt(r3.Norm2(v)) }

// solve3 solves m·x = v by Cramer's rule.
func solve3(m [3][3]float64, v [3]float64) [3]float64 {
	det := determinant(m)
	var x [3]float64
	for i := range x {
		n := m
		for j := range v {
			n[j][i] = v[j]
		}
		x[i] = determinant(n) / det
	}
	return x
}

func determinant(m [3][3]float64) float64 {
	return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) -
		m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) +
		m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
}
