package printer

import (
	"math"
	"testing"

	"platewright/support"
)

// TestNarrowedByAddingUp lays lines at all angles across strips and adds up
// what is long enough. Of a border that runs at an angle φ to the lines each
// millimetre meets sin φ of them; all angles alike.
func TestNarrowedByAddingUp(t *testing.T) {
	const steps = 100000
	for _, x := range []float64{0.05, 0.2, 0.39, 0.41, 3} {
		least := 0.4
		var area, kept, lines, keptLines float64
		for i := range steps {
			sin := math.Sin((float64(i) + 0.5) / steps * math.Pi)
			area, lines = area+1, lines+sin // length x/sin φ, times so many
			if x/sin >= least {
				kept, keptLines = kept+1, keptLines+sin
			}
		}
		// A strip of width x and length 100 has twice that of border.
		got := evenly(100*x, 200).narrowed(least)
		if want := 100 * x * kept / area; math.Abs(got.area-want) > 1e-3*want {
			t.Errorf("strip of %g: %g mm² kept, want %g", x, got.area, want)
		}
		if want := 200 / math.Pi * keptLines / lines; math.Abs(got.across[0]-want) > 1e-3*want {
			t.Errorf("strip of %g: seen %g mm wide, want %g", x, got.across[0], want)
		}
	}
	if got := (region{}).narrowed(0.4); got != (region{}) {
		t.Errorf("nothing becomes %+v", got)
	}
}

// block is one layer of a square of 20 mm.
func block() (layer, *support.LayerWork) {
	p, m := bench()
	work := &square(20, 1, 0.2)[2]
	return newLayer(&p, &m, work, false), work
}

func TestInsideWallsSplits(t *testing.T) {
	l, _ := block()
	whole, length := l.movedIn(l.inside)
	for _, share := range []float64{0, 0.25, 1, 3} {
		skin, infill := l.insideWalls(evenly(share*whole, 10))
		bare := math.Min(share, 1)
		near(t, "skin", skin.area, bare*whole)
		near(t, "infill", infill.area, (1-bare)*whole)
		near(t, "infill's border", infill.outline, math.Sqrt(1-bare)*length)
	}
}

// TestLevelSkin: where the next layer ends, walls cover the rim; where it is
// hollow, nothing.
func TestLevelSkin(t *testing.T) {
	l, _ := block()
	whole, _ := l.movedIn(l.inside)
	near(t, "a top", l.levelSkin(400, 0).area, whole)
	near(t, "the floor of a hollow of 16 mm", l.levelSkin(256, 80+64).area, 256)
	near(t, "the rim that a step of half the area leaves", l.levelSkin(200, 40).area, 200-(400-whole)/2)
	near(t, "a rim narrower than the walls", l.levelSkin(10, 0).area, 0)
}

// TestSlopesBareStrips: a slope that runs r for each mm of rise bares r times
// the skin's depth, of which the walls cover their width.
func TestSlopesBareStrips(t *testing.T) {
	l, work := block()
	const class, shadow = 9, 5.0
	work.UpBy[class] = shadow
	depth := 0.6
	wide := support.SlopeRun(class) * depth
	got := l.skinUnder(&work.UpBy, work.Wall, depth)
	want := shadow * (wide - l.inside) / wide
	if wide < l.inside+l.printer.LineWidth {
		t.Fatalf("the strip of %g mm is too narrow for this test", wide)
	}
	near(t, "bare", got.area, want)
	near(t, "border", got.outline, 2*want/(wide-l.inside))
	var steep [support.NumSlopes]float64
	steep[1] = shadow
	if got := l.skinUnder(&steep, work.Wall, depth); got != (region{}) {
		t.Errorf("a steep slope bares %+v", got)
	}
}

// TestArc: chords that stray by 0.05 mm from a circle of 0.914 mm span
// 2·acos(1 − 0.05/0.914) = 38.2°, so a right angle takes three.
func TestArc(t *testing.T) {
	pieces, apart := arc(math.Pi/2, 0.914)
	if pieces != 3 || math.Abs(apart-0.914*math.Pi/6) > 1e-12 {
		t.Errorf("%g pieces %g mm apart, want 3 and %g", pieces, apart, 0.914*math.Pi/6)
	}
	if pieces, apart := arc(0.1, 0.914); pieces != 1 || math.Abs(apart-0.0914) > 1e-12 {
		t.Errorf("%g pieces %g mm apart, want 1", pieces, apart)
	}
}

// TestReflexCornersAreRounded: moved in, they slow the head less.
func TestReflexCornersAreRounded(t *testing.T) {
	l, work := block()
	l.printer.Acceleration, l.printer.CornerSpeed = 1000, 5
	convex := l.loops(70, 1, 50)
	work.Convex, work.Reflex = work.Reflex, work.Convex
	if reflex := l.loops(70, 1, 50); reflex >= convex {
		t.Errorf("four reflex corners take %g s, convex ones %g", reflex, convex)
	}
}

// TestSmoothLoopsStartSomewhere: a loop without a sharp corner takes longer by
// one, a loop with corners does not.
func TestSmoothLoopsStartSomewhere(t *testing.T) {
	l, work := block()
	l.printer.Acceleration, l.printer.CornerSpeed = 1000, 5
	corners := l.loops(70, 1, 50)
	work.Rings = 0
	near(t, "seconds of a square, starts left out", l.loops(70, 1, 50), corners)
	work.Convex = [support.NumCorners]support.Corners{0: {Count: 40, Length: 80}}
	none := l.loops(70, 1, 50)
	work.Rings = 1
	one := l.loops(70, 1, 50)
	// 70 mm in 40 moves: one of them from and to 5 mm/s.
	if want := moveTime(70.0/40, 50, 1000, 5) - none/40; math.Abs(one-none-want) > 1e-12 {
		t.Errorf("the start costs %g s, want %g", one-none, want)
	}
}
