package printer

import (
	"math"
	"math/rand/v2"
	"testing"

	"platewright/support"
)

// The project's list of closed forms, rows "trapezoid move from rest to rest",
// "junction speed", "bead section", "filament section" and "filament mass per
// metre"; each is recomputed here by the formula named. Its values carry six
// decimals, so half of the last is the tolerance.
const sixDecimals = 0.5e-6

func TestMoveTimeFromRestToRest(t *testing.T) {
	// L/v + v/a if L ≥ v²/a, else 2√(L/a).
	for _, c := range []struct{ length, v, a, want float64 }{
		{100, 60, 1000, 1.726667},
		{1, 60, 1000, 0.063246},
		{5, 100, 3000, 0.083333},
		{50, 150, 5000, 0.363333},
		{0.5, 100, 3000, 0.025820},
	} {
		if got := moveTime(c.length, c.v, c.a, 0); math.Abs(got-c.want) > sixDecimals {
			t.Errorf("moveTime(%g, %g, %g, 0) = %.7f, want %.6f", c.length, c.v, c.a, got, c.want)
		}
	}
}

// TestMoveTimeBySmallSteps runs the head along in steps of a hundred-thousandth
// of the way, speeding up from one end and slowing down to the other.
func TestMoveTimeBySmallSteps(t *testing.T) {
	const seed, steps = 3, 100000
	random := rand.New(rand.NewPCG(seed, 0))
	for range 100 {
		length, a := 0.1+20*random.Float64(), 500+5000*random.Float64()
		v := 10 + 190*random.Float64()
		u := v * random.Float64()
		want, step := 0.0, length/steps
		for i := range steps {
			s := (float64(i) + 0.5) * step
			want += step / math.Min(v, math.Sqrt(u*u+2*a*math.Min(s, length-s)))
		}
		if got := moveTime(length, v, a, u); math.Abs(got-want) > 1e-3*want {
			t.Errorf("seed %d: moveTime(%g, %g, %g, %g) = %g, want %g", seed, length, v, a, u, got, want)
		}
	}
}

func TestCornerSpeed(t *testing.T) {
	// scv·√((√2−1)·sin(θ/2)/(1−sin(θ/2))), θ the interior angle, scv = 5.
	for _, c := range []struct{ interior, want float64 }{
		{60, 3.217971}, {90, 5.000000}, {120, 8.181562}, {135, 11.210865}, {150, 17.133314}, {170, 52.066660},
	} {
		if got := cornerSpeed(5, math.Pi-c.interior*math.Pi/180); math.Abs(got-c.want) > sixDecimals {
			t.Errorf("cornerSpeed of %g° = %.7f, want %.6f", c.interior, got, c.want)
		}
	}
}

func TestBeadArea(t *testing.T) {
	// (w−h)h + πh²/4.
	for _, c := range []struct{ w, h, want float64 }{
		{0.45, 0.2, 0.081416}, {0.42, 0.2, 0.075416}, {0.6, 0.3, 0.160686}, {0.4, 0.1, 0.037854},
	} {
		if got := BeadArea(c.w, c.h); math.Abs(got-c.want) > sixDecimals {
			t.Errorf("BeadArea(%g, %g) = %.7f, want %.6f", c.w, c.h, got, c.want)
		}
	}
}

func TestFilament(t *testing.T) {
	// πd²/4, and ρπd²/4 of PLA at 1.24 g/cm³.
	for _, c := range []struct{ d, section, metre float64 }{
		{1.75, 2.405282, 2.982550}, {2.85, 6.379397, 7.910452},
	} {
		m := Material{Diameter: c.d, Density: 1.24}
		if got := m.Section(); math.Abs(got-c.section) > sixDecimals {
			t.Errorf("section of %g mm = %.7f, want %.6f", c.d, got, c.section)
		}
		if got := m.MetreMass(); math.Abs(got-c.metre) > sixDecimals {
			t.Errorf("a metre of %g mm has %.7f g, want %.6f", c.d, got, c.metre)
		}
	}
}

