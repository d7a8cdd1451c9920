package support

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// standingOn returns a mesh as a body with v up.
func standingOn(t testing.TB, m *mesh.Mesh, v r3.Vec) Body {
	t.Helper()
	up, err := mesh.NewDirection(v)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := NewBody(m, nil).Stand(up)
	return b
}

// workBodies are bodies of one shell and of shells that keep apart.
func workBodies(t testing.TB) map[string]Body {
	lean := r3.Vec{X: 0.3, Y: -0.5, Z: 0.8}
	return map[string]Body{
		"box":           standingOn(t, solid.Box(30, 20, 40), r3.Vec{Z: 1}),
		"leaning box":   standingOn(t, solid.Box(30, 20, 40), lean),
		"hollow box":    standingOn(t, solid.HollowBox(40, 30, 25, 2), lean),
		"sphere":        standingOn(t, solid.Sphere(15, 16), r3.Vec{Z: 1}),
		"lying bracket": standingOn(t, solid.LBracket(45, 30, 6, 20), r3.Vec{X: 1, Y: 0.1}),
		"torus":         standingOn(t, solid.Torus(18, 6, 64, 32), lean),
		"two boxes":     standingOn(t, solid.Together(solid.Box(10, 10, 10), solid.At(solid.Box(5, 8, 20), 30, 0, 0)), r3.Vec{Z: 1}),
	}
}

// TestWorkLaws checks the laws in the documentation of Work, and those between
// its figures.
func TestWorkLaws(t *testing.T) {
	s := Defaults()
	for name, b := range workBodies(t) {
		work, profile := s.Work(b, 0.25), s.Layers(b)
		volume, before := 0.0, LayerWork{}
		for k, l := range work {
			if l.Layer != profile[k] {
				t.Fatalf("%s, layer %d: %+v, Layers has %+v", name, k, l.Layer, profile[k])
			}
			grown := sumOf(l.DownBy[:]) - sumOf(before.UpBy[:])
			if math.Abs(l.Solid-before.Solid-grown) > 1e-6*b.Mesh.Diagonal()*b.Mesh.Diagonal() {
				t.Errorf("%s, layer %d: the area grows by %g, by slopes %g", name, k, l.Solid-before.Solid, grown)
			}
			around := 0.0
			for i := range l.Convex {
				around += l.Convex[i].Length + l.Reflex[i].Length
			}
			if around > l.Wall*(1+1e-9) || around < 0.98*l.Wall-1 {
				t.Errorf("%s, layer %d: corners share %g mm of %g", name, k, around, l.Wall)
			}
			volume += l.Support * l.Thickness
			before = l
		}
		exact := Measure(b, s).SupportRaw
		if math.Abs(volume-exact) > 0.02*exact+1 {
			t.Errorf("%s: support %g mm³, exactly %g", name, volume, exact)
		}
	}
}

func sumOf(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum
}

// TestQuarterTurnSwapsDirections checks the law of directions.
func TestQuarterTurnSwapsDirections(t *testing.T) {
	s := Defaults()
	b := standingOn(t, solid.Box(30, 20, 40), r3.Vec{X: 0.3, Y: -0.5, Z: 0.8})
	turned := b
	turned.Mesh = b.Mesh.Moved(mesh.Pose{Frame: mesh.Frame{X: r3.Vec{Y: -1}, Y: r3.Vec{X: 1}, Z: r3.Vec{Z: 1}}})
	other := s.Work(turned, 0.5)
	for k, l := range s.Work(b, 0.5) {
		o := other[k]
		if math.Abs(l.Across[0]-o.Across[1]) > 1e-9 || math.Abs(l.Across[1]-o.Across[0]) > 1e-9 {
			t.Errorf("layer %d: across %v, turned %v", k, l.Across, o.Across)
		}
	}
}

