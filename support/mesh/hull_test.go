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

func hullOf(t interface{ Fatal(...any) }, m *mesh.Mesh) *mesh.HullMesh {
	h, err := mesh.Hull(m)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// cloud is a mesh whose facets merely name all the points.
func cloud(t interface{ Fatal(...any) }, points []r3.Vec) *mesh.Mesh {
	faces := make([][3]mesh.VertexID, 0, len(points)/3+1)
	for i := 0; i < len(points); i += 3 {
		last := mesh.VertexID(len(points) - 1)
		at := mesh.VertexID(i)
		faces = append(faces, [3]mesh.VertexID{at, min(at+1, last), min(at+2, last)})
	}
	m, err := mesh.New(points, faces)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// checkHull fails unless h is a closed convex polyhedron, its flat faces cover
// it, and it holds every corner of m.
func checkHull(t interface{ Errorf(string, ...any) }, m *mesh.Mesh, h *mesh.HullMesh) {
	hull, tolerance := h.Mesh(), mesh.HullTolerance*m.Diagonal()
	if e := slowEdges(hull); e != (mesh.EdgeCount{}) {
		t.Errorf("hull is not a closed surface: %+v", e)
	}
	if v, e, f := hull.NumVertices(), hull.NumFaces()*3/2, hull.NumFaces(); v-e+f != 2 {
		t.Errorf("hull has %d corners, %d edges, %d facets: not a sphere", v, e, f)
	}
	area := 0.0
	for i, f := range h.Faces() {
		area += f.Area
		if math.Abs(r3.Norm(f.Normal)-1) > 1e-12 || len(f.Corners) < 3 || (i > 0 && f.Area > h.Faces()[i-1].Area) {
			t.Errorf("face %d = %+v", i, f)
		}
		_, high := along(m, f.Normal)
		_, own := along(hull, f.Normal)
		for _, c := range f.Corners {
			if at := r3.Dot(f.Normal, hull.Vertex(c)); at > high+tolerance || at < high-tolerance {
				t.Errorf("corner %d of face %d is at height %v, the part reaches %v", c, i, at, high)
			}
		}
		if high > own+tolerance {
			t.Errorf("the part stands out of face %d by %v", i, high-own)
		}
		if got := polygonArea(hull, f.Corners, f.Normal); !closeTo(got, f.Area, 1e-6, hull.Area()) {
			t.Errorf("face %d: its corners enclose %v, its area is %v", i, got, f.Area)
		}
	}
	// Steep slivers no wider than the tolerance may hide along each rim.
	if !closeTo(area, hull.Area(), 3*tolerance*m.Diagonal(), float64(len(h.Faces()))) {
		t.Errorf("faces have an area of %v, the hull %v", area, hull.Area())
	}
}

func polygonArea(m *mesh.Mesh, corners []mesh.VertexID, normal r3.Vec) float64 {
	var sum r3.Vec
	first := m.Vertex(corners[0])
	for i := 1; i+1 < len(corners); i++ {
		sum = r3.Add(sum, r3.Cross(r3.Sub(m.Vertex(corners[i]), first), r3.Sub(m.Vertex(corners[i+1]), first)))
	}
	return r3.Dot(sum, normal) / 2
}

func TestHullOfSolids(t *testing.T) {
	tests := []struct {
		name    string
		m       *mesh.Mesh
		volume  float64
		corners int
		faces   int
	}{
		{"box", solid.Box(2, 3, 5), 30, 8, 6},
		{"tetrahedron", solid.Tetrahedron(30), 27000 / (6 * math.Sqrt2), 4, 4},
		{"pyramid", solid.Pyramid(30, 10), 3000, 5, 5},
		// The corner between arm and post is cut straight across.
		{"bracket", solid.LBracket(60, 40, 5, 20), 20 * (60*40 - 55*35/2.0), 10, 7},
		{"table", solid.Table(40, 20, 30, 5), 50 * 35 * 20, 8, 6},
		{"hollow box", solid.HollowBox(10, 8, 6, 1), 480, 8, 6},
		{"octahedron", solid.Sphere(1, 1), 4.0 / 3, 6, 8},
		{"cylinder", solid.Cylinder(10, 20, 40), 20 * 20 * 100 * math.Sin(math.Pi/20), 80, 42},
		{"inside out", solid.InsideOut(solid.Box(2, 3, 5)), 30, 8, 6},
		{"two boxes", solid.Together(solid.Box(2, 2, 2), solid.At(solid.Box(2, 2, 2), 8, 0, 0)), 40, 8, 6},
	}
	for _, tt := range tests {
		for name, pose := range map[string]mesh.Pose{"": {Frame: mesh.Identity()}, ", tilted": tilted(t)} {
			t.Run(tt.name+name, func(t *testing.T) {
				m := tt.m.Moved(pose)
				h := hullOf(t, m)
				checkHull(t, m, h)
				if got := h.Mesh().Volume(); !closeTo(got, tt.volume, 1e-6, tt.volume) {
					t.Errorf("volume = %v, want %v", got, tt.volume)
				}
				if len(h.Faces()) != tt.faces {
					t.Errorf("%d faces, want %d", len(h.Faces()), tt.faces)
				}
				// Corners amid a face or an edge may count once rounding has
				// moved them, so the number is exact only untilted.
				if n := h.Mesh().NumVertices(); n < tt.corners || (name == "" && n != tt.corners) {
					t.Errorf("%d corners, want %d", n, tt.corners)
				}
			})
		}
	}
}

func TestHullOfManyPointsInOnePlane(t *testing.T) {
	// A grid on each side of a cube: almost all points lie in a plane with
	// thousands of others, many on a line.
	var points []r3.Vec
	const n = 20
	for i := range n + 1 {
		for j := range n + 1 {
			a, b := float64(i)/n, float64(j)/n
			points = append(points,
				r3.Vec{X: a, Y: b}, r3.Vec{X: a, Y: b, Z: 1}, r3.Vec{X: a, Z: b},
				r3.Vec{X: a, Y: 1, Z: b}, r3.Vec{Y: a, Z: b}, r3.Vec{X: 1, Y: a, Z: b})
		}
	}
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
	m := cloud(t, points)
	h := hullOf(t, m)
	checkHull(t, m, h)
	if h.Mesh().NumVertices() != 8 || len(h.Faces()) != 6 {
		t.Errorf("%d corners, %d faces", h.Mesh().NumVertices(), len(h.Faces()))
	}
	tipped := m.Moved(tilted(t))
	h = hullOf(t, tipped)
	checkHull(t, tipped, h)
	if len(h.Faces()) != 6 || !closeTo(h.Mesh().Volume(), 1, 1e-9, 1) {
		t.Errorf("tilted: %d faces, volume %v", len(h.Faces()), h.Mesh().Volume())
	}
}

func TestHullOfFlatParts(t *testing.T) {
	disc := solid.Cylinder(10, 1, 30).Vertices()
	flat := func(height float64) *mesh.Mesh {
		v := slices.Clone(disc)
		for i := range v {
			v[i].Z *= height
		}
		return cloud(t, v)
	}
	line := []r3.Vec{{}, {X: 1, Y: 1, Z: 1}, {X: 2, Y: 2, Z: 2}, {X: 5, Y: 5, Z: 5}}
	tests := []struct {
		name string
		m    *mesh.Mesh
		flat bool
	}{
		{"no height", flat(0), true},
		{"height of rounding", flat(1e-7), true},
		{"a tenth of a millimetre", flat(0.1), false},
		{"line", cloud(t, line), true},
		{"point", cloud(t, []r3.Vec{{X: 1}, {X: 1}, {X: 1}}), true},
		{"three corners", cloud(t, []r3.Vec{{}, {X: 1}, {Y: 1}}), true},
	}
	for _, tt := range tests {
		for _, m := range []*mesh.Mesh{tt.m, tt.m.Moved(tilted(t))} {
			h, err := mesh.Hull(m)
			if errors.Is(err, mesh.ErrFlat) != tt.flat || (h == nil) != tt.flat {
				t.Errorf("%s: Hull = %v, %v", tt.name, h, err)
			}
			if h != nil {
				checkHull(t, m, h)
			}
		}
	}
}

func TestHullOfAlmostFlatParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		thick := math.Pow(10, rapid.Float64Range(-8, -3).Draw(t, "log thickness"))
		points := make([]r3.Vec, 4+r.IntN(60))
		for i := range points {
			points[i] = r3.Vec{X: r.Float64(), Y: r.Float64(), Z: thick * r.Float64()}
		}
		m := cloud(t, points).Moved(drawPose(t, 1))
		h, err := mesh.Hull(m)
		switch {
		case err != nil && !errors.Is(err, mesh.ErrFlat):
			t.Error(err)
		case err == nil && thick < mesh.HullTolerance:
			t.Errorf("thickness %v is not flat", thick)
		case err != nil && thick > 100*mesh.HullTolerance && len(points) > 30:
			t.Errorf("thickness %v is flat", thick)
		case err == nil:
			checkHull(t, m, h)
		}
	})
}

