package mesh_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func TestNotes(t *testing.T) {
	box := solid.Box(10, 10, 10)
	at, out := solid.At, solid.InsideOut
	soup := box.Triangles
	double := func() []mesh.Triangle { return append(soup(), soup()[0]) }
	flip := func(m *mesh.Mesh, facets ...int) []mesh.Triangle {
		s := m.Triangles()
		for _, f := range facets {
			s[f] = flipped(s[f])
		}
		return s
	}
	tests := []struct {
		name string
		soup []mesh.Triangle
		want map[string][]string // code to what its text must contain
	}{
		{"sound", soup(), nil},
		{"facet missing", soup()[1:], map[string][]string{
			mesh.NoteOpen: {"3 edges have", "y -5.0, z 5.0 mm"}}},
		{"two corners equal", append([]mesh.Triangle{{{X: 5, Y: 5}, {X: 5, Y: 5}, {X: 5, Y: -5}}}, soup()...), map[string][]string{
			mesh.NoteDegenerate: {"1 facet has two corners in one place and was left out"}}},
		{"needle on an edge", splitEdge(t), map[string][]string{
			mesh.NoteDegenerate: {"1 facet has its corners on one line and was kept"}}},
		{"small gap", moveCorner(soup(), 0, 0, r3.Vec{X: 1e-6}), map[string][]string{
			mesh.NoteGaps: {"4 edges lay open; 1 corner within", "was joined to it, and no edge is open now"}}},
		{"small gap and a hole", moveCorner(soup()[1:], 10, 0, r3.Vec{X: 1e-6}), map[string][]string{
			mesh.NoteGaps: {"7 edges lay open", "3 edges are still open"}, mesh.NoteOpen: {"3 edges have"}}},
		{"three facets flipped", flip(solid.Sphere(10, 8), 0, 100, 300), map[string][]string{
			mesh.NoteFlipped: {"3 facets faced the other way", "were turned to agree"}}},
		{"twisted", moebius(t, 24).Triangles(), map[string][]string{
			mesh.NoteFlipped: {"At 1 edge two facets disagree", "Möbius"}, mesh.NoteOpen: {"48 edges have"}}},
		{"inside out", out(box).Triangles(), map[string][]string{
			mesh.NoteInsideOut: {"1 of 1 shell was inside out and was turned round"}}},
		{"two of three inside out", solid.Together(out(box), out(at(box, 10, 1, 0)), at(box, 20, 0, 0)).Triangles(), map[string][]string{
			mesh.NoteInsideOut: {"2 of 3 shells were inside out"}}},
		{"touching along an edge", solid.Together(box, at(box, 10, 0, 10)).Triangles(), map[string][]string{
			mesh.NoteNonManifold: {"At 1 edge more than two facets meet, as many"}}},
		{"crossing, inside out", solid.Together(box, out(at(box, 5, 3, 2))).Triangles(), map[string][]string{
			mesh.NoteInsideOut: {"1 shell faces in and crosses another"}, mesh.NoteOverlap: {"1 pair of shells passes"}}},
		{"facet doubled", double(), map[string][]string{
			mesh.NoteNonManifold: {"At 3 edges more than two facets meet and do not make up a surface"}}},
		{"flake", append([]mesh.Triangle{soup()[0], flipped(soup()[0])}, soup()...), map[string][]string{
			mesh.NoteFlakes: {"1 flat flake of facets back to back encloses nothing"}, mesh.NoteNonManifold: {"At 3 edges"}}},
		{"overlap", solid.Together(box, at(box, 3, 4, 5), at(box, -3, -4, 5)).Triangles(), map[string][]string{
			mesh.NoteOverlap: {"3 pairs of shells pass through each other"}}},
		{"nested", solid.Together(box, at(solid.Box(2, 2, 2), 0, 0, 4)).Triangles(), map[string][]string{
			mesh.NoteOverlap: {"1 shell lies inside another solid and faces out"}}},
		{"hollow", solid.HollowBox(10, 10, 10, 1).Triangles(), map[string][]string{
			mesh.NoteHollows: {"1 closed hollow lies inside"}}},
		{"touching by a face", solid.Together(box, at(solid.Box(3, 3, 3), 1, 1, 10)).Triangles(), nil},
		{"two lumps", solid.Together(box, at(box, 20, 0, 0)).Triangles(), map[string][]string{
			mesh.NoteLumps: {"2 lumps"}}},
		{"loose in a hollow", solid.Together(solid.HollowBox(10, 10, 10, 1), at(solid.Box(2, 2, 2), 0, 0, 4)).Triangles(), map[string][]string{
			mesh.NoteHollows: {"1 closed hollow"}, mesh.NoteLumps: {"2 lumps"}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, report := build(t, tt.soup)
			notes := report.Notes()
			if len(notes) != len(tt.want) {
				t.Errorf("%d notes, want %d: %v", len(notes), len(tt.want), notes)
			}
			for _, n := range notes {
				for _, part := range tt.want[n.Code] {
					if !strings.Contains(n.Text, part) {
						t.Errorf("note %q: %q does not contain %q", n.Code, n.Text, part)
					}
				}
				if tt.want[n.Code] == nil {
					t.Errorf("unexpected note %q: %s", n.Code, n.Text)
				}
			}
		})
	}
}

