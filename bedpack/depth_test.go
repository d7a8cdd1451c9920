package bedpack

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

func formOf(o plane.Outline, bevelled bool) *form {
	return newForm(o, plane.Hull(o.Points()), bevelled)
}

// Depths of squares and triangles that can be told by hand.
func TestDepth(t *testing.T) {
	square := plane.Outline{rectangle(0, 0, 10, 10)}
	triangle := plane.Outline{{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 0, Y: 10}}}
	for _, c := range []struct {
		name   string
		a, b   plane.Outline
		dx, dy float64
		gap    float64
		want   float64
	}{
		{"side by side", square, square, 10, 0, 0, 0},
		{"three in", square, square, 7, 1, 0, 3},
		{"one on the other", square, square, 0, 0, 0, 10},
		{"at a corner", square, square, 9, -8, 0, 1},
		{"the gap not kept", square, square, 12, 0, 3, 1},
		{"the gap kept", square, square, 13, 0, 3, 0},
		// Their long sides face each other at a distance of 1/√2.
		{"triangles", triangle, triangle.Placed(180*plane.Degree, r2.Vec{X: 10, Y: 10}), 0.5, 0.5, 0, 0},
		{"triangles that overlap", triangle, triangle.Placed(180*plane.Degree, r2.Vec{X: 10, Y: 10}), -0.5, -0.5, 0, math.Sqrt2 / 2},
		{"in a hole", washer(20, 10, 4), plane.Outline{circle(9, 4)}, 0, 0, 0.5, 0},
		{"in a bay", bracket(20, 10), plane.Outline{rectangle(0, 0, 8, 8)}, 11, 6, 1, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			a, b := formOf(c.a, false).turned(0), formOf(c.b, false).turned(0)
			if got := depth(a, b, c.dx, c.dy, c.gap); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("depth = %v, want %v", got, c.want)
			}
			if got := sumDepth(newSums(a, b, c.gap), c.dx, c.dy); math.Abs(got-c.want) > 1e-9 {
				t.Errorf("sumDepth = %v, want %v", got, c.want)
			}
		})
	}
}

// On random outlines, spins and gaps: a depth of 0 means that the slow checker
// finds the gap kept, too; the two ways to a depth agree; and outlines that
// are apart by the gap and what corners may cost are told apart.
func TestDepthAgainstDistance(t *testing.T) {
	apartOnes, together := 0, 0
	cases(t, 300, func(t *testing.T, rnd *rand.Rand) {
		a, b := randomOutline(rnd, 20), randomOutline(rnd, 20)
		gap := float64(rnd.IntN(2)) * 3 * rnd.Float64()
		spin := plane.Angle(7 * rnd.Float64())
		shift := r2.Vec{X: 60 * (rnd.Float64() - 0.5), Y: 60 * (rnd.Float64() - 0.5)}
		s, u := formOf(a, gap > 0).turned(0), formOf(b, gap > 0).turned(spin)
		d := depth(s, u, shift.X, shift.Y, gap)
		if e := sumDepth(newSums(s, u, gap), shift.X, shift.Y); math.Abs(d-e) > 1e-9 {
			t.Errorf("depth %v, from sums %v", d, e)
		}
		if e := depth(u, s, -shift.X, -shift.Y, gap); math.Abs(d-e) > 1e-9 {
			t.Errorf("depth %v, the other way round %v", d, e)
		}
		dist, overlap := apart(moved(rings(option(a, 1)), Placement{}), moved(rings(option(b, 1)), Placement{Spin: spin, Shift: shift}))
		switch {
		case d == 0:
			apartOnes++
			if overlap || dist < gap-1e-9 {
				t.Errorf("no depth, yet %v apart, overlap %v, gap %v", dist, overlap, gap)
			}
		default:
			together++
			if !overlap && dist > 2.5*gap+1e-9 {
				t.Errorf("depth %v, yet %v apart, gap %v", d, dist, gap)
			}
		}
	})
	if apartOnes < 50 || together < 50 {
		t.Errorf("too tame: %d apart, %d not", apartOnes, together)
	}
}
