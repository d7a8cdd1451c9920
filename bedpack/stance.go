package bedpack

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// half is a half plane: the points p with n·p ≤ c, n of unit length.
type half struct{ x, y, c float64 }

// lobe is a convex piece of a part.
type lobe struct {
	box     r2.Box
	corners []r2.Vec
	halves  []half // what bounds it
	middle  r2.Vec // of the corners
	radius  float64
}

// stance is a part at one spin, its origin at the origin: lobes and what is
// asked of them at every turn.
type stance struct {
	index int // in the book; -1 when it is not one of its own
	spin  plane.Angle
	box   r2.Box // of the lobes
	base  r2.Box // of the hull
	hull  plane.Ring
	lobes []lobe
}

// form is a part as the search sees it: convex lobes as given, the hull that
// has to stay in the room, and its size.
type form struct {
	lobes []lobe
	hull  plane.Ring
	area  float64
	reach float64 // of the farthest corner from the origin
}

// sharpest is the cosine of the turn between two edges from which on the
// corner between them gets a bevel: a half plane at right angles to the
// corner's bisector. With a gap, corners otherwise keep others farther off
// than need be.
const sharpest = 0.9

// newForm cuts an outline into lobes; bevelled when parts have to keep a gap.
func newForm(o plane.Outline, hull plane.Ring, bevelled bool) *form {
	f := &form{area: o.Area(), hull: hull}
	for _, ring := range lobes(o) {
		f.lobes = append(f.lobes, newLobe(ring, bevelled))
	}
	for _, p := range o.Points() {
		f.reach = max(f.reach, r2.Norm(p))
	}
	return f
}

func newLobe(ring plane.Ring, bevelled bool) lobe {
	l := lobe{box: ring.Bounds(), corners: ring}
	n := len(ring)
	normal := func(i int) r2.Vec {
		e := r2.Sub(ring[(i+1)%n], ring[i%n])
		return r2.Unit(r2.Vec{X: e.Y, Y: -e.X})
	}
	for i := range ring {
		m, next := normal(i), normal(i+1)
		l.halves = append(l.halves, half{m.X, m.Y, r2.Dot(m, ring[i])})
		if c := r2.Dot(m, next); bevelled && c < sharpest && c > -0.999 {
			b := r2.Unit(r2.Add(m, next))
			l.halves = append(l.halves, half{b.X, b.Y, r2.Dot(b, ring[(i+1)%n])})
		}
		l.middle = r2.Add(l.middle, r2.Scale(1/float64(n), ring[i]))
	}
	for _, p := range ring {
		l.radius = max(l.radius, r2.Norm(r2.Sub(p, l.middle)))
	}
	return l
}

// turnInto writes the form turned by spin into a stance, whose slices it
// uses again.
func (f *form) turnInto(s *stance, spin plane.Angle) {
	sin, cos := spin.Sin(), spin.Cos()
	s.index, s.spin = -1, spin
	if cap(s.lobes) < len(f.lobes) {
		s.lobes = make([]lobe, len(f.lobes))
	}
	s.lobes = s.lobes[:len(f.lobes)]
	all := r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	for k := range f.lobes {
		from, to := &f.lobes[k], &s.lobes[k]
		to.corners, to.halves = to.corners[:0], to.halves[:0]
		box := r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
		for _, p := range from.corners {
			q := r2.Vec{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos}
			box.Min.X, box.Min.Y = min(box.Min.X, q.X), min(box.Min.Y, q.Y)
			box.Max.X, box.Max.Y = max(box.Max.X, q.X), max(box.Max.Y, q.Y)
			to.corners = append(to.corners, q)
		}
		for _, h := range from.halves {
			to.halves = append(to.halves, half{h.x*cos - h.y*sin, h.x*sin + h.y*cos, h.c})
		}
		to.box, to.radius = box, from.radius
		to.middle = r2.Vec{X: from.middle.X*cos - from.middle.Y*sin, Y: from.middle.X*sin + from.middle.Y*cos}
		all.Min.X, all.Min.Y = min(all.Min.X, box.Min.X), min(all.Min.Y, box.Min.Y)
		all.Max.X, all.Max.Y = max(all.Max.X, box.Max.X), max(all.Max.Y, box.Max.Y)
	}
	s.box, s.base = all, r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	s.hull = s.hull[:0]
	for _, p := range f.hull {
		q := r2.Vec{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos}
		s.hull = append(s.hull, q)
		s.base.Min.X, s.base.Min.Y = min(s.base.Min.X, q.X), min(s.base.Min.Y, q.Y)
		s.base.Max.X, s.base.Max.Y = max(s.base.Max.X, q.X), max(s.base.Max.Y, q.Y)
	}
}

// turned returns the form turned by spin.
func (f *form) turned(spin plane.Angle) *stance {
	s := &stance{}
	f.turnInto(s, spin)
	return s
}