// splitEdge returns a closed box one edge of which has a corner amid it on one
// side only, the other being closed by a facet without area.
func splitEdge(t testing.TB) []mesh.Triangle {
	t.Helper()
	soup := solid.Box(10, 10, 10).Triangles()
	s := soup[0]
	mid := r3.Scale(0.5, r3.Add(s[0], s[1]))
	return append(soup[1:], mesh.Triangle{s[0], mid, s[2]}, mesh.Triangle{mid, s[1], s[2]}, mesh.Triangle{s[0], s[1], mid})
}

func TestFindings(t *testing.T) {
	box := solid.Box(10, 10, 10)
	at := solid.At
	hollow := solid.HollowBox(20, 20, 20, 1)
	tests := []struct {
		name string
		m    *mesh.Mesh
		want mesh.Findings // Contacts are not compared
	}{
		{"one", box, mesh.Findings{Shells: 1, Lumps: 1}},
		{"two, touching in a corner", solid.Together(box, at(box, 10, 10, 10)), mesh.Findings{Shells: 2, Lumps: 1}},
		{"chain of three", solid.Together(box, at(box, 16, 0, 0), at(box, 8, 0, 3)), mesh.Findings{Shells: 3, Lumps: 1}},
		{"three apart", solid.Together(box, at(box, 16, 0, 0), at(box, 0, 30, 0)), mesh.Findings{Shells: 3, Lumps: 3}},
		{"loose body in a hollow", solid.Together(hollow, at(box, 0, 0, 5)), mesh.Findings{Shells: 3, Hollows: 1, Lumps: 2}},
		{"body in a hollow, held", solid.Together(hollow, at(box, 0, 0, 1)), mesh.Findings{Shells: 3, Hollows: 1, Lumps: 1}},
		{"inside out, not mended", solid.InsideOut(box), mesh.Findings{Shells: 1, FacingIn: 1, Lumps: 1}},
		{"doubled", solid.Together(box, box), mesh.Findings{Shells: 2, Nested: 1, Lumps: 1}},
	}
	for _, tt := range tests {
		got := mesh.Check(tt.m)
		got.Contacts = mesh.Contacts{}
		if got.FirstBad != (r3.Vec{}) || got.Edges != tt.want.Edges || got.Shells != tt.want.Shells || got.Flakes != tt.want.Flakes ||
			got.Hollows != tt.want.Hollows || got.FacingIn != tt.want.FacingIn || got.Nested != tt.want.Nested || got.Lumps != tt.want.Lumps {
			t.Errorf("%s: Check = %+v, want %+v", tt.name, got, tt.want)
		}
	}
}

