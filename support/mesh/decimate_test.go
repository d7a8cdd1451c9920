package mesh_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
)

// griddedCube returns the surface of the cube [−1, 1]³ with n by n squares a
// side, each corner moved by shape.
func griddedCube(t testing.TB, n int, shape func(r3.Vec) r3.Vec) *mesh.Mesh {
	t.Helper()
	var vertices []r3.Vec
	var faces [][3]mesh.VertexID
	number := map[[3]int]mesh.VertexID{}
	corner := func(c [3]int) mesh.VertexID {
		id, ok := number[c]
		if !ok {
			id = mesh.VertexID(len(vertices))
			number[c] = id
			at := func(i int) float64 { return 2*float64(i)/float64(n) - 1 }
			vertices = append(vertices, shape(r3.Vec{X: at(c[0]), Y: at(c[1]), Z: at(c[2])}))
		}
		return id
	}
	for axis := range 3 {
		for _, level := range []int{0, n} {
			for i := range n {
				for j := range n {
					var quad [4]mesh.VertexID
					for k, step := range [4][2]int{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
						var c [3]int
						c[axis], c[(axis+1)%3], c[(axis+2)%3] = level, i+step[0], j+step[1]
						quad[k] = corner(c)
					}
					if level == 0 {
						slices.Reverse(quad[:])
					}
					faces = append(faces, [3]mesh.VertexID{quad[0], quad[1], quad[2]}, [3]mesh.VertexID{quad[0], quad[2], quad[3]})
				}
			}
		}
	}
	return mustMesh(t, vertices, faces)
}

// wrapped returns a sheet of n by m squares placed by shape(u, v) with u and v
// in [0, 1). It is joined to itself at the ends of u if closeU, and of v if closeV.
func wrapped(t testing.TB, n, m int, closeU, closeV bool, shape func(u, v float64) r3.Vec) *mesh.Mesh {
	t.Helper()
	rows, columns := n+1, m+1
	if closeU {
		rows = n
	}
	if closeV {
		columns = m
	}
	vertices := make([]r3.Vec, 0, rows*columns)
	for i := range rows {
		for j := range columns {
			vertices = append(vertices, shape(float64(i)/float64(n), float64(j)/float64(m)))
		}
	}
	var faces [][3]mesh.VertexID
	id := func(i, j int) mesh.VertexID { return mesh.VertexID((i%rows)*columns + j%columns) }
	for i := range n {
		for j := range m {
			faces = append(faces,
				[3]mesh.VertexID{id(i, j), id(i+1, j), id(i+1, j+1)},
				[3]mesh.VertexID{id(i, j), id(i+1, j+1), id(i, j+1)})
		}
	}
	return mustMesh(t, vertices, faces)
}

