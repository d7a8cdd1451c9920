package support_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

// A slab of 40 × 20 × 5 whose underside is 30 up, over other bodies. What
// stands below takes its own height off the columns above it.
func TestSupportStandsOnThePartBelow(t *testing.T) {
	table := solid.Table(40, 20, 30, 5)
	tests := []struct {
		name       string
		below      []*mesh.Mesh
		want, scar float64
	}{
		{"nothing below", nil, 40 * 20 * 30, 800},
		{"block of 10 × 10 × 12", []*mesh.Mesh{solid.Box(10, 10, 12)}, 24000 - 100*12, 800 + 100},
		{"block on a block", []*mesh.Mesh{solid.Box(10, 10, 12), solid.At(solid.Box(4, 4, 3), 0, 0, 12)}, 24000 - 1200 - 48, 900},
		// The upper block floats: support under it, on the lower one, too.
		{"block above a block", []*mesh.Mesh{solid.Box(10, 10, 12), solid.At(solid.Box(4, 4, 3), 0, 0, 20)}, 24000 - 1200 - 48, 900 + 16 + 16},
		{"block that reaches into the slab", []*mesh.Mesh{solid.Box(10, 10, 33)}, 24000 - 100*30, 700},
		{"block that touches the slab", []*mesh.Mesh{solid.Box(10, 10, 30)}, 24000 - 100*30, 700},
		// Pyramid of side 12 and height 9: its slopes take a third of the prism.
		{"pyramid", []*mesh.Mesh{solid.Pyramid(12, 9)}, 24000 - 144*9/3, 800 + 144*math.Sqrt(1+4*81.0/144)},
		{"two blocks through each other", []*mesh.Mesh{solid.Box(10, 10, 12), solid.At(solid.Box(6, 14, 8), 2, 1, 0)}, 24000 - 1200 - 6*14*8 + 6*10*8, 800 + 100 + 6*4},
		{"the same block twice", []*mesh.Mesh{solid.Box(10, 10, 12), solid.Box(10, 10, 12)}, 24000 - 1200, 900},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			m := solid.Together(append([]*mesh.Mesh{table}, c.below...)...)
			got := support.Measure(support.NewBody(m, nil), raw(45))
			near(t, "support", got.SupportRaw, c.want, 1e-6*c.want)
			near(t, "scar", got.Scar.Sum(), c.scar, 1e-6*c.scar)
			near(t, "footprint", got.Footprint, 50*20, 1e-3)
		})
	}
}

func TestHollowIsSupportedInside(t *testing.T) {
	// Cavity of 16 × 16 × 16: its ceiling hangs 16 above its floor.
	got := support.Measure(support.NewBody(solid.HollowBox(20, 20, 20, 2), nil), raw(45))
	near(t, "support", got.SupportRaw, 16*16*16, 1e-2)
	near(t, "scar", got.Scar.Sum(), 2*16*16, 1e-3)
	near(t, "footprint", got.Footprint, 400, 1e-3)
}

func TestScarByRole(t *testing.T) {
	m := solid.Together(solid.Table(40, 20, 30, 5), solid.Box(10, 10, 12))
	roles := make([]support.Role, m.NumFaces())
	for i := range roles {
		a, b, c := m.Corners(mesh.FaceID(i))
		if max(a.Z, b.Z, c.Z) < 13 {
			roles[i] = support.Joint
		} else if min(a.Z, b.Z, c.Z) > 29 {
			roles[i] = support.Hidden
		}
	}
	got := support.Measure(support.NewBody(m, roles), raw(45)).Scar
	near(t, "hidden scar", got[support.Hidden], 800, 1e-6)
	near(t, "joint scar", got[support.Joint], 100, 1e-6)
	near(t, "show scar", got[support.Show], 0, 1e-6)
}

// Ledges and bridges, with the default limits of 1 and 20 mm. Sources for the
// limits: common practice, no source. Columns 0.25 mm apart measure a span to
// one of them: nearer to the limit than half a millimetre the answer depends on
// how the part lies, and the test keeps off it.
func TestSparing(t *testing.T) {
	s := support.Defaults()
	// Where a wide ledge ends, a way across its corner is shorter than the
	// ledge is wide: at either end a triangle of at most ledge² is spared. A
	// free border is seen to a column.
	const corners, column = 2.0, 0.25
	tests := []struct {
		name string
		mesh *mesh.Mesh
		want float64 // supported overhang, mm²
		free float64 // length of the hanging surface's free borders, mm
	}{
		{"span of 19.4 is a bridge", solid.Table(19.4, 20, 30, 5), 0, 39},
		{"span of 20.5 is not", solid.Table(20.5, 20, 30, 5), 410, 41},
		// 60 wide the bridge is still 15 long: the shorter way counts.
		{"wide bridge", solid.Table(15, 60, 30, 5), 0, 30},
		{"bracket's arm is held at one end", solid.LBracket(15, 40, 5, 20), 200, 40},
		{"ledge of 0.9", solid.LBracket(5.9, 40, 5, 20), 0, 22},
		{"ledge of 2", solid.LBracket(7, 40, 5, 20), 40, 24},
		// Less the cap of height t that lies in the first layer: 2πRt.
		{"ball", solid.Sphere(10, 60), 2*math.Pi*100*(1-math.Sqrt2/2) - 2*math.Pi*10*0.2, 44},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			for _, spin := range []float64{0, 17, 45, 80} {
				m := c.mesh.Moved(mesh.Pose{Frame: mesh.Identity().Spun(plane.Angle(spin) * plane.Degree)})
				got := support.Measure(support.NewBody(m, nil), s)
				near(t, "overhang", got.Overhang, c.want, corners+column*c.free)
			}
		})
	}
}

