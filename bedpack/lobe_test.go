package bedpack

import (
	"math"
	"math/rand/v2"
	"testing"

	"platewright/support/plane"
)

// checkLobes checks that rings are convex, counter-clockwise and have the
// outline's area in all, and that random points lie in the outline just when
// they lie in a ring.
func checkLobes(t *testing.T, rnd *rand.Rand, o plane.Outline, rings []plane.Ring) {
	t.Helper()
	area := 0.0
	for _, r := range rings {
		area += r.SignedArea()
		for i := range r {
			a, b, c := r[i], r[(i+1)%len(r)], r[(i+2)%len(r)]
			if (b.X-a.X)*(c.Y-b.Y)-(b.Y-a.Y)*(c.X-b.X) < 0 {
				t.Errorf("ring %v is not convex at %v", r, b)
			}
		}
	}
	if math.Abs(area-o.Area()) > 1e-9*o.Area() {
		t.Errorf("area %v, want %v", area, o.Area())
	}
	box := o.Bounds()
	for range 100 {
		p := box.Min
		p.X += rnd.Float64() * box.Size().X
		p.Y += rnd.Float64() * box.Size().Y
		in := false
		for _, r := range rings {
			in = in || (plane.Outline{r}).Contains(p)
		}
		if in != o.Contains(p) {
			t.Errorf("point %v: in a lobe %v, in the outline %v", p, in, o.Contains(p))
		}
	}
}

func TestLobesMakeUpTheOutline(t *testing.T) {
	two := plane.Outline{rectangle(0, 0, 40, 20), rectangle(5, 5, 10, 15).Reversed(), rectangle(20, 2, 35, 18).Reversed(), rectangle(22, 4, 30, 10), rectangle(50, 0, 60, 10)}
	for _, c := range []struct {
		name string
		in   plane.Outline
		most int // lobes
	}{
		{"a rectangle", plane.Outline{rectangle(0, 0, 3, 2)}, 1},
		{"a disc", plane.Outline{circle(10, 40)}, 1},
		{"a C", bracket(20, 10), 3},
		{"a washer", washer(20, 10, 32), 64},
		{"two holes, an island in one, another part", two, 30},
		{"a corner on a straight edge", plane.Outline{{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 2, Y: 0}, {X: 2, Y: 2}, {X: 0, Y: 2}}}, 1},
		{"nothing", nil, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := lobes(c.in)
			checkLobes(t, rand.New(rand.NewPCG(*seed, 0)), c.in, got)
			if len(got) > c.most {
				t.Errorf("%d lobes, want at most %d", len(got), c.most)
			}
		})
	}
}

func TestLobesOfRandomOutlines(t *testing.T) {
	cases(t, 200, func(t *testing.T, rnd *rand.Rand) {
		o := randomOutline(rnd, 10+50*rnd.Float64()).Placed(plane.Angle(7*rnd.Float64()), circle(30, 3)[rnd.IntN(3)])
		checkLobes(t, rnd, o, lobes(o))
	})
}

// Rings that cross have no lobes of their own; what is returned holds them.
func TestLobesOfCrossingRingsAreTheHull(t *testing.T) {
	bow := plane.Outline{{{X: 0, Y: 0}, {X: 4, Y: 3}, {X: 4, Y: 0}, {X: 0, Y: 4}}}
	got := lobes(bow)
	if len(got) != 1 || math.Abs(got[0].SignedArea()-plane.Hull(bow.Points()).SignedArea()) > 1e-12 {
		t.Errorf("lobes %v, want the hull", got)
	}
}
