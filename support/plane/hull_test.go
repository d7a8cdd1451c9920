package plane

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestHullOfFewOrStraightPoints(t *testing.T) {
	for _, c := range []struct {
		name string
		in   []r2.Vec
		want Ring
	}{
		{"none", nil, nil},
		{"one, twice", []r2.Vec{{X: 1, Y: 1}, {X: 1, Y: 1}}, Ring{{X: 1, Y: 1}}},
		{"two", []r2.Vec{{X: 2, Y: 1}, {X: 1, Y: 1}}, Ring{{X: 1, Y: 1}, {X: 2, Y: 1}}},
		{"on one line", []r2.Vec{{X: 1, Y: 1}, {X: 3, Y: 3}, {X: 2, Y: 2}}, Ring{{X: 1, Y: 1}, {X: 3, Y: 3}}},
		{"square with points on its edges", append(rectangle(0, 0, 2, 2), r2.Vec{X: 1}, r2.Vec{X: 2, Y: 1}, r2.Vec{X: 1, Y: 1}), rectangle(0, 0, 2, 2)},
	} {
		if got := Hull(c.in); !slices.Equal(got, c.want) {
			t.Errorf("Hull(%s) = %v, want %v", c.name, got, c.want)
		}
	}
}

func TestHullIsConvexAndHoldsEveryPoint(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		points := make([]r2.Vec, 3+rnd.IntN(60))
		for i := range points {
			points[i] = randomPoint(rnd, 100)
			if rnd.IntN(4) == 0 { // whole coordinates give repeated and straight points
				points[i] = r2.Vec{X: math.Round(points[i].X / 10), Y: math.Round(points[i].Y / 10)}
			}
		}
		hull := Hull(points)
		for i, a := range hull {
			b, c := hull[(i+1)%len(hull)], hull[(i+2)%len(hull)]
			if (b.X-a.X)*(c.Y-b.Y)-(b.Y-a.Y)*(c.X-b.X) <= 0 {
				t.Errorf("the hull does not turn left at %v", b)
			}
			if !slices.Contains(points, a) {
				t.Errorf("the hull has a corner %v that was not given", a)
			}
			for _, p := range points {
				if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) < -1e-9 {
					t.Errorf("%v lies outside", p)
				}
			}
		}
		shuffled := slices.Clone(points)
		rnd.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		if !slices.Equal(Hull(shuffled), hull) {
			t.Error("the hull depends on the order of the points")
		}
	})
}

// Points that are all but on one line, as a turned flat part gives: the hull
// must still hold every point, to the last bit.
func TestHullOfPointsAllButOnALine(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		points := make([]r2.Vec, 40)
		for i := range points {
			x := 100 * rnd.Float64()
			points[i] = r2.Vec{X: x, Y: x / 3}
		}
		hull := Hull(points)
		for i, a := range hull {
			b := hull[(i+1)%len(hull)]
			for _, p := range points {
				if exactSide(exactly(a), exactly(b), exactly(p)) < 0 {
					t.Fatalf("%v lies right of the edge from %v to %v", p, a, b)
				}
			}
		}
	})
}

func TestLeastRectangle(t *testing.T) {
	if got := LeastRectangle(nil); got != (Rectangle{}) {
		t.Errorf("LeastRectangle of nothing = %v", got)
	}
	upright := LeastRectangle(rectangle(0, 0, 4, 2))
	if upright != (Rectangle{Width: 4, Depth: 2}) {
		t.Errorf("LeastRectangle(4 × 2) = %v", upright)
	}
	turned := LeastRectangle(Ring(rectangle(0, 0, 4, 2)).Placed(30*Degree, r2.Vec{X: 5}))
	if !near(turned.Area(), 8, 1e-12) || !near(turned.Turn.Degrees(), 60, 1e-9) {
		t.Errorf("LeastRectangle(4 × 2 turned by 30°) = %v, area %v", turned, turned.Area())
	}
}

// The least oblong is no larger than any of 900 tried, and covers the hull.
func TestLeastRectangleAgainstManyTurns(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		hull := Hull(star(rnd, 3+rnd.IntN(30), r2.Vec{}, 5, 20+30*rnd.Float64()))
		got := LeastRectangle(hull)
		box := hull.Placed(got.Turn, r2.Vec{}).Bounds().Size()
		if !near(box.X, got.Width, 1e-9) || !near(box.Y, got.Depth, 1e-9) {
			t.Errorf("oblong %v × %v, the turned hull measures %v", got.Width, got.Depth, box)
		}
		for i := range 900 {
			size := hull.Placed(Angle(i)*Degree/10, r2.Vec{}).Bounds().Size()
			if size.X*size.Y < got.Area()*(1-1e-9) {
				t.Errorf("at %v° the oblong has %v mm², less than %v", float64(i)/10, size.X*size.Y, got.Area())
			}
		}
	})
}