// square returns the work of an upright prism of side a: layers alike, the
// first and last with level faces.
func square(a, height, layer float64) []support.LayerWork {
	n := int(math.Round(height / layer))
	out := make([]support.LayerWork, n)
	for k := range out {
		l := &out[k]
		l.Layer = support.Layer{Bottom: float64(k) * layer, Thickness: layer, Solid: a * a, Wall: 4 * a, Islands: 1}
		l.Rings, l.Box, l.Shrink = 1, a*a, 8
		l.Across = [2]float64{a * math.Sqrt2, a * math.Sqrt2}
		for class := range support.NumCorners {
			if turn := support.CornerTurn(class); turn < math.Pi/2 && math.Pi/2 < support.CornerTurn(class+1) {
				l.Convex[class] = support.Corners{Count: 4, Length: 4 * a}
			}
		}
	}
	out[0].DownBy[support.NumSlopes-1] = a * a
	out[n-1].UpBy[support.NumSlopes-1] = a * a
	return out
}

// bench is a printer of round numbers with a bead of 0.08 mm² (lines 0.4429 mm
// wide and 0.2 high), so that lines lie 0.4 mm apart.
func bench() (Printer, Material) {
	const h = 0.2
	width := 0.4 + h - math.Pi/4*h
	return Printer{
		LineWidth: width, Layer: h, FirstLayer: h, Walls: 2, Skins: 3, Infill: 0.2, SupportDensity: 0.1,
		WallSpeed: 50, SkinSpeed: 50, InfillSpeed: 50, SupportSpeed: 50, TravelSpeed: 100, FirstLayerSpeed: 50,
		Acceleration: 1e9, TravelAcceleration: 1e9, CornerSpeed: 1e6, TimeFactor: 1,
	}, Material{Density: 1.25, Diameter: 1.75, FlowLimit: 1000}
}

// TestSquareByHand: 50 layers of 20 mm square on a printer that loses nothing
// in corners.
func TestSquareByHand(t *testing.T) {
	p, m := bench()
	c := Time(p, m, square(20, 10, 0.2))
	w := p.LineWidth
	// Two loops, w/2 and w/2 + 0.4 inside.
	walls := 50 * (4*(20-w) + 4*(20-w-0.8))
	near(t, "walls", c.Volumes.Walls, walls*0.08)
	near(t, "wall seconds", c.Parts.Walls, walls/50)
	// Lines fill a square of 20 − w − 1.6 in three layers at the bottom and as
	// many at the top, 0.4 mm apart, and infill 2 mm apart between. Half of the
	// outline links them, but for what is too far apart: the border of a square
	// at 45° gives √2 spacings a line, of which asin(1/3) − (π/2 − √2) are lost.
	side := 20 - w - 1.6
	links := func(spacing float64) float64 {
		lines := side * math.Sqrt2 / spacing
		return (lines - 1) * (math.Pi/2 - math.Asin(1.0/3)) * spacing
	}
	skin := 6 * (side*side/0.4 + links(0.4))
	infill := 44 * (side*side/2 + links(2))
	near(t, "skins", c.Volumes.Skins, skin*0.08)
	near(t, "skin seconds", c.Parts.Skins, skin/50)
	near(t, "infill", c.Volumes.Infill, infill*0.08)
	near(t, "grams", c.Grams, (walls+skin+infill)*0.08*1.25/1000)
	near(t, "metres", c.Metres, (walls+skin+infill)*0.08/(math.Pi/4*1.75*1.75)/1000)
	if c.SupportGrams != 0 || c.Parts.Support != 0 || c.Parts.Waiting != 0 {
		t.Errorf("support %g g, %g s, waiting %g s", c.SupportGrams, c.Parts.Support, c.Parts.Waiting)
	}
}

