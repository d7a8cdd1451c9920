package lantern

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// bare is a recipe without a fish: its skin is far away.
func bare(window r3.Box) *recipe {
	r := newRecipe("bare", window, 1, 100)
	r.surfaces[r.skin] = surface{at: func(p r3.Vec) float64 { return p.X + 1e4 }, flat: true}
	return r
}

func ball(middle r3.Vec, radius float64) field {
	return func(p r3.Vec) float64 { return r3.Norm(r3.Sub(p, middle)) - radius }
}

func skinOf(t *testing.T, r *recipe, spacing float64) (*mesh.Mesh, []uint16) {
	t.Helper()
	m, groups, err := cut(r, spacing).skin()
	if err != nil {
		t.Fatal(err)
	}
	if brokenEdges(m) != 0 || pinched(m) != 0 {
		t.Errorf("%d edges not shared by two facets, %d pinched corners", brokenEdges(m), pinched(m))
	}
	return m, groups
}

func TestKuhnTetrahedraFillTheCube(t *testing.T) {
	sum := 0.0
	for _, k := range kuhn {
		var p [4]r3.Vec
		for i, c := range k {
			p[i] = r3.Vec{X: float64(c & 1), Y: float64(c >> 1 & 1), Z: float64(c >> 2)}
		}
		six := r3.Dot(r3.Sub(p[1], p[0]), r3.Cross(r3.Sub(p[2], p[0]), r3.Sub(p[3], p[0])))
		if six <= 0 {
			t.Errorf("tetrahedron %v has volume %v/6", k, six)
		}
		sum += six
	}
	if sum != 6 {
		t.Errorf("volumes add up to %v/6, want 1", sum)
	}
}

// Corners are on the ball, so the volume is short, and by a quarter as much
// at half the spacing.
func TestCutBallConverges(t *testing.T) {
	want := 4.0 / 3 * math.Pi * 20 * 20 * 20
	var short []float64
	for _, spacing := range []float64{4, 2} {
		r := bare(boxOf(-20, 20, -20, 20, -20, 20))
		r.add(r.window, r.curved(ball(r3.Vec{}, 20), Show, Show))
		m, _ := skinOf(t, r, spacing)
		for _, p := range m.Vertices() {
			if off := math.Abs(r3.Norm(p) - 20); off > 2*onCrease {
				t.Fatalf("corner %v is %g mm off the ball", p, off)
			}
		}
		short = append(short, want-volumeOf(m))
	}
	if ratio := short[0] / short[1]; ratio < 3 || ratio > 5 {
		t.Errorf("volume short by %v, ratio %v, want about 4", short, ratio)
	}
}

// A block with a six-sided hole is flat all over, so its measures are exact.
func TestCutFlatSolidIsExact(t *testing.T) {
	r := bare(boxOf(-15, 15, -10, 10, -5, 5))
	f := along(r3.Vec{X: 1, Y: 2}, r3.Vec{Z: 1})
	r.add(r.window, together(r.between(f, axisX, -12, 9, Show, Show),
		r.between(f, axisY, -9, 6, Show, Show), r.between(f, axisZ, -4, 4, Hidden, Hidden))...)
	r.take(r.window, r.hexagon(f, 6, Joint)...)
	m, groups := skinOf(t, r, 2.3)

	hexagon := math.Sqrt(3) / 2 * 36
	if v, want := volumeOf(m), (21*15-hexagon)*8; math.Abs(v-want) > 1e-9*want {
		t.Errorf("volume = %v, want %v", v, want)
	}
	var area [3]float64
	for i, a := range m.FaceAreas() {
		area[r.role(groups[i])] += a
	}
	side := 6 / math.Sqrt(3)
	for role, want := range [3]float64{Show: 2 * (21 + 15) * 8, Joint: 6 * side * 8, Hidden: 2 * (21*15 - hexagon)} {
		if math.Abs(area[role]-want) > 1e-9*want {
			t.Errorf("%v area = %v, want %v", Role(role), area[role], want)
		}
	}

	// 8 + 12 corners, one hole: 2·20 − 4 + 4 facets. A corner in the middle of
	// an edge may stay, at two facets, when the hole hides some of its facets
	// from both ends of the edge; whether it does hangs on the last digits.
	thin, _ := m.Decimated(mesh.Decimation{Facets: 1, Groups: groups})
	if n := thin.NumFaces(); n < 40 || n > 44 {
		t.Errorf("thinned to %d facets, want 40, or a few more", n)
	}
	if v, w := volumeOf(thin), volumeOf(m); math.Abs(v-w) > 1e-9*w {
		t.Errorf("volume after thinning = %v, want %v", v, w)
	}
}

