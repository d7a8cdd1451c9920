package role

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
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

// Joints of a real robot body against points thrown on its parts: a point is
// in contact if a line through it along the normal, to both sides as far as the
// clearance, meets a facet of the other part that faces it.
func TestDuckJointsAgreeWithThrownPoints(t *testing.T) {
	parts := realParts(t, "duck-mm")
	a := Classify(parts, Settings{})
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

// thrown estimates the area of m that o covers, from points on the facets that
// come near the other's box.
func thrown(random *rand.Rand, m, o *mesh.Mesh) float64 {
	var mine, theirs []mesh.FaceID
	total := 0.0
	for f := range m.NumFaces() {
		if boxesMeet(m, mesh.FaceID(f), o.Bounds()) {
			mine = append(mine, mesh.FaceID(f))
			total += m.FaceArea(mesh.FaceID(f))
		}
	}
	for g := range o.NumFaces() {
		if boxesMeet(o, mesh.FaceID(g), m.Bounds()) {
			theirs = append(theirs, mesh.FaceID(g))
		}
	}
	if len(mine) == 0 || len(theirs) == 0 {
		return 0
	}
	const n = 12_000
	hits := 0
	for range n {
		at := random.Float64() * total
		k := 0
		for ; k < len(mine)-1 && at > m.FaceArea(mine[k]); k++ {
			at -= m.FaceArea(mine[k])
		}
		if contact(random, m, mine[k], o, theirs) {
			hits++
		}
	}
	return total * float64(hits) / n
}

// contact throws one point on a facet.
func contact(random *rand.Rand, m *mesh.Mesh, f mesh.FaceID, o *mesh.Mesh, theirs []mesh.FaceID) bool {
	a, b, c := m.Corners(f)
	u, v := random.Float64(), random.Float64()
	if u+v > 1 {
		u, v = 1-u, 1-v
	}
	p := r3.Add(r3.Scale(1-u-v, a), r3.Add(r3.Scale(u, b), r3.Scale(v, c)))
	for _, g := range theirs {
		if r3.Dot(m.Normal(f), o.Normal(g)) < -0.7 {
			q, r, s := o.Corners(g)
			if planeHit(q, r, s, p, m.Normal(f), reach) {
				return true
			}
		}
	}
	return false
}

// boxesMeet reports whether a facet's box comes within reach of another box.
func boxesMeet(m *mesh.Mesh, f mesh.FaceID, b r3.Box) bool {
	for _, e := range []struct {
		axis   r3.Vec
		lo, hi float64
	}{{r3.Vec{X: 1}, b.Min.X, b.Max.X}, {r3.Vec{Y: 1}, b.Min.Y, b.Max.Y}, {r3.Vec{Z: 1}, b.Min.Z, b.Max.Z}} {
		if lo, hi := alongAxis(m, f, e.axis); lo > e.hi+reach || hi < e.lo-reach {
			return false
		}
	}
	return true
}

func TestDuckTwinsAndRoles(t *testing.T) {
	parts := realParts(t, "duck-mm")
	a := Classify(parts, Settings{})
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
	parts := realParts(t, "duck-mm")
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