func TestTimeOfOnePart(t *testing.T) {
	layers := 50.0
	tests := []struct {
		name   string
		change func(*Printer, *Material)
		get    func(Cost) float64
		want   float64
	}{
		{"layer changes", func(p *Printer, _ *Material) { p.LayerChange = 1.5 },
			func(c Cost) float64 { return c.Parts.LayerChange }, 1.5 * layers},
		{"heat-up", func(p *Printer, _ *Material) { p.HeatUp = 4 },
			func(c Cost) float64 { return c.Parts.HeatUp }, 240},
		{"a long least layer time rules all else", func(p *Printer, _ *Material) { p.LeastLayerTime = 100 },
			func(c Cost) float64 { return 3600 * c.Hours }, 100 * layers},
		{"flow limit", func(_ *Printer, m *Material) { m.FlowLimit = 0.8 }, // 10 mm/s at 0.08 mm²
			func(c Cost) float64 { return c.Parts.Walls / c.Volumes.Walls }, 1 / 0.8},
		{"first layer", func(p *Printer, _ *Material) { p.FirstLayerSpeed = 5 }, // ten times as slow
			func(c Cost) float64 { return c.Parts.Walls / c.Volumes.Walls * 0.08 * 50 }, (layers - 1 + 10) / layers},
		{"no infill", func(p *Printer, _ *Material) { p.Infill = 0 },
			func(c Cost) float64 { return c.Parts.Infill + c.Volumes.Infill }, 0},
		{"no skins", func(p *Printer, _ *Material) { p.Skins = 0 },
			func(c Cost) float64 { return c.Parts.Skins + c.Volumes.Skins }, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			p, m := bench()
			test.change(&p, &m)
			near(t, test.name, test.get(Time(p, m, square(20, 10, 0.2))), test.want)
		})
	}
}

// A wall loop of a square from corner to corner: four sides, each from and to
// the speed of a right angle.
func TestCornersSlowWalls(t *testing.T) {
	p, m := bench()
	p.Walls, p.Acceleration, p.CornerSpeed = 1, 1000, 5
	c := Time(p, m, square(20, 10, 0.2))
	want := 50 * 4 * moveTime(20-p.LineWidth, 50, 1000, 5)
	// Corners come in classes: a right angle is taken for one of 81° to 114°,
	// which is worth 2 % of the time of such a loop.
	if got := c.Parts.Walls; math.Abs(got-want) > 0.02*want {
		t.Errorf("walls take %g s, want %g", got, want)
	}
}

// A part cut five times as coarsely costs the same where layers are alike.
func TestCoarseLayersStandForMany(t *testing.T) {
	p, m := bench()
	fine := square(20, 20, 0.2)
	coarse := square(20, 20, 1)
	first := fine[0]
	rest := coarse[0]
	rest.DownBy = [support.NumSlopes]float64{}
	rest.Thickness = 0.8
	coarse = append([]support.LayerWork{first, rest}, coarse[1:]...)
	a, b := Time(p, m, fine), Time(p, m, coarse)
	if math.Abs(a.Hours-b.Hours) > 0.01*a.Hours || math.Abs(a.Grams-b.Grams) > 0.01*a.Grams {
		t.Errorf("%g h, %g g in fine layers; %g h, %g g in coarse ones", a.Hours, a.Grams, b.Hours, b.Grams)
	}
}

