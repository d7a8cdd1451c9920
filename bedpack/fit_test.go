package bedpack

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

func randomHull(rnd *rand.Rand) plane.Ring {
	points := make([]r2.Vec, 3+rnd.IntN(30))
	for i := range points {
		points[i] = r2.Vec{X: 200 * rnd.Float64(), Y: 60 * rnd.Float64() * rnd.Float64()}
	}
	return plane.Hull(points).Placed(plane.Angle(7*rnd.Float64()), r2.Vec{X: 50 * rnd.Float64()})
}

// sampled returns by how much a hull is too large at a spin, worked out anew.
func sampled(hull plane.Ring, spin, width, depth float64) float64 {
	left, right, low, high := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	sin, cos := math.Sincos(spin)
	for _, p := range hull {
		x, y := p.X*cos-p.Y*sin, p.X*sin+p.Y*cos
		left, right, low, high = math.Min(left, x), math.Max(right, x), math.Min(low, y), math.Max(high, y)
	}
	return math.Max(right-left-width, high-low-depth)
}

// No sample of a fine sweep is better than the least that was solved for, and
// the sweep, which is off by at most half a step times the hull's reach, comes
// as near as that.
func TestLeastOverAgainstASweep(t *testing.T) {
	cases(t, 120, func(t *testing.T, rnd *rand.Rand) {
		hull := randomHull(rnd)
		width, depth := 30+150*rnd.Float64(), 30+150*rnd.Float64()
		best := leastOver(snugSpins(hull, width, depth), 0)
		if got := sampled(hull, float64(best.spin), width, depth); math.Abs(got-best.over()) > 1e-9 {
			t.Errorf("at its best spin it is over by %v, not by %v", got, best.over())
		}
		const samples = 6000
		least := math.Inf(1)
		for k := range samples {
			least = min(least, sampled(hull, math.Pi*float64(k)/samples, width, depth))
		}
		if best.over() > least+1e-9 {
			t.Errorf("over by %v, but a sweep finds %v", best.over(), least)
		}
		if reach := 2 * leastDisc(hull).radius; least > best.over()+reach*math.Pi/samples/2 {
			t.Errorf("over by %v, but a sweep finds no less than %v", best.over(), least)
		}
	})
}

// A rod's width and depth are known, and so is where it fits the least badly.
func TestLeastOverOfARod(t *testing.T) {
	// 100·cos θ − 60 = 100·sin θ − 60 at 45°: 100/√2 − 60 = 10.71 mm.
	best := leastOver(snugSpins(plane.Ring{{}, {X: 100}}, 60, 60), 1e-9)
	if math.Abs(best.spin.Degrees()-45) > 1e-9 || math.Abs(best.over()-(100/math.Sqrt2-60)) > 1e-12 {
		t.Errorf("over by %v at %v°, want %v at 45°", best.over(), best.spin.Degrees(), 100/math.Sqrt2-60)
	}
	if point := leastOver(snugSpins(plane.Ring{{X: 3, Y: 4}}, 60, 50), 0); point.over() != -50 || point.axis() != Depth {
		t.Errorf("a point is over by %v in %v, want -50 in depth", point.over(), point.axis())
	}
	if none := leastOver(snugSpins(nil, 1, 1), 0); !math.IsInf(none.over(), -1) {
		t.Errorf("nothing is over by %v", none.over())
	}
}

// The smallest circle through two or three of the points that holds all of
// them is the smallest of all.
func TestLeastDiscAgainstAllTriples(t *testing.T) {
	cases(t, 120, func(t *testing.T, rnd *rand.Rand) {
		points := make([]r2.Vec, 1+rnd.IntN(9))
		for i := range points {
			points[i] = r2.Vec{X: 100 * rnd.Float64(), Y: 100 * rnd.Float64()}
			if rnd.IntN(2) == 0 { // repeated, straight and co-circular points
				points[i] = r2.Vec{X: float64(rnd.IntN(3)), Y: float64(rnd.IntN(3))}
			}
		}
		want := math.Inf(1)
		try := func(c r2.Vec, radius float64) {
			for _, p := range points {
				if math.Hypot(p.X-c.X, p.Y-c.Y) > radius+1e-9 {
					return
				}
			}
			want = min(want, radius)
		}
		for i, p := range points {
			for j, q := range points[:i+1] {
				try(r2.Vec{X: (p.X + q.X) / 2, Y: (p.Y + q.Y) / 2}, math.Hypot(p.X-q.X, p.Y-q.Y)/2)
				for _, r := range points[:j] {
					a, b, c := math.Hypot(p.X-q.X, p.Y-q.Y), math.Hypot(q.X-r.X, q.Y-r.Y), math.Hypot(r.X-p.X, r.Y-p.Y)
					twice := (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X)
					if math.Abs(twice) < 1e-9 {
						continue
					}
					// Barycentric weights of the circumcentre: a²(b²+c²−a²) and so on.
					wp, wq, wr := b*b*(a*a+c*c-b*b), c*c*(a*a+b*b-c*c), a*a*(b*b+c*c-a*a)
					sum := wp + wq + wr
					centre := r2.Vec{X: (wp*p.X + wq*q.X + wr*r.X) / sum, Y: (wp*p.Y + wq*q.Y + wr*r.Y) / sum}
					try(centre, a*b*c/(2*math.Abs(twice)))
				}
			}
		}
		got := leastDisc(points)
		if math.Abs(got.radius-want) > 1e-6 {
			t.Errorf("radius %v, want %v for %v", got.radius, want, points)
		}
		for _, p := range points {
			if math.Hypot(p.X-got.centre.X, p.Y-got.centre.Y) > got.radius+1e-9 {
				t.Errorf("%v lies outside the circle %v", p, got)
			}
		}
	})
	if got := leastDisc(nil); got != (disc{}) {
		t.Errorf("circle around nothing = %v", got)
	}
}

