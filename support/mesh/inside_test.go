package mesh_test

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// drawPoint draws a point in the bounding box grown by a tenth.
func drawPoint(t *rapid.T, m *mesh.Mesh) r3.Vec {
	b := m.Bounds()
	in := rapid.Float64Range(-0.1, 1.1)
	return r3.Vec{
		X: b.Min.X + in.Draw(t, "x")*(b.Max.X-b.Min.X),
		Y: b.Min.Y + in.Draw(t, "y")*(b.Max.Y-b.Min.Y),
		Z: b.Min.Z + in.Draw(t, "z")*(b.Max.Z-b.Min.Z),
	}
}

// slowGap2 is the squared distance to the nearest facet, by trying all.
func slowGap2(m *mesh.Mesh, p r3.Vec) float64 {
	best := math.Inf(1)
	for _, s := range m.Triangles() {
		best = min(best, mesh.CornerGap2(p, s))
	}
	return best
}

func TestWindingAgreesWithSolidAngle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawSolid(t)
		if rapid.Bool().Draw(t, "inside out") {
			m = solid.InsideOut(m)
		}
		tree := mesh.NewTree(m)
		p := drawPoint(t, m)
		if slowGap2(m, p) < 1e-18*m.Diagonal()*m.Diagonal() {
			t.Skip("on the surface")
		}
		if got, want := tree.Winding(p), tree.WindingByAngle(p); got != want {
			t.Errorf("Winding(%v) = %d, by solid angle %d", p, got, want)
		}
	})
}

func TestWindingOfKnownPlaces(t *testing.T) {
	box := solid.Box(2, 2, 2)
	twice := solid.Together(box, box)
	tests := []struct {
		name string
		m    *mesh.Mesh
		p    r3.Vec
		want int
	}{
		{"middle", box, r3.Vec{Z: 1}, 1},
		{"outside", box, r3.Vec{Z: 3}, 0},
		{"inside out", solid.InsideOut(box), r3.Vec{Z: 1}, -1},
		{"doubled", twice, r3.Vec{X: 0.5, Z: 1}, 2},
		{"hollow", solid.HollowBox(10, 10, 10, 1), r3.Vec{X: 0.5, Z: 5}, 0},
		{"wall", solid.HollowBox(10, 10, 10, 1), r3.Vec{X: 4.5, Z: 5}, 1},
		{"hole of a ring", solid.Torus(20, 5, 16, 8), r3.Vec{Z: 5}, 0},
		{"tube of a ring", solid.Torus(20, 5, 16, 8), r3.Vec{X: 20, Z: 5}, 1},
	}
	for _, tt := range tests {
		tree := mesh.NewTree(tt.m)
		if got := tree.Winding(tt.p); got != tt.want {
			t.Errorf("%s: Winding = %d, want %d", tt.name, got, tt.want)
		}
		if got := tree.WindingByAngle(tt.p); got != tt.want {
			t.Errorf("%s: WindingByAngle = %d, want %d", tt.name, got, tt.want)
		}
	}
}

func TestRayThroughAnEdgeIsNotTrusted(t *testing.T) {
	tree := mesh.NewTree(solid.Box(2, 2, 2))
	if n, ok := tree.WindingAlong(r3.Vec{Z: 1}, r3.Vec{X: 1, Z: 1}); ok {
		t.Errorf("a ray along a diagonal through an edge gave %d", n)
	}
	if n, ok := tree.WindingAlong(r3.Vec{Z: 1}, r3.Vec{X: 1, Y: 0.1, Z: 0.3}); !ok || n != 1 {
		t.Errorf("a clear ray gave %d, %v", n, ok)
	}
	// Along an axis the ray has infinite slopes.
	if n, ok := tree.WindingAlong(r3.Vec{X: 0.5, Y: 0.1, Z: 1}, r3.Vec{Z: -1}); !ok || n != 1 {
		t.Errorf("a ray straight down gave %d, %v", n, ok)
	}
}

func TestNearAgreesWithTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawSolid(t)
		p := drawPoint(t, m)
		gap := math.Sqrt(slowGap2(m, p))
		tree := mesh.NewTree(m)
		if tree.Near(p, gap*(1-1e-9)-1e-12) || !tree.Near(p, gap*(1+1e-9)+1e-12) {
			t.Errorf("Near disagrees about %v at distance %v", p, gap)
		}
	})
}

func TestInnerPointIsInside(t *testing.T) {
	for name, m := range sampleSolids() {
		if name == "two spheres" || name == "hollow box" {
			continue // not one shell
		}
		for _, m := range []*mesh.Mesh{m, solid.InsideOut(m), m.Moved(tilted(t))} {
			tree := mesh.NewTree(m)
			p, ok := tree.InnerPoint(1e-6 * m.Diagonal())
			if !ok || tree.WindingByAngle(p) == 0 {
				t.Errorf("%s: InnerPoint = %v, %v", name, p, ok)
			}
		}
	}
}

