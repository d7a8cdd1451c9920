package plane

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestOutlineWithHole(t *testing.T) {
	frame := Outline{rectangle(0, 0, 10, 10), rectangle(2, 2, 8, 8).Reversed(), rectangle(4, 4, 5, 5)}
	if got := frame.Area(); got != 100-36+1 {
		t.Errorf("Area = %v, want 65", got)
	}
	for _, c := range []struct {
		name string
		p    r2.Vec
		want bool
	}{
		{"in the frame", r2.Vec{X: 1, Y: 5}, true},
		{"in the hole", r2.Vec{X: 3, Y: 5}, false},
		{"on the island", r2.Vec{X: 4.5, Y: 4.5}, true},
		{"outside", r2.Vec{X: 11, Y: 5}, false},
	} {
		if got := frame.Contains(c.p); got != c.want {
			t.Errorf("Contains(%s) = %v, want %v", c.name, got, c.want)
		}
	}
	if got := len(frame.Points()); got != 12 {
		t.Errorf("%d points, want 12", got)
	}
	if got := frame.Bounds(); got != r2.NewBox(0, 0, 10, 10) {
		t.Errorf("Bounds = %v", got)
	}
}

func TestEmptyOutline(t *testing.T) {
	var none Outline
	if none.Area() != 0 || none.Contains(r2.Vec{}) || len(none.Points()) != 0 {
		t.Error("the empty region has area, points or an inside")
	}
}

func TestPlacedTurnsThenShifts(t *testing.T) {
	got := Ring{{X: 2, Y: 0}}.Placed(90*Degree, r2.Vec{X: 10, Y: 20})[0]
	if !near(got.X, 10, 1e-15) || !near(got.Y, 22, 1e-15) {
		t.Errorf("Placed = %v, want (10, 22)", got)
	}
}

func TestPlacedKeepsAreaAndInside(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		o := randomOutline(rnd)
		spin, shift := Angle(7*rnd.Float64()), randomPoint(rnd, 500)
		moved := o.Placed(spin, shift)
		if !near(moved.Area(), o.Area(), 1e-9*o.Area()) {
			t.Errorf("area %v after turning, %v before", moved.Area(), o.Area())
		}
		p := randomPoint(rnd, 80)
		q := Ring{p}.Placed(spin, shift)[0]
		if got, want := moved.Contains(q), slowInside(o, p); got != want && slowPointDistanceToRings(o, p) > 1e-9 {
			t.Errorf("Contains = %v after turning, %v before", got, want)
		}
		still := o.Placed(0, r2.Vec{})
		for k := range o {
			for i := range o[k] {
				if still[k][i] != o[k][i] {
					t.Fatalf("Placed(0, zero) moved corner %d of ring %d", i, k)
				}
			}
		}
	})
}

func slowPointDistanceToRings(o Outline, p r2.Vec) float64 {
	best := slowPointToSegment(p, o[0][0], o[0][0])
	for _, ring := range o {
		for i := range ring {
			best = min(best, slowPointToSegment(p, ring[i], ring[(i+1)%len(ring)]))
		}
	}
	return best
}
