package role

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func partsOf(meshes ...*mesh.Mesh) []Part {
	var out []Part
	for i, m := range meshes {
		out = append(out, Part{Name: string(rune('a' + i)), Mesh: m})
	}
	return out
}

// rolesOf classifies one part alone.
func rolesOf(m *mesh.Mesh) []support.Role { return Classify(partsOf(m), Settings{}).Roles[0] }

// checkAll fails unless all of the facets wanted have the role, bar a share of
// their area.
func checkAll(t *testing.T, what string, m *mesh.Mesh, roles []support.Role, want support.Role, bar float64, wanted func(n, p r3.Vec) bool) {
	t.Helper()
	by := areas(m, roles, wanted)
	if by.Sum() == 0 {
		t.Fatalf("%s: no such facet", what)
	}
	if by[want] < (1-bar)*by.Sum() {
		t.Errorf("%s: show %.1f, joint %.1f, hidden %.1f mm², want all %v", what, by[0], by[1], by[2], want)
	}
}

func TestShellAlone(t *testing.T) {
	for _, tt := range []struct {
		ro, ri float64
		n      int
	}{
		{100, 97, 24}, // the helmet-like shell
		{100, 97, 6},
		{50, 45, 60},
		{10, 9, 12},
		{10, 8.5, 5},
	} {
		m := solid.HemisphericalShell(tt.ro, tt.ri, tt.n)
		roles := rolesOf(m)
		checkAll(t, "outside", m, roles, support.Show, 0, func(n, p r3.Vec) bool { return r3.Dot(n, p) > tt.ro/2 })
		checkAll(t, "inside", m, roles, support.Hidden, 0, func(n, p r3.Vec) bool { return r3.Dot(n, p) < -tt.ri/2 })
		checkAll(t, "rim", m, roles, support.Joint, 0, func(n, p r3.Vec) bool { return n.Z < -0.99 && p.Z < 1e-6 })
	}
}

// A rim that is rounded joins both skins in one smooth surface.
func TestShellWithRoundRimAlone(t *testing.T) {
	const ro, ri = 60, 56
	var profile [][2]float64
	for i := range 30 { // down the inside, from the hole on top
		sin, cos := math.Sincos((2 + 88*float64(i)/29) * math.Pi / 180)
		profile = append(profile, [2]float64{ri * sin, ri * cos})
	}
	for i := range 7 { // round the rim
		sin, cos := math.Sincos(math.Pi * float64(i+1) / 8)
		profile = append(profile, [2]float64{(ri+ro)/2 - 2*cos, -2 * sin})
	}
	for i := range 30 { // up the outside
		sin, cos := math.Sincos((90 - 88*float64(i)/29) * math.Pi / 180)
		profile = append(profile, [2]float64{ro * sin, ro * cos})
	}
	m := revolved(t, profile, 90)
	roles := rolesOf(m)
	dome := func(p r3.Vec) bool { return p.Z > 3 && p.Z < 50 }
	checkAll(t, "outside", m, roles, support.Show, 0.01, func(n, p r3.Vec) bool { return dome(p) && r3.Dot(n, p) > ro/2 })
	checkAll(t, "inside", m, roles, support.Hidden, 0.03, func(n, p r3.Vec) bool { return dome(p) && r3.Dot(n, p) < -ri/2 })
}

// Neighbouring facets of a fine round hole are all but level with each other,
// and it connects both skins as a rim does.
func TestWallOfARoundHoleIsNoCut(t *testing.T) {
	const ro, ri, hole = 60, 56, 30
	var profile [][2]float64
	arc := func(r, from, to float64) { // degrees from the top
		for i := range 9 {
			sin, cos := math.Sincos((from + (to-from)*float64(i)/8) * math.Pi / 180)
			profile = append(profile, [2]float64{r * sin, r * cos})
		}
	}
	arc(ri, math.Asin(hole/float64(ri))*180/math.Pi, 90)
	arc(ro, 90, math.Asin(hole/float64(ro))*180/math.Pi)
	m := revolved(t, profile, 800)
	roles := rolesOf(m)
	wall := func(n, p r3.Vec) bool { return math.Abs(n.Z) < 1e-3 && math.Hypot(p.X, p.Y) < hole+0.01 }
	checkAll(t, "hole", m, roles, support.Show, 0, wall)
	checkAll(t, "rim", m, roles, support.Joint, 0, func(n, p r3.Vec) bool { return n.Z < -0.99 && p.Z < 1e-6 })
	checkAll(t, "inside", m, roles, support.Hidden, 0, func(n, p r3.Vec) bool { return r3.Dot(n, p) < -ri/2 && !wall(n, p) })
}

