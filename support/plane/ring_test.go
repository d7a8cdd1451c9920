package plane

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

func TestRingMeasures(t *testing.T) {
	for _, c := range []struct {
		name            string
		ring            Ring
		area, perimeter float64
	}{
		{"oblong", rectangle(1, 2, 4, 7), 15, 16},
		{"oblong run clockwise", rectangle(1, 2, 4, 7).Reversed(), -15, 16},
		{"right triangle 3-4-5", Ring{{}, {X: 3}, {X: 3, Y: 4}}, 6, 12},
		{"two points bound nothing", Ring{{}, {X: 3}}, 0, 6},
		{"one point", Ring{{X: 1, Y: 1}}, 0, 0},
		{"empty", nil, 0, 0},
		// n/2·r²·sin(2π/n) and 2·n·r·sin(π/n), regular polygon, any textbook.
		{"hexagon", circle(0, 0, 2, 6), 3 * 4 * math.Sin(math.Pi/3), 12},
	} {
		if got := c.ring.SignedArea(); !near(got, c.area, 1e-12) {
			t.Errorf("SignedArea(%s) = %v, want %v", c.name, got, c.area)
		}
		if got := c.ring.Perimeter(); !near(got, c.perimeter, 1e-12) {
			t.Errorf("Perimeter(%s) = %v, want %v", c.name, got, c.perimeter)
		}
	}
}

// A metre from the origin a square millimetre must not be lost in rounding.
func TestSignedAreaFarFromTheOrigin(t *testing.T) {
	const off = 1e8
	got := rectangle(off, off, off+1, off+1).SignedArea()
	if got != 1 {
		t.Errorf("SignedArea = %v, want 1", got)
	}
}

func TestRingBounds(t *testing.T) {
	box := Ring{{X: 1, Y: 5}, {X: -2, Y: 3}, {X: 0, Y: 7}}.Bounds()
	want := r2.Box{Min: r2.Vec{X: -2, Y: 3}, Max: r2.Vec{X: 1, Y: 7}}
	if box != want {
		t.Errorf("Bounds = %v, want %v", box, want)
	}
	if empty := (Ring{}).Bounds(); empty.Min.X <= empty.Max.X {
		t.Errorf("Bounds of nothing = %v, want Min above Max", empty)
	}
}

func TestWindingCountsTurns(t *testing.T) {
	ring := rectangle(0, 0, 2, 2)
	twice := append(append(Ring{}, ring...), ring...)
	for _, c := range []struct {
		name string
		ring Ring
		p    r2.Vec
		want int
	}{
		{"inside", ring, r2.Vec{X: 1, Y: 1}, 1},
		{"inside, clockwise", ring.Reversed(), r2.Vec{X: 1, Y: 1}, -1},
		{"round twice", twice, r2.Vec{X: 1, Y: 1}, 2},
		{"outside", ring, r2.Vec{X: 3, Y: 1}, 0},
		{"outside, level with a corner", ring, r2.Vec{X: -1, Y: 2}, 0},
		{"no ring", nil, r2.Vec{}, 0},
	} {
		if got := c.ring.winding(c.p); got != c.want {
			t.Errorf("winding(%s) = %d, want %d", c.name, got, c.want)
		}
	}
}

func TestReversedRunsTheOtherWay(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		ring := star(rnd, 3+rnd.IntN(40), randomPoint(rnd, 100), 1, 20)
		if got, want := ring.Reversed().SignedArea(), -ring.SignedArea(); !near(got, want, 1e-9*ring.SignedArea()) {
			t.Errorf("area of the reversed ring %v, want %v", got, want)
		}
	})
}