func TestChordOfABox(t *testing.T) {
	tree := mesh.NewTree(solid.Box(2, 4, 6))
	if got, ok := tree.Chord(r3.Vec{X: 0.3, Y: 0.1, Z: 1}, r3.Vec{Z: 1}); !ok || got != 5 {
		t.Errorf("Chord up = %v, %v, want 5", got, ok)
	}
	if got, ok := tree.Chord(r3.Vec{X: 0.3, Y: 0.1, Z: 7}, r3.Vec{Z: 1}); ok {
		t.Errorf("Chord from outside = %v", got)
	}
}

// TestPairsMissNothing compares with trying all pairs of facets.
func TestPairsMissNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawSolid(t), drawSolid(t).Moved(drawPose(t, 10))
		reach := rapid.Float64Range(0, 1).Draw(t, "reach")
		found := map[[2]mesh.FaceID]bool{}
		for _, p := range mesh.NewTree(a).Pairs(mesh.NewTree(b), reach) {
			if found[p] {
				t.Fatalf("pair %v came twice", p)
			}
			found[p] = true
		}
		boxA, boxB := faceBoxes(a), faceBoxes(b)
		for f, p := range boxA {
			for g, q := range boxB {
				if boxesWithin(p, q, reach) != found[[2]mesh.FaceID{mesh.FaceID(f), mesh.FaceID(g)}] {
					t.Fatalf("pair %d, %d: found %v", f, g, !boxesWithin(p, q, reach))
				}
			}
		}
	})
}

func faceBoxes(m *mesh.Mesh) (out []r3.Box) {
	for _, s := range m.Triangles() {
		x := []float64{s[0].X, s[1].X, s[2].X}
		y := []float64{s[0].Y, s[1].Y, s[2].Y}
		z := []float64{s[0].Z, s[1].Z, s[2].Z}
		out = append(out, r3.Box{
			Min: r3.Vec{X: slices.Min(x), Y: slices.Min(y), Z: slices.Min(z)},
			Max: r3.Vec{X: slices.Max(x), Y: slices.Max(y), Z: slices.Max(z)},
		})
	}
	return out
}

func boxesWithin(a, b r3.Box, reach float64) bool {
	gap := func(lo1, hi1, lo2, hi2 float64) bool { return lo1-hi2 <= reach && lo2-hi1 <= reach }
	return gap(a.Min.X, a.Max.X, b.Min.X, b.Max.X) && gap(a.Min.Y, a.Max.Y, b.Min.Y, b.Max.Y) && gap(a.Min.Z, a.Max.Z, b.Min.Z, b.Max.Z)
}

// slowTriangleGap2 searches the triangle on a grid of barycentric coordinates,
// and is never too small.
func slowTriangleGap2(p r3.Vec, s mesh.Triangle, n int) float64 {
	best := math.Inf(1)
	for i := range n + 1 {
		for j := range n + 1 - i {
			u, v := float64(i)/float64(n), float64(j)/float64(n)
			q := r3.Add(r3.Scale(1-u-v, s[0]), r3.Add(r3.Scale(u, s[1]), r3.Scale(v, s[2])))
			best = min(best, r3.Norm2(r3.Sub(p, q)))
		}
	}
	return best
}

func TestGapsAgreeWithSearching(t *testing.T) {
	draw := func(t *rapid.T) r3.Vec { return drawPose(t, 1).Shift }
	rapid.Check(t, func(t *rapid.T) {
		p, q := draw(t), draw(t)
		s := mesh.Triangle{draw(t), draw(t), draw(t)}
		const n = 60
		longest := max(r3.Norm(r3.Sub(s[1], s[0])), r3.Norm(r3.Sub(s[2], s[0])), r3.Norm(r3.Sub(s[2], s[1])))
		got, slow := math.Sqrt(mesh.CornerGap2(p, s)), math.Sqrt(slowTriangleGap2(p, s, n))
		if got > slow+1e-9 || got < slow-longest/n {
			t.Errorf("CornerGap = %v, searched %v", got, slow)
		}
		// An edge is a triangle with two equal corners.
		edge, slow := math.Sqrt(mesh.EdgeGap2(p, q, s[0], s[1])), math.Inf(1)
		for i := range n + 1 {
			at := r3.Add(p, r3.Scale(float64(i)/n, r3.Sub(q, p)))
			slow = min(slow, math.Sqrt(slowTriangleGap2(at, mesh.Triangle{s[0], s[1], s[1]}, n)))
		}
		if edge > slow+1e-9 || edge < slow-(longest+r3.Norm(r3.Sub(q, p)))/n {
			t.Errorf("EdgeGap = %v, searched %v", edge, slow)
		}
	})
}