func TestFits(t *testing.T) {
	oblong := printer.Printer{Bed: printer.Bed{Width: 100, Depth: 80}, Height: 50, Margin: 10}
	round := printer.Printer{Bed: printer.Bed{Width: 100, Depth: 100, Diameter: 100}, Height: 50}
	for _, c := range []struct {
		name string
		p    printer.Printer
		o    Option
		want bool
	}{
		{"as large as can be", oblong, block(60, 80, 50), true},
		{"a hair too wide", oblong, block(80.001, 60, 50), false},
		{"a hair too tall", oblong, block(60, 80, 50.001), false},
		{"across a round bed", round, block(60, 80, 10), true},
		{"a hair too large for a round bed", round, block(60, 80.001, 10), false},
		{"no shape", oblong, Option{}, false},
		{"no number", oblong, Option{Hull: plane.Ring{{X: math.NaN()}, {X: 1}, {Y: 1}}}, false},
	} {
		if got := Fits(c.p, c.o); got != c.want {
			t.Errorf("Fits(%s) = %v, want %v", c.name, got, c.want)
		}
	}
}

// The spins that are tried are no farther apart than asked for, where they
// fit, and lay each edge of a simple hull along both axes.
func TestSpinsCoverTheTurn(t *testing.T) {
	b := newBed(0, printer.Printer{Bed: printer.Bed{Width: 900, Depth: 900}}, Settings{})
	cases(t, 40, func(t *testing.T, rnd *rand.Rand) {
		hull := randomHull(rnd)
		spins := b.spins(hull, 5*plane.Degree)
		for i, s := range spins {
			next := 360*plane.Degree + spins[0]
			if i+1 < len(spins) {
				next = spins[i+1]
			}
			if (next - s).Degrees() > 5+1e-9 {
				t.Errorf("from %v° to %v° there is none", s.Degrees(), next.Degrees())
			}
		}
		if len(hull) > mostEdges {
			return
		}
		for i, p := range hull {
			q := hull[(i+1)%len(hull)]
			for quarter := range 4 {
				if !laid(spins, math.Atan2(q.Y-p.Y, q.X-p.X), quarter) {
					t.Errorf("edge %d is never laid along axis %d", i, quarter)
				}
			}
		}
	})
}

// A rod that fits only diagonally has four ranges of spins, one for each way
// of lying across: each must have a spin of its own.
func TestSpinsReachEveryRange(t *testing.T) {
	const length, thick = 305.9, 20
	b := newBed(0, printer.Printer{Bed: printer.Bed{Width: 250, Depth: 210}}, Settings{})
	from, to := windowOf(length, thick, 250, 210)
	if degrees := (to - from) * 180 / math.Pi; degrees < 0.2 || degrees > 1 {
		t.Fatalf("the range is %v° wide: the test is wrong", degrees)
	}
	spins := b.spins(rectangle(0, 0, length, thick), 5*plane.Degree)
	for _, middle := range []float64{(from + to) / 2, math.Pi - (from+to)/2, math.Pi + (from+to)/2, 2*math.Pi - (from+to)/2} {
		found := false
		for _, s := range spins {
			found = found || math.Abs(float64(s)-middle) <= (to-from)/2
		}
		if !found {
			t.Errorf("no spin near %v°: %v", middle*180/math.Pi, spins)
		}
	}
}

func laid(spins []plane.Angle, lean float64, quarter int) bool {
	for _, s := range spins {
		if off := math.Remainder(lean+float64(s)-float64(quarter)*math.Pi/2, 2*math.Pi); math.Abs(off) < 1e-9 {
			return true
		}
	}
	return false
}
