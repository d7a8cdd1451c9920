package role

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func wallsOf(m *mesh.Mesh, thickest float64) backs {
	s := sampled(m, sampleArea)
	open := make([]float32, m.NumFaces())
	for f := range open {
		open[f] = float32(f)
	}
	return backsOf(newTree(m), mesh.NewTopology(m), s, open, thickest)
}

func TestBacksOfAShell(t *testing.T) {
	// More facets than are tried, and fewer.
	for _, n := range []int{20, 120} {
		m := solid.HemisphericalShell(50, 46, n)
		b := wallsOf(m, 8)
		for f, back := range b.face {
			id := mesh.FaceID(f)
			if p := middle(m, id); p.Z < 6 { // the rim, and what is near it
				continue
			}
			if back < 0 || r3.Dot(m.Normal(back), m.Normal(id)) > -0.9 {
				t.Fatalf("n %d: facet %d has %d behind it", n, f, back)
			}
			if math.Abs(float64(b.thick[f])-4) > 0.2 {
				t.Fatalf("n %d: facet %d: wall %.2f mm, want 4", n, f, b.thick[f])
			}
			// With all tried, the openness of the other side is that of a facet
			// there, here its number.
			if n == 20 && b.open[f] != float32(back) && len(spots(m, id)) == 1 {
				t.Fatalf("facet %d: openness behind = %v, want %v", f, b.open[f], back)
			}
		}
	}
}

// spots lists the samples of a facet.
func spots(m *mesh.Mesh, f mesh.FaceID) []int {
	var out []int
	for i, g := range sampled(m, sampleArea).face {
		if g == f {
			out = append(out, i)
		}
	}
	return out
}

func TestThickWallHasNoBack(t *testing.T) {
	m := solid.Box(100, 100, 9)
	for f, back := range wallsOf(m, 8).face {
		if back != noWall {
			t.Errorf("facet %d: %d behind 9 mm", f, back)
		}
	}
	up := 0
	for f, back := range wallsOf(m, 10).face {
		if math.Abs(m.Normal(mesh.FaceID(f)).Z) > 0.5 {
			up++
			if back < 0 || m.Normal(back).Z != -m.Normal(mesh.FaceID(f)).Z {
				t.Errorf("facet %d: %d behind 9 mm, want the other side", f, back)
			}
		}
	}
	if up != 4 {
		t.Errorf("%d level facets", up)
	}
}

func TestSpotsAreSpreadOverTheFacet(t *testing.T) {
	m := triangleMesh(t, r3.Vec{X: 1, Y: 2, Z: 3}, r3.Vec{X: 31, Y: 2, Z: 3}, r3.Vec{X: 1, Y: 42, Z: 3})
	const n = 300
	var sum r3.Vec
	corner := 0
	for i := range n {
		p := spot(m, 0, i)
		u, v := (p.X-1)/30, (p.Y-2)/40
		if u < 0 || v < 0 || u+v > 1+1e-12 || p.Z != 3 {
			t.Fatalf("spot %d at %v is off the facet", i, p)
		}
		if u > 0.5 {
			corner++ // a quarter of the area
		}
		sum = r3.Add(sum, r3.Scale(1.0/n, p))
	}
	if got := r3.Norm(r3.Sub(sum, middle(m, 0))); got > 0.3 {
		t.Errorf("mean of spots is %.2f mm off the middle", got)
	}
	if math.Abs(float64(corner)/n-0.25) > 0.02 {
		t.Errorf("%d of %d spots on a quarter of the area", corner, n)
	}
}

func TestFacetsMostlyWithoutAWallHaveNone(t *testing.T) {
	// The arm sticks out 2 mm of the 9 mm that its top is long; below the rest
	// is the post.
	m := solid.LBracket(9, 40, 7, 20)
	b := wallsOf(m, 8)
	top := 0
	for f, back := range b.face {
		if m.Normal(mesh.FaceID(f)).Z > 0.5 {
			top++
			if back != noWall {
				t.Errorf("facet %d: %d behind", f, back)
			}
		}
	}
	if top != 2 {
		t.Errorf("%d facets on top", top)
	}
}

func TestOpennessIsThatOfTheUncoveredRest(t *testing.T) {
	m := solid.Box(10, 10, 10)
	j := &judge{part: m, cover: newCover(12), open: make([]float32, 12)}
	for f, share := range []float32{0, 0.4, 0.45, 0.5, 1.2} {
		j.cover.share[f], j.open[f] = share, 0.3
	}
	j.join()
	for f, want := range []struct {
		role support.Role
		open float32
	}{{support.Show, 0.3}, {support.Show, 0.5}, {support.Show, 0.3 / 0.55}, {support.Joint, 0.3}, {support.Joint, 0.3}} {
		if j.roles[f] != want.role || math.Abs(float64(j.open[f]-want.open)) > 1e-6 {
			t.Errorf("covered to %v: %v, openness %v, want %+v", j.cover.share[f], j.roles[f], j.open[f], want)
		}
	}
}