func mustMesh(t testing.TB, vertices []r3.Vec, faces [][3]mesh.VertexID) *mesh.Mesh {
	t.Helper()
	m, err := mesh.New(vertices, faces)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func sphere(t testing.TB, n int, radius float64) *mesh.Mesh {
	return griddedCube(t, n, func(p r3.Vec) r3.Vec { return r3.Scale(radius, r3.Unit(p)) })
}

func torus(t testing.TB, n int) *mesh.Mesh {
	return wrapped(t, 2*n, n, true, true, func(u, v float64) r3.Vec {
		big, small := 2*math.Pi*u, 2*math.Pi*v
		reach := 30 + 8*math.Cos(small)
		return r3.Vec{X: reach * math.Cos(big), Y: reach * math.Sin(big), Z: 8 * math.Sin(small)}
	})
}

// bowl is a cap of a sphere of radius 40 with an open rim.
func bowl(t testing.TB, n int) *mesh.Mesh {
	return wrapped(t, n, n, false, false, func(u, v float64) r3.Vec {
		x, y := 40*(u-0.5), 40*(v-0.5)
		return r3.Vec{X: x, Y: y, Z: 40 - math.Sqrt(1600-x*x-y*y)}
	})
}

// rippled is a sphere of radius 20 with waves of the given height.
func rippled(t testing.TB, n int, height float64) *mesh.Mesh {
	return griddedCube(t, n, func(p r3.Vec) r3.Vec {
		u := r3.Unit(p)
		return r3.Scale(20+height*math.Sin(7*u.X)*math.Cos(5*u.Y+3*u.Z), u)
	})
}

// edgeUse counts, for a checker that shares nothing with the code it checks,
// edges by the number of facets on them, and reports any edge run twice the
// same way.
func edgeUse(t *testing.T, m *mesh.Mesh) map[int]int {
	t.Helper()
	directed := map[[2]mesh.VertexID]int{}
	uses := map[[2]mesh.VertexID]int{}
	for _, f := range m.Faces() {
		for k := range 3 {
			a, b := f[k], f[(k+1)%3]
			directed[[2]mesh.VertexID{a, b}]++
			uses[[2]mesh.VertexID{min(a, b), max(a, b)}]++
		}
	}
	for e, n := range directed {
		if n != 1 {
			t.Errorf("edge %v is run %d times the same way", e, n)
		}
	}
	histogram := map[int]int{}
	for _, n := range uses {
		histogram[n]++
	}
	return histogram
}

// euler is corners − edges + facets of a mesh without stray corners.
func euler(m *mesh.Mesh) int {
	edges := map[[2]mesh.VertexID]bool{}
	for _, f := range m.Faces() {
		for k := range 3 {
			a, b := f[k], f[(k+1)%3]
			edges[[2]mesh.VertexID{min(a, b), max(a, b)}] = true
		}
	}
	return m.NumVertices() - len(edges) + m.NumFaces()
}

func signedVolume(m *mesh.Mesh) float64 {
	sum := 0.0
	for _, c := range m.Triangles() {
		sum += r3.Dot(c[0], r3.Cross(c[1], c[2])) / 6
	}
	return sum
}

// farthest is the greatest distance from points scattered over one mesh to
// another, by trying every facet.
func farthest(from, to *mesh.Mesh, step int) float64 {
	random := rand.New(rand.NewPCG(7, 7))
	worst := 0.0
	for i, c := range from.Triangles() {
		if i%step != 0 {
			continue
		}
		for range 4 {
			u, v := random.Float64(), random.Float64()
			if u+v > 1 {
				u, v = 1-u, 1-v
			}
			p := r3.Add(c[0], r3.Add(r3.Scale(u, r3.Sub(c[1], c[0])), r3.Scale(v, r3.Sub(c[2], c[0]))))
			best := math.Inf(1)
			for _, d := range to.Triangles() {
				best = min(best, slowGap(p, d))
			}
			worst = max(worst, best)
		}
	}
	return worst
}

// slowGap is the distance from p to a triangle: to its plane where the foot is
// inside, else to the nearest side.
func slowGap(p r3.Vec, c mesh.Triangle) float64 {
	n := r3.Unit(r3.Cross(r3.Sub(c[1], c[0]), r3.Sub(c[2], c[0])))
	inside := true
	best := math.Inf(1)
	for k := range 3 {
		a, b := c[k], c[(k+1)%3]
		side := r3.Sub(b, a)
		if r3.Dot(r3.Cross(side, r3.Sub(p, a)), n) < 0 {
			inside = false
		}
		s := min(1, max(0, r3.Dot(r3.Sub(p, a), side)/r3.Norm2(side)))
		best = min(best, r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(s, side)))))
	}
	if inside {
		return math.Abs(r3.Dot(r3.Sub(p, c[0]), n))
	}
	return best
}

