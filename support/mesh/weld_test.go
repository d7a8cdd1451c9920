package mesh_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func TestWeldSharesCorners(t *testing.T) {
	for name, m := range sampleSolids() {
		got, report, err := mesh.Weld(m.Triangles(), mesh.WeldTolerance)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if got.NumVertices() != m.NumVertices() || got.NumFaces() != m.NumFaces() {
			t.Errorf("%s: %d corners, %d facets, want %d, %d", name,
				got.NumVertices(), got.NumFaces(), m.NumVertices(), m.NumFaces())
		}
		want := mesh.WeldReport{Facets: m.NumFaces(), Corners: m.NumVertices(), Tolerance: report.Tolerance}
		if report != want {
			t.Errorf("%s: report = %+v, want %+v", name, report, want)
		}
		if !slices.Equal(got.Triangles(), m.Triangles()) {
			t.Errorf("%s: facets have changed places", name)
		}
	}
}

func TestWeldReport(t *testing.T) {
	v := func(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
	box := solid.Box(10, 10, 10).Triangles()
	const near = 1e-6 // mm, within the tolerance of 1.7e-5
	tests := []struct {
		name string
		soup []mesh.Triangle
		tol  float64
		want mesh.WeldReport // Tolerance is not compared
		open int
	}{
		{"zero and minus zero are one", []mesh.Triangle{
			{v(0, 0, 0), v(1, 0, 0), v(0, 1, 0)},
			{v(math.Copysign(0, -1), 0, 0), v(0, 1, 0), v(-1, 0, 0)},
		}, 0, mesh.WeldReport{Facets: 2, Corners: 4}, 4},
		{"two corners equal", append([]mesh.Triangle{{v(5, 5, 0), v(5, 5, 0), v(5, -5, 0)}}, box...),
			0, mesh.WeldReport{Facets: 13, Corners: 8, Collapsed: 1}, 0},
		{"stray corner of a dropped facet goes", append([]mesh.Triangle{{v(9, 9, 9), v(9, 9, 9), v(9, 9, 9)}}, box...),
			0, mesh.WeldReport{Facets: 13, Corners: 9, Collapsed: 1}, 0},
		{"corners on a line are kept", []mesh.Triangle{
			{v(0, 0, 0), v(2, 0, 0), v(0, 1, 0)},
			{v(0, 0, 0), v(1, 0, 0), v(2, 0, 0)},
		}, mesh.WeldTolerance, mesh.WeldReport{Facets: 2, Corners: 4, Open: 4, NoArea: 1}, 4},
		{"gap within the tolerance", moveCorner(box, 0, 0, v(near, 0, 0)), mesh.WeldTolerance,
			mesh.WeldReport{Facets: 12, Corners: 9, Open: 4, Joined: 1}, 0},
		{"the same gap, exact welding", moveCorner(box, 0, 0, v(near, 0, 0)), 0,
			mesh.WeldReport{Facets: 12, Corners: 9}, 4},
		{"gap beyond the tolerance", moveCorner(box, 0, 0, v(1e-3, 0, 0)), mesh.WeldTolerance,
			mesh.WeldReport{Facets: 12, Corners: 9, Open: 4}, 4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m, got, err := mesh.Weld(tt.soup, tt.tol)
			if err != nil {
				t.Fatal(err)
			}
			got.Tolerance = 0
			if got != tt.want {
				t.Errorf("report = %+v, want %+v", got, tt.want)
			}
			if open := mesh.NewTopology(m).Edges().Open; open != tt.open {
				t.Errorf("%d open edges, want %d", open, tt.open)
			}
			for v := range m.NumVertices() {
				if !usesCorner(m, mesh.VertexID(v)) {
					t.Errorf("corner %d is used by no facet", v)
				}
			}
		})
	}
}

// moveCorner shifts one corner of one facet only.
func moveCorner(soup []mesh.Triangle, facet, corner int, by r3.Vec) []mesh.Triangle {
	out := slices.Clone(soup)
	out[facet][corner] = r3.Add(out[facet][corner], by)
	return out
}

func usesCorner(m *mesh.Mesh, v mesh.VertexID) bool {
	return slices.ContainsFunc(m.Faces(), func(f [3]mesh.VertexID) bool { return slices.Contains(f[:], v) })
}

func TestWeldLeavesClosedSurfacesAlone(t *testing.T) {
	// A sliver of a box, thinner than the tolerance, inside a large one: its
	// corners are near each other but on no open edge.
	thin := solid.At(solid.Box(1, 1, 1e-5), 0, 0, 5)
	m, report, err := mesh.Weld(solid.Together(solid.Box(100, 100, 100), thin).Triangles(), mesh.WeldTolerance)
	if err != nil {
		t.Fatal(err)
	}
	if report.Tolerance < 1e-5 {
		t.Fatalf("tolerance %v does not put the test to the question", report.Tolerance)
	}
	if report.Joined != 0 || m.NumFaces() != 24 || m.NumVertices() != 16 {
		t.Errorf("report = %+v, %d facets, %d corners", report, m.NumFaces(), m.NumVertices())
	}
}

func TestWeldErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	tests := []struct {
		name string
		soup []mesh.Triangle
		want error
	}{
		{"no facets", nil, mesh.ErrEmpty},
		{"nothing left", []mesh.Triangle{{}}, mesh.ErrEmpty},
		{"NaN", []mesh.Triangle{{{X: nan}, {Y: 1}, {Z: 1}}}, mesh.ErrNotFinite},
		{"infinite", []mesh.Triangle{{{X: 1}, {Y: 1}, {Z: -inf}}}, mesh.ErrNotFinite},
	}
	for _, tt := range tests {
		if m, _, err := mesh.Weld(tt.soup, mesh.WeldTolerance); !errors.Is(err, tt.want) || m != nil {
			t.Errorf("%s: Weld = %v, %v, want %v", tt.name, m, err, tt.want)
		}
	}
}

func TestWeldKeepsCountsWhenShuffled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pose := drawPose(t, 300)
		m := drawSolid(t).Moved(pose)
		soup := single(shuffledSoup(m, rapid.Uint64().Draw(t, "seed")))
		got, report, err := mesh.Weld(soup, mesh.WeldTolerance)
		if err != nil {
			t.Fatal(err)
		}
		if got.NumVertices() != m.NumVertices() || got.NumFaces() != m.NumFaces() || report.Joined != 0 {
			t.Errorf("%d corners, %d facets, want %d, %d; report %+v",
				got.NumVertices(), got.NumFaces(), m.NumVertices(), m.NumFaces(), report)
		}
		if !mesh.NewTopology(got).IsClosed() {
			t.Errorf("welded soup is open")
		}
	})
}

func TestWeldJoinsNoisyCorners(t *testing.T) {
	// Each facet's corners are off by their own rounding, up to a step of a
	// 24-bit float along each axis: what arithmetic in single precision leaves.
	rapid.Check(t, func(t *rapid.T) {
		m := drawSolid(t).Moved(drawPose(t, 300))
		seed := rapid.Uint64().Draw(t, "seed")
		soup, r := single(shuffledSoup(m, seed)), rand.New(rand.NewPCG(seed, 1))
		for i := range soup {
			for k := range soup[i] {
				v := &soup[i][k]
				for _, x := range []*float64{&v.X, &v.Y, &v.Z} {
					*x = float64(math.Nextafter32(float32(*x), float32(math.Inf(r.IntN(3)-1))))
				}
			}
		}
		got, report, err := mesh.Weld(soup, mesh.WeldTolerance)
		if err != nil {
			t.Fatal(err)
		}
		if got.NumVertices() != m.NumVertices() || !mesh.NewTopology(got).IsClosed() {
			t.Errorf("%d corners, want %d; closed %v; report %+v", got.NumVertices(), m.NumVertices(),
				mesh.NewTopology(got).IsClosed(), report)
		}
		for i, s := range got.Triangles() {
			for k := range s {
				if d := r3.Norm(r3.Sub(s[k], soup[i][k])); d > report.Tolerance {
					t.Fatalf("corner moved by %v, more than %v", d, report.Tolerance)
				}
			}
		}
	})
}

func TestWeldIsRepeatable(t *testing.T) {
	soup := shuffledSoup(solid.Torus(20, 5, 40, 20), 7)
	a, b := weld(t, soup), weld(t, soup)
	if !slices.Equal(a.Vertices(), b.Vertices()) || !slices.Equal(a.Faces(), b.Faces()) {
		t.Error("two welds of one soup differ")
	}
}

func ExampleWeld() {
	soup := solid.Box(10, 20, 30).Triangles()
	m, report, err := mesh.Weld(soup, mesh.WeldTolerance)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d facets, %d corners, %.0f mm³\n", report.Facets, m.NumVertices(), m.Volume())
	// Output: 12 facets, 8 corners, 6000 mm³
}

// ladder is the sizes of the benchmarks: spheres of 8n² facets.
var ladder = []struct {
	name string
	n    int
}{{"1k", 11}, {"10k", 35}, {"100k", 112}, {"1M", 354}}

func BenchmarkWeld(b *testing.B) {
	for _, size := range ladder {
		soup := shuffledSoup(solid.Sphere(100, size.n), 1)
		b.Run("tris="+size.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := mesh.Weld(soup, mesh.WeldTolerance); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(soup)*b.N)/b.Elapsed().Seconds(), "tris/s")
		})
	}
}
