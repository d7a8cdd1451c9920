package plane

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Ring is a closed polygon; the last point joins the first, which is not
// repeated. Fewer than three points bound nothing and have area zero.
type Ring []r2.Vec

// SignedArea returns the enclosed area, positive for a counter-clockwise ring.
// Unit: mm².
func (r Ring) SignedArea() float64 {
	if len(r) < 3 {
		return 0
	}
	// Relative to the first point: far from the origin the products would
	// otherwise cancel.
	twice := 0.0
	for i := 1; i+1 < len(r); i++ {
		twice += r2.Cross(r2.Sub(r[i], r[0]), r2.Sub(r[i+1], r[0]))
	}
	return twice / 2
}

// Perimeter returns the length of the closed ring. Unit: mm.
func (r Ring) Perimeter() float64 {
	sum := 0.0
	for i, p := range r {
		sum += r2.Norm(r2.Sub(r[(i+1)%len(r)], p))
	}
	return sum
}

// Reversed returns the ring run the other way round.
func (r Ring) Reversed() Ring {
	out := make(Ring, len(r))
	for i, p := range r {
		out[len(r)-1-i] = p
	}
	return out
}

// Bounds returns the smallest upright box around the ring; of an empty ring,
// an empty box with Min above Max.
func (r Ring) Bounds() r2.Box {
	box := emptyBox()
	for _, p := range r {
		box = grow(box, p)
	}
	return box
}

// winding returns how often the ring runs counter-clockwise round p, exactly.
// Points on the ring itself belong to the side that the half-open rule gives.
func (r Ring) winding(p r2.Vec) int {
	n := 0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if (a.Y <= p.Y) == (b.Y <= p.Y) {
			continue
		}
		switch s := side(a, b, p); {
		case b.Y > p.Y && s > 0:
			n++
		case b.Y <= p.Y && s < 0:
			n--
		}
	}
	return n
}

func emptyBox() r2.Box {
	inf := math.Inf(1)
	return r2.Box{Min: r2.Vec{X: inf, Y: inf}, Max: r2.Vec{X: -inf, Y: -inf}}
}

func grow(b r2.Box, p r2.Vec) r2.Box {
	return r2.Box{
		Min: r2.Vec{X: min(b.Min.X, p.X), Y: min(b.Min.Y, p.Y)},
		Max: r2.Vec{X: max(b.Max.X, p.X), Y: max(b.Max.Y, p.Y)},
	}
}