// drawCloud draws points of a kind that gives hulls trouble.
func drawCloud(t *rapid.T) []r3.Vec {
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
	kind := rapid.SampledFrom([]string{"ball", "sphere", "cube", "grid", "thin", "far"}).Draw(t, "kind")
	points := make([]r3.Vec, rapid.IntRange(20, 400).Draw(t, "n"))
	for i := range points {
		p := r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
		switch kind {
		case "sphere":
			p = r3.Unit(p)
		case "cube":
			p = r3.Vec{X: r.Float64(), Y: r.Float64(), Z: r.Float64()}
		case "grid":
			p = r3.Vec{X: float64(r.IntN(4)), Y: float64(r.IntN(4)), Z: float64(r.IntN(4))}
		case "thin":
			p.Z *= 1e-4
		case "far":
			p = r3.Add(p, r3.Vec{X: 1e4, Y: -2e4, Z: 5e3})
		}
		points[i] = p
	}
	return points
}

func TestHullLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := drawCloud(t)
		m := cloud(t, points)
		h := hullOf(t, m)
		checkHull(t, m, h)

		again := hullOf(t, h.Mesh())
		if !slices.Equal(again.Mesh().Vertices(), h.Mesh().Vertices()) || !closeTo(again.Mesh().Volume(), h.Mesh().Volume(), 1e-12, h.Mesh().Volume()) {
			t.Errorf("hull of the hull has %d corners, not %d", again.Mesh().NumVertices(), h.Mesh().NumVertices())
		}
		rand.New(rand.NewPCG(1, 0)).Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
		if other := hullOf(t, cloud(t, points)); !slices.Equal(other.Mesh().Vertices(), h.Mesh().Vertices()) ||
			!slices.Equal(other.Mesh().Faces(), h.Mesh().Faces()) {
			t.Errorf("shuffled points have another hull")
		}
		if turned := hullOf(t, m.Moved(drawPose(t, 1))); !closeTo(turned.Mesh().Volume(), h.Mesh().Volume(), 1e-6, math.Pow(m.Diagonal(), 3)) {
			t.Errorf("turned hull has volume %v, not %v", turned.Mesh().Volume(), h.Mesh().Volume())
		}
	})
}

