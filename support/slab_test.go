package support_test

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

// slabsOf scans a body with v up along columns step mm apart.
func slabsOf(t *testing.T, m *mesh.Mesh, v r3.Vec, s support.Settings, step, thickness float64) ([]support.Slab, support.Measures) {
	t.Helper()
	up, err := mesh.NewDirection(v)
	if err != nil {
		t.Fatal(err)
	}
	scanner := support.NewScanner(support.NewBody(m, nil), s, step)
	scanner.SetSlab(thickness)
	out := scanner.Scan(up)
	return scanner.Slabs(), out
}

// Upright prisms and cones: the outline of each slab is known exactly, and the
// section to what columns 0.1 mm apart tell of its border.
func TestSlabsOfUprightSolids(t *testing.T) {
	const n = 48
	ngon := func(r float64) (area, around float64) {
		return n * r * r * math.Sin(2*math.Pi/n) / 2, 2 * n * r * math.Sin(math.Pi/n)
	}
	area, around := ngon(10)
	tests := []struct {
		name  string
		mesh  *mesh.Mesh
		count int
		last  float64 // thickness of the last slab, mm
		solid func(from, to float64) float64
		wall  func(from, to float64) float64
		skin  [2]float64 // of the first and the last slab
	}{
		{"box", solid.Box(30, 20, 40), 40, 1,
			func(_, _ float64) float64 { return 600 }, func(_, _ float64) float64 { return 100 }, [2]float64{600, 600}},
		{"box of 12.3", solid.Box(30, 20, 12.3), 13, 0.3,
			func(_, _ float64) float64 { return 600 }, func(_, _ float64) float64 { return 100 }, [2]float64{600, 600}},
		{"cylinder", solid.Cylinder(10, 25.5, n), 26, 0.5,
			func(_, _ float64) float64 { return area }, func(_, _ float64) float64 { return around }, [2]float64{area, area}},
		// Radius 10(1 − z/30): the mean of its square and of itself. The cone's
		// facets are tall and pointed.
		{"cone", solid.Cone(10, 30, n), 30, 1,
			func(from, to float64) float64 {
				a, b := 1-from/30, 1-to/30
				return area * (a*a + a*b + b*b) / 3
			},
			func(from, to float64) float64 { return around * (1 - (from+to)/60) }, [2]float64{area, 0}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			slabs, _ := slabsOf(t, tt.mesh, r3.Vec{Z: 1}, support.Defaults(), 0.1, 1)
			if len(slabs) != tt.count {
				t.Fatalf("%d slabs, want %d", len(slabs), tt.count)
			}
			for k, s := range slabs {
				thick, skin := 1.0, 0.0
				if k == tt.count-1 {
					thick, skin = tt.last, tt.skin[1]
				}
				if k == 0 {
					skin = tt.skin[0]
				}
				from, to := float64(k), float64(k)+thick
				what := fmt.Sprintf("%s of slab %d", "%s", k)
				near(t, fmt.Sprintf(what, "thickness"), s.Thickness, thick, 1e-9)
				near(t, fmt.Sprintf(what, "solid"), s.Solid, tt.solid(from, to), 0.002*tt.solid(0, 0)+0.1)
				near(t, fmt.Sprintf(what, "wall"), s.Wall, tt.wall(from, to), 1e-5*tt.wall(0, 0))
				near(t, fmt.Sprintf(what, "skin"), s.Skin, skin, 1e-6)
				near(t, fmt.Sprintf(what, "support"), s.Support, 0, 0)
			}
		})
	}
}

// A ball's zone of height h has the area 2πRh wherever it lies (Archimedes), of
// which the sine to the vertical at height z is the radius there over R; the
// volume is that between two parallel cuts.
func TestSlabsOfABall(t *testing.T) {
	const r = 20.0
	slabs, _ := slabsOf(t, solid.Sphere(r, 90), r3.Vec{X: 0.2, Y: -0.4, Z: 0.7}, support.Defaults(), 0.2, 1)
	// Integrals from the bottom up to z of the section and of the outline.
	section := func(z float64) float64 { return math.Pi * z * z * (r - z/3) }
	outline := func(z float64) float64 {
		x := math.Max(-1, math.Min(1, z/r-1))
		return math.Pi * r * r * (x*math.Sqrt(1-x*x) + math.Asin(x))
	}
	for k, s := range slabs {
		from, to := float64(k), float64(k)+s.Thickness
		near(t, fmt.Sprintf("solid of slab %d", k), s.Solid, (section(to)-section(from))/s.Thickness, 0.003*math.Pi*r*r)
		near(t, fmt.Sprintf("wall of slab %d", k), s.Wall, (outline(to)-outline(from))/s.Thickness, 0.01*2*math.Pi*r)
		// Less than 45° from level: up to z = R(1 − √½) = 5.86 and from R(1 + √½)
		// on. Facets are 0.4 mm tall.
		want := 0.0
		if k < 5 || k > 34 {
			want = section2(r, from, to)
		}
		if k != 5 && k != 6 && k != 33 && k != 34 {
			near(t, fmt.Sprintf("skin of slab %d", k), s.Skin, want, 0.03*want+0.1)
		}
	}
}