func TestCusp(t *testing.T) {
	s := support.Settings{Limit: 90 * plane.Degree, Layer: 0.2, FirstLayer: 0.2}
	// Mean over a ball: t·∫|cos θ| = t/2. Over a lying cylinder's side: 2t/π.
	ball := solid.Sphere(10, 100)
	got := support.Measure(support.NewBody(ball, nil), s).Cusp.Sum()
	near(t, "mean cusp of a ball", got/ball.Area(), 0.1, 1e-4)
	cylinder := standing(t, solid.Cylinder(10, 50, 720), lyingUp)
	got = support.Measure(support.NewBody(cylinder, nil), s).Cusp.Sum()
	near(t, "mean cusp of a lying cylinder", got/(2*math.Pi*10*50), 2*0.2/math.Pi, 1e-5)
	// A facet leaning θ from the plate's normal: t·|cos θ|; level ones show none.
	// The cube leaned by θ has two faces at θ and two at 90° − θ.
	for _, deg := range []float64{75, 60, 45, 30, 15} {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		leaned := standing(t, solid.Box(20, 20, 20), tilted(deg))
		near(t, "cusp of a turned cube", support.Measure(support.NewBody(leaned, nil), s).Cusp.Sum(), 0.2*2*400*(cos+sin), 1e-9)
	}
	box := standing(t, solid.Box(20, 20, 20), tilted(15))
	want := 0.2 * 2 * 400 * (math.Cos(15*math.Pi/180) + math.Sin(15*math.Pi/180))
	near(t, "cusp of a cube", support.Measure(support.NewBody(solid.Box(20, 20, 20), nil), s).Cusp.Sum(), 0, 1e-12)
	// What stands on support shows no steps of its own.
	s.Limit = 45 * plane.Degree
	near(t, "cusp of a supported cube", support.Measure(support.NewBody(box, nil), s).Cusp.Sum(), want-0.2*400*math.Cos(15*math.Pi/180), 0.05)
}

func TestTip(t *testing.T) {
	s := raw(45)
	s.FirstLayer = 0.2
	// A block of 10 × 20 × 60: at its full height the mass centre is 30 up and
	// 5 from the edge.
	got := support.Measure(support.NewBody(solid.Box(10, 20, 60), nil), s).Tip
	near(t, "tip of a block", float64(got), math.Atan2(5, 30), 1e-9)
	// The bracket 5 thick, gamma: mass centre outside its foot of 5 × 20 once
	// the arm is on.
	near(t, "tip of a bracket", float64(support.Measure(support.NewBody(solid.LBracket(60, 40, 5, 20), nil), s).Tip), 0, 0)
	// A T-shaped post falls only after its slab is on: the least over the
	// progress counts, not the first or last layer alone.
	ball := support.Measure(support.NewBody(solid.Sphere(10, 60), nil), s).Tip
	if ball > 15*plane.Degree {
		t.Errorf("tip of a ball = %.1f°, want a small angle", ball.Degrees())
	}
}

// Turning about z changes nothing; scaling by k scales each figure by its own
// power of k. 100 draws.
func TestMeasureLaws(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	shape := solid.Together(solid.Table(40, 20, 30, 5), solid.At(solid.Pyramid(12, 9), 3, 2, 0), solid.At(solid.Sphere(4, 3), -9, 1, 6))
	for range 100 {
		up := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		m := standing(t, shape, up)
		s := raw(20 + 50*rng.Float64())
		want := support.Measure(support.NewBody(m, nil), s)
		spun := m.Moved(mesh.Pose{Frame: mesh.Identity().Spun(plane.Angle(6 * rng.Float64())), Shift: r3.Vec{X: 40 * rng.NormFloat64()}})
		alike(t, support.Measure(support.NewBody(spun, nil), s), want, 1)
		k := 0.3 + 3*rng.Float64()
		big := make([]r3.Vec, m.NumVertices())
		for i, v := range m.Vertices() {
			big[i] = r3.Scale(k, v)
		}
		scaled, err := mesh.New(big, m.Faces())
		if err != nil {
			t.Fatal(err)
		}
		s.Layer *= k
		s.FirstLayer *= k
		alike(t, support.Measure(support.NewBody(scaled, nil), s), want, k)
	}
}

func alike(t *testing.T, got, want support.Measures, k float64) {
	t.Helper()
	rel := func(what string, got, want float64) {
		t.Helper()
		near(t, what, got, want, 1e-6*math.Abs(want)+1e-6)
	}
	rel("height", got.Height, k*want.Height)
	rel("overhang", got.OverhangRaw, k*k*want.OverhangRaw)
	rel("support", got.SupportRaw, k*k*k*want.SupportRaw)
	rel("scar", got.Scar.Sum(), k*k*want.Scar.Sum())
	rel("footprint", got.Footprint, k*k*want.Footprint)
	rel("cusp", got.Cusp.Sum(), k*k*k*want.Cusp.Sum())
	rel("tip", float64(got.Tip), float64(want.Tip))
}
