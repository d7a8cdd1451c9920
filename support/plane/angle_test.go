package plane

import (
	"math"
	"testing"
)

func TestAngleConvertsDegrees(t *testing.T) {
	if got := (90 * Degree).Sin(); got != 1 {
		t.Errorf("sin 90° = %v, want 1", got)
	}
	if got := (60 * Degree).Cos(); math.Abs(got-0.5) > 1e-15 {
		t.Errorf("cos 60° = %v, want 0.5", got)
	}
	if got := (math.Pi * Radian).Degrees(); math.Abs(got-180) > 1e-13 {
		t.Errorf("π rad = %v°, want 180", got)
	}
}