func TestDecimatedKeepsClosedSurfacesClosed(t *testing.T) {
	// The tolerance is the volume that a regular mesh of no more facets with
	// its corners on the surface misses: decimation must do better.
	ball, ring := 4.0/3*math.Pi*25*25*25, 2*math.Pi*math.Pi*30*64
	waves := signedVolume(rippled(t, 40, 1.5))
	tests := []struct {
		name   string
		in     *mesh.Mesh
		facets int
		euler  int
		volume float64 // mm³
		tol    float64 // mm³
	}{
		{"sphere", sphere(t, 40, 25), 600, 2, ball, ball - signedVolume(sphere(t, 7, 25))},
		{"sphere to a few facets", sphere(t, 20, 25), 48, 2, ball, ball - signedVolume(sphere(t, 2, 25))},
		{"torus keeps its hole", torus(t, 60), 500, 0, ring, ring - signedVolume(torus(t, 11))},
		{"ripples", rippled(t, 40, 1.5), 2000, 2, waves, waves - signedVolume(rippled(t, 12, 1.5))},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			out, _ := tt.in.Decimated(mesh.Decimation{Facets: tt.facets})
			if n := out.NumFaces(); n > tt.facets || n < tt.facets-1 {
				t.Errorf("facets = %d, want %d", n, tt.facets)
			}
			if use := edgeUse(t, out); len(use) != 1 || use[2] == 0 {
				t.Errorf("edges by number of facets = %v, want only 2", use)
			}
			if e := euler(out); e != tt.euler {
				t.Errorf("corners − edges + facets = %d, want %d", e, tt.euler)
			}
			if v := signedVolume(out); math.Abs(v-tt.volume) > tt.tol {
				t.Errorf("volume = %.1f, want %.1f ± %.1f", v, tt.volume, tt.tol)
			}
		})
	}
}

func TestDecimatedNeverPassesFourFacets(t *testing.T) {
	out, _ := sphere(t, 6, 10).Decimated(mesh.Decimation{Facets: 1})
	if use := edgeUse(t, out); len(use) != 1 || use[2] == 0 || out.NumFaces() < 4 {
		t.Errorf("%d facets, edges by number of facets = %v", out.NumFaces(), use)
	}
}

func TestDecimatedBoxIsTwelveFacets(t *testing.T) {
	box := griddedCube(t, 30, func(p r3.Vec) r3.Vec { return r3.Vec{X: 10 * p.X, Y: 20 * p.Y, Z: 30*p.Z + 300} })
	for name, limit := range map[string]mesh.Decimation{
		"by deviation":            {Deviation: 1e-6},
		"by facets":               {Facets: 12},
		"by facets and deviation": {Facets: 4, Deviation: 1e-3},
	} {
		t.Run(name, func(t *testing.T) {
			out, _ := box.Decimated(limit)
			if out.NumFaces() != 12 {
				t.Fatalf("facets = %d, want 12", out.NumFaces())
			}
			if v := signedVolume(out); math.Abs(v-48000) > 1e-9*48000 {
				t.Errorf("volume = %v, want 48000", v)
			}
			for _, p := range out.Vertices() {
				if math.Abs(p.X) != 10 || math.Abs(p.Y) != 20 || math.Abs(p.Z-300) != 30 {
					t.Errorf("corner %v is not a corner of the box", p)
				}
			}
		})
	}
}

// A sphere's area moved by a small e changes its volume by area·e, so a
// deviation bounds the volume.
func TestDecimatedSphereVolumeIsBoundByDeviation(t *testing.T) {
	const radius, deviation = 25, 0.1
	in := sphere(t, 40, radius)
	out, _ := in.Decimated(mesh.Decimation{Deviation: deviation})
	if out.NumFaces() > in.NumFaces()/4 {
		t.Errorf("facets = %d of %d: hardly thinned", out.NumFaces(), in.NumFaces())
	}
	if off, most := math.Abs(signedVolume(out)-signedVolume(in)), 4*math.Pi*radius*radius*deviation; off > most {
		t.Errorf("volume off by %v, want at most %v", off, most)
	}
	for _, p := range out.Vertices() {
		if off := math.Abs(r3.Norm(p) - radius); off > deviation {
			t.Errorf("corner %v is %v off the sphere, want at most %v", p, off, deviation)
		}
	}
}

