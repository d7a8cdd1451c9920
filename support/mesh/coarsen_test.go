package mesh_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

func TestCoarsenedKeepsSurfacesAndDeviation(t *testing.T) {
	tests := []struct {
		name      string
		in        *mesh.Mesh
		facets    int
		deviation float64 // mm
		euler     int
		left      int // facets, at most
	}{
		{"sphere to a number", sphere(t, 40, 25), 4000, 0.5, 2, 4000},
		// A corner taken out sinks by ρ²/2R under a facet of circumradius ρ.
		// Regular facets of area (3√3/4)ρ² that sink by 0.1 mm would be
		// 4π·625/(1.3·2·25·0.1) = 1209; two and a half times as many will do.
		{"sphere to a deviation", sphere(t, 40, 25), 4, 0.1, 2, 3022},
		// Half and two thirds of what there is.
		{"torus keeps its hole", torus(t, 60), 4, 0.1, 0, 7200},
		{"ripples", rippled(t, 40, 1.5), 4, 0.1, 2, 12800},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			out, _ := tt.in.Coarsened(mesh.Decimation{Facets: tt.facets, Deviation: tt.deviation})
			if n := out.NumFaces(); n > tt.left || n < tt.facets-1 {
				t.Errorf("facets = %d of %d, want %d at most", n, tt.in.NumFaces(), tt.left)
			}
			if use := edgeUse(t, out); len(use) != 1 || use[2] == 0 {
				t.Errorf("edges by number of facets = %v, want only 2", use)
			}
			if e := euler(out); e != tt.euler {
				t.Errorf("corners − edges + facets = %d, want %d", e, tt.euler)
			}
			if off := farthestCorner(tt.in, out, 29); off > tt.deviation*(1+1e-9) {
				t.Errorf("a corner is %.4f mm off, want %.4f at most", off, tt.deviation)
			}
			if off := farthestCorner(out, tt.in, 29); off != 0 {
				t.Errorf("a corner left has moved by %g mm", off)
			}
			if slim := slimmest(out); slim < 0.1 {
				t.Errorf("the slimmest facet has %.3f times its longest side squared, want 0.1", slim)
			}
		})
	}
}

// farthestCorner is the greatest distance from every step-th corner of a mesh
// to another, by trying every facet.
func farthestCorner(from, to *mesh.Mesh, step int) float64 {
	worst := 0.0
	triangles := to.Triangles()
	for v := 0; v < from.NumVertices(); v += step {
		p := from.Vertex(mesh.VertexID(v))
		best := math.Inf(1)
		for _, c := range triangles {
			for _, corner := range c {
				if corner == p {
					best = 0
				}
			}
			best = min(best, slowGap(p, c))
		}
		worst = max(worst, best)
	}
	return worst
}

// A cube's faces lose their corners, its edges do not; a bowl's rim stays.
func TestCoarsenedKeepsCreasesAndRims(t *testing.T) {
	cube := griddedCube(t, 20, func(p r3.Vec) r3.Vec { return r3.Scale(10, p) })
	out, from := cube.Coarsened(mesh.Decimation{Facets: 4, Deviation: 0.1})
	if out.NumFaces() > cube.NumFaces()/3 {
		t.Errorf("%d of %d facets are left", out.NumFaces(), cube.NumFaces())
	}
	if v := signedVolume(out); math.Abs(v-8000) > 1e-9 {
		t.Errorf("volume = %v, want 8000", v)
	}
	edges := 0
	for _, v := range out.Vertices() {
		at := 0
		for _, x := range [3]float64{v.X, v.Y, v.Z} {
			if math.Abs(x) == 10 {
				at++
			}
		}
		edges += at / 2
	}
	if edges != 12*19+8 {
		t.Errorf("%d corners on the edges of the cube, want all %d", edges, 12*19+8)
	}
	for i, f := range from {
		if r3.Norm(r3.Sub(out.Normal(mesh.FaceID(i)), cube.Normal(f))) > 1e-12 {
			t.Fatalf("facet %d faces %v, the one it comes from %v", i, out.Normal(mesh.FaceID(i)), cube.Normal(f))
		}
	}
	whole := sphere(t, 30, 25)
	pricked := mustMesh(t, whole.Vertices(), slices.DeleteFunc(slices.Clone(whole.Faces()), func(f [3]mesh.VertexID) bool { return f[0]%100 == 0 }))
	for _, open := range []*mesh.Mesh{bowl(t, 30), pricked} {
		out, _ = open.Coarsened(mesh.Decimation{Facets: 4, Deviation: 0.2})
		if got, want := edgeUse(t, out)[1], edgeUse(t, open)[1]; got != want || out.NumFaces() > open.NumFaces()/2 {
			t.Errorf("%d edges at the rim, want %d; %d of %d facets", got, want, out.NumFaces(), open.NumFaces())
		}
	}
}

