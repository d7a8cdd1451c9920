package mesh_test

import (
	"fmt"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// slowEdges counts the uses of each edge by a map, sharing no code with the
// sorting that NewTopology does.
func slowEdges(m *mesh.Mesh) (c mesh.EdgeCount) {
	type use struct{ up, down int }
	uses := map[[2]mesh.VertexID]use{}
	for _, f := range m.Faces() {
		for k := range 3 {
			a, b := f[k], f[(k+1)%3]
			u := uses[[2]mesh.VertexID{min(a, b), max(a, b)}]
			if a < b {
				u.up++
			} else {
				u.down++
			}
			uses[[2]mesh.VertexID{min(a, b), max(a, b)}] = u
		}
	}
	for _, u := range uses {
		switch n := u.up + u.down; {
		case n == 1:
			c.Open++
		case n == 2 && u.up != u.down:
			c.Flipped++
		case n > 2:
			c.NonManifold++
			if u.up != u.down {
				c.Unbalanced++
			}
		}
	}
	return c
}

func boxSoup() []mesh.Triangle { return solid.Box(10, 20, 30).Triangles() }

func TestTopologyCountsDefects(t *testing.T) {
	box := boxSoup()
	sphere := solid.Sphere(10, 8).Triangles()
	apart := slices.Clone(sphere)
	for _, f := range []int{0, 100, 300} { // no two share a corner
		apart[f] = flipped(apart[f])
	}
	tests := []struct {
		name   string
		soup   []mesh.Triangle
		want   mesh.EdgeCount
		closed bool
		shells int
	}{
		{"sound box", box, mesh.EdgeCount{}, true, 1},
		{"one facet dropped", box[1:], mesh.EdgeCount{Open: 3}, false, 1},
		{"three facets flipped", apart, mesh.EdgeCount{Flipped: 9}, false, 1},
		{"one facet doubled", append(slices.Clone(box), box[0]), mesh.EdgeCount{NonManifold: 3, Unbalanced: 3}, false, 1},
		{"one facet alone", box[:1], mesh.EdgeCount{Open: 3}, false, 1},
		{"flake: a facet and its back", []mesh.Triangle{box[0], flipped(box[0])}, mesh.EdgeCount{}, true, 1},
		{"flake on a box", append([]mesh.Triangle{box[0], flipped(box[0])}, box...), mesh.EdgeCount{NonManifold: 3}, true, 2},
		{"fin on an edge", append(slices.Clone(box), mesh.Triangle{{X: -5, Y: -10}, {X: 5, Y: -10}, {Y: -30}}),
			mesh.EdgeCount{Open: 2, NonManifold: 1, Unbalanced: 1}, false, 1},
		{"all inside out", solid.InsideOut(solid.Box(1, 2, 3)).Triangles(), mesh.EdgeCount{}, true, 1},
		{"hollow box", solid.HollowBox(9, 9, 9, 1).Triangles(), mesh.EdgeCount{}, true, 2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m := weld(t, tt.soup)
			topology := mesh.NewTopology(m)
			if got := topology.Edges(); got != tt.want || got != slowEdges(m) {
				t.Errorf("Edges = %+v, want %+v, counted slowly %+v", got, tt.want, slowEdges(m))
			}
			if topology.IsClosed() != tt.closed {
				t.Errorf("IsClosed = %v", topology.IsClosed())
			}
			if topology.NumShells() != tt.shells {
				t.Errorf("%d shells, want %d", topology.NumShells(), tt.shells)
			}
		})
	}
}

func TestTouchingBodiesAreTwoShells(t *testing.T) {
	box := solid.Box(10, 10, 10)
	quarter := solid.Tetrahedron(10)
	tests := []struct {
		name        string
		m           *mesh.Mesh
		nonManifold int
		shells      int
	}{
		{"along an edge", solid.Together(box, solid.At(box, 10, 0, 10)), 1, 2},
		{"by a whole face, same corners", solid.Together(box, solid.At(box, 0, 0, 10)), 4, 2},
		{"by a whole face, other side out", solid.Together(box, solid.InsideOut(solid.At(box, 0, 0, 10))), 4, 2},
		{"in a corner", solid.Together(box, solid.At(box, 10, 10, 10)), 0, 2},
		{"four round one edge", solid.Together(box, solid.At(box, 10, 0, 0), solid.At(box, 0, 0, 10), solid.At(box, 10, 0, 10)), 4*4 - 3, 4},
		{"tetrahedra base to base", solid.Together(quarter, solid.InsideOut(mirrored(t, quarter))), 3, 2},
	}
	for _, tt := range tests {
		for _, pose := range []mesh.Pose{{Frame: mesh.Identity()}, tilted(t)} {
			m := weld(t, single(tt.m.Moved(pose).Triangles()))
			topology := mesh.NewTopology(m)
			if !topology.IsClosed() || topology.NumShells() != tt.shells || topology.Edges().NonManifold != tt.nonManifold {
				t.Errorf("%s: closed %v, %d shells, %+v, want %d shells, %d non-manifold edges", tt.name,
					topology.IsClosed(), topology.NumShells(), topology.Edges(), tt.shells, tt.nonManifold)
			}
			for s := range topology.NumShells() {
				if shell := topology.Shell(mesh.ShellID(s)); !shell.Closed || shell.Faces != m.NumFaces()/tt.shells {
					t.Errorf("%s: shell %d = %+v", tt.name, s, shell)
				}
			}
		}
	}
}

