package support_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func TestShadowOfKnownShapes(t *testing.T) {
	tests := []struct {
		name       string
		mesh       *mesh.Mesh
		area, tol  float64
		rings      int
		hullCorner int
	}{
		{"block", solid.Box(20, 30, 5), 600, 1e-9, 1, 4},
		{"two blocks", solid.Together(solid.Box(20, 30, 5), solid.At(solid.Box(3, 3, 3), 40, 0, 0)), 609, 9, 2, 6},
		// A ring of radii 9 and 15 as a polygon of 40: its hole is kept. Each
		// border rounds outward by at most a cell's diagonal.
		{"ring", solid.Torus(12, 3, 40, 12), 20 * math.Sin(math.Pi/20) * (225 - 81), 2 * math.Pi * 24 * 0.2 * math.Sqrt2, 2, 40},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			got := support.ShadowOf(c.mesh, 0.2)
			near(t, "area", got.Outline.Area(), c.area, c.tol)
			if len(got.Outline) != c.rings {
				t.Errorf("rings = %d, want %d", len(got.Outline), c.rings)
			}
			if len(got.Hull) != c.hullCorner {
				t.Errorf("hull corners = %d, want %d", len(got.Hull), c.hullCorner)
			}
		})
	}
}

// Every point of every facet lies in the outline, and the outline is nowhere
// much wider than the shadow: its area exceeds the exact one by less than a
// cell along its border. 100 draws.
func TestShadowHoldsThePart(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 100 {
		m := standing(t, lumpy(), r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		const step = 0.3
		got := support.ShadowOf(m, step)
		border := 0.0
		for _, r := range got.Outline {
			border += r.Perimeter()
		}
		for i := range m.NumFaces() {
			a, b, c := m.Corners(mesh.FaceID(i))
			u, v := rng.Float64(), rng.Float64()
			if u+v > 1 {
				u, v = 1-u, 1-v
			}
			p := r3.Add(r3.Scale(1-u-v, a), r3.Add(r3.Scale(u, b), r3.Scale(v, c)))
			// A hair's width inside: points on a ring may be told either way.
			mid := r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))
			p = r3.Add(r3.Scale(1-1e-6, p), r3.Scale(1e-6, mid))
			if !got.Outline.Contains(r2.Vec{X: p.X, Y: p.Y}) {
				t.Fatalf("facet %d at %v lies outside its own shadow", i, p)
			}
		}
		exact := support.Measure(support.NewBody(m, nil), raw(45)).Footprint
		if over := got.Outline.Area() - exact; over < -1e-6 || over > border*step {
			t.Errorf("outline %v, exact %v, border %v", got.Outline.Area(), exact, border)
		}
	}
}