func TestBuildGivesUpTooManyShells(t *testing.T) {
	// 1500 balls in one place: more than a million pairs.
	ball := solid.Tetrahedron(1)
	parts := make([]*mesh.Mesh, 1500)
	for i := range parts {
		parts[i] = at1e6(ball, i)
	}
	f := mesh.Check(solid.Together(parts...))
	if !f.Contacts.Partial || f.Lumps != 0 {
		t.Errorf("Partial = %v, Lumps = %d", f.Contacts.Partial, f.Lumps)
	}
	if notes := (mesh.Report{Findings: f}).Notes(); !slices.ContainsFunc(notes, func(n mesh.Note) bool {
		return n.Code == mesh.NoteUnchecked && strings.Contains(n.Text, "1500 shells")
	}) {
		t.Errorf("notes = %v", notes)
	}
}

// at1e6 shifts a little, so that no two are the same.
func at1e6(m *mesh.Mesh, i int) *mesh.Mesh { return solid.At(m, float64(i)*1e-4, 0, 0) }

func TestBuildReportsWhatWeldRefused(t *testing.T) {
	_, report, err := mesh.Build([]mesh.Triangle{{{X: math.NaN()}}})
	if err == nil || report.Weld.Facets != 1 {
		t.Errorf("Build = %+v, %v", report, err)
	}
}

func ExampleBuild() {
	soup := solid.Together(solid.Box(10, 10, 10), solid.InsideOut(solid.At(solid.Box(10, 10, 10), 10, 0, 0))).Triangles()
	m, report, err := mesh.Build(soup)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f mm³\n", m.Volume())
	for _, n := range report.Notes() {
		if n.Code == mesh.NoteInsideOut {
			fmt.Println(n.Text)
		}
	}
	// Output:
	// 2000 mm³
	// 1 of 2 shells was inside out and was turned round. Nothing to do.
}

func BenchmarkBuild(b *testing.B) {
	for _, size := range ladder {
		n := int(float64(size.n) / math.Sqrt2)
		ball := solid.Sphere(100, n)
		soup := shuffledSoup(solid.Together(ball, solid.InsideOut(solid.At(solid.Sphere(99, n), 0, 0, 1))), 1)
		b.Run("tris="+size.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := mesh.Build(soup); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(soup)*b.N)/b.Elapsed().Seconds(), "tris/s")
		})
	}
}

// TestBuildTakesAnyGarbage draws triangles on a tiny grid, so that facets
// coincide, cross and share edges in every way.
func TestBuildTakesAnyGarbage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		soup := make([]mesh.Triangle, 1+r.IntN(80))
		for i := range soup {
			for k := range soup[i] {
				soup[i][k] = r3.Vec{X: float64(r.IntN(3)), Y: float64(r.IntN(3)), Z: float64(r.IntN(3))}
			}
		}
		m, report, err := mesh.Build(soup)
		if err != nil {
			if !errors.Is(err, mesh.ErrEmpty) {
				t.Error(err)
			}
			return
		}
		if got := slowEdges(m); got != report.Edges {
			t.Errorf("Edges = %+v, counted slowly %+v", report.Edges, got)
		}
		if _, again := mesh.Mend(m); again.Flipped != 0 || again.Turned != 0 {
			t.Errorf("mended twice: %+v, then %+v", report.Mend, again)
		}
		for _, n := range report.Notes() {
			if n.Text == "" || strings.Contains(n.Text, "%!") {
				t.Errorf("note %q: %q", n.Code, n.Text)
			}
		}
		if h, err := mesh.Hull(m); err == nil {
			checkHull(t, m, h)
		} else if !errors.Is(err, mesh.ErrFlat) {
			t.Error(err)
		}
	})
}
