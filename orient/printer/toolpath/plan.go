package toolpath

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// move is one straight move of the head.
type move struct {
	kind                Kind
	way                 r2.Vec // unit vector
	length              float64
	speed, acceleration float64
}

// corner returns the speed at which the head may go from one direction into
// the other: the speed of the machine at a right angle, scaled so that the
// head strays from the corner by the same distance.
//
// Source: junction deviation, v² = a·JD·sin(θ/2)/(1 − sin(θ/2)) with
// a·JD = CornerSpeed²·(√2 − 1), θ being the angle between the two ways, 180°
// straight on.
func (m *Machine) corner(from, to r2.Vec) float64 {
	half := math.Sqrt(max(0, (1+r2.Dot(from, to))/2)) // sin(θ/2)
	if half >= 1 {
		return math.Inf(1)
	}
	return m.CornerSpeed * math.Sqrt((math.Sqrt2-1)*half/(1-half))
}

// durations returns how long each move takes when the head runs through all of
// them from rest to rest as fast as the corners let it.
func (m *Machine) durations(moves []move) []float64 {
	at := m.corners(moves)
	out := make([]float64, len(moves))
	for i, move := range moves {
		out[i] = duration(at[i], at[i+1], move)
	}
	return out
}

// corners returns the speed before each move and after the last: as much as the
// corner lets pass, kept by a pass from the back that never brakes harder than
// the acceleration, and one from the front that never speeds up harder.
func (m *Machine) corners(moves []move) []float64 {
	n := len(moves)
	at := make([]float64, n+1)
	for i := 1; i < n; i++ {
		at[i] = min(m.corner(moves[i-1].way, moves[i].way), moves[i-1].speed, moves[i].speed)
	}
	for i := n - 1; i > 0; i-- {
		at[i] = min(at[i], reached(at[i+1], moves[i]))
	}
	for i := range n {
		at[i+1] = min(at[i+1], reached(at[i], moves[i]))
	}
	return at
}

// reached returns the speed after speeding up from v all along a move.
func reached(v float64, m move) float64 { return math.Sqrt(v*v + 2*m.acceleration*m.length) }

// duration returns how long a move takes that begins at speed u and ends at w:
// up to its speed, or as near to it as its length allows, along, and down.
func duration(u, w float64, m move) float64 {
	a := m.acceleration
	top := min(m.speed, math.Sqrt(a*m.length+(u*u+w*w)/2))
	ramps := (2*top*top - u*u - w*w) / (2 * a)
	return (2*top-u-w)/a + max(0, m.length-ramps)/top
}
