package role

import (
	"bufio"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

var update = flag.Bool("update", false, "rewrite the file of true roles")

const (
	rolesFile = "testdata/fish-lantern-roles.txt"
	letters   = "sjh" // by role
)

// demo reads the demo build and the true role of each facet.
func demo(t testing.TB) (parts []Part, truth [][]support.Role) {
	t.Helper()
	f, err := os.Open(rolesFile)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		name, list, _ := strings.Cut(lines.Text(), " ")
		p := Part{Name: name + ".stl", Mesh: readMesh(t, filepath.Join("../../testdata/fish-lantern", name+".stl"))}
		if strings.HasSuffix(name, "_x4") {
			p.Count = 4
		}
		var roles []support.Role
		for _, letter := range list {
			roles = append(roles, support.Role(strings.IndexRune(letters, letter)))
		}
		if len(roles) != p.Mesh.NumFaces() {
			t.Fatalf("%s: %d roles for %d facets", name, len(roles), p.Mesh.NumFaces())
		}
		parts, truth = append(parts, p), append(truth, roles)
	}
	if err := lines.Err(); err != nil || len(parts) != 18 {
		t.Fatalf("%d parts: %v", len(parts), err)
	}
	return parts, truth
}

// rightShare returns the share of the area of some parts that has the role it
// should have.
func rightShare(parts []Part, got, want [][]support.Role) float64 {
	right, all := 0.0, 0.0
	for i, p := range parts {
		for f, a := range p.Mesh.FaceAreas() {
			all += a
			if got[i][f] == want[i][f] {
				right += a
			}
		}
	}
	return right / all
}

// The bound of the whole is a requirement, those of the parts are measured
// less a margin.
func TestDemoRolesAreRight(t *testing.T) {
	parts, truth := demo(t)
	a := Classify(parts, Settings{})
	if got := rightShare(parts, a.Roles, truth); got < 0.99 {
		t.Errorf("%.4f of the area is right, want 0.98 and, as measured, 0.99", got)
	}
	for i, p := range parts {
		least := 0.97
		if p.Name == "lure-bulb.stl" { // a ball 28 mm wide inside with a collar
			least = 0.9
		}
		if got := rightShare(parts[i:i+1], a.Roles[i:], truth[i:]); got < least {
			t.Errorf("%s: %.4f of the area is right, want %v", p.Name, got, least)
		}
	}
	if len(a.Clashes) != 0 || len(a.Odd) != 0 || slices.Contains(a.Alone, true) || len(a.Meetings) != 25 {
		t.Errorf("clashes %v, odd %v, alone %v, %d meetings", a.Clashes, a.Odd, a.Alone, len(a.Meetings))
	}
	var pairs []string
	for _, tw := range a.Twins {
		pairs = append(pairs, parts[tw.A].Name+" "+parts[tw.B].Name)
	}
	if want := []string{"side-fin-left.stl side-fin-right.stl", "eye-ring-left.stl eye-ring-right.stl"}; !slices.Equal(pairs, want) {
		t.Errorf("twins %q, want %q", pairs, want)
	}
}

// Which way the parts are turned, all together, makes next to no difference.
func TestTurningTheBuildChangesHardlyARole(t *testing.T) {
	parts, truth := demo(t)
	want := Classify(parts, Settings{})
	d, err := mesh.NewDirection(r3.Vec{X: -3, Y: 1, Z: -0.5})
	if err != nil {
		t.Fatal(err)
	}
	pose := mesh.Pose{Frame: mesh.Upright(d).Spun(25 * plane.Degree), Shift: r3.Vec{X: 500, Y: -40, Z: 7}}
	turned := slices.Clone(parts)
	for i := range turned {
		turned[i].Mesh = parts[i].Mesh.Moved(pose)
	}
	got := Classify(turned, Settings{})
	if same := rightShare(parts, got.Roles, want.Roles); same < 0.995 {
		t.Errorf("%.4f of the area keeps its role", same)
	}
	if right := rightShare(parts, got.Roles, truth); right < 0.99 {
		t.Errorf("%.4f of the area is right", right)
	}
	for i, m := range got.Meetings {
		if w := want.Meetings[i]; m.A != w.A || m.B != w.B || m.Area < 0.999*w.Area || m.Area > 1.001*w.Area {
			t.Errorf("meeting %+v, want %+v", m, w)
		}
	}
}

// Laid out far apart, skins and cut faces are still told; what tabs and pegs
// meet cannot be.
func TestDemoRolesOfPartsJudgedAlone(t *testing.T) {
	parts, truth := demo(t)
	for i := range parts {
		parts[i].Mesh = parts[i].Mesh.Moved(mesh.Pose{Frame: mesh.Identity(), Shift: r3.Vec{X: 1000 * float64(i)}})
	}
	a := Classify(parts, Settings{})
	if a.Together {
		t.Error("parts a metre apart fit together")
	}
	if got := rightShare(parts, a.Roles, truth); got < 0.94 {
		t.Errorf("%.4f of the area is right, measured 0.95", got)
	}
	if got := rightShare(parts[:4], a.Roles, truth); got < 0.96 {
		t.Errorf("four shells: %.4f of the area is right, measured 0.98", got)
	}
}
