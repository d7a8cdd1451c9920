package printer

import "math"

// moveTime returns how long a straight move takes that begins and ends at
// speed u: up to speed v, or as near to it as its length allows, along, and
// down again. u must not be above v. Units: mm, mm/s, mm/s²; the result in s.
//
// Laws: from rest to rest L/v + v/a if L ≥ v²/a, else 2√(L/a).
func moveTime(length, v, a, u float64) float64 {
	top := math.Min(v, math.Sqrt(a*length+u*u))
	ramps := (top*top - u*u) / a
	return 2*(top-u)/a + math.Max(0, length-ramps)/top
}

// cornerSpeed returns the speed at which the head takes a corner that turns it
// by an angle, in radians. corner is its speed through a right angle.
//
// Source: junction deviation, v² = a·JD·sin(θ/2)/(1 − sin(θ/2)), θ the angle
// that the corner encloses, with a·JD = corner²·(√2 − 1).
func cornerSpeed(corner, turn float64) float64 {
	s := math.Cos(turn / 2) // sin(θ/2)
	return corner * math.Sqrt((math.Sqrt2-1)*s/(1-s))
}