// A sheet that folds over itself covers more than its outline.
func TestCoarsenedNeverFoldsFlatSheet(t *testing.T) {
	for seed := range uint64(20) {
		random := rand.New(rand.NewPCG(seed, 8))
		const n = 24
		in := wrapped(t, n, n, false, false, func(u, v float64) r3.Vec {
			p := r3.Vec{X: u, Y: v}
			if u > 0 && u < 1 && v > 0 && v < 1 {
				p = r3.Add(p, r3.Vec{X: (random.Float64() - 0.5) * 0.4 / n, Y: (random.Float64() - 0.5) * 0.4 / n})
			}
			return r3.Scale(50, p)
		})
		out, _ := in.Coarsened(mesh.Decimation{Facets: 4, Deviation: 10})
		if area := out.Area(); math.Abs(area-2500) > 1e-6 || out.NumFaces() > in.NumFaces()/3 {
			t.Errorf("seed %d: area %.9f, want 2500; %d of %d facets", seed, area, out.NumFaces(), in.NumFaces())
		}
	}
}

func TestCoarsenedKeepsBordersOfGroups(t *testing.T) {
	in := sphere(t, 30, 25)
	groups := make([]uint16, in.NumFaces())
	for i, c := range in.Triangles() {
		if c[0].Z+c[1].Z+c[2].Z > 0 {
			groups[i] = 1
		}
	}
	out, from := in.Coarsened(mesh.Decimation{Facets: 300, Deviation: 1, Groups: groups})
	sides := map[mesh.VertexID]uint8{}
	for i, f := range out.Faces() {
		for _, v := range f {
			sides[v] |= 1 << groups[from[i]]
		}
	}
	on := 0
	for v, s := range sides {
		if s == 3 {
			on++
			if z := out.Vertex(v).Z; z != 0 {
				t.Errorf("corner %d between the groups is at z = %v, want 0", v, z)
			}
		}
	}
	if on != 120 {
		t.Errorf("%d corners between the groups, want all 120", on)
	}
}

// Whatever the shape: closed stays closed, nothing turns inside out. Shapes
// with noise on them, so that little is smooth.
func TestCoarsenedNoisyShapes(t *testing.T) {
	for seed := range uint64(30) {
		random := rand.New(rand.NewPCG(seed, 5))
		noise := 0.3 * random.Float64() * random.Float64()
		in := griddedCube(t, 12+random.IntN(10), func(p r3.Vec) r3.Vec {
			r := 20 + noise*random.NormFloat64() + 4*math.Sin(4*p.X)*math.Cos(3*p.Y)
			return r3.Scale(r, r3.Unit(p))
		})
		deviation := 0.02 + random.Float64()
		out, _ := in.Coarsened(mesh.Decimation{Facets: 4 + random.IntN(500), Deviation: deviation})
		if use := edgeUse(t, out); len(use) != 1 || use[2] == 0 || euler(out) != 2 {
			t.Errorf("seed %d: edges by number of facets = %v, corners − edges + facets = %d", seed, use, euler(out))
		}
		if got, want := signedVolume(out), signedVolume(in); math.Abs(got-want) > in.Area()*deviation {
			t.Errorf("seed %d: volume %.0f, was %.0f", seed, got, want)
		}
		if off := farthestCorner(in, out, 97); off > deviation*(1+1e-9) {
			t.Errorf("seed %d: a corner is %.4f mm off, want %.4f at most", seed, off, deviation)
		}
	}
}