func TestDecimatedStaysWithinDeviationBothWays(t *testing.T) {
	tests := []struct {
		name string
		in   *mesh.Mesh
		keep float64 // the share of facets that may be left over at most
		// What the original's own facets miss of the smooth surface: between
		// the points that are followed the bound can be passed by as much.
		sag float64
	}{
		{"sphere", sphere(t, 24, 25), 0.5, 0},
		{"torus", torus(t, 40), 0.5, 8 * (1 - math.Cos(math.Pi/40))},
		{"ripples", rippled(t, 24, 1.5), 0.8, 0},
		{"bowl", bowl(t, 30), 0.5, 0},
	}
	const deviation = 0.2
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			out, _ := tt.in.Decimated(mesh.Decimation{Deviation: deviation})
			if share := float64(out.NumFaces()) / float64(tt.in.NumFaces()); share > tt.keep {
				t.Errorf("%.2f of the facets left, want at most %.2f", share, tt.keep)
			}
			for i, p := range tt.in.Vertices() {
				if i%3 != 0 {
					continue
				}
				best := math.Inf(1)
				for _, c := range out.Triangles() {
					best = min(best, slowGap(p, c))
				}
				if best > deviation*(1+1e-9) {
					t.Fatalf("corner %v of the original is %v off, want at most %v", p, best, deviation)
				}
			}
			if d := farthest(tt.in, out, 11); d > deviation+tt.sag {
				t.Errorf("original to result = %v, want at most %v", d, deviation)
			}
			if d := farthest(out, tt.in, 5); d > deviation+tt.sag {
				t.Errorf("result to original = %v, want at most %v", d, deviation)
			}
		})
	}
}

func TestDecimatedKeepsOpenRim(t *testing.T) {
	in := bowl(t, 40)
	out, _ := in.Decimated(mesh.Decimation{Facets: 200})
	use := edgeUse(t, out)
	if use[1] == 0 || len(use) != 2 || euler(out) != 1 {
		t.Errorf("edges by number of facets = %v, corners − edges + facets = %d; want a disc", use, euler(out))
	}
	box := out.Bounds()
	if box.Min.X != -20 || box.Max.X != 20 || box.Min.Y != -20 || box.Max.Y != 20 {
		t.Errorf("rim spans %v, want −20 to 20", box)
	}
}

// The lower half of the sphere is one group, the upper another: the seam lies
// in z = 0 and every corner on it must stay there.
func TestDecimatedKeepsSeamsBetweenGroups(t *testing.T) {
	in := sphere(t, 30, 25)
	groups := make([]uint16, in.NumFaces())
	for i, c := range in.Triangles() {
		if c[0].Z+c[1].Z+c[2].Z > 0 {
			groups[i] = 1
		}
	}
	out, from := in.Decimated(mesh.Decimation{Facets: 300, Groups: groups})
	seam := map[mesh.VertexID]uint8{}
	for i, f := range out.Faces() {
		for _, v := range f {
			seam[v] |= 1 << groups[from[i]]
		}
	}
	on := 0
	for v, sides := range seam {
		if sides == 3 {
			on++
			if z := out.Vertex(v).Z; z != 0 {
				t.Errorf("corner %d of the seam is at z = %v, want 0", v, z)
			}
		}
	}
	if on < 8 || on > 60 {
		t.Errorf("corners on the seam = %d, want it thinned from 120 but still round", on)
	}
}