// mirrored returns the mesh mirrored in z = 0, corners only.
func mirrored(t testing.TB, m *mesh.Mesh) *mesh.Mesh {
	t.Helper()
	v := slices.Clone(m.Vertices())
	for i := range v {
		v[i].Z = -v[i].Z
	}
	out, err := mesh.New(v, m.Faces())
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// tilted is a pose with no axis along another.
func tilted(t testing.TB) mesh.Pose {
	t.Helper()
	up, err := mesh.NewDirection(r3.Vec{X: 0.3, Y: -0.5, Z: 0.7})
	if err != nil {
		t.Fatal(err)
	}
	return mesh.Pose{Frame: mesh.Upright(up).Spun(0.4), Shift: r3.Vec{X: 31, Y: -17, Z: 90}}
}

func TestShellsPartitionTheFacets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := solid.Together(drawSolid(t), solid.At(drawSolid(t), 1000, 0, 0))
		w, _, err := mesh.Weld(shuffledSoup(m, rapid.Uint64().Draw(t, "seed")), mesh.WeldTolerance)
		if err != nil {
			t.Fatal(err)
		}
		topology := mesh.NewTopology(w)
		faces := make([]int, topology.NumShells())
		for f := range w.NumFaces() {
			id := mesh.FaceID(f)
			s := topology.ShellOf(id)
			if faces[s]++; faces[s] == 1 && topology.Shell(s).First != id {
				t.Errorf("shell %d begins at %d, not %d", s, id, topology.Shell(s).First)
			}
			for k := range 3 {
				g, ok := topology.Neighbour(id, k)
				if !ok || topology.ShellOf(g) != s {
					t.Fatalf("facet %d has no neighbour of its shell over edge %d", f, k)
				}
			}
		}
		sum := 0
		for s, n := range faces {
			sum += n
			if topology.Shell(mesh.ShellID(s)).Faces != n {
				t.Errorf("shell %d: %+v, counted %d", s, topology.Shell(mesh.ShellID(s)), n)
			}
		}
		if sum != w.NumFaces() {
			t.Errorf("shells hold %d of %d facets", sum, w.NumFaces())
		}
	})
}

func TestEdgeCountOfBrokenSoup(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawSolid(t)
		soup := m.Triangles()
		for range rapid.IntRange(0, 5).Draw(t, "faults") {
			i := rapid.IntRange(0, len(soup)-1).Draw(t, "facet")
			switch rapid.SampledFrom([]string{"drop", "flip", "double"}).Draw(t, "fault") {
			case "drop":
				soup = slices.Delete(soup, i, i+1)
			case "flip":
				soup[i] = flipped(soup[i])
			case "double":
				soup = append(soup, soup[i])
			}
		}
		w, _, err := mesh.Weld(soup, 0)
		if err != nil {
			t.Skip("nothing left")
		}
		if got, want := mesh.NewTopology(w).Edges(), slowEdges(w); got != want {
			t.Errorf("Edges = %+v, want %+v", got, want)
		}
	})
}

func ExampleNewTopology() {
	soup := solid.Box(10, 20, 30).Triangles()
	m, _, _ := mesh.Weld(soup[1:], mesh.WeldTolerance) // one facet is missing
	topology := mesh.NewTopology(m)
	fmt.Println(topology.Edges().Open, topology.IsClosed())
	// Output: 3 false
}

func BenchmarkTopology(b *testing.B) {
	for _, size := range ladder {
		m := weld(b, shuffledSoup(solid.Sphere(100, size.n), 1))
		b.Run("tris="+size.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if !mesh.NewTopology(m).IsClosed() {
					b.Fatal("open")
				}
			}
			b.ReportMetric(float64(m.NumFaces()*b.N)/b.Elapsed().Seconds(), "tris/s")
		})
	}
}
