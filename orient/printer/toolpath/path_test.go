package toolpath

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// facets returns the triangles of a mesh, shifted.
func facets(m *mesh.Mesh, shift r3.Vec) []Triangle {
	var out []Triangle
	for _, t := range m.Triangles() {
		out = append(out, Triangle{r3.Add(t[0], shift), r3.Add(t[1], shift), r3.Add(t[2], shift)})
	}
	return out
}

// plain is a machine that loses nothing in corners, with the bead of bench:
// lines lie 0.4 mm apart.
func plain() Machine {
	const h = 0.2
	return Machine{
		LineWidth: 0.4 + h - math.Pi/4*h, Layer: h, FirstLayer: h, Walls: 2, Skins: 3, Infill: 0.2, SupportDensity: 0.1,
		Speed: [NumKinds]float64{50, 50, 50, 50, 100}, FirstLayerSpeed: 50, FlowLimit: 1000,
		Acceleration: 1e9, TravelAcceleration: 1e9, CornerSpeed: 1e6, Overhang: math.Pi / 4,
	}
}

func TestBead(t *testing.T) {
	// Rows "bead section": (w−h)h + πh²/4.
	for _, c := range []struct{ w, h, want float64 }{
		{0.45, 0.2, 0.081416}, {0.42, 0.2, 0.075416}, {0.6, 0.3, 0.160686}, {0.4, 0.1, 0.037854},
	} {
		if got := (layer{Machine: &Machine{LineWidth: c.w}, height: c.h}).bead(); math.Abs(got-c.want) > sixDecimals {
			t.Errorf("bead of %g by %g: %.7f mm², want %.6f", c.w, c.h, got, c.want)
		}
	}
}

func TestEstimateOfABox(t *testing.T) {
	m := plain()
	got := Estimate(facets(solid.Box(20, 16, 10), r3.Vec{}), m, Options{Cell: 0.1})
	w := m.LineWidth
	walls := 50 * (2*(36-2*w) + 2*(36-2*w-1.6)) * 0.08
	if math.Abs(got.Volume[Wall]-walls) > 0.003*walls {
		t.Errorf("walls %g mm³, want %g", got.Volume[Wall], walls)
	}
	if want := walls / 0.08 / 50; math.Abs(got.Seconds[Wall]-want) > 0.003*want {
		t.Errorf("walls %g s, want %g", got.Seconds[Wall], want)
	}
	// Skin fills the inside in six layers, up to half a line, whichever way the
	// links between its lines are counted.
	inner, outer := (20-w-1.6)*(16-w-1.6), (20-w-0.8)*(16-w-0.8)
	if v := got.Volume[Skin] / 6 / 0.2; v < inner || v > outer {
		t.Errorf("skin %g mm² a layer, want between %g and %g", v, inner, outer)
	}
	if got.Volume[Support] != 0 || got.Layers != 50 {
		t.Errorf("support %g mm³, %g layers", got.Volume[Support], got.Layers)
	}
}

// TestSolidPartIsFilled: at full infill the lines fill the part's volume.
func TestSolidPartIsFilled(t *testing.T) {
	m := plain()
	m.Infill = 1
	for name, c := range map[string]struct {
		m      *mesh.Mesh
		volume float64
	}{
		"box":    {solid.Box(20, 20, 10), 4000},
		"sphere": {solid.Sphere(10, 24), 4.0 / 3 * math.Pi * 1000},
	} {
		got := Estimate(facets(c.m, r3.Vec{}), m, Options{Cell: 0.1})
		filled := got.Volume[Wall] + got.Volume[Skin] + got.Volume[Infill]
		if math.Abs(filled-c.volume) > 0.02*c.volume {
			t.Errorf("%s: %g mm³ filled of %g", name, filled, c.volume)
		}
	}
}

// TestSupportVolume: the lines under a table fill a share of the space below.
func TestSupportVolume(t *testing.T) {
	m := plain()
	got := Estimate(facets(solid.Table(40, 20, 30, 5), r3.Vec{}), m, Options{Cell: 0.2, Every: 10})
	// 24,000 mm³ at a tenth, and the links: at most the border of 40 × 20 a layer.
	least, most := 2400.0, 2400+150*60*0.08
	if v := got.Volume[Support]; v < 0.97*least || v > most {
		t.Errorf("support %g mm³, want between %g and %g", v, least, most)
	}
}

// TestContoursOfACircle: at any distance inside, a circle less that distance.
func TestContoursOfACircle(t *testing.T) {
	disc := facets(solid.Cylinder(10, 1, 256), r3.Vec{X: 0.013, Y: 0.027})
	around, _ := boxOf(disc)
	r := newRaster(around, 0.15, 0.3)
	outline := cut(disc, 0.5)
	in, overlap := r.fill(outline)
	if overlap {
		t.Error("one shell overlaps itself")
	}
	f := r.field(outline, in, 2)
	for _, d := range []float64{0, 0.2, 0.77, 1.5} {
		loops := f.contours(d)
		if len(loops) != 1 {
			t.Fatalf("%d contours %g mm inside", len(loops), d)
		}
		for _, p := range loops[0] {
			if e := math.Abs(r2.Norm(r2.Sub(p, r2.Vec{X: 0.013, Y: 0.027})) - (10 - d)); e > 0.003 {
				t.Fatalf("%g mm inside, a contour is off by %g", d, e)
			}
		}
		if n, kept := len(loops[0]), thinned(loops[0], thinning); len(kept) > n/4 {
			t.Errorf("%d of %d corners are kept", len(kept), n)
		} else {
			for _, p := range loops[0] {
				if e := fromLoop(p, kept); e > thinning+1e-12 {
					t.Fatalf("thinned by %g, more than %g", e, thinning)
				}
			}
		}
		if area := areaOf(loops[0]); area <= 0 {
			t.Errorf("the body lies to the right of a contour, area %g", area)
		}
	}
}