// Thinning a flat sheet with a bay in it folds facets over the bay or over
// each other unless turning them is refused: the areas then add up to more.
func TestDecimatedNeverFoldsFlatSheet(t *testing.T) {
	var vertices []r3.Vec
	var faces [][3]mesh.VertexID
	const n = 24
	for i := range n + 1 {
		for j := range n + 1 {
			vertices = append(vertices, r3.Vec{X: float64(i), Y: float64(j)})
		}
	}
	squares := 0
	for i := range n {
		for j := range n {
			if i >= 6 && i < 18 && j >= 8 {
				continue
			}
			squares++
			a := mesh.VertexID(i*(n+1) + j)
			faces = append(faces, [3]mesh.VertexID{a, a + n + 1, a + n + 2}, [3]mesh.VertexID{a, a + n + 2, a + 1})
		}
	}
	out, _ := mustMesh(t, vertices, faces).Decimated(mesh.Decimation{Deviation: 1e-3})
	area := 0.0
	for i, a := range out.FaceAreas() {
		area += a
		if z := out.Normal(mesh.FaceID(i)).Z; z < 1-1e-12 {
			t.Errorf("facet %d faces %v, want up", i, out.Normal(mesh.FaceID(i)))
		}
	}
	if math.Abs(area-float64(squares)) > 1e-9*float64(squares) {
		t.Errorf("area = %v, want %d", area, squares)
	}
	// Eight corners of the outline need six facets.
	if out.NumFaces() != 6 {
		t.Errorf("facets = %d, want 6", out.NumFaces())
	}
}

// Of two equal bumps on a plate the one of more weight keeps more facets.
func TestDecimatedWeights(t *testing.T) {
	in := wrapped(t, 80, 40, false, false, func(u, v float64) r3.Vec {
		x, y := 8*u-4, 4*v-2
		near := func(mx float64) float64 { return math.Exp(-2 * ((x-mx)*(x-mx) + y*y)) }
		return r3.Vec{X: x, Y: y, Z: near(-2) + near(2)}
	})
	weights := make([]float64, in.NumFaces())
	for i, c := range in.Triangles() {
		weights[i] = 1
		if c[0].X > 0 {
			weights[i] = 100
		}
	}
	out, _ := in.Decimated(mesh.Decimation{Facets: 400, Weights: weights})
	var heavy, light int
	for _, c := range out.Triangles() {
		if c[0].X+c[1].X+c[2].X > 0 {
			heavy++
		} else {
			light++
		}
	}
	if heavy < 3*light {
		t.Errorf("facets = %d on the heavy bump, %d on the light one, want three times as many", heavy, light)
	}
}

// Six groups meet at two corners a rounding error apart: they are one corner.
func TestDecimatedJoinsSeamCornersAtOnePlace(t *testing.T) {
	top := r3.Vec{Z: 10}
	vertices := []r3.Vec{{X: 10}, {X: 5, Y: 9}, {X: -5, Y: 9}, {X: -10}, {X: -5, Y: -9}, {X: 5, Y: -9}, top, r3.Add(top, r3.Vec{X: 1e-6})}
	faces := [][3]mesh.VertexID{{7, 0, 1}, {7, 1, 2}, {7, 2, 6}, {6, 2, 3}, {6, 3, 4}, {6, 4, 5}, {6, 5, 7}, {7, 5, 0}}
	groups := []uint16{1, 2, 3, 3, 4, 5, 6, 6}
	out, _ := mustMesh(t, vertices, faces).Decimated(mesh.Decimation{Deviation: 1e-3, Groups: groups})
	if out.NumFaces() != 6 || out.NumVertices() != 7 {
		t.Errorf("facets = %d, corners = %d, want 6 and 7", out.NumFaces(), out.NumVertices())
	}
}

func TestDecimatedNamesWhereFacetsComeFrom(t *testing.T) {
	in := griddedCube(t, 12, func(p r3.Vec) r3.Vec { return p })
	out, from := in.Decimated(mesh.Decimation{Facets: 12})
	if len(from) != out.NumFaces() {
		t.Fatalf("%d origins for %d facets", len(from), out.NumFaces())
	}
	for i, f := range from {
		if d := r3.Dot(out.Normal(mesh.FaceID(i)), in.Normal(f)); d < 1-1e-12 {
			t.Errorf("facet %d faces %v, its origin %v", i, out.Normal(mesh.FaceID(i)), in.Normal(f))
		}
	}
	if !slices.IsSorted(from) {
		t.Error("origins are not in order")
	}
}

func TestDecimatedIsRepeatable(t *testing.T) {
	in := rippled(t, 20, 1)
	a, _ := in.Decimated(mesh.Decimation{Facets: 400, Deviation: 1})
	b, _ := in.Decimated(mesh.Decimation{Facets: 400, Deviation: 1})
	if !slices.Equal(a.Vertices(), b.Vertices()) || !slices.Equal(a.Faces(), b.Faces()) {
		t.Error("two runs differ")
	}
}