// Damaged meshes: an edge of three facets, a facet that names a corner twice,
// two spheres that share a corner.
func TestCoarsenedDamagedMeshes(t *testing.T) {
	ball := sphere(t, 12, 10)
	vertices, faces := slices.Clone(ball.Vertices()), slices.Clone(ball.Faces())
	vertices = append(vertices, r3.Vec{X: 40})
	faces = append(faces, [3]mesh.VertexID{faces[0][0], faces[0][1], mesh.VertexID(len(vertices) - 1)}, [3]mesh.VertexID{3, 3, 5})
	n := mesh.VertexID(len(vertices))
	at := func(v mesh.VertexID) mesh.VertexID {
		if v == 0 {
			return 0
		}
		return v + n
	}
	for _, v := range ball.Vertices() {
		vertices = append(vertices, r3.Sub(r3.Scale(2, ball.Vertex(0)), v))
	}
	for _, f := range ball.Faces() {
		faces = append(faces, [3]mesh.VertexID{at(f[0]), at(f[2]), at(f[1])})
	}
	in := mustMesh(t, vertices, faces)
	out, from := in.Coarsened(mesh.Decimation{Facets: 100, Deviation: 0.5})
	if len(from) != out.NumFaces() || out.NumFaces() > in.NumFaces()/2 {
		t.Errorf("%d of %d facets, named %d", out.NumFaces(), in.NumFaces(), len(from))
	}
	uses, count := map[[2]mesh.VertexID]int{}, [4]int{}
	for _, f := range out.Faces() {
		for k := range 3 {
			uses[[2]mesh.VertexID{min(f[k], f[(k+1)%3]), max(f[k], f[(k+1)%3])}]++
		}
	}
	for _, n := range uses {
		count[n]++
	}
	if count[1] != 2 || count[3] != 1 {
		t.Errorf("edges by number of facets = %v, want 2 of one and one of three", count)
	}
}

func TestCoarsenedIsRepeatableAndHasBounds(t *testing.T) {
	in := rippled(t, 20, 1)
	limit := mesh.Decimation{Facets: 500, Deviation: 0.2}
	a, fromA := in.Coarsened(limit)
	b, fromB := in.Coarsened(limit)
	if !slices.Equal(a.Vertices(), b.Vertices()) || !slices.Equal(a.Faces(), b.Faces()) || !slices.Equal(fromA, fromB) {
		t.Error("two runs differ")
	}
	for _, limit := range []mesh.Decimation{{Facets: 500}, {Facets: in.NumFaces(), Deviation: 1}} {
		if out, from := in.Coarsened(limit); out != in || len(from) != in.NumFaces() {
			t.Errorf("%+v: another mesh", limit)
		}
	}
}

func BenchmarkCoarsened(b *testing.B) {
	for _, n := range []int{30, 92, 290} { // 12 n² facets
		in := rippled(b, n, 1)
		b.Run(fmt.Sprintf("tris=%d", in.NumFaces()), func(b *testing.B) {
			b.ReportAllocs()
			left := 0
			for b.Loop() {
				out, _ := in.Coarsened(mesh.Decimation{Facets: 8000, Deviation: 0.05})
				left = out.NumFaces()
			}
			b.ReportMetric(float64(left), "left")
			b.ReportMetric(float64(in.NumFaces())*float64(b.N)/b.Elapsed().Seconds(), "tris/s")
		})
	}
}
