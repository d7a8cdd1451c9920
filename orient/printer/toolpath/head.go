package toolpath

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// head draws paths, the nearest first, and keeps the moves it makes.
type head struct {
	layer
	at    r2.Vec
	moves []move
}

// to moves the head straight to a place.
func (h *head) to(p r2.Vec, k Kind) {
	d := r2.Sub(p, h.at)
	if length := r2.Norm(d); length > 0 {
		h.moves = append(h.moves, move{k, r2.Scale(1/length, d), length, h.speed(k), h.acceleration(k)})
	}
	h.at = p
}

// loops draws closed lines from their corners nearest to the head.
func (h *head) loops(loops [][]r2.Vec) {
	left := slices.Clone(loops)
	for len(left) > 0 {
		best, corner, near := 0, 0, math.Inf(1)
		for i, l := range left {
			for j, p := range l {
				if d := r2.Norm2(r2.Sub(p, h.at)); d < near {
					best, corner, near = i, j, d
				}
			}
		}
		l := left[best]
		h.to(l[corner], Travel)
		for j := range l {
			h.to(l[(corner+1+j)%len(l)], Wall)
		}
		left = append(left[:best], left[best+1:]...)
	}
}

// lines draws straight lines, each from its nearer end. Where an end is no
// further away than link, the way there is printed.
func (h *head) lines(lines []segment, k Kind, link float64) {
	left := slices.Clone(lines)
	for first := true; len(left) > 0; first = false {
		best, near := 0, math.Inf(1)
		for i, s := range left {
			if d := min(r2.Norm2(r2.Sub(s.p, h.at)), r2.Norm2(r2.Sub(s.q, h.at))); d < near {
				best, near = i, d
			}
		}
		from, to := left[best].p, left[best].q
		if r2.Norm2(r2.Sub(to, h.at)) < r2.Norm2(r2.Sub(from, h.at)) {
			from, to = to, from
		}
		if first || near > link*link {
			h.to(from, Travel)
		} else {
			h.to(from, k)
		}
		h.to(to, k)
		left[best] = left[len(left)-1]
		left = left[:len(left)-1]
	}
}