func TestDecimatedWithoutBoundsIsTheSameMesh(t *testing.T) {
	in := sphere(t, 4, 1)
	for name, limit := range map[string]mesh.Decimation{"none": {}, "above": {Facets: in.NumFaces()}} {
		if out, from := in.Decimated(limit); out != in || len(from) != in.NumFaces() {
			t.Errorf("%s: mesh changed", name)
		}
	}
}

func TestDecimatedDamagedMeshes(t *testing.T) {
	square := []r3.Vec{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}, {X: 0.5, Y: 0.5, Z: 1}}
	tests := []struct {
		name  string
		faces [][3]mesh.VertexID
		want  int // facets left
	}{
		{"one facet stays", [][3]mesh.VertexID{{0, 1, 2}}, 1},
		{"corner named twice is dropped", [][3]mesh.VertexID{{0, 1, 2}, {0, 2, 3}, {0, 0, 2}}, 2},
		{"edge of three facets stays", [][3]mesh.VertexID{{0, 2, 1}, {0, 2, 3}, {0, 2, 4}}, 3},
		{"facet on its own back stays", [][3]mesh.VertexID{{0, 1, 2}, {0, 2, 1}}, 2},
		{"nothing but dropped facets", [][3]mesh.VertexID{{1, 1, 2}, {1, 1, 2}}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			out, from := mustMesh(t, square, tt.faces).Decimated(mesh.Decimation{Facets: 1, Deviation: 1e-3})
			if out.NumFaces() != tt.want || len(from) != tt.want {
				t.Errorf("facets = %d, origins = %d, want %d", out.NumFaces(), len(from), tt.want)
			}
		})
	}
}

func TestDecimatedClosedForAnyShapeAndBound(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := rippled(t, rapid.IntRange(2, 14).Draw(r, "squares"), rapid.Float64Range(0, 4).Draw(r, "waves"))
		out, _ := in.Decimated(mesh.Decimation{
			Facets:    rapid.IntRange(0, in.NumFaces()).Draw(r, "facets"),
			Deviation: rapid.Float64Range(0, 2).Draw(r, "deviation"),
		})
		if use := edgeUse(t, out); len(use) != 1 || use[2] == 0 || euler(out) != 2 {
			r.Fatalf("edges by number of facets = %v, corners − edges + facets = %d", use, euler(out))
		}
		if before, after := slimmest(in), slimmest(out); before >= 1e-3 && after < 1e-3 {
			r.Fatalf("slimmest facet %v, was %v", after, before)
		}
	})
}

// slimmest is the least ratio of twice the area to the squared longest side.
func slimmest(m *mesh.Mesh) float64 {
	least := 1.0
	for i, c := range m.Triangles() {
		longest := max(r3.Norm2(r3.Sub(c[0], c[1])), r3.Norm2(r3.Sub(c[1], c[2])), r3.Norm2(r3.Sub(c[2], c[0])))
		least = min(least, 2*m.FaceArea(mesh.FaceID(i))/longest)
	}
	return least
}

func BenchmarkDecimated(b *testing.B) {
	for _, n := range []int{30, 92, 290} { // 12 n² facets
		in := rippled(b, n, 1)
		for name, limit := range map[string]mesh.Decimation{
			"facets":    {Facets: 2000},
			"deviation": {Deviation: 0.05},
		} {
			b.Run(fmt.Sprintf("%s/tris=%d", name, in.NumFaces()), func(b *testing.B) {
				b.ReportAllocs()
				left := 0
				for b.Loop() {
					out, _ := in.Decimated(limit)
					left = out.NumFaces()
				}
				b.ReportMetric(float64(left), "left")
				b.ReportMetric(float64(in.NumFaces())*float64(b.N)/b.Elapsed().Seconds(), "tris/s")
			})
		}
	}
}