func TestTimeLaws(t *testing.T) {
	const seed = 11
	random := rand.New(rand.NewPCG(seed, 0))
	for range 200 {
		p, m := bench()
		p.Acceleration, p.CornerSpeed, p.LeastLayerTime, p.HeatUp = 1000, 5, 8*random.Float64(), random.Float64()
		work := jumble(random)
		c := Time(p, m, work)
		for i, x := range []float64{
			c.Parts.HeatUp, c.Parts.Walls, c.Parts.Skins, c.Parts.Infill, c.Parts.Support, c.Parts.Travel, c.Parts.LayerChange, c.Parts.Waiting,
			c.Volumes.Walls, c.Volumes.Skins, c.Volumes.Infill, c.Volumes.Support, c.Hours, c.Grams, c.SupportGrams, c.Metres,
		} {
			if !(x >= 0) || math.IsInf(x, 1) {
				t.Fatalf("seed %d: figure %d is %g", seed, i, x)
			}
		}
		p.TimeFactor = 1.5
		near(t, "hours at a time factor of 1.5", Time(p, m, work).Hours, 1.5*c.Hours)
		p.TimeFactor = 1
		for k := range work {
			l := &work[k]
			l.Across[0], l.Across[1] = l.Across[1], l.Across[0]
			l.SupportAcross[0], l.SupportAcross[1] = l.SupportAcross[1], l.SupportAcross[0]
			l.SupportGaps[0], l.SupportGaps[1] = l.SupportGaps[1], l.SupportGaps[0]
		}
		near(t, "hours after a quarter turn", Time(p, m, work).Hours, c.Hours)
	}
}

// jumble returns layers of random figures, empty ones among them; they need
// not fit together.
func jumble(random *rand.Rand) []support.LayerWork {
	out := make([]support.LayerWork, 1+random.IntN(20))
	some := func(most float64) float64 { return most * math.Max(0, random.Float64()-0.2) }
	for k := range out {
		l := &out[k]
		l.Thickness = 0.2
		l.Support = some(100)
		l.SupportAcross = [2]float64{some(20), some(20)}
		l.SupportGaps = [2]float64{some(5), some(5)}
		if random.IntN(4) == 0 {
			continue
		}
		l.Solid, l.Wall, l.Islands, l.Rings = some(500), 1+some(200), 1+random.IntN(3), 3+random.IntN(3)
		l.Box, l.Shrink = some(1000), some(20)-5
		l.Across = [2]float64{some(60), some(60)}
		for i := range l.Convex {
			l.Convex[i] = support.Corners{Count: float64(random.IntN(5)), Length: some(20)}
			l.Reflex[i] = support.Corners{Count: float64(random.IntN(5)), Length: some(20)}
		}
		for i := range l.Thin {
			l.Thin[i] = some(3)
		}
		for i := range l.UpBy {
			l.UpBy[i], l.DownBy[i] = some(20), some(20)
		}
	}
	return out
}

// TestMovedIn: an upright plate of 40 × 2 mm moved in by d has 2·(42 − 4d) of
// outline round (40 − 2d)·(2 − 2d), until its sides meet.
func TestMovedIn(t *testing.T) {
	work := support.LayerWork{Layer: support.Layer{Solid: 80, Wall: 84, Thickness: 0.2, Islands: 1}, Shrink: 8}
	work.Thin[20] = 80 // half of the thickness is 1.00 to 1.05 mm, but for the short sides
	p, m := bench()
	l := newLayer(&p, &m, &work, false)
	for _, d := range []float64{0, 0.3, 0.5, 0.99} {
		area, length := l.movedIn(d)
		if want := (40 - 2*d) * (2 - 2*d); math.Abs(area-want) > 1e-9 {
			t.Errorf("moved in by %g: %g mm², want %g", d, area, want)
		}
		if want := 84 - 8*d; math.Abs(length-want) > 1e-9 {
			t.Errorf("moved in by %g: %g mm of outline, want %g", d, length, want)
		}
	}
	// A thick block beside it goes on while the plate is gone.
	work.Solid, work.Wall = 80+400, 84+80
	work.Shrink = 16
	area, length := l.movedIn(2)
	if want := 16.0 * 16; math.Abs(area-want) > 0.05*want {
		t.Errorf("plate and block moved in by 2: %g mm², want %g", area, want)
	}
	if want := 4 * 16.0; math.Abs(length-want) > 0.1*want {
		t.Errorf("plate and block moved in by 2: %g mm of outline, want %g", length, want)
	}
}
