package printer

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// plain is a printer whose numbers are easy to reckon with: lines as wide as
// high, so a bead is a circle of 0.4 mm.
func plain() (Printer, Material) {
	return Printer{
		LineWidth: 0.4, Layer: 0.4, Walls: 2, Infill: 0.25, SupportDensity: 0.1,
		WallSpeed: 10, InfillSpeed: 20, SupportSpeed: 40,
		LayerChange: 2, HeatUp: 3, TimeFactor: 1,
	}, Material{Density: 1.25, FlowLimit: 2}
}

func TestRough(t *testing.T) {
	bead := math.Pi * 0.2 * 0.2 // 0.12566 mm²: flows 1.2566, then 2 by the limit (2.51, 5.03 without)
	tests := []struct {
		name                  string
		change                func(*Printer, *Material)
		volume, area, support float64
		layers                int
		seconds, grams, under float64 // reckoned by hand
	}{
		{
			// Walls 600·2·0.4 = 480; infill (1000−480)/4 = 130; support 50.
			name: "walls, infill and support", volume: 1000, area: 600, support: 500, layers: 25,
			seconds: 480/(10*bead) + 130/2.0 + 50/2.0 + 25*2 + 3*60,
			grams:   0.7625, under: 0.0625, // 610 mm³ and 50 mm³ at 1.25 g/cm³
		},
		{
			// Walls would take 2000·0.8 = 1600 mm³ of a shell of 1000.
			name: "thin shell is all wall", volume: 1000, area: 2000, layers: 10,
			seconds: 1000/(10*bead) + 10*2 + 3*60, grams: 1.25,
		},
		{
			name: "flow limit slows every line", change: func(_ *Printer, m *Material) { m.FlowLimit = 1 },
			volume: 1000, area: 600, support: 500, layers: 25,
			seconds: 480 + 130 + 50 + 50 + 180, grams: 0.7625, under: 0.0625,
		},
		{
			name: "no flow limit reached", change: func(_ *Printer, m *Material) { m.FlowLimit = 100 },
			volume: 1000, area: 600, support: 500, layers: 25,
			seconds: 480/(10*bead) + 130/(20*bead) + 50/(40*bead) + 50 + 180, grams: 0.7625, under: 0.0625,
		},
		{
			name: "time factor takes the heat-up too", change: func(p *Printer, m *Material) { p.TimeFactor, m.FlowLimit = 1.5, 1 },
			volume: 1000, area: 600, support: 500, layers: 25,
			seconds: 1335, grams: 0.7625, under: 0.0625, // 890·1.5
		},
		{name: "nothing to print still heats up", seconds: 180},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			p, m := plain()
			if test.change != nil {
				test.change(&p, &m)
			}
			hours, grams, under := Rough(p, m, test.volume, test.area, test.support, test.layers)
			near(t, "seconds", hours*3600, test.seconds)
			near(t, "grams", grams, test.grams)
			near(t, "support grams", under, test.under)
		})
	}
}

// near allows the rounding of a dozen float64 operations.
func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-12*math.Max(1, math.Abs(want)) {
		t.Errorf("%s = %.15g, want %.15g", what, got, want)
	}
}

func TestRoughLaws(t *testing.T) {
	const seed = 7
	random := rand.New(rand.NewPCG(seed, 0))
	p, m := plain()
	p.HeatUp = 0
	for range 200 {
		v, a, s, n := 1e5*random.Float64(), 1e4*random.Float64(), 1e5*random.Float64(), random.IntN(500)
		hours, grams, under := Rough(p, m, v, a, s, n)
		hours2, grams2, under2 := Rough(p, m, 2*v, 2*a, 2*s, 2*n)
		near(t, "hours of twice as much", hours2, 2*hours)
		near(t, "grams of twice as much", grams2, 2*grams)
		near(t, "support grams of twice as much", under2, 2*under)
		_, more, _ := Rough(p, m, 1.5*v, a, s, n)
		_, wider, _ := Rough(p, m, v, 1.5*a, s, n)
		if more < grams || wider < grams {
			t.Errorf("seed %d: volume %g, area %g: %g g, but %g g with more volume and %g g with more area", seed, v, a, grams, more, wider)
		}
	}
}

// A cube of 20 mm with lines of 0.4 mm at a flow limit of 1 mm³/s: walls take
// 2400·2·0.4 = 1920 mm³, infill a quarter of the other 6080. That is 3440 mm³
// in as many seconds, and 100 s for 50 layer changes, and 180 s of heating up.
func ExampleRough() {
	p := Printer{
		LineWidth: 0.4, Layer: 0.4, Walls: 2, Infill: 0.25, SupportDensity: 0.1,
		WallSpeed: 10, InfillSpeed: 20, SupportSpeed: 40, LayerChange: 2, HeatUp: 3, TimeFactor: 1,
	}
	m := Material{Density: 1.25, FlowLimit: 1}
	hours, grams, _ := Rough(p, m, 8000, 2400, 0, 50)
	fmt.Printf("%.0f s, %.2f g\n", hours*3600, grams)
	// Output: 3720 s, 4.30 g
}