// Steinmetz: two crossed tubes of radius r have 16r³/3 in common. Their crease
// is curved, and every corner of it must be on both.
func TestCutCurvedCrease(t *testing.T) {
	r := bare(boxOf(-10, 10, -10, 10, -10, 10))
	a := r.tube(along(r3.Vec{}, axisX), 10, Show, Show)
	b := r.tube(along(r3.Vec{}, axisY), 10, Joint, Joint)
	r.add(r.window, a, b)
	m, groups := skinOf(t, r, 1.5)
	if v, want := volumeOf(m), 16.0/3*1000; v > want || v < 0.99*want {
		t.Errorf("volume = %v, want a little less than %v", v, want)
	}
	on := map[mesh.VertexID]uint8{}
	for i, f := range m.Faces() {
		for _, v := range f {
			on[v] |= 1 << r.role(groups[i])
		}
	}
	creased := 0
	for v, roles := range on {
		p := m.Vertex(v)
		if roles == 1<<Show|1<<Joint {
			creased++
			if d, e := math.Hypot(p.Y, p.Z)-10, math.Hypot(p.X, p.Z)-10; math.Abs(d) > 1e-5 || math.Abs(e) > 1e-5 {
				t.Errorf("corner %v is %g and %g mm off the two tubes", p, d, e)
			}
		}
	}
	if creased < 50 {
		t.Errorf("only %d corners on the crease", creased)
	}
}

// A needle thinner than the lattice is lost from some place on unless the
// lattice is refined along it.
func TestGrainKeepsThinFeatures(t *testing.T) {
	needle := func(p r3.Vec) float64 { return tapered(p, r3.Vec{Z: -18}, r3.Vec{X: 3, Z: 18}, 0.8, 0.5) }
	top := func(grain float64) float64 {
		r := bare(boxOf(-8, 8, -8, 8, -26, 20))
		r.addFine(grain, r.window, r.curved(needle, Show, Show))
		r.add(r.window, r.curved(ball(r3.Vec{Z: -18}, 7), Show, Show))
		m, _ := skinOf(t, r, 3)
		return m.Bounds().Max.Z
	}
	if z := top(0); z > 10 {
		t.Errorf("top at %v without refining: the test shows nothing", z)
	}
	if z := top(0.6); z < 18 {
		t.Errorf("top at %v, want 18.5", z)
	}
}

func TestCrumbsAreLeftOut(t *testing.T) {
	for radius, want := range map[float64]int{1.2: 1, 8: 2} {
		r := bare(boxOf(-20, 50, -20, 20, -20, 20))
		r.add(r.window, r.curved(ball(r3.Vec{}, 20), Show, Show))
		r.add(r.window, r.curved(ball(r3.Vec{X: 40}, radius), Show, Show))
		m, _ := skinOf(t, r, 2)
		if n := components(m); n != want {
			t.Errorf("beside a ball of radius %v: %d pieces, want %d", radius, n, want)
		}
	}
}

func TestGradientOfAPolynomial(t *testing.T) {
	at := func(p r3.Vec) float64 { return 3*p.X*p.X + p.X*p.Y - 2*p.Z*p.Z*p.Y + p.Z }
	p := r3.Vec{X: 1.3, Y: -0.4, Z: 2.1}
	want := r3.Vec{X: 6*p.X + p.Y, Y: p.X - 2*p.Z*p.Z, Z: -4*p.Z*p.Y + 1}
	mixed := r3.Vec{X: -4 * p.Z, Z: 1} // second derivatives by y, z; x, z; x, y
	if got := gradient(at, p); r3.Norm(r3.Sub(got, r3.Add(want, r3.Scale(1e-4, mixed)))) > 1e-6 {
		t.Errorf("gradient = %v, want %v", got, want)
	}
}