func TestSolidsAlone(t *testing.T) {
	tests := []struct {
		name string
		m    *mesh.Mesh
		want support.ByRole
	}{
		{"box has no cut face", solid.Box(30, 40, 50), support.ByRole{support.Show: 9400}},
		{"sphere", solid.Sphere(20, 12), support.ByRole{support.Show: solid.Sphere(20, 12).Area()}},
		{"thin plate", solid.Box(60, 60, 3), support.ByRole{support.Show: 2*3600 + 4*180}},
		{"crate", solid.HollowBox(50, 50, 50, 2), support.ByRole{support.Show: 6 * 2500, support.Hidden: 6 * 46 * 46}},
		{"dome is cut flat", dome(30, 12), support.ByRole{support.Show: dome(30, 12).Area() - baseOf(dome(30, 12)), support.Joint: baseOf(dome(30, 12))}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := areas(tt.m, rolesOf(tt.m), nil)
			for r := range got {
				if math.Abs(got[r]-tt.want[r]) > 1e-6*tt.want.Sum() {
					t.Errorf("areas by role = %.1f, want %.1f", got, tt.want)
					break
				}
			}
		})
	}
}

// dome is a solid half sphere on its flat side.
func dome(r float64, n int) *mesh.Mesh {
	shell := solid.HemisphericalShell(r, r/2, n)
	var faces [][3]mesh.VertexID
	places := append(slices.Clone(shell.Vertices()), r3.Vec{})
	for f, v := range shell.Faces() {
		id := mesh.FaceID(f)
		switch n, p := shell.Normal(id), middle(shell, id); {
		case n.Z < -0.99 && p.Z < 1e-9: // the rim: towards the middle instead
			for k := range 3 {
				a, b := v[k], v[(k+1)%3]
				if r3.Norm(places[a]) > 0.9*r && r3.Norm(places[b]) > 0.9*r {
					faces = append(faces, [3]mesh.VertexID{a, b, mesh.VertexID(len(places) - 1)})
				}
			}
		case r3.Dot(n, p) > 0:
			faces = append(faces, v)
		}
	}
	m, err := mesh.New(places, faces)
	if err != nil {
		panic(err)
	}
	return m
}

func baseOf(m *mesh.Mesh) float64 {
	sum := 0.0
	for f, n := range m.Normals() {
		if n.Z < -0.99 {
			sum += m.FaceArea(mesh.FaceID(f))
		}
	}
	return sum
}

// A tray alone, open to +Z: a boss stands inside, a peg on the rim.
func TestBossIsHiddenAndPegIsAJoint(t *testing.T) {
	m := carved(t,
		[]block{at(-40, -40, 0, 80, 80, 40), at(-39, -2, 40, 2, 4, 4)},
		[]block{at(-36, -36, 4, 34, 72, 36), at(-2, -36, 4, 4, 32, 36), at(2, -36, 4, 34, 72, 36), at(-2, 4, 4, 4, 32, 36), at(-2, -4, 20, 4, 8, 20)})
	roles := rolesOf(m)
	boss := func(p r3.Vec) bool { return math.Abs(p.X) < 3 && math.Abs(p.Y) < 5 && p.Z > 4.1 && p.Z < 39 }
	peg := func(p r3.Vec) bool { return p.Z > 40.1 }
	checkAll(t, "boss", m, roles, support.Hidden, 0, func(_, p r3.Vec) bool { return boss(p) })
	checkAll(t, "peg", m, roles, support.Joint, 0, func(_, p r3.Vec) bool { return peg(p) })
	checkAll(t, "rim", m, roles, support.Joint, 0, func(n, p r3.Vec) bool { return n.Z > 0.5 && p.Z > 39 && !peg(p) })
	checkAll(t, "walls outside", m, roles, support.Show, 0, func(n, p r3.Vec) bool { return max(math.Abs(p.X), math.Abs(p.Y)) > 39 && n.Z == 0 && !peg(p) })
	checkAll(t, "inside", m, roles, support.Hidden, 0, func(n, p r3.Vec) bool {
		return !boss(p) && max(math.Abs(p.X), math.Abs(p.Y)) < 37 && p.Z > 4-1e-9 && p.Z < 39
	})
}

