package role

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// lightOn returns the openness of the facets of one mesh alone.
func lightOn(m *mesh.Mesh) []float32 {
	meshes := []*mesh.Mesh{m}
	return openness(meshes, []*samples{sampled(m, areaPerSample(meshes))})[0]
}

// meanLight returns the mean openness, by area, of the facets wanted.
func meanLight(m *mesh.Mesh, open []float32, wanted func(n, middle r3.Vec) bool) float64 {
	sum, area := 0.0, 0.0
	for f, o := range open {
		if id := mesh.FaceID(f); wanted(m.Normal(id), middle(m, id)) {
			sum += float64(o) * m.FaceArea(id)
			area += m.FaceArea(id)
		}
	}
	return sum / area
}

func TestConvexSolidsAreOpen(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"box":         solid.Box(40, 30, 20),
		"sphere":      solid.Sphere(50, 24),
		"fine sphere": solid.Sphere(50, 96),
		"small ball":  solid.Sphere(0.5, 12),
		"cone":        solid.Cone(20, 60, 48),
		"needle":      solid.Cylinder(1, 200, 24),
	} {
		for f, o := range lightOn(m) {
			if o < 0.98 {
				t.Errorf("%s: openness of facet %d = %v, want 1", name, f, o)
				break
			}
		}
	}
}

func TestClosedHollowsAreDark(t *testing.T) {
	for name, m := range map[string]*mesh.Mesh{
		"crate":       solid.HollowBox(60, 50, 40, 2),
		"thin crate":  solid.HollowBox(200, 200, 200, 1.5),
		"hollow ball": solid.Together(solid.Sphere(50, 24), solid.InsideOut(solid.At(solid.Sphere(46, 24), 0, 0, 4))),
	} {
		hollow := mesh.FaceID(m.NumFaces() / 2)
		for f, o := range lightOn(m) {
			inside := mesh.FaceID(f) >= hollow
			if inside && o > 0.01 || !inside && o < 0.98 {
				t.Errorf("%s: openness of facet %d = %v, inside %v", name, f, o, inside)
				break
			}
		}
	}
}

// Inside a sphere a facet sees equal areas equally well, so within half a
// sphere the half that is gone is all the light: 1/2, wherever on it.
//
// Source: the form factor between two places of a sphere does not depend on
// where they are, dA/(4πr²); J. R. Howell, "A catalog of radiation heat transfer
// configuration factors", C-139 (number from memory).
func TestHalfASphereIsHalfOpenInside(t *testing.T) {
	const ro, ri = 100, 97
	m := solid.HemisphericalShell(ro, ri, 24)
	open := lightOn(m)
	inside := func(n, p r3.Vec) bool { return r3.Dot(n, p) < -ri/2 }
	outside := func(n, p r3.Vec) bool { return r3.Dot(n, p) > ro/2 }
	if got := meanLight(m, open, inside); math.Abs(got-0.5) > 0.01 {
		t.Errorf("mean openness inside = %.3f, want 0.500", got)
	}
	if got := meanLight(m, open, outside); got < 0.995 {
		t.Errorf("mean openness outside = %.3f, want 1", got)
	}
	for f, o := range open { // 96 directions are no better for one facet
		id := mesh.FaceID(f)
		if inside(m.Normal(id), middle(m, id)) && math.Abs(float64(o)-0.5) > 0.08 {
			t.Errorf("openness at %.0f = %.3f, want 0.5", middle(m, id), o)
		}
	}
}

// The middle of the floor of a square well sees the sky through its mouth.
//
// Source: view factor from a small element to a parallel rectangle a by b at
// distance c with one corner over the element,
// 1/2π·(A/√(1+A²)·atan(B/√(1+A²)) + B/√(1+B²)·atan(A/√(1+B²))), A = a/c, B = b/c;
// R. Siegel & J. R. Howell, "Thermal radiation heat transfer", appendix
// (formula from memory; as A = B → ∞ it is 1/4, a quarter of the sky).
func TestWellIsAsOpenAsItsMouth(t *testing.T) {
	for _, deep := range []float64{10, 20, 40} {
		const wide = 40.0
		m := carved(t, []block{at(-25, -25, -5, 50, 50, 5+deep)}, []block{
			at(-wide/2, -wide/2, 0, wide, wide, deep), at(-1, -1, 0, 2, 2, deep), // and a small facet in the middle
		})
		got := meanLight(m, lightOn(m), func(n, p r3.Vec) bool { return n.Z > 0.5 && math.Hypot(p.X, p.Y) < 1 && p.Z < 1 })
		a := wide / 2 / deep
		s := math.Sqrt(1 + a*a)
		want := 4 / (2 * math.Pi) * 2 * a / s * math.Atan(a/s)
		if math.Abs(got-want) > 0.04 {
			t.Errorf("%v mm deep: openness = %.3f, want %.3f", deep, got, want)
		}
	}
}

// What is in the way may be another part, seen through no gap.
func TestOtherPartsCastShadows(t *testing.T) {
	plate := solid.Box(20, 20, 2)
	lid := solid.At(solid.Box(400, 400, 2), 0, 0, 12)
	all := []*samples{sampled(plate, sampleArea), sampled(lid, sampleArea)}
	open := openness([]*mesh.Mesh{plate, lid}, all)
	up := func(n, _ r3.Vec) bool { return n.Z > 0.5 }
	if got := meanLight(plate, open[0], up); got > 0.05 {
		t.Errorf("openness below a wide lid = %.3f, want 0.00", got)
	}
	if got := meanLight(lid, open[1], up); got < 0.99 {
		t.Errorf("openness of the lid's top = %.3f, want 1", got)
	}
	if got := meanLight(plate, lightOn(plate), up); got < 0.99 {
		t.Errorf("openness without the lid = %.3f, want 1", got)
	}
}

func TestDirectionsAreSpreadEvenly(t *testing.T) {
	// For an even spread the mean of d·dᵀ is a third of the identity.
	var xx, yy, zz, xy, xz, yz float64
	for _, d := range directions() {
		v := d.Vec()
		xx, yy, zz = xx+v.X*v.X/axes, yy+v.Y*v.Y/axes, zz+v.Z*v.Z/axes
		xy, xz, yz = xy+v.X*v.Y/axes, xz+v.X*v.Z/axes, yz+v.Y*v.Z/axes
	}
	for _, got := range []float64{xx - 1.0/3, yy - 1.0/3, zz - 1.0/3, xy, xz, yz} {
		if math.Abs(got) > 0.01 {
			t.Errorf("moments off by %v", got)
		}
	}
}

func TestPictureSurvivesAnything(t *testing.T) {
	far := 1e200
	for name, m := range map[string]*mesh.Mesh{
		"all in one place": triangleMesh(t, r3.Vec{X: 3}, r3.Vec{X: 3}, r3.Vec{X: 3}),
		"far out":          triangleMesh(t, r3.Vec{X: far}, r3.Vec{Y: far}, r3.Vec{Z: far}),
		"out of bounds":    triangleMesh(t, r3.Vec{X: -math.MaxFloat64}, r3.Vec{X: math.MaxFloat64}, r3.Vec{Y: 1}),
		"a needle":         triangleMesh(t, r3.Vec{}, r3.Vec{X: 1e-9}, r3.Vec{Z: 1e9}),
	} {
		for _, o := range lightOn(m) {
			if !(o >= 0 && o <= 1) {
				t.Errorf("%s: openness = %v", name, o)
			}
		}
	}
}