// section2 is the difference of a ball's sections at two heights: the shadow of
// the zone between them.
func section2(r, from, to float64) float64 {
	return math.Abs(math.Pi*(to*(2*r-to)) - math.Pi*(from*(2*r-from)))
}

// The laws in the documentation of Slabs, on bodies whose shells keep apart,
// whatever the thickness.
func TestSlabLaws(t *testing.T) {
	bodies := map[string]*mesh.Mesh{
		"table":   solid.Table(40, 20, 30, 5),
		"ball":    solid.Sphere(20, 20),
		"torus":   solid.Torus(18, 6, 64, 32),
		"shell":   solid.HemisphericalShell(40, 37, 30),
		"bracket": solid.LBracket(45, 30, 6, 20),
		"apart":   solid.Together(solid.Box(10, 10, 10), solid.At(solid.Pyramid(12, 30), 30, 0, 0)),
	}
	for name, m := range bodies {
		for _, v := range []r3.Vec{{Z: 1}, {X: 1}, {X: 0.3, Y: -0.5, Z: 0.8}, {X: 0.1, Y: 0.2, Z: -0.9}} {
			for _, thickness := range []float64{0.2, 1, 7.3, 500} {
				slabs, measures := slabsOf(t, m, v, support.Defaults(), 0.5, thickness)
				var volume, wall, skin, support float64
				for _, s := range slabs {
					volume += s.Solid * s.Thickness
					wall += s.Wall * s.Thickness
					skin += s.Skin
					support += s.Support * s.Thickness
				}
				up, _ := mesh.NewDirection(v)
				wantWall, wantSkin := 0.0, 0.0
				for i, n := range m.Normals() {
					nz := math.Abs(r3.Dot(n, up.Vec()))
					wantWall += m.FaceArea(mesh.FaceID(i)) * math.Sqrt(max(0, 1-nz*nz))
					if nz > math.Sqrt2/2 {
						wantSkin += m.FaceArea(mesh.FaceID(i)) * nz
					}
				}
				what := func(x string) string { return fmt.Sprintf("%s, %v up, slabs of %g: %s", name, v, thickness, x) }
				near(t, what("volume"), volume, m.Volume(), 0.02*m.Volume())
				near(t, what("wall"), wall, wantWall, 1e-9*wantWall)
				near(t, what("skin"), skin, wantSkin, 1e-9*wantSkin)
				near(t, what("support"), support, measures.Support, 1e-5*measures.Support)
			}
		}
	}
}

// Slabs of 1 mm against the layers of 0.05 mm in each, cut and measured another
// way.
func TestSlabsAgreeWithLayers(t *testing.T) {
	fine := support.Settings{Limit: 45 * plane.Degree, Layer: 0.05, FirstLayer: 0.05}
	bodies := map[string]*mesh.Mesh{
		"hollow box": solid.HollowBox(40, 30, 25, 2),
		"table":      solid.Table(40, 20, 30, 5),
		"shell":      solid.HemisphericalShell(40, 37, 12),
		"bracket":    solid.LBracket(45, 30, 6, 20),
	}
	for name, m := range bodies {
		for _, v := range []r3.Vec{{Z: 1}, {X: 0.3, Y: -0.5, Z: 0.8}} {
			slabs, _ := slabsOf(t, m, v, fine, 0.25, 1)
			up, _ := mesh.NewDirection(v)
			standing, _ := support.NewBody(m, nil).Stand(up)
			work := fine.Work(standing, 0.25)
			var most support.Slab
			for _, s := range slabs {
				most = support.Slab{Solid: max(most.Solid, s.Solid), Wall: max(most.Wall, s.Wall), Support: max(most.Support, s.Support)}
			}
			for k, s := range slabs {
				var solid, wall, held float64
				first, end := 20*k, min(20*(k+1), len(work))
				if end-first < 20 {
					break // the last slab ends where the part does, the last layer does not
				}
				for _, l := range work[first:end] {
					solid, wall, held = solid+l.Solid/20, wall+l.Wall/20, held+l.Support/20
				}
				what := func(x string) string { return fmt.Sprintf("%s, %v up, slab %d: %s", name, v, k, x) }
				near(t, what("solid"), s.Solid, solid, 0.03*most.Solid)
				// Tall facets are exact; those below four slabs are smeared.
				near(t, what("wall"), s.Wall, wall, 0.05*most.Wall)
				near(t, what("support"), s.Support, held, 0.03*most.Support)
			}
		}
	}
}
