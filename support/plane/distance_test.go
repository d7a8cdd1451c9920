package plane

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestDistanceOfSimpleRegions(t *testing.T) {
	frame := Outline{rectangle(0, 0, 10, 10), rectangle(2, 2, 8, 8).Reversed()}
	for _, c := range []struct {
		name string
		a, b Outline
		want float64
	}{
		{"side by side", Outline{rectangle(0, 0, 1, 1)}, Outline{rectangle(3, 0, 4, 1)}, 2},
		{"corner to corner 3-4-5", Outline{rectangle(0, 0, 1, 1)}, Outline{rectangle(4, 5, 6, 6)}, 5},
		{"sharing an edge", Outline{rectangle(0, 0, 1, 1)}, Outline{rectangle(1, 0, 2, 1)}, 0},
		{"sharing a corner", Outline{rectangle(0, 0, 1, 1)}, Outline{rectangle(1, 1, 2, 2)}, 0},
		{"one inside the other", Outline{rectangle(0, 0, 9, 9)}, Outline{rectangle(4, 4, 5, 5)}, 0},
		{"in a hole", frame, Outline{rectangle(4, 5, 5, 7)}, 1},
		{"filling a hole", frame, Outline{rectangle(2, 2, 8, 8)}, 0},
		{"crossing without corners inside", Outline{rectangle(0, 2, 9, 3)}, Outline{rectangle(2, 0, 3, 9)}, 0},
		{"to nothing", frame, nil, math.Inf(1)},
		{"corner to the middle of an edge", Outline{{{X: 0, Y: 0}, {X: 4, Y: -4}, {X: 4, Y: 4}}}, Outline{rectangle(-3, -9, -1, 9)}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Distance(c.a, c.b); got != c.want {
				t.Errorf("Distance = %v, want %v", got, c.want)
			}
			if got := Distance(c.b, c.a); got != c.want {
				t.Errorf("Distance the other way = %v, want %v", got, c.want)
			}
		})
	}
}

func TestDistanceAgainstAllPairs(t *testing.T) {
	apart, in := 0, 0
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		a, b := randomOutline(rnd), randomOutline(rnd)
		got, want := Distance(a, b), slowDistance(a, b)
		if !near(got, want, 1e-9) {
			t.Errorf("Distance = %v, want %v", got, want)
		}
		if want > 0 {
			apart++
			if !near(want, Distance(b, a), 1e-9) {
				t.Errorf("Distance is not symmetric: %v and %v", want, Distance(b, a))
			}
		} else {
			in++
		}
	})
	if apart < 30 || in < 30 {
		t.Errorf("%d pairs apart and %d together: too one-sided", apart, in)
	}
}

// Regions in the holes of others are what packing lives on.
func TestDistanceInsideAHole(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		ring := Outline{star(rnd, 30, r2.Vec{}, 30, 40), star(rnd, 25, r2.Vec{}, 15, 25).Reversed()}
		small := Outline{star(rnd, 12, randomPoint(rnd, 12), 2, 7)}
		if got, want := Distance(ring, small), slowDistance(ring, small); !near(got, want, 1e-9) {
			t.Errorf("Distance = %v, want %v", got, want)
		}
	})
}

func TestDistanceObeysItsLaws(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		a, b := randomOutline(rnd), randomOutline(rnd)
		d := Distance(a, b)
		if Distance(a, a) != 0 {
			t.Error("a region is at a distance from itself")
		}
		spin, shift := Angle(7*rnd.Float64()), randomPoint(rnd, 300)
		if got := Distance(a.Placed(spin, shift), b.Placed(spin, shift)); !near(got, d, 1e-9) {
			t.Errorf("Distance = %v after moving both, %v before", got, d)
		}
		if inner := (Outline{a[0]}); Distance(inner, b) > d+1e-12 {
			t.Error("filling the holes of a region took it farther away")
		}
	})
}

func TestNearerAgreesWithDistance(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		a, b := randomOutline(rnd), randomOutline(rnd)
		shift := randomPoint(rnd, 40)
		d := slowDistance(a, b.Placed(0, shift))
		ta, tb := NewTree(a), NewTree(b)
		if d > 0 && ta.Nearer(tb, shift, d*(1-1e-9)) {
			t.Errorf("nearer than %v, but the distance is that", d)
		}
		if !ta.Nearer(tb, shift, d*(1+1e-9)+1e-9) {
			t.Errorf("not nearer than a hair above the distance %v", d)
		}
	})
}

func TestDistanceToPointAgainstAllEdges(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		o := randomOutline(rnd)
		for range 20 {
			p := randomPoint(rnd, 100)
			if got, want := o.DistanceTo(p), slowPointDistance(o, p); !near(got, want, 1e-9) {
				t.Errorf("DistanceTo(%v) = %v, want %v", p, got, want)
			}
		}
	})
	if got := (Outline{}).DistanceTo(r2.Vec{}); !math.IsInf(got, 1) {
		t.Errorf("distance to nothing = %v, want +Inf", got)
	}
}

func TestTreeKeepsItsOutline(t *testing.T) {
	o := Outline{rectangle(0, 0, 2, 3), circle(9, 9, 1, 40)}
	tree := NewTree(o)
	if tree.Bounds() != o.Bounds() || len(tree.Outline()) != 2 {
		t.Errorf("Bounds = %v, want %v", tree.Bounds(), o.Bounds())
	}
	if empty := NewTree(nil).Bounds(); empty.Min.X <= empty.Max.X {
		t.Errorf("Bounds of nothing = %v, want Min above Max", empty)
	}
}

func BenchmarkDistance(b *testing.B) {
	for _, n := range []int{30, 300, 3000} {
		rnd := rand.New(rand.NewPCG(1, 2))
		p := NewTree(Outline{star(rnd, n, r2.Vec{}, 35, 40)})
		q := NewTree(Outline{star(rnd, n, r2.Vec{X: 85}, 35, 40)})
		b.Run(fmt.Sprintf("edges=%d", n), func(b *testing.B) {
			sum := 0.0
			for b.Loop() {
				sum += p.Distance(q)
			}
			_ = sum
		})
		b.Run(fmt.Sprintf("nearer/edges=%d", n), func(b *testing.B) {
			just := 0.999 * p.Distance(q)
			for b.Loop() {
				p.Nearer(q, r2.Vec{}, just)
			}
		})
	}
}