func TestFacetContact(t *testing.T) {
	flat := mesh.Triangle{{}, {X: 10}, {Y: 10}}
	tests := []struct {
		name string
		tri  mesh.Triangle
		want int
	}{
		{"through the middle", mesh.Triangle{{X: 2, Y: 2, Z: -1}, {X: 2, Y: 2, Z: 1}, {X: 3, Y: 2, Z: 1}}, mesh.Crossing},
		{"through, beside", mesh.Triangle{{X: 8, Y: 8, Z: -1}, {X: 8, Y: 8, Z: 1}, {X: 9, Y: 8, Z: 1}}, mesh.Apart},
		{"pierced by a corner", mesh.Triangle{{X: -5, Y: 2}, {X: 1, Y: 1, Z: -5}, {X: 1, Y: 1, Z: 5}}, mesh.Crossing},
		{"standing on it", mesh.Triangle{{X: 2, Y: 2}, {X: 3, Y: 2}, {X: 2, Y: 2, Z: 5}}, mesh.Touching},
		{"corner on it", mesh.Triangle{{X: 2, Y: 2}, {X: 3, Y: 2, Z: 1}, {X: 2, Y: 2, Z: 5}}, mesh.Touching},
		{"sunk in by less than the tolerance", mesh.Triangle{{X: 2, Y: 2, Z: -1e-7}, {X: 3, Y: 2, Z: 1}, {X: 2, Y: 2, Z: 5}}, mesh.Touching},
		{"in the same plane", mesh.Triangle{{X: 1, Y: 1}, {X: 12, Y: 1}, {X: 1, Y: 12}}, mesh.Touching},
		{"in the same plane, wholly inside", mesh.Triangle{{X: 1, Y: 1}, {X: 2, Y: 1}, {X: 1, Y: 2}}, mesh.Touching},
		{"in the same plane, beside", mesh.Triangle{{X: 8, Y: 8}, {X: 9, Y: 8}, {X: 8, Y: 9}}, mesh.Apart},
		{"above", mesh.Triangle{{X: 2, Y: 2, Z: 1}, {X: 3, Y: 2, Z: 1}, {X: 2, Y: 3, Z: 2}}, mesh.Apart},
		{"edge to edge", mesh.Triangle{{}, {X: 10}, {Y: -3, Z: 4}}, mesh.Touching},
		{"without area", mesh.Triangle{{X: 2, Y: 2, Z: -1}, {X: 2, Y: 2, Z: 1}, {X: 2, Y: 2, Z: 3}}, mesh.Apart},
		// A facet 1e-6 wide whose corners are rounded lies at any angle.
		{"slim, in the same plane but for rounding", mesh.Triangle{{X: 1, Y: 2, Z: 3e-7}, {X: 5, Y: 2}, {X: 3, Y: 2 + 1e-6, Z: -3e-7}}, mesh.Touching},
	}
	for _, tt := range tests {
		soup := []mesh.Triangle{flat, tt.tri}
		var v []r3.Vec
		for _, s := range soup {
			v = append(v, s[:]...)
		}
		m, err := mesh.New(v, [][3]mesh.VertexID{{0, 1, 2}, {3, 4, 5}})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range []*mesh.Mesh{m, m.Moved(tilted(t))} {
			if got := mesh.FacetContact(m, 0, 1, 1e-6); got != tt.want {
				t.Errorf("%s: FacetContact = %d, want %d", tt.name, got, tt.want)
			}
			if got := mesh.FacetContact(m, 1, 0, 1e-6); got != tt.want {
				t.Errorf("%s: FacetContact the other way = %d, want %d", tt.name, got, tt.want)
			}
		}
	}
}

// TestSlimFacetsDoNotCross sets two slivers in one plane across each other, one
// corner of each off by less than the tolerance. They are tilted so much that
// each has its ends far on either side of the other's plane.
func TestSlimFacetsDoNotCross(t *testing.T) {
	m, err := mesh.New([]r3.Vec{
		{}, {X: 10}, {X: 5, Y: 1e-4, Z: 5e-7},
		{X: 5, Y: -5}, {X: 5, Y: 5}, {X: 5 + 1e-4, Z: -5e-7},
	}, [][3]mesh.VertexID{{0, 1, 2}, {3, 4, 5}})
	if err != nil {
		t.Fatal(err)
	}
	if got := mesh.FacetContact(m, 0, 1, 1e-6); got != mesh.Touching {
		t.Errorf("FacetContact = %d, want %d", got, mesh.Touching)
	}
}