func TestPegAndSocketAreJoints(t *testing.T) {
	peg, socket := pegAndSocket(t)
	a := Classify(partsOf(peg, socket), Settings{})
	if !a.Together || len(a.Meetings) != 1 {
		t.Fatalf("together %v, %d meetings", a.Together, len(a.Meetings))
	}
	// To the very ends of the socket, where the peg does not reach.
	checkAll(t, "socket", socket, a.Roles[1], support.Joint, 0, func(_, p r3.Vec) bool {
		return max(math.Abs(p.X), math.Abs(p.Y)) < 3.3 && p.Z > -9 && p.Z < -1e-6
	})
	checkAll(t, "face round the socket", socket, a.Roles[1], support.Joint, 0, func(n, _ r3.Vec) bool { return n.Z > 0.5 })
	checkAll(t, "peg", peg, a.Roles[0], support.Joint, 0, func(_, p r3.Vec) bool { return p.Z < 0 })
	checkAll(t, "plate", peg, a.Roles[0], support.Show, 0, func(_, p r3.Vec) bool { return p.Z > 0.1 })
	checkAll(t, "block", socket, a.Roles[1], support.Show, 0, func(_, p r3.Vec) bool { return max(math.Abs(p.X), math.Abs(p.Y)) > 9.9 })
}

// The file holds one pin of two; the other two sockets are empty.
func TestEmptySocketsAreJoints(t *testing.T) {
	sockets := func(z float64) []block { return []block{at(-15, -3, z, 6, 6, 10), at(9, -3, z, 6, 6, 10)} }
	low := carved(t, []block{at(-25, -10, -20, 50, 20, 20)}, sockets(-10))
	high := carved(t, []block{at(-25, -10, 0, 50, 20, 20)}, sockets(0))
	pin := carved(t, []block{at(-14.75, -2.75, -9.75, 5.5, 5.5, 19.5)}, nil)
	a := Classify(partsOf(low, high, pin), Settings{})
	empty := func(_, p r3.Vec) bool { return p.X > 8.9 && p.X < 15.1 && math.Abs(p.Y) < 3.1 && math.Abs(p.Z) < 11 }
	checkAll(t, "empty socket below", low, a.Roles[0], support.Joint, 0, empty)
	checkAll(t, "empty socket above", high, a.Roles[1], support.Joint, 0, empty)
	checkAll(t, "pin", pin, a.Roles[2], support.Joint, 0, nil)
}

// A box in two halves: what is inside is no pocket of the rim.
func TestInsideOfAClosedBoxIsHidden(t *testing.T) {
	low := carved(t, []block{at(-30, -30, -20, 60, 60, 20)}, []block{at(-26, -26, -16, 52, 52, 16)})
	high := carved(t, []block{at(-30, -30, 0, 60, 60, 20)}, []block{at(-26, -26, 0, 52, 52, 16)})
	a := Classify(partsOf(low, high), Settings{})
	for i, m := range []*mesh.Mesh{low, high} {
		want := support.ByRole{support.Show: 60*60 + 4*60*20, support.Joint: 60*60 - 52*52, support.Hidden: 52*52 + 4*52*16}
		if got := areas(m, a.Roles[i], nil); r3.Norm(r3.Vec{X: got[0] - want[0], Y: got[1] - want[1], Z: got[2] - want[2]}) > 1e-6 {
			t.Errorf("areas by role = %.1f, want %.1f", got, want)
		}
	}
}

