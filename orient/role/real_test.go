package role

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
)

// realParts reads a folder of real parts beside the repository, or skips the
// test.
func realParts(t testing.TB, folder string) []Part {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if dir == filepath.Dir(dir) {
			t.Fatal("no go.mod above the package")
		}
		dir = filepath.Dir(dir)
	}
	files, err := filepath.Glob(filepath.Join(dir, "..", "shared", "data", "meshes", folder, "*.stl"))
	if err != nil || len(files) == 0 {
		t.Skip("skipped: shared data absent")
	}
	var parts []Part
	for _, path := range files {
		parts = append(parts, Part{Name: filepath.Base(path), Mesh: readMesh(t, path)})
	}
	return parts
}

// readMesh loads a file by the library alone: package partfile, which guards it
// against bad files, stands above this one.
func readMesh(t testing.TB, path string) *mesh.Mesh {
	t.Helper()
	s, err := stl.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	soup := make([]mesh.Triangle, len(s.Triangles))
	for i, tri := range s.Triangles {
		for k, v := range tri.Vertices {
			soup[i][k] = r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}
		}
	}
	m, _, err := mesh.Build(soup)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// ducks keeps the robot body and what was found about it from test to test.
var ducks struct {
	parts    []Part
	assembly Assembly
}

func duck(t testing.TB) ([]Part, Assembly) {
	if ducks.parts == nil {
		ducks.parts = realParts(t, "duck-mm")
		ducks.assembly = Classify(ducks.parts, Settings{})
	}
	return slices.Clone(ducks.parts), ducks.assembly
}

// Joints of a real robot body against points thrown on its parts: a point is
// in contact if a line through it along the normal, to both sides as far as the
// clearance, meets a facet of the other part that faces it.
func TestDuckJointsAgreeWithThrownPoints(t *testing.T) {
	parts, a := duck(t)
	got := map[[2]int]float64{}
	for _, m := range a.Meetings {
		got[[2]int{m.A, m.B}] = m.Area
	}
	random := rand.New(rand.NewPCG(7, 7))
	for i := range parts {
		for j := i + 1; j < len(parts); j++ {
			want := (thrown(random, parts[i].Mesh, parts[j].Mesh) + thrown(random, parts[j].Mesh, parts[i].Mesh)) / 2
			area := got[[2]int{i, j}]
			if math.Abs(area-want) > 0.1*want+5 {
				t.Errorf("%s meets %s on %.0f mm², thrown %.0f", parts[i].Name, parts[j].Name, area, want)
			}
			if area > 0 && (area < 475 || area > 3000) {
				t.Errorf("%s meets %s on %.0f mm²", parts[i].Name, parts[j].Name, area)
			}
		}
	}
	if len(got) != 8 {
		t.Errorf("%d pairs meet, want 8", len(got))
	}
}

const reach = 0.6 // mm, the default clearance

// thrown estimates the area of m that o covers from points on the facets that
// have facets of the other near, all compared with all.
func thrown(random *rand.Rand, m, o *mesh.Mesh) float64 {
	nearby := map[mesh.FaceID][]mesh.FaceID{}
	var mine []mesh.FaceID
	total := 0.0
	theirs := facetsNear(o, m.Bounds())
	for _, f := range facetsNear(m, o.Bounds()) {
		box := boxOf(m, f)
		for _, g := range theirs {
			if r3.Dot(m.Normal(f), o.Normal(g)) < -0.7 && boxesMeet(box, boxOf(o, g)) {
				nearby[f] = append(nearby[f], g)
			}
		}
		if len(nearby[f]) > 0 {
			mine = append(mine, f)
			total += m.FaceArea(f)
		}
	}
	const n = 4000
	hits := 0
	for range n {
		if len(mine) > 0 && covered(random, m, drawn(random, m, mine, total), o, nearby) {
			hits++
		}
	}
	return total * float64(hits) / n
}

// facetsNear lists the facets that come within reach of a box.
func facetsNear(m *mesh.Mesh, b r3.Box) []mesh.FaceID {
	var out []mesh.FaceID
	for f := range m.NumFaces() {
		if boxesMeet(boxOf(m, mesh.FaceID(f)), b) {
			out = append(out, mesh.FaceID(f))
		}
	}
	return out
}

