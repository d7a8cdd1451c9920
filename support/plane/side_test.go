package plane

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestSideNamesLeftRightAndOn(t *testing.T) {
	a, b := r2.Vec{X: 0.1, Y: 0.1}, r2.Vec{X: 0.7, Y: 0.7}
	ulp := math.Nextafter(0.3, 1)
	for _, c := range []struct {
		name string
		p    r2.Vec
		want int
	}{
		{"left", r2.Vec{X: 0, Y: 1}, 1},
		{"right", r2.Vec{X: 1, Y: 0}, -1},
		{"on the line", r2.Vec{X: 0.3, Y: 0.3}, 0},
		{"a unit in the last place left", r2.Vec{X: 0.3, Y: ulp}, 1},
		{"a unit in the last place right", r2.Vec{X: ulp, Y: 0.3}, -1},
		{"at a corner", a, 0},
	} {
		if got := side(a, b, c.p); got != c.want {
			t.Errorf("side(%s) = %d, want %d", c.name, got, c.want)
		}
	}
}

// On a tiny grid round a line a plain determinant contradicts itself; the
// exact one obeys its laws.
func TestSideObeysItsLawsNearALine(t *testing.T) {
	wrong := 0
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		near := func(v float64) float64 { return v + float64(rnd.IntN(9))*0x1p-53 }
		a := r2.Vec{X: near(0.5), Y: near(0.5)}
		b, c := r2.Vec{X: 12, Y: 12}, r2.Vec{X: 24, Y: 24}
		s := side(a, b, c)
		if side(b, c, a) != s || side(c, a, b) != s || side(b, a, c) != -s || side(a, c, b) != -s {
			t.Errorf("side(%v, %v, %v) contradicts itself", a, b, c)
		}
		// b and c are on the diagonal, so a is left or right of it by its coordinates.
		want := 0
		if a.Y != a.X {
			want = map[bool]int{true: 1, false: -1}[a.Y > a.X]
		}
		if s != want {
			t.Errorf("side = %d, want %d", s, want)
		}
		if plain := r2.Cross(r2.Sub(b, a), r2.Sub(c, a)); (plain > 0) != (want > 0) || (plain < 0) != (want < 0) {
			wrong++
		}
	})
	if wrong == 0 {
		t.Error("the cases are too easy: a plain determinant gets all of them right")
	}
}

func TestSideRefusesNumbersThatAreNotFinite(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("side of a NaN did not panic")
		}
	}()
	side(r2.Vec{}, r2.Vec{X: 1, Y: 1}, r2.Vec{X: math.NaN(), Y: 2})
}