// halves of a bin upside down, open to −Z, cut in y = 0.
func openBin(t testing.TB) (front, back *mesh.Mesh) {
	front = carved(t, []block{at(-50, -50, 0, 100, 50, 80)}, []block{at(-47, -47, 0, 94, 47, 77)})
	back = carved(t, []block{at(-50, 0, 0, 100, 50, 80)}, []block{at(-47, 0, 0, 94, 47, 77)})
	return front, back
}

func TestInsideOfAnOpenShellIsHidden(t *testing.T) {
	front, back := openBin(t)
	a := Classify(partsOf(front, back), Settings{})
	for i, m := range []*mesh.Mesh{front, back} {
		inside := func(_, p r3.Vec) bool {
			return max(math.Abs(p.X), math.Abs(p.Y)) < 47.1 && p.Z > 1e-6 && p.Z < 77.1 && math.Abs(p.Y) > 1e-6
		}
		checkAll(t, "inside", m, a.Roles[i], support.Hidden, 0, inside)
		checkAll(t, "outside", m, a.Roles[i], support.Show, 0, func(_, p r3.Vec) bool { return max(math.Abs(p.X), math.Abs(p.Y)) > 49.9 || p.Z > 79.9 })
		checkAll(t, "cut", m, a.Roles[i], support.Joint, 0, func(n, p r3.Vec) bool { return math.Abs(n.Y) > 0.5 && math.Abs(p.Y) < 1e-6 })
		checkAll(t, "rim, which meets nothing", m, a.Roles[i], support.Show, 0, func(n, p r3.Vec) bool { return n.Z < -0.5 && p.Z < 1e-6 })
	}
}

func TestFinShowsOnBothSides(t *testing.T) {
	fin := carved(t, []block{at(-20, -1.5, 0, 40, 3, 60), at(-10, -1.5, -5, 20, 3, 5)}, nil)
	body := carved(t, []block{at(-60, -40, -40, 120, 80, 40)}, []block{at(-10.25, -1.75, -5.25, 20.5, 3.5, 5.25)})
	a := Classify(partsOf(fin, body), Settings{})
	checkAll(t, "blade", fin, a.Roles[0], support.Show, 0, func(n, p r3.Vec) bool { return math.Abs(n.Y) > 0.5 && p.Z > 0 })
	checkAll(t, "tab", fin, a.Roles[0], support.Joint, 0, func(_, p r3.Vec) bool { return p.Z < -1e-6 })
	checkAll(t, "slot", body, a.Roles[1], support.Joint, 0, func(_, p r3.Vec) bool { return p.Z < -1e-6 && p.Z > -6 && math.Abs(p.X) < 11 && math.Abs(p.Y) < 2 })
}

func TestHintWins(t *testing.T) {
	peg, socket := pegAndSocket(t)
	for _, hint := range []support.Role{support.Show, support.Joint, support.Hidden} {
		parts := partsOf(peg, socket)
		parts[0].Hint = &hint
		a := Classify(parts, Settings{})
		checkAll(t, "hinted", peg, a.Roles[0], hint, 0, nil)
		if by := areas(socket, a.Roles[1], nil); by[support.Show] == 0 || by[support.Joint] == 0 {
			t.Errorf("the part without a hint has %v", by)
		}
	}
}

