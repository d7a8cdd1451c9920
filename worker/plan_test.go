package worker_test

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"
	"go.uber.org/goleak"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/orient/role"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/worker"
	"platewright/worker/joblist"
	"platewright/worker/partfile"
)

func TestMain(m *testing.M) {
	flag.Parse()
	goleak.VerifyTestMain(m)
}

// folderOf writes parts as binary STL into a new folder, all with one time of
// last change.
func folderOf(t *testing.T, parts map[string]*mesh.Mesh, texts map[string]string) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "prop")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	for name, m := range parts {
		var b bytes.Buffer
		triangles := m.Triangles()
		if err := partfile.WriteSTL(&b, name, len(triangles), slices.Values(triangles)); err != nil {
			t.Fatal(err)
		}
		put(t, filepath.Join(folder, name), b.Bytes())
	}
	for name, text := range texts {
		put(t, filepath.Join(folder, name), []byte(text))
	}
	return folder
}

func put(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	when := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	if err := os.Chtimes(path, when, when); err != nil {
		t.Fatal(err)
	}
}

// someParts are a few quick ones.
func someParts() map[string]*mesh.Mesh {
	lean, err := mesh.NewDirection(r3.Vec{X: 1, Y: 2, Z: 3})
	if err != nil {
		panic(err)
	}
	return map[string]*mesh.Mesh{
		"bracket.stl": solid.LBracket(60, 40, 5, 20).Moved(mesh.Pose{Frame: mesh.Upright(lean)}),
		"ring.stl":    solid.Torus(40, 6, 40, 10),
		"peg_x4.stl":  solid.Cylinder(4, 25, 24),
		"table.stl":   solid.At(solid.Table(40, 20, 30, 5), 300, -80, 20),
	}
}

// shopOf is a shop file of some printers, each given as name and settings.
func shopOf(printers ...string) string {
	var b strings.Builder
	for i, p := range printers {
		fmt.Fprintf(&b, "[[printer]]\nname = \"p%d\"\n%s\n", i+1, p)
	}
	return b.String()
}

const smallBed = "bed_mm = [120, 100]\nheight_mm = 100\nmargin_mm = 2\ngap_mm = 3\n"

func plan(t *testing.T, folder string, change func(*worker.Config)) (joblist.List, string) {
	t.Helper()
	c := worker.Config{Folder: folder, Out: filepath.Join(t.TempDir(), "out"), From: "2027-03-01T18:00", Log: zerolog.Nop()}
	if change != nil {
		change(&c)
	}
	list, err := worker.Plan(context.Background(), c)
	if err != nil {
		t.Fatal(err)
	}
	return list, c.Out
}

func partOf(t *testing.T, l joblist.List, file string) joblist.Part {
	t.Helper()
	i := slices.IndexFunc(l.Parts, func(p joblist.Part) bool { return p.File == file })
	if i < 0 {
		t.Fatalf("%s is not in the list", file)
	}
	return l.Parts[i]
}

func TestPlanIsSound(t *testing.T) {
	tests := []struct {
		name string
		shop string
	}{
		{"one small bed", shopOf(smallBed)},
		{"two beds", shopOf(smallBed, "bed_mm = [180, 180]\nheight_mm = 60\n")},
		{"round bed", shopOf("diameter_mm = 130\nheight_mm = 120\nmargin_mm = 1\n")},
		{"keep-out area", shopOf(smallBed + "keep_out_mm = [[[104, 0], [120, 0], [120, 14], [104, 14]]]\n")},
		{"no gap", shopOf("bed_mm = [110, 110]\nheight_mm = 100\nmargin_mm = 0\ngap_mm = 0\n")},
	}
	state := t.TempDir() // the beds differ, the scores do not
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			list, out := plan(t, folderOf(t, someParts(), map[string]string{"shop.toml": c.shop}), func(cfg *worker.Config) { cfg.State = state })
			for _, p := range list.Parts {
				if p.Status != joblist.Placed {
					t.Errorf("%s: %s: %s", p.File, p.Status, p.Why)
				}
				if len(p.Options) < 3 {
					t.Errorf("%s has %d options, want at least 3", p.File, len(p.Options))
				}
			}
			if got := partOf(t, list, "peg_x4.stl"); got.Count != 4 || got.Name != "peg" {
				t.Errorf("peg_x4.stl: %d of %q, want 4 of peg", got.Count, got.Name)
			}
			expectSound(t, out)
		})
	}
}