// Walking straight in from the skin by d must change the distance by d.
func TestSkinDistanceIsADistance(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 6))
	const draws = 1000
	squares := 0.0
	for range draws {
		way := r3.Unit(r3.Vec{X: random.NormFloat64(), Y: random.NormFloat64(), Z: random.NormFloat64()})
		start := onRay(r3.Vec{X: 120 + 150*random.Float64()}, way, 0)
		n := r3.Unit(gradient(fish, start))
		for _, d := range []float64{-wall, wall} {
			p := r3.Add(start, r3.Scale(d, n))
			off := skinDistance(p) - d
			if math.Abs(off) > 0.05 {
				t.Errorf("distance at %v is off by %.3f", p, off)
			}
			squares += off * off
		}
	}
	// With the slope taken at the place itself it is 0.008.
	if rms := math.Sqrt(squares / (2 * draws)); rms > 0.003 {
		t.Errorf("distances are off by %.4f mm in the root mean square", rms)
	}
}

func TestArcThrough(t *testing.T) {
	a, b := point2{1, 2}, point2{5, 5}
	c := arcThrough(a, b, 0.2)
	for _, p := range []point2{a, b, {3 - 0.6, 3.5 + 0.8}} { // 0.2 of 5 to the left of the middle
		if d := math.Hypot(p.u-c.middle.u, p.v-c.middle.v); math.Abs(d-c.radius) > 1e-12 {
			t.Errorf("%v is %v from the middle, want %v", p, d, c.radius)
		}
	}
	if u, v := c.point(0.5); math.Hypot(u-2.4, v-4.3) > 1e-12 {
		t.Errorf("half way is %v, %v, want 2.4, 4.3", u, v)
	}
}

func TestMakeGivesTheFacetsAskedFor(t *testing.T) {
	tests := []struct {
		name   string
		mm     float64
		facets int
	}{
		{"joining-pin_x4", 6, 500},
		{"joining-pin_x4", 6, 30000},
		{"tail-fin", 2.5, 100000},
	}
	for _, tt := range tests {
		p, err := Make(tt.name, tt.mm, tt.facets)
		if err != nil {
			t.Fatal(err)
		}
		if n := p.Mesh.NumFaces(); n > tt.facets || n < tt.facets-1 {
			t.Errorf("%s: facets = %d, want %d", tt.name, n, tt.facets)
		}
		if brokenEdges(p.Mesh) != 0 || components(p.Mesh) != 1 {
			t.Errorf("%s of %d facets: not closed or in pieces", tt.name, tt.facets)
		}
	}
}

func TestMakeIsRepeatable(t *testing.T) {
	a, err := Make("lure-bulb", 4, 0)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Make("lure-bulb", 4, 0)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(a.Mesh.Vertices(), b.Mesh.Vertices()) || !slices.Equal(a.Mesh.Faces(), b.Mesh.Faces()) || !slices.Equal(a.Roles, b.Roles) {
		t.Error("two runs differ")
	}
}

func TestMakeRefuses(t *testing.T) {
	for name, resolution := range map[string]float64{"no-such-part": 2, "tail-fin": 0, "lure-bulb": math.NaN(), "head-upper": math.Inf(1)} {
		if _, err := Make(name, resolution, 0); err == nil {
			t.Errorf("Make(%q, %v) gave no error", name, resolution)
		}
	}
}

func TestPartsAreAllParts(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: making all parts takes long")
	}
	parts, err := Parts(5, 0)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, p := range parts {
		names = append(names, p.Name)
	}
	if !slices.Equal(names, Names()) {
		t.Errorf("parts = %v, want %v", names, Names())
	}
}
