package plane

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func corners(o Outline) int { return len(o.Points()) }

func TestSimplifiedShapes(t *testing.T) {
	notched := Outline{{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 10}, {X: 5.1, Y: 10}, {X: 5, Y: 9.8}, {X: 4.9, Y: 10}, {X: 0, Y: 10}}}
	chamfered := Outline{{{X: 0, Y: 0}, {X: 9.9, Y: 0}, {X: 10, Y: 0.1}, {X: 10, Y: 10}, {X: 0, Y: 10}}}
	pinhole := Outline{rectangle(0, 0, 10, 10), circle(5, 5, 0.1, 24).Reversed()}
	bay := Ring{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 10}, {X: 6, Y: 10}, {X: 5, Y: 8.5}, {X: 4, Y: 10}, {X: 0, Y: 10}}
	slotted := Outline{rectangle(0, 0, 10, 10), rectangle(0, 0, 5, 0.2).Reversed().Placed(40*Degree, r2.Vec{X: 2, Y: 2})}
	for _, c := range []struct {
		name    string
		in      Outline
		tol     float64
		corners int
		area    float64
	}{
		{"a square stays", Outline{rectangle(0, 0, 10, 10)}, 1, 4, 100},
		{"a notch is bridged", notched, 0.3, 4, 100},
		{"a notch deeper than the tolerance stays", notched, 0.15, 7, 100 - 0.02},
		{"a chamfer is drawn out", chamfered, 0.1, 4, 100},
		{"a pinhole is filled", pinhole, 0.101, 4, 100},
		{"a slot narrow enough is filled", slotted, 0.101, 4, 100},
		{"a slot a little too wide is kept", slotted, 0.099, 8, 100 - 1},
		{"straight corners go at no tolerance", Outline{{{}, {X: 1}, {X: 2}, {X: 2, Y: 2}, {X: 1, Y: 1}}}, 0, 3, 2},
		{"a repeated corner goes", Outline{{{}, {}, {X: 2}, {X: 2, Y: 2}}}, 0, 3, 2},
		{"an island keeps its hole", Outline{rectangle(0, 0, 9, 9), {{X: 4, Y: 4}, {X: 4, Y: 5}, {X: 5, Y: 4}}, circle(4.2, 4.2, 0.05, 3)}, 1, 10, 81 - 0.5 + circle(0, 0, 0.05, 3).SignedArea()},
		{"a bay with a post in it stays open", Outline{bay, rectangle(4.9, 9, 5.1, 9.2)}, 2, 11, 100 - 1.5 + 0.04},
		{"the same bay without the post", Outline{bay}, 2, 4, 100},
		{"a chamfer with a post before it stays", Outline{chamfered[0], circle(9.97, 0.03, 0.01, 3)}, 0.2, 8, 100 - 0.005 + circle(0, 0, 0.01, 3).SignedArea()},
		{"two points", Outline{{{}, {X: 1}}}, 1, 2, 0},
		{"nothing", nil, 1, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Simplified(c.in, c.tol)
			if corners(got) != c.corners || !near(got.Area(), c.area, 1e-9) {
				t.Errorf("%d corners and %v mm², want %d and %v: %v", corners(got), got.Area(), c.corners, c.area, got)
			}
		})
	}
}

// A round outline of 1000 corners needs about π/√(2·tol/r) of them: the
// tangent polygon of n sides sticks out by r(1/cos(π/n) − 1).
func TestSimplifiedCircleIsNearlyAsShortAsCanBe(t *testing.T) {
	const radius, tol = 50, 0.1
	got := corners(Simplified(Outline{circle(0, 0, radius, 1000)}, tol))
	least := math.Pi / math.Sqrt(2*tol/radius)
	if float64(got) < least || float64(got) > 2.2*least {
		t.Errorf("%d corners, want between %.0f and %.0f", got, least, 2.2*least)
	}
}

func TestSimplifiedObeysItsLaws(t *testing.T) {
	before, after := 0, 0
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		o := roughOutline(rnd)
		checkSimple(t, o)
		tol := 0.02 + 2*rnd.Float64()*rnd.Float64()
		got := Simplified(o, tol)
		before, after = before+corners(o), after+corners(got)
		if corners(got) > corners(o) || got.Area() < o.Area()*(1-1e-12) {
			t.Errorf("%d corners and %v mm² became %d and %v", corners(o), o.Area(), corners(got), got.Area())
		}
		checkContains(t, got, o)
		checkSimple(t, got)
		checkNear(t, rnd, got, o, tol)
		if same := Simplified(o, 0); !near(same.Area(), o.Area(), 1e-9) {
			t.Errorf("without tolerance the area went from %v to %v", o.Area(), same.Area())
		}
	})
	if after > before/2 {
		t.Errorf("%d corners became %d: hardly simpler", before, after)
	}
}

// roughOutline is a random outline whose edges are broken into small ragged
// ones, as the shadow of a scanned part has.
func roughOutline(rnd *rand.Rand) Outline {
	o := randomOutline(rnd)
	for k, ring := range o {
		var rough Ring
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			d := r2.Sub(b, a)
			for s := range 4 {
				t := float64(s) / 4
				wiggle := 0.02 * (rnd.Float64() - 0.5)
				if s == 0 {
					wiggle = 0
				}
				rough = append(rough, r2.Vec{X: a.X + t*d.X - wiggle*d.Y, Y: a.Y + t*d.Y + wiggle*d.X})
			}
		}
		o[k] = rough
	}
	return o
}