// TestWorkOfABox by hand: 30 × 20 mm upright.
func TestWorkOfABox(t *testing.T) {
	work := Defaults().Work(standingOn(t, solid.Box(30, 20, 10), r3.Vec{Z: 1}), 0.5)
	l := work[20]
	want := 50 / math.Sqrt2 // (30 + 20)·sin 45°
	if math.Abs(l.Across[0]-want) > 1e-9 || math.Abs(l.Across[1]-want) > 1e-9 || math.Abs(l.Shrink-8) > 1e-9 || l.Rings != 1 || math.Abs(l.Box-600) > 1e-9 {
		t.Errorf("across %v, want %g; shrinks by %g, want 8; %d rings, box %g", l.Across, want, l.Shrink, l.Rings, l.Box)
	}
	right := cornerClass(math.Pi / 2)
	if c := l.Convex[right]; c.Count != 4 || math.Abs(c.Length-100) > 1e-9 {
		t.Errorf("right angles: %+v, want 4 and 100 mm", c)
	}
	if l.Support != 0 || sumOf(l.Thin[:]) != 0 || sumOf(l.UpBy[:])+sumOf(l.DownBy[:]) != 0 {
		t.Errorf("support %g, thin %g, slopes %v %v", l.Support, sumOf(l.Thin[:]), l.UpBy, l.DownBy)
	}
	first, last := work[0], work[len(work)-1]
	if got := first.DownBy[NumSlopes-1]; math.Abs(got-600) > 1e-9 {
		t.Errorf("bottom: %g mm² level, want 600", got)
	}
	if got := last.UpBy[NumSlopes-1]; math.Abs(got-600) > 1e-9 {
		t.Errorf("top: %g mm² level, want 600", got)
	}
}

// TestThinWalls: the sides of an upright plate of 2 mm face each other all
// along, whichever way it runs. Lines a millimetre apart tell the 80 mm to 5.
func TestThinWalls(t *testing.T) {
	for _, turn := range []float64{0, 0.3, math.Pi / 4, 1.2, 2.5} {
		sin, cos := math.Sincos(turn)
		m := solid.Box(40, 2.01, 5).Moved(mesh.Pose{Frame: mesh.Frame{X: r3.Vec{X: cos, Y: sin}, Y: r3.Vec{X: -sin, Y: cos}, Z: r3.Vec{Z: 1}}})
		l := Defaults().Work(NewBody(m, nil), 0.5)[10]
		if got := l.Thin[20]; math.Abs(got-80) > 5 || math.Abs(sumOf(l.Thin[:])-got) > 1e-9 {
			t.Errorf("turned by %.1f: %g mm are 1.00 to 1.05 mm thick by half, %g anything, want 80", turn, got, sumOf(l.Thin[:]))
		}
	}
}

// TestStraightenedCircle: chords that stray from a circle by no more than the
// tolerance span 2·acos(1 − tolerance/r), so many at least are needed.
func TestStraightenedCircle(t *testing.T) {
	for _, r := range []float64{0.5, 2, 10, 50} {
		ring := make([]r2.Vec, 2000)
		for i := range ring {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(ring)))
			ring[i] = r2.Vec{X: r * cos, Y: r * sin}
		}
		kept := straightened(nil, ring)
		// The cone lets a chord pass a tolerance outside the circle's points
		// as well as inside, so a chord may span more than one that touches.
		most := 2 * math.Acos(1-OutlineTolerance/r)
		least := 2 * math.Pi / most
		if n := float64(len(kept)); n < least-1 || n > 2*least+1 {
			t.Errorf("radius %g: %g corners, want %.1f or some more", r, n, least)
		}
		for i, p := range kept {
			q := kept[(i+1)%len(kept)]
			if sag := r - r2.Norm(r2.Scale(0.5, r2.Add(p, q))); sag > 1.01*OutlineTolerance {
				t.Errorf("radius %g: a chord strays by %g", r, sag)
			}
		}
	}
}

func TestClassesHoldWhatStandsForThem(t *testing.T) {
	for i := range NumCorners {
		if got := cornerClass(CornerTurn(i)); got != i {
			t.Errorf("the turn of class %d is in class %d", i, got)
		}
	}
	for i := range NumSlopes {
		if got := slopeClass(SlopeRun(i)); got != i {
			t.Errorf("the run of class %d is in class %d", i, got)
		}
	}
	if CornerTurn(NumCorners-1) < 150*math.Pi/180 || CornerTurn(NumCorners-1) > math.Pi {
		t.Errorf("the sharpest class turns by %g", CornerTurn(NumCorners-1))
	}
}