// filesOf returns every file below a folder by its relative name.
func filesOf(t *testing.T, folder string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		rel, _ := filepath.Rel(folder, path)
		out[rel] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// One worker or four, a first run or one that remembers: the same bytes.
func TestSameInputSameBytes(t *testing.T) {
	folder := folderOf(t, someParts(), map[string]string{"shop.toml": shopOf(smallBed)})
	state := t.TempDir()
	var want map[string]string
	for _, c := range []struct {
		name    string
		workers int
		state   string
	}{{"one worker", 1, ""}, {"four workers", 4, ""}, {"kept", 2, state}, {"recalled", 3, state}} {
		_, out := plan(t, folder, func(cfg *worker.Config) { cfg.Workers, cfg.State = c.workers, c.state })
		got := filesOf(t, out)
		if want == nil {
			want = got
		}
		if len(got) < 8 || len(got) != len(want) {
			t.Fatalf("%s: %d files, want %d, at least 8", c.name, len(got), len(want))
		}
		for name, data := range want {
			if got[name] != data {
				t.Errorf("%s: %s differs", c.name, name)
			}
		}
	}
}

// One broken file, one too large, one too large but for its diagonal: the rest
// is planned all the same.
func TestOneBadPartDoesNotStopTheOthers(t *testing.T) {
	parts := someParts()
	parts["beam.stl"] = solid.Box(170, 10, 10)
	parts["long.stl"] = solid.Box(138, 6, 6) // 116 wide, 96 deep bed: diagonal 150.6
	folder := folderOf(t, parts, map[string]string{
		"shop.toml": shopOf(smallBed), "broken.stl": "solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 1 2 three\nendloop\nendfacet\nendsolid x\n",
		"empty.obj": "", ".hidden.stl": "not a part",
	})
	list, out := plan(t, folder, nil)
	expectSound(t, out)
	for file, want := range map[string]joblist.Status{
		"beam.stl": joblist.NotPlaced, "long.stl": joblist.Placed, "broken.stl": joblist.Unreadable,
		"empty.obj": joblist.Unreadable, "ring.stl": joblist.Placed, "table.stl": joblist.Placed,
	} {
		if got := partOf(t, list, file); got.Status != want {
			t.Errorf("%s: %s (%s), want %s", file, got.Status, got.Why, want)
		}
	}
	if len(list.Parts) != 8 {
		t.Errorf("%d parts are listed, want 8", len(list.Parts))
	}
	why := partOf(t, list, "beam.stl").Why
	if !strings.Contains(why, "mm over its") || !strings.Contains(why, "p1") {
		t.Errorf("beam.stl: %q names no printer and millimetres", why)
	}
	if why := partOf(t, list, "broken.stl").Why; !strings.Contains(why, "line 2") || !strings.Contains(why, "three") {
		t.Errorf("broken.stl: %q names no line and value", why)
	}
}

func TestBuildFileIsObeyed(t *testing.T) {
	folder := folderOf(t, someParts(), map[string]string{
		"shop.toml": shopOf(smallBed, smallBed),
		"build.toml": "[part.\"ring.stl\"]\ncount = 2\nprinter = \"p2\"\n[part.\"table.stl\"]\nkeep_as_is = true\n" +
			"[part.\"peg_x4.stl\"]\nscale = 2\n",
	})
	list, out := plan(t, folder, nil)
	expectSound(t, out)
	if got := partOf(t, list, "ring.stl").Count; got != 2 {
		t.Errorf("ring.stl: count %d, want 2", got)
	}
	for _, p := range list.Plates {
		for _, i := range p.Items {
			if i.Part == "ring" && p.Printer != "p2" {
				t.Errorf("ring is on %s, pinned to p2", p.Printer)
			}
		}
	}
	table := partOf(t, list, "table.stl")
	if got := table.Options[*table.Chosen].Up; got != [3]float64{0, 0, 1} {
		t.Errorf("table.stl stands with %v up, its file says +z", got)
	}
	if got := partOf(t, list, "peg_x4.stl").Size[2]; got != 50 {
		t.Errorf("peg_x4.stl at scale 2 is %v tall, want 50", got)
	}
}

func TestUsageErrors(t *testing.T) {
	sound := folderOf(t, someParts(), nil)
	notOurs := filepath.Join(t.TempDir(), "documents")
	if err := os.Mkdir(notOurs, 0o755); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(notOurs, "letter.txt"), []byte("dear"))
	tests := []struct {
		name   string
		config worker.Config
		want   string
	}{
		{"no folder", worker.Config{Folder: filepath.Join(t.TempDir(), "none")}, "no such file"},
		{"folder without parts", worker.Config{Folder: t.TempDir()}, "no part files"},
		{"no shop file", worker.Config{Folder: sound, Shop: "/nowhere/shop.toml"}, "shop file"},
		{"faults in both files", worker.Config{Folder: folderOf(t, someParts(), map[string]string{
			"shop.toml": "[[printer]]\nname = \"a\"\nheight_mm = -3\n", "build.toml": "unit = \"furlong\"\n"})}, "furlong"},
		{"somebody's documents", worker.Config{Folder: sound, Out: notOurs}, "letter.txt"},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			c.config.Log = zerolog.Nop()
			if c.config.Out == "" {
				c.config.Out = filepath.Join(t.TempDir(), "out")
			}
			_, err := worker.Plan(context.Background(), c.config)
			if !errors.Is(err, worker.ErrUsage) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error = %v, want a usage error with %q", err, c.want)
			}
		})
	}
	if _, err := os.Stat(filepath.Join(notOurs, "letter.txt")); err != nil {
		t.Error("the letter is gone")
	}
}