func TestHullHoldsTheSolid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawSolid(t).Moved(drawPose(t, 100))
		h := hullOf(t, m)
		checkHull(t, m, h)
		if h.Mesh().Volume() < m.Volume()*(1-1e-9) {
			t.Errorf("hull volume %v is below the solid's %v", h.Mesh().Volume(), m.Volume())
		}
		up := mesh.Direction{}
		if d, err := mesh.NewDirection(drawPose(t, 0).Frame.X); err == nil {
			up = d
		}
		low, high := along(m, up.Vec())
		if got := h.Height(up); !closeTo(got, high-low, 1e-8, m.Diagonal()) {
			t.Errorf("Height = %v, want %v", got, high-low)
		}
	})
}

// TestHullFacesAgainstAllTriples compares with the plainest hull: a plane
// through three points is a face when all others lie on one side.
func TestHullFacesAgainstAllTriples(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for range 100 {
		points := make([]r3.Vec, 16)
		for i := range points {
			points[i] = r3.Vec{X: r.Float64(), Y: r.Float64(), Z: r.Float64()}
		}
		want := 0
		for i := range points {
			for j := range i {
				for k := range j {
					if onOneSide(points, points[i], points[j], points[k]) {
						want++
					}
				}
			}
		}
		if got := hullOf(t, cloud(t, points)).Mesh().NumFaces(); got != want {
			t.Fatalf("%d triangles, want %d", got, want)
		}
	}
}

func onOneSide(points []r3.Vec, a, b, c r3.Vec) bool {
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	above, below := 0, 0
	for _, p := range points {
		switch h := r3.Dot(n, r3.Sub(p, a)); {
		case p == a || p == b || p == c:
		case h > 0:
			above++
		default:
			below++
		}
	}
	return above == 0 || below == 0
}

func TestHullOfFineSphereKeepsItsFaces(t *testing.T) {
	// Neighbours differ by little here; taken bit by bit, all would be one.
	m := solid.Sphere(100, 112)
	h := hullOf(t, m)
	if h.Mesh().NumVertices() != m.NumVertices() {
		t.Errorf("%d of %d corners are on the hull", h.Mesh().NumVertices(), m.NumVertices())
	}
	if n := len(h.Faces()); n < m.NumFaces()/2 {
		t.Errorf("%d faces of %d facets", n, m.NumFaces())
	}
	if got := h.Height(mesh.Direction{}); !closeTo(got, 200, 1e-12, 200) {
		t.Errorf("Height = %v, want 200", got)
	}
}

func ExampleHull() {
	h, err := mesh.Hull(solid.LBracket(60, 40, 5, 20))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d faces, %.0f mm³, %.0f mm high\n", len(h.Faces()), h.Mesh().Volume(), h.Height(mesh.Direction{}))
	// Output: 7 faces, 28750 mm³, 40 mm high
}

func BenchmarkHull(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, size := range []struct {
		name string
		n    int
	}{{"500", 500}, {"5k", 5000}, {"50k", 50_000}, {"500k", 500_000}} {
		for _, kind := range []string{"ball", "sphere"} {
			if kind == "sphere" && size.n > 50_000 {
				continue
			}
			points := make([]r3.Vec, size.n)
			for i := range points {
				p := r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
				if kind == "ball" {
					p = r3.Scale(math.Cbrt(r.Float64()), p)
				}
				points[i] = p
			}
			m := cloud(b, points)
			b.Run(kind+"/points="+size.name, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					hullOf(b, m)
				}
				b.ReportMetric(float64(size.n*b.N)/b.Elapsed().Seconds(), "points/s")
			})
		}
	}
}
