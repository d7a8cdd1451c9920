package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/plane"
)

// stand adds up what the part rests on and finds how far it can be tilted before
// it falls, on its own feet and with those of its support; low is the turned
// height of its lowest corner.
func (s *Scanner) stand(out *Measures, low float64) {
	s.feet = s.feet[:0]
	for _, f := range s.soles {
		var corners [3]r3.Vec
		for k, v := range s.relief.faces[f] {
			corners[k] = s.frame.Turn(s.vertices[v])
			corners[k].Z -= low
		}
		s.sole = below(s.sole[:0], corners, s.settings.FirstLayer)
		for i, p := range s.sole {
			// Two facets cut their edge at places that differ by rounding.
			s.feet = append(s.feet, r2.Vec{X: math.Round(p.X*footGrain) / footGrain, Y: math.Round(p.Y*footGrain) / footGrain})
			if i >= 2 {
				a, b := r3.Sub(s.sole[i-1], s.sole[0]), r3.Sub(p, s.sole[0])
				out.Contact += (a.Y*b.X - a.X*b.Y) / 2 // clockwise: it looks down
			}
		}
	}
	foot := HullOf(s.feet)
	s.feet = append(s.feet[:0], foot...)
	s.props.reset()
	s.columns.eachProppedRow(s.props.add)
	s.feet = append(s.feet, s.Feet()...)
	wide := HullOf(s.feet)
	centre := s.frame.Turn(s.centre)
	centre.Z -= low
	out.Tip = plane.Angle(lean(foot, flat(centre), centre.Z))
	out.Held = plane.Angle(lean(wide, flat(centre), centre.Z))
}

// Feet returns where on the plate support stood in the last scan, as far out as
// it does, turned as by mesh.Upright.
func (s *Scanner) Feet() []r2.Vec {
	c := &s.columns
	var out []r2.Vec
	for _, side := range [2][]place{s.props.left, s.props.right} {
		for _, p := range side {
			out = append(out, r2.Vec{X: c.x0 + float64(p.x)*c.step, Y: c.y0 + float64(p.y)*c.step})
		}
	}
	return out
}

// footGrain is how many places for feet there are on each mm: many more than
// make a difference, many fewer than numbers.
const footGrain = 1 << 20

// eachProppedRow calls do with the first and the last place in each row, from
// the first row on, where support stands on the plate.
func (c *columns) eachProppedRow(do func(y, from, to int32)) {
	y, start, from, to := int32(0), int32(0), int32(-1), int32(0)
	for i := range c.hanging {
		h := &c.hanging[i]
		if h.spare || h.below != plate {
			continue
		}
		if h.column >= start+int32(c.nx) {
			if from >= 0 {
				do(y, from-start, to-start)
			}
			y = h.column / int32(c.nx)
			start, from = y*int32(c.nx), h.column
		} else if from < 0 {
			from = h.column
		}
		to = h.column
	}
	if from >= 0 {
		do(y, from-start, to-start)
	}
}

// place is a column by number along both axes.
type place struct{ x, y int32 }

// latticeHull grows the convex hull of places, row by row. Places often lie on
// one line exactly, and whole numbers tell so at once.
type latticeHull struct{ left, right []place }

func (h *latticeHull) reset() { h.left, h.right = h.left[:0], h.right[:0] }

// add adds a row from one place to another.
func (h *latticeHull) add(y, from, to int32) {
	h.left = chained(h.left, place{from, y}, 1)
	h.right = chained(h.right, place{to, y}, -1)
}

// chained appends a place to a chain that bends to one side only: to the right
// if bend is 1, to the left if it is −1.
func chained(chain []place, p place, bend int64) []place {
	for n := len(chain); n >= 2; n = len(chain) {
		a, b := chain[n-2], chain[n-1]
		if bend*(int64(b.x-a.x)*int64(p.y-a.y)-int64(b.y-a.y)*int64(p.x-a.x)) < 0 {
			break
		}
		chain = chain[:n-1]
	}
	return append(chain, p)
}