// checkContains tries the corners and the middles of the edges of the inner
// region, and that no edges cross.
func checkContains(t *testing.T, outer, inner Outline) {
	t.Helper()
	for _, ring := range inner {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			for _, p := range []r2.Vec{a, r2.Scale(0.5, r2.Add(a, b))} {
				if d := slowPointDistance(outer, p); d > 1e-10 {
					t.Fatalf("%v of the region lies %v outside the simplified one", p, d)
				}
			}
		}
	}
}

// checkSimple tries all pairs of edges.
func checkSimple(t *testing.T, o Outline) {
	t.Helper()
	type segment struct{ a, b r2.Vec }
	var all []segment
	for _, ring := range o {
		for i := range ring {
			all = append(all, segment{ring[i], ring[(i+1)%len(ring)]})
		}
	}
	for i, e := range all {
		for _, f := range all[i+1:] {
			if slowCut(e.a, e.b, f.a, f.b) && e.a != f.b && e.b != f.a {
				t.Fatalf("edges %v and %v cross", e, f)
			}
		}
	}
}

// checkNear tries points along the edges of the simplified region and inside.
func checkNear(t *testing.T, rnd *rand.Rand, got, o Outline, tol float64) {
	t.Helper()
	try := func(p r2.Vec) {
		if d := slowPointDistance(o, p); d > tol+1e-9 {
			t.Fatalf("%v of the simplified region is %v from the region, more than %v", p, d, tol)
		}
	}
	for _, ring := range got {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			for s := range 9 {
				try(r2.Add(a, r2.Scale(float64(s)/8, r2.Sub(b, a))))
			}
		}
	}
	for range 60 {
		if p := randomPoint(rnd, 130); slowInside(got, p) {
			try(p)
		}
	}
}

// The simplified region holds every corner to the last bit: what is worked
// out with it (what overlaps, what lies within) is then never wrong, however
// closely it is asked. Convex regions let it be checked with rational numbers.
func TestSimplifiedHoldsCornersExactly(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		o := Outline{Hull(star(rnd, 150, randomPoint(rnd, 500), 38, 40))}
		got := Simplified(o, 0.1+rnd.Float64())
		if corners(got) >= corners(o) {
			t.Fatalf("%d corners stayed %d", corners(o), corners(got))
		}
		for i, a := range got[0] {
			b := got[0][(i+1)%len(got[0])]
			for _, p := range o[0] {
				if rationalTurn(a, b, p) < 0 {
					t.Fatalf("%v lies right of the edge from %v to %v", p, a, b)
				}
			}
		}
	})
}

// rationalTurn is the sign of (b-a)×(p-a), without rounding.
func rationalTurn(a, b, p r2.Vec) int {
	minus := func(x, y float64) *big.Rat {
		return new(big.Rat).Sub(new(big.Rat).SetFloat64(x), new(big.Rat).SetFloat64(y))
	}
	left := minus(b.X, a.X)
	left.Mul(left, minus(p.Y, a.Y))
	right := minus(b.Y, a.Y)
	return left.Cmp(right.Mul(right, minus(p.X, a.X)))
}

// A thin wall in front of the tip of a join must stop it: the wall has no
// corner in the added area.
func TestSimplifiedDoesNotRunThroughAWall(t *testing.T) {
	part := Ring{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 9}, {X: 9, Y: 10}, {X: 0, Y: 10}}
	wall := rectangle(-20, 0, 20, 0.05).Placed(-45*Degree, r2.Vec{X: 9.85, Y: 9.85})
	o := Outline{part, wall}
	if d := Distance(Outline{part}, Outline{wall}); d <= 0 || d > 0.6 {
		t.Fatalf("the wall stands %v away: the test is wrong", d)
	}
	got := Simplified(o, 1)
	checkSimple(t, got)
	if corners(got) != 9 {
		t.Errorf("%d corners, want 9: the chamfer cannot be drawn out", corners(got))
	}
	if free := Simplified(Outline{part}, 1); corners(free) != 4 {
		t.Errorf("%d corners without the wall, want 4", corners(free))
	}
}

func TestSimplifiedIsTheSameEveryTime(t *testing.T) {
	o := roughOutline(rand.New(rand.NewPCG(*seed, 7)))
	a, b := Simplified(o, 0.4), Simplified(o.Placed(0, r2.Vec{}), 0.4)
	if fmt.Sprint(a) != fmt.Sprint(b) {
		t.Error("two runs differ")
	}
}

func BenchmarkSimplified(b *testing.B) {
	for _, n := range []int{300, 3000} {
		o := Outline{star(rand.New(rand.NewPCG(1, 2)), n, r2.Vec{}, 39.9, 40)}
		b.Run(fmt.Sprintf("corners=%d", n), func(b *testing.B) {
			left := 0
			for b.Loop() {
				left = corners(Simplified(o, 0.25))
			}
			b.ReportMetric(float64(left), "corners")
		})
	}
}
