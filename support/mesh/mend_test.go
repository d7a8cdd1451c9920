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
	"platewright/support/mesh/solid"
)

func TestMend(t *testing.T) {
	box, small := solid.Box(10, 10, 10), solid.At(solid.Box(4, 4, 4), 0, 0, 3)
	tiny := solid.At(solid.Box(2, 2, 2), 0, 0, 4)
	beside := solid.At(box, 20, 0, 0)
	out := solid.InsideOut
	sphere := solid.Sphere(10, 8).Triangles()
	for _, f := range []int{0, 1, 300} {
		sphere[f] = flipped(sphere[f])
	}
	sphereVolume := solid.Sphere(10, 8).Volume()
	tests := []struct {
		name   string
		soup   []mesh.Triangle
		want   mesh.MendReport
		volume float64
	}{
		{"sound", box.Triangles(), mesh.MendReport{}, 1000},
		{"three facets flipped", sphere, mesh.MendReport{Flipped: 3}, sphereVolume},
		{"inside out", out(box).Triangles(), mesh.MendReport{Turned: 1}, 1000},
		{"all but three facets flipped", out(weld(t, sphere)).Triangles(), mesh.MendReport{Flipped: len(sphere) - 3}, sphereVolume},
		{"one of two inside out", solid.Together(box, out(beside)).Triangles(), mesh.MendReport{Turned: 1}, 2000},
		{"both inside out", solid.Together(out(box), out(beside)).Triangles(), mesh.MendReport{Turned: 2}, 2000},
		{"hollow stays", solid.Together(box, out(small)).Triangles(), mesh.MendReport{}, 1000 - 64},
		{"hollow box inside out", solid.Together(out(box), small).Triangles(), mesh.MendReport{Turned: 2}, 1000 - 64},
		{"outer shell inside out", solid.Together(out(box), out(small)).Triangles(), mesh.MendReport{Turned: 1}, 1000 - 64},
		{"solid in solid is left", solid.Together(box, small).Triangles(), mesh.MendReport{}, 1064},
		{"body in a hollow", solid.Together(box, out(small), tiny).Triangles(), mesh.MendReport{}, 1000 - 64 + 8},
		{"body in a hollow inside out", solid.Together(box, out(small), out(tiny)).Triangles(), mesh.MendReport{Turned: 1}, 1000 - 64 + 8},
		{"three nested, all inside out", solid.Together(out(box), small, out(tiny)).Triangles(), mesh.MendReport{Turned: 3}, 1000 - 64 + 8},
		{"inside out and crossing", solid.Together(box, out(solid.At(box, 5, 3, 2))).Triangles(), mesh.MendReport{Undecided: 1}, 0},
		{"touching by a face, inside out", solid.Together(box, out(solid.At(box, 0, 0, 10))).Triangles(), mesh.MendReport{Turned: 1}, 2000},
		// The faces between them are one surface twice: no telling whose.
		{"both inside out, face to face", solid.Together(out(box), out(solid.At(box, 0, 0, 10))).Triangles(), mesh.MendReport{Turned: 1}, 2000},
		{"touching by part of a face, inside out", solid.Together(box, out(solid.At(solid.Box(4, 4, 4), 1, 0, 10))).Triangles(), mesh.MendReport{Turned: 1}, 1064},
		{"hollow against the wall", solid.Together(box, out(solid.At(solid.Box(4, 4, 4), 3, 0, 3))).Triangles(), mesh.MendReport{}, 1000 - 64},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m := weld(t, tt.soup)
			got, report := mesh.Mend(m)
			if report != tt.want {
				t.Errorf("report = %+v, want %+v", report, tt.want)
			}
			if !closeTo(got.Volume(), tt.volume, 1e-9, 1000) {
				t.Errorf("volume = %v, want %v", got.Volume(), tt.volume)
			}
			checkSameShape(t, m, got)
			again, second := mesh.Mend(got)
			if again != got || second.Flipped+second.Turned != 0 {
				t.Errorf("mending twice: %+v", second)
			}
		})
	}
}