func fromLoop(p r2.Vec, loop []r2.Vec) float64 {
	least := math.Inf(1)
	for i, q := range loop {
		least = min(least, distance(p, q, loop[(i+1)%len(loop)]))
	}
	return least
}

func areaOf(loop []r2.Vec) float64 {
	sum := 0.0
	for i, p := range loop {
		sum += r2.Cross(p, loop[(i+1)%len(loop)]) / 2
	}
	return sum
}

// TestOverlappingShellsAreOneBody: walls run round the union only.
func TestOverlappingShellsAreOneBody(t *testing.T) {
	two := append(facets(solid.Box(20, 20, 2), r3.Vec{}), facets(solid.Box(20, 20, 2), r3.Vec{X: 10, Y: 0.3})...)
	one := facets(solid.Box(30, 20.3, 2), r3.Vec{X: 5, Y: 0.15})
	a := Estimate(two, plain(), Options{Cell: 0.1})
	b := Estimate(one, plain(), Options{Cell: 0.1})
	if math.Abs(a.Volume[Wall]-b.Volume[Wall]) > 0.03*b.Volume[Wall] {
		t.Errorf("walls of the union %g mm³, of its hull nearly the same, %g", a.Volume[Wall], b.Volume[Wall])
	}
}

// TestItIsAsSureAsItClaims moves parts about on the grid, refines the grid and
// draws every layer: package printer's tests take times that are 1 % apart for
// equal.
func TestItIsAsSureAsItClaims(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped under -short")
	}
	m := Machine{
		LineWidth: 0.4, Layer: 0.2, FirstLayer: 0.2, Walls: 3, Skins: 4, Infill: 0.15, SupportDensity: 0.15,
		Speed: [NumKinds]float64{50, 50, 60, 50, 150}, FirstLayerSpeed: 20, FlowLimit: 11,
		Acceleration: 1000, TravelAcceleration: 3000, CornerSpeed: 5, LayerChange: 1, LeastLayerTime: 8, Overhang: math.Pi / 4,
	}
	for name, part := range map[string]*mesh.Mesh{"table": solid.Table(40, 20, 25, 5), "torus": solid.Torus(18, 6, 64, 32)} {
		base := Estimate(facets(part, r3.Vec{}), m, Options{Cell: 0.15, Every: 5}).Total()
		for what, other := range map[string]float64{
			"moved":       Estimate(facets(part, r3.Vec{X: 0.71, Y: 1.37}), m, Options{Cell: 0.15, Every: 5}).Total(),
			"finer":       Estimate(facets(part, r3.Vec{}), m, Options{Cell: 0.08, Every: 5}).Total(),
			"every layer": Estimate(facets(part, r3.Vec{}), m, Options{Cell: 0.15}).Total(),
		} {
			if math.Abs(other/base-1) > 0.01 {
				t.Errorf("%s: %s %.0f s, else %.0f", name, what, other, base)
			}
		}
	}
}

// One layer of a plate of 10 mm, one wall: its centre runs 4·(10 − 0.4) = 38.4
// mm, of which the grid cuts a little off at the corners. Of bead there are
// 0.2·0.2 + π·0.2²/4 = 0.0714 mm².
func ExampleEstimate() {
	m := Machine{
		LineWidth: 0.4, Layer: 0.2, FirstLayer: 0.2, Walls: 1,
		Speed: [NumKinds]float64{50, 50, 50, 50, 50}, FirstLayerSpeed: 50, FlowLimit: 11,
		Acceleration: 1000, TravelAcceleration: 1000, CornerSpeed: 5,
	}
	tally := Estimate(facets(solid.Box(10, 10, 0.2), r3.Vec{}), m, Options{Cell: 0.05})
	fmt.Printf("%.1f mm of wall\n", tally.Volume[Wall]/0.0714159)
	// Output: 38.3 mm of wall
}

// TestNoSupportInsideTheBody: a block that hangs within another needs none.
func TestNoSupportInsideTheBody(t *testing.T) {
	m := plain()
	both := append(facets(solid.Box(10, 10, 10), r3.Vec{Z: 5}), facets(solid.Box(20, 20, 30), r3.Vec{})...)
	if got := Estimate(both, m, Options{Cell: 0.2, Every: 10}); got.Volume[Support] != 0 {
		t.Errorf("%g mm³ of support inside the body", got.Volume[Support])
	}
	if got := Estimate(facets(solid.Box(10, 10, 10), r3.Vec{Z: 5}), m, Options{Cell: 0.2, Every: 10}); got.Volume[Support] < 40 {
		t.Errorf("%g mm³ of support under a block 5 mm up, want a tenth of 500", got.Volume[Support])
	}
}