func TestPartsThatDoNotFitAreJudgedAlone(t *testing.T) {
	front, back := openBin(t)
	shell := solid.HemisphericalShell(60, 57, 16)
	tests := []struct {
		name     string
		parts    []Part
		alone    []bool
		together bool
	}{
		{"as they fit", partsOf(front, back), []bool{false, false}, true},
		{"far apart", partsOf(front, solid.At(back, 0, 300, 0)), []bool{true, true}, false},
		{"about one middle", partsOf(front, solid.At(back, 0, -50, 0), shell), []bool{true, true, true}, false},
		{"one stray", partsOf(front, back, solid.At(shell, 0, 0, 40)), []bool{false, false, true}, true},
		{"one part", partsOf(shell), []bool{true}, false},
		{"none", nil, []bool{}, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a := Classify(tt.parts, Settings{})
			if !slices.Equal(a.Alone, tt.alone) || a.Together != tt.together {
				t.Errorf("alone %v, together %v, want %v, %v", a.Alone, a.Together, tt.alone, tt.together)
			}
			if len(a.Notes) == 0 || (a.Notes[0].Code == NoteTogether) != tt.together {
				t.Errorf("notes do not say so: %+v", a.Notes)
			}
			for i, p := range tt.parts {
				if p.Mesh.NumFaces() != len(a.Roles[i]) {
					t.Errorf("part %d: %d roles for %d facets", i, len(a.Roles[i]), p.Mesh.NumFaces())
				}
				if by := areas(p.Mesh, a.Roles[i], nil); by[support.Hidden] < by.Sum()/4 || by[support.Show] < by.Sum()/4 {
					t.Errorf("part %d: by role %.0f, want a good part hidden and a good part shown", i, by)
				}
			}
		})
	}
}

func TestOrderOfPartsDoesNotMatter(t *testing.T) {
	front, back := openBin(t)
	peg, socket := pegAndSocket(t)
	meshes := []*mesh.Mesh{front, back, solid.At(peg, 0, 0, 100), solid.At(socket, 0, 0, 100)}
	want := Classify(partsOf(meshes...), Settings{})
	if again := Classify(partsOf(meshes...), Settings{}); !slices.EqualFunc(want.Roles, again.Roles, slices.Equal) {
		t.Error("a second run differs")
	}
	order := []int{2, 0, 3, 1}
	var shuffled []*mesh.Mesh
	for _, i := range order {
		shuffled = append(shuffled, meshes[i])
	}
	got := Classify(partsOf(shuffled...), Settings{})
	for k, i := range order {
		if !slices.Equal(got.Roles[k], want.Roles[i]) {
			t.Errorf("part %d has other roles as part %d", i, k)
		}
	}
}

func TestClassifySurvivesAnything(t *testing.T) {
	for name, meshes := range map[string][]*mesh.Mesh{
		"point":           {triangleMesh(t, r3.Vec{}, r3.Vec{}, r3.Vec{}), solid.Box(1, 1, 1)},
		"two points":      {triangleMesh(t, r3.Vec{}, r3.Vec{}, r3.Vec{}), triangleMesh(t, r3.Vec{}, r3.Vec{}, r3.Vec{})},
		"one facet":       {triangleMesh(t, r3.Vec{}, r3.Vec{X: 10}, r3.Vec{Y: 10})},
		"loose facets":    {scattered(t, 200, 4, 1), scattered(t, 200, 4, 2)},
		"inside out":      {solid.InsideOut(solid.HollowBox(20, 20, 20, 2))},
		"very small":      {scaled(t, solid.Box(10, 10, 10), 1e-6), scaled(t, solid.Sphere(10, 4), 1e-6)},
		"very large":      {scaled(t, solid.Box(10, 1, 1), 1e6)},
		"out of all size": {scaled(t, solid.Box(10, 1, 1), 1e200), scaled(t, solid.Box(10, 1, 1), 1e-200)},
	} {
		t.Run(name, func(t *testing.T) {
			a := Classify(partsOf(meshes...), Settings{})
			for i, m := range meshes {
				if len(a.Roles[i]) != m.NumFaces() {
					t.Errorf("part %d: %d roles", i, len(a.Roles[i]))
				}
			}
		})
	}
}

func scaled(t testing.TB, m *mesh.Mesh, k float64) *mesh.Mesh {
	t.Helper()
	out, err := scaledBy(m, k)
	if err != nil {
		t.Fatal(err)
	}
	return out
}
