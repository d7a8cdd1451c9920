package orient_test

import (
	"math"
	"testing"

	"platewright/orient"
	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

// A bar of 8 × 10 × 120 mm on its end can be tilted by atan(4/60) = 3.81° before
// it falls. It is tried again until it succeeds: hours·p/(1−p).
func TestLossOfABarOnItsEnd(t *testing.T) {
	bar := support.NewBody(solid.Box(8, 10, 120), nil)
	s := settings()
	for _, c := range []struct {
		name               string
		failure, tip, safe float64 // safe in degrees
		chance             func(hours float64) float64
	}{
		{"nothing fails", 0, 0, 10, func(float64) float64 { return 0 }},
		{"hours alone", 0.01, 0, 10, func(h float64) float64 { return 1 - math.Pow(0.99, h) }},
		{"below half of what is safe", 0, 0.8, 10, func(float64) float64 { return 0.8 }},
		{"safe", 0, 0.8, 3.8, func(float64) float64 { return 0 }},
		{"three quarters of what is safe", 0, 0.8, math.Atan2(4, 60) * 180 / math.Pi / 0.75, func(float64) float64 { return 0.4 }},
		{"sure to fail, counted as 95 in 100", 0.5, 1, 10, func(float64) float64 { return 0.95 }},
	} {
		s.Risk = orient.Risk{Failure: c.failure, Tip: c.tip, Safe: plane.Angle(c.safe) * plane.Degree}
		on := orient.Evaluate(bar, mesh.Direction{}, s).On[0]
		p := c.chance(on.Hours)
		if want := on.Hours * p / (1 - p); math.Abs(on.Terms.Loss-want) > 1e-6*(1+want) {
			t.Errorf("%s: %.6f h lost, want %.6f", c.name, on.Terms.Loss, want)
		}
	}
}