// TestSupportOfATable: the top of 40 × 20 between the posts, held from plate to
// top all along.
func TestSupportOfATable(t *testing.T) {
	work := Defaults().Work(standingOn(t, solid.Table(40, 20, 30, 5), r3.Vec{Z: 1}), 0.25)
	for _, k := range []int{0, 70, 149} {
		l := work[k]
		want := 60 / math.Sqrt2
		if math.Abs(l.Support-800) > 30 || math.Abs(l.SupportAcross[0]-want) > 1 || math.Abs(l.SupportAcross[1]-want) > 1 {
			t.Errorf("layer %d: support %g mm², want 800; across %v, want %g", k, l.Support, l.SupportAcross, want)
		}
	}
	if work[151].Support != 0 {
		t.Errorf("support %g mm² inside the top", work[151].Support)
	}
}

// TestGapsInSupport: where two tables stand so close that their supports are a
// millimetre apart, lines run through the gap.
func TestGapsInSupport(t *testing.T) {
	comb := func(gap float64) LayerWork {
		roof := solid.At(solid.Box(10, 20, 2), 0, 0, 10)
		other := solid.At(roof, 10+gap, 0, 0)
		post := solid.At(solid.Box(1, 1, 12), 0, 30, 0)
		b := NewBody(solid.Together(roof, other, post), nil)
		return Defaults().Work(b, 0.1)[20]
	}
	near, far := comb(1), comb(5)
	// Across two oblongs of 10 × 20 at 45°, and across one of 21 × 20.
	if want := 2 * 30 / math.Sqrt2; math.Abs(far.SupportAcross[0]-want) > 1 || far.SupportGaps[0] > 1 {
		t.Errorf("5 mm apart: across %v, want %g; gaps %v", far.SupportAcross, want, far.SupportGaps)
	}
	if want := 41 / math.Sqrt2; math.Abs(near.SupportAcross[0]-want) > 1.5 || math.Abs(near.SupportGaps[0]-20) > 2 {
		t.Errorf("1 mm apart: across %v, want %g; gaps %v, want 20", near.SupportAcross, want, near.SupportGaps)
	}
}

func TestHoldTo(t *testing.T) {
	work := Defaults().Work(standingOn(t, solid.Table(40, 20, 30, 5), r3.Vec{Z: 1}), 0.5)
	across := work[50].SupportAcross[0] / work[50].Support
	HoldTo(work, 1000)
	volume := 0.0
	for _, l := range work {
		volume += l.Support * l.Thickness
	}
	if math.Abs(volume-1000) > 1e-9 || math.Abs(work[50].SupportAcross[0]/work[50].Support-across) > 1e-12 {
		t.Errorf("%g mm³ of support, want 1000", volume)
	}
	bare := Defaults().Work(standingOn(t, solid.Box(5, 5, 5), r3.Vec{Z: 1}), 0.5)
	HoldTo(bare, 1000)
	if bare[3].Support != 0 {
		t.Errorf("support %g mm² where there was none", bare[3].Support)
	}
}

// TestWorkOfOverlappingShells: two boxes that share half of each have the
// outlines of their union, which scan lines tell to about a line's width.
func TestWorkOfOverlappingShells(t *testing.T) {
	b := NewBody(solid.Together(solid.Box(20, 20, 10), solid.At(solid.Box(20, 20, 10), 10, 0, 0)), nil)
	l := Defaults().Work(b, 0.5)[20]
	if want := 50 / math.Sqrt2; math.Abs(l.Across[0]-want) > 0.05*want || l.Rings != 1 {
		t.Errorf("across %v, want %g; %d rings, want 1", l.Across, want, l.Rings)
	}
}

// TestWedge: at a distance s from its tip, a wedge of 20° is s·tan 10° thick by
// half, measured at right angles to its side.
func TestWedge(t *testing.T) {
	half, side := 10*math.Pi/180, 60.0
	tip, up := r2.Vec{}, r2.Vec{X: side * math.Cos(half), Y: side * math.Sin(half)}
	down := r2.Vec{X: up.X, Y: -up.Y}
	var l LayerWork
	l.trace(new(tracer), []chord{{tip, down}, {down, up}, {up, tip}})
	for _, classes := range []int{20, 60} {
		thick := float64(classes) * ThinStep
		want := 2 * thick / math.Tan(half)
		if got := sumOf(l.Thin[:classes]); math.Abs(got-want) > 2.5 {
			t.Errorf("%g mm of sides are thinner than %g by half, want %g", got, thick, want)
		}
	}
}