func boxOf(m *mesh.Mesh, f mesh.FaceID) r3.Box {
	a, b, c := m.Corners(f)
	return r3.Box{
		Min: r3.Vec{X: min(a.X, b.X, c.X), Y: min(a.Y, b.Y, c.Y), Z: min(a.Z, b.Z, c.Z)},
		Max: r3.Vec{X: max(a.X, b.X, c.X), Y: max(a.Y, b.Y, c.Y), Z: max(a.Z, b.Z, c.Z)},
	}
}

// boxesMeet reports whether two boxes come within reach of each other.
func boxesMeet(a, b r3.Box) bool {
	gap := max(a.Min.X-b.Max.X, b.Min.X-a.Max.X, a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y, a.Min.Z-b.Max.Z, b.Min.Z-a.Max.Z)
	return gap <= reach
}

// drawn draws a facet by its area.
func drawn(random *rand.Rand, m *mesh.Mesh, list []mesh.FaceID, total float64) mesh.FaceID {
	at := random.Float64() * total
	for _, f := range list {
		if at -= m.FaceArea(f); at <= 0 {
			return f
		}
	}
	return list[len(list)-1]
}

// covered throws one point on a facet.
func covered(random *rand.Rand, m *mesh.Mesh, f mesh.FaceID, o *mesh.Mesh, nearby map[mesh.FaceID][]mesh.FaceID) bool {
	a, b, c := m.Corners(f)
	u, v := random.Float64(), random.Float64()
	if u+v > 1 {
		u, v = 1-u, 1-v
	}
	p := r3.Add(r3.Scale(1-u-v, a), r3.Add(r3.Scale(u, b), r3.Scale(v, c)))
	return slices.ContainsFunc(nearby[f], func(g mesh.FaceID) bool {
		q, r, s := o.Corners(g)
		return planeHit(q, r, s, p, m.Normal(f), reach)
	})
}

func TestDuckTwinsAndRoles(t *testing.T) {
	parts, a := duck(t)
	var names [][2]string
	for _, tw := range a.Twins {
		names = append(names, [2]string{parts[tw.A].Name, parts[tw.B].Name})
		if tw.Alike {
			t.Errorf("%s and %s are alike", parts[tw.A].Name, parts[tw.B].Name)
		}
	}
	if d := cmp.Diff([][2]string{{"left_cache.stl", "right_cache.stl"}}, names); d != "" {
		t.Errorf("twins (-want +got):\n%s", d)
	}
	if len(a.Odd) != 0 || len(a.Unpaired) != 0 || len(a.Clashes) != 0 {
		t.Errorf("odd %v, unpaired %v, clashes %v, want none", a.Odd, a.Unpaired, a.Clashes)
	}
	// The head is a box of some 3 mm wall, open below where its bottom sheet
	// closes it: about half of it is inside.
	for i, p := range parts {
		if p.Name != "head.stl" {
			continue
		}
		by := areas(p.Mesh, a.Roles[i], nil)
		for _, r := range []support.Role{support.Show, support.Hidden} {
			if share := by[r] / by.Sum(); share < 0.4 || share > 0.55 {
				t.Errorf("head: %.2f of the area is %v, want about half", share, r)
			}
		}
		checkAll(t, "top of the head", p.Mesh, a.Roles[i], support.Show, 0, func(n, q r3.Vec) bool { return n.Z > 0.99 && q.Z > p.Mesh.Bounds().Max.Z-0.1 })
	}
}

// The same body with one part in metres.
func TestDuckPartInMetres(t *testing.T) {
	parts, _ := duck(t)
	for i, p := range parts {
		if p.Name == "body_back.stl" {
			parts[i].Mesh = scaled(t, p.Mesh, 1e-3)
			a := Classify(parts, Settings{})
			if len(a.Odd) != 1 || a.Odd[0].Part != i || math.Abs(a.Odd[0].Factor-1000) > 1e-9 || !a.Odd[0].Fits {
				t.Errorf("odd = %+v, want part %d, 1000 times", a.Odd, i)
			}
		}
	}
}

// Parts of a mask, each laid flat for printing about the same origin.
func TestPartsAboutOneOriginDoNotFit(t *testing.T) {
	parts := realParts(t, "shell")
	a := Classify(parts, Settings{})
	if a.Together || len(a.Clashes) == 0 || len(a.Odd) != 0 {
		t.Errorf("together %v, clashes %v, odd %v", a.Together, a.Clashes, a.Odd)
	}
}