// A run that is interrupted keeps the parts that it finished.
func TestInterruptedRunIsTakenUpAgain(t *testing.T) {
	folder := folderOf(t, someParts(), map[string]string{"shop.toml": shopOf(smallBed)})
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	c := worker.Config{Folder: folder, Out: filepath.Join(t.TempDir(), "out"), State: t.TempDir(), Workers: 1, Log: zerolog.Nop()}
	done := 0
	c.Progress.Part = func(worker.Step) {
		if done++; done == 2 {
			cancel()
		}
	}
	if _, err := worker.Plan(ctx, c); !errors.Is(err, context.Canceled) {
		t.Fatalf("error = %v, want %v", err, context.Canceled)
	}
	if _, err := os.Stat(c.Out); err == nil {
		t.Error("an interrupted run wrote a result")
	}
	recalled := 0
	c.Progress.Part = func(s worker.Step) {
		if s.Recalled {
			recalled++
		}
	}
	if _, err := worker.Plan(context.Background(), c); err != nil {
		t.Fatal(err)
	}
	if recalled != 2 {
		t.Errorf("%d parts were recalled, want the 2 that were finished", recalled)
	}
	expectSound(t, c.Out)
}

func TestWrongSizes(t *testing.T) {
	scaled := func(m *mesh.Mesh, k float64) *mesh.Mesh {
		points := make([]r3.Vec, m.NumVertices())
		for i, v := range m.Vertices() {
			points[i] = r3.Scale(k, v)
		}
		out, err := mesh.New(points, m.Faces())
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	prop := func(k float64) map[string]*mesh.Mesh {
		return map[string]*mesh.Mesh{
			"left.stl":  scaled(solid.At(solid.Box(120, 80, 60), -60, 0, 0), k),
			"right.stl": scaled(solid.At(solid.Box(120, 80, 60), 60, 0, 0), k),
			"top.stl":   scaled(solid.At(solid.Box(100, 70, 30), 0, 0, 60), k),
			"peg.stl":   scaled(solid.At(solid.Cylinder(3, 12, 24), 0, 20, 20), k),
		}
	}
	odd := func(k float64) map[string]*mesh.Mesh {
		out := prop(1)
		out["top.stl"] = scaled(out["top.stl"], k)
		return out
	}
	for _, c := range []struct {
		name  string
		parts map[string]*mesh.Mesh
		build string
		want  string // in the note; "" for none
	}{
		{"as it should be", prop(1), "", ""},
		{"all in metres", prop(0.001), "", `unit = "m"`},
		{"all in inches", prop(1 / 25.4), "", `unit = "in"`},
		{"a thousand times too large", prop(1000), "", "scale = 0.001"},
		{"one in metres", odd(0.001), "", `[part."top.stl"]`},
		{"one in inches", odd(1 / 25.4), "", `unit = "in" under [part."top.stl"]`},
		{"all in metres, and said so", prop(0.001), "unit = \"m\"\n", ""},
		{"only a peg", map[string]*mesh.Mesh{"peg.stl": solid.Cylinder(8, 20, 24)}, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := folderOf(t, c.parts, map[string]string{"build.toml": c.build})
			got, err := worker.Check(context.Background(), worker.Config{Folder: folder, Log: zerolog.Nop()})
			if err != nil {
				t.Fatal(err)
			}
			sizes := slices.DeleteFunc(got.Notes, func(n joblist.Note) bool { return n.Code != worker.NoteWrongSize })
			switch {
			case c.want == "" && len(sizes) > 0:
				t.Errorf("unwanted note: %s", sizes[0].Text)
			case c.want != "" && (len(sizes) != 1 || !strings.Contains(sizes[0].Text, c.want)):
				t.Errorf("notes = %v, want one with %q", sizes, c.want)
			}
		})
	}
}