// checkSameShape fails unless the meshes have the same facets up to sense.
func checkSameShape(t interface{ Errorf(string, ...any) }, a, b *mesh.Mesh) {
	if !slices.Equal(a.Vertices(), b.Vertices()) || a.NumFaces() != b.NumFaces() {
		t.Errorf("corners or number of facets have changed")
		return
	}
	for f := range a.NumFaces() {
		p, q := a.Face(mesh.FaceID(f)), b.Face(mesh.FaceID(f))
		n := r3.Add(a.Normal(mesh.FaceID(f)), b.Normal(mesh.FaceID(f)))
		switch q {
		case p:
		case [3]mesh.VertexID{p[0], p[2], p[1]}:
			if n != (r3.Vec{}) {
				t.Errorf("facet %d is reversed, its normal is not", f)
			}
		default:
			t.Errorf("facet %d = %v, was %v", f, q, p)
		}
	}
}

func TestMendGivesFlippedSolidsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawSolid(t).Moved(drawPose(t, 100))
		// Less than half the area of each shell.
		topology := mesh.NewTopology(m)
		left := make([]float64, topology.NumShells())
		for s, measures := range topology.MeasureShells() {
			left[s] = measures.Area / 2 * 0.999
		}
		soup, want := m.Triangles(), 0
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		for _, f := range r.Perm(len(soup))[:r.IntN(len(soup))] {
			id := mesh.FaceID(f)
			if s := topology.ShellOf(id); left[s] > m.FaceArea(id) {
				left[s] -= m.FaceArea(id)
				soup[f] = flipped(soup[f])
				want++
			}
		}
		damaged, _, err := mesh.Weld(soup, 0)
		if err != nil {
			t.Fatal(err)
		}
		got, report := mesh.Mend(damaged)
		if report != (mesh.MendReport{Flipped: want}) {
			t.Errorf("report = %+v, want %d flipped", report, want)
		}
		for f := range m.NumFaces() {
			if r3.Norm(r3.Sub(got.Normal(mesh.FaceID(f)), m.Normal(mesh.FaceID(f)))) > 1e-9 {
				t.Fatalf("facet %d faces %v, not %v", f, got.Normal(mesh.FaceID(f)), m.Normal(mesh.FaceID(f)))
			}
		}
	})
}

// moebius is a closed band of n squares with half a twist.
func moebius(t testing.TB, n int) *mesh.Mesh {
	t.Helper()
	at := func(i int, side float64) r3.Vec {
		a := 2 * math.Pi * float64(i) / float64(n)
		if i == n { // the end meets the start the other way up
			a, side = 0, -side
		}
		r := 10 + side*math.Cos(a/2)
		return r3.Vec{X: r * math.Cos(a), Y: r * math.Sin(a), Z: side * math.Sin(a/2)}
	}
	var soup []mesh.Triangle
	for i := range n {
		a, b, c, d := at(i, -1), at(i+1, -1), at(i+1, 1), at(i, 1)
		soup = append(soup, mesh.Triangle{a, b, c}, mesh.Triangle{a, c, d})
	}
	return weld(t, soup)
}

func TestMendLeavesTwistedPatches(t *testing.T) {
	m := moebius(t, 24)
	got, report := mesh.Mend(m)
	if report != (mesh.MendReport{Twisted: 1}) || got != m {
		t.Errorf("report = %+v", report)
	}
	if e := mesh.NewTopology(got).Edges(); e.Flipped != 1 || e.Open != 48 {
		t.Errorf("edges = %+v, want one seam and a rim of 48", e)
	}
	// A sound neighbour is still mended.
	both, report := mesh.Mend(weld(t, solid.Together(m, solid.At(solid.InsideOut(solid.Box(1, 1, 1)), 50, 0, 0)).Triangles()))
	if report != (mesh.MendReport{Twisted: 1, Turned: 1}) {
		t.Errorf("report beside a box = %+v", report)
	}
	if v := mesh.NewTopology(both).MeasureShells()[1].Volume; !closeTo(v, 1, 1e-9, 1) {
		t.Errorf("the box has volume %v", v)
	}
}

func ExampleMend() {
	soup := solid.Sphere(10, 8).Triangles()
	for _, f := range []int{3, 40, 41} {
		soup[f][1], soup[f][2] = soup[f][2], soup[f][1]
	}
	m, _, _ := mesh.Weld(soup, mesh.WeldTolerance)
	_, report := mesh.Mend(m)
	fmt.Println(report.Flipped, "facets turned")
	// Output: 3 facets turned
}
