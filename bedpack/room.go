package bedpack

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// room is what the members of a crowd have to stay in: bays, side by side
// along X at a pitch that keeps parts of one from meeting those of the next.
// A bay is an oblong or, when radius is not 0, the disc within it.
type room struct {
	width, depth, radius float64 // of a bay
	bays                 int
	pitch                float64
}

// bayOf returns the bay that a stance shifted by x is in.
func (r *room) bayOf(s *stance, x float64) int {
	if r.bays < 2 {
		return 0
	}
	return min(max(int((x+(s.base.Min.X+s.base.Max.X-r.width+r.pitch)/2)/r.pitch), 0), r.bays-1)
}

// span returns the least and largest shift at which a stance is in the oblong
// of a bay; ok is false when there is none.
func (r *room) span(s *stance, bay int) (lo, hi r2.Vec, ok bool) {
	left := float64(bay) * r.pitch
	lo = r2.Vec{X: left - s.base.Min.X, Y: -s.base.Min.Y}
	hi = r2.Vec{X: left + r.width - s.base.Max.X, Y: r.depth - s.base.Max.Y}
	slack := s.roundOff()
	if hi.X < lo.X-slack || hi.Y < lo.Y-slack {
		return lo, hi, false
	}
	hi.X, hi.Y = max(lo.X, hi.X), max(lo.Y, hi.Y)
	return lo, hi, true
}

// roundOff is what rounding may add to the size of a stance. It must not
// depend on the room, which may be without end.
func (s *stance) roundOff() float64 {
	return roundOff * (s.base.Max.X - s.base.Min.X + s.base.Max.Y - s.base.Min.Y)
}

// outside returns how far a stance reaches out of its bay when it is as near
// to being inside as the oblong allows.
func (r *room) outside(s *stance, x, y float64) float64 {
	if r.radius == 0 {
		over := max(s.base.Max.X-s.base.Min.X-r.width, s.base.Max.Y-s.base.Min.Y-r.depth)
		if over <= s.roundOff() {
			return 0
		}
		return over
	}
	most := 0.0
	x, y = x-r.radius-float64(r.bayOf(s, x))*r.pitch, y-r.radius
	for _, p := range s.hull {
		most = max(most, (p.X+x)*(p.X+x)+(p.Y+y)*(p.Y+y))
	}
	return max(0, math.Sqrt(most)-r.radius)
}