// sharedData returns a folder of the shared data, or skips.
func sharedData(t *testing.T, name string) string {
	t.Helper()
	folder, err := filepath.Abs(filepath.Join("..", "..", "shared", "data", name))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(folder); err != nil {
		t.Skip("skipped: shared data absent")
	}
	return folder
}

func TestPlanOfARealBuild(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: -short")
	}
	list, out := plan(t, sharedData(t, "meshes/duck-mm"), nil)
	for _, p := range list.Parts {
		if p.Status != joblist.Placed {
			t.Errorf("%s: %s: %s", p.File, p.Status, p.Why)
		}
	}
	expectSound(t, out)
}

func TestPlanOfTheDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: -short")
	}
	list, out := plan(t, filepath.Join("..", "testdata", "fish-lantern"), nil)
	if n := len(list.Parts); n < 14 || n > 18 {
		t.Errorf("the demo has %d parts, want 14 to 18", n)
	}
	for _, p := range list.Parts {
		if p.Status != joblist.Placed {
			t.Errorf("%s: %s: %s", p.File, p.Status, p.Why)
		}
		for _, n := range p.Notes {
			// The side fins and the eye rings are twins; the halves of the back are
			// called left and right, but a seam of one lies over the other.
			if n.Code != role.NoteTwins && n.Code != role.NoteUnlike {
				t.Errorf("%s: %s: %s", p.File, n.Code, n.Text)
			}
		}
	}
	expectSound(t, out)
}

// Two blocks of 40 × 40 × 40 that share 20 × 40 × 40, and a block within a
// block: the union's volume is listed.
func TestVolumeOfOverlappingShells(t *testing.T) {
	block := solid.Box(40, 40, 40)
	folder := folderOf(t, map[string]*mesh.Mesh{
		"crossing.stl": solid.Together(block, solid.At(block, 20, 0, 0)),
		"nested.stl":   solid.Together(block, solid.At(solid.Box(10, 10, 10), 3, 4, 10)),
		"hollow.stl":   solid.HollowBox(40, 40, 40, 10),
		"plain.stl":    block,
	}, nil)
	got, err := worker.Check(context.Background(), worker.Config{Folder: folder, Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"crossing.stl": 96000, "nested.stl": 64000, "hollow.stl": 56000, "plain.stl": 64000}
	for _, p := range got.Parts {
		if w := want[p.File]; p.Volume < 0.998*w || p.Volume > 1.002*w {
			t.Errorf("volume of %s = %.0f, want %.0f", p.File, p.Volume, w)
		}
	}
}

// Two half shells of one box: what meets is joint, what looks out shows, what
// looks in is hidden, and a role from the build file wins.
func TestRolesOfAnAssembly(t *testing.T) {
	halves := func(build string) joblist.List {
		// An open box and its lid, walls of 3 mm, as they lie in the prop.
		lid := solid.At(solid.Box(60, 40, 3), 0, 0, 30)
		tray := solid.Together(solid.Box(60, 40, 3),
			solid.At(solid.Box(3, 40, 27), -28.5, 0, 3), solid.At(solid.Box(3, 40, 27), 28.5, 0, 3),
			solid.At(solid.Box(54, 3, 27), 0, -18.5, 3), solid.At(solid.Box(54, 3, 27), 0, 18.5, 3))
		list, _ := plan(t, folderOf(t, map[string]*mesh.Mesh{"lid.stl": lid, "tray.stl": tray}, map[string]string{"build.toml": build}), nil)
		return list
	}
	list := halves("[part.\"tray.stl\"]\nkeep_as_is = true\n[part.\"lid.stl\"]\nkeep_as_is = true\n")
	if len(list.Notes) != 1 || list.Notes[0].Code != role.NoteTogether {
		t.Errorf("notes on the folder = %v, want that its parts fit together", list.Notes)
	}
	list = halves("[part.\"tray.stl\"]\nrole = \"hidden\"\n")
	for _, o := range partOf(t, list, "tray.stl").Options {
		if o.Scar.Show+o.Scar.Joint+o.Cusp.Show+o.Cusp.Joint > 0 {
			t.Errorf("tray.stl is hidden by hint, yet an option has scar %v and cusp %v", o.Scar, o.Cusp)
		}
	}
}
