package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// small has a square with a square hole that the small squares just fit
// into, L-shapes and triangles.
const small = `{"name":"small","strip_height":10,"items":[
{"id":0,"demand":1,"rotations":[0],"outline":[[0,0],[6,0],[6,6],[0,6]],"holes":[[[2,2],[2,4],[4,4],[4,2]]]},
{"id":1,"demand":1,"rotations":[0,90],"outline":[[0,0],[2,0],[2,2],[0,2]],"holes":[]},
{"id":2,"demand":2,"rotations":[0,90,180,270],"outline":[[0,0],[4,0],[4,1],[1,1],[1,4],[0,4]],"holes":[]},
{"id":3,"demand":3,"rotations":"free","outline":[[0,0],[3,0],[0,4]],"holes":[]}]}`

func writeFile(t *testing.T, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestRunWritesSoundPlacements(t *testing.T) {
	dir := t.TempDir()
	path := writeFile(t, dir, "in.json", small)
	var stdout, stderr bytes.Buffer
	if code := run([]string{"-seconds", "0.5", "-out", dir, path}, &stdout, &stderr); code != 0 {
		t.Fatalf("exit code %d: %s", code, stderr.String())
	}
	if !strings.Contains(stdout.String(), "small") || !strings.Contains(stdout.String(), "density") {
		t.Errorf("printed %q", stdout.String())
	}
	for _, f := range faults(path, filepath.Join(dir, "small.json")) {
		t.Error(f)
	}
}

func TestSharedInstances(t *testing.T) {
	wd, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	strips := filepath.Join(wd, "..", "..", "..", "shared", "data", "nesting", "strip")
	if _, err := os.Stat(strips); err != nil {
		t.Skip("skipped: shared data absent")
	}
	for _, name := range []string{"fu", "jakobs2", "shapes1", "swim_c", "gardeyn0"} {
		t.Run(name, func(t *testing.T) {
			dir, path := t.TempDir(), filepath.Join(strips, name+".json")
			var stdout, stderr bytes.Buffer
			if code := run([]string{"-seconds", "1", "-out", dir, path}, &stdout, &stderr); code != 0 {
				t.Fatalf("exit code %d: %s", code, stderr.String())
			}
			for _, f := range faults(path, filepath.Join(dir, name+".json")) {
				t.Error(f)
			}
			t.Log(stdout.String())
		})
	}
}

func TestRunRefuses(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		name string
		args []string
		want int
	}{
		{"no file", nil, 2},
		{"no time", []string{"-seconds", "0", "x.json"}, 2},
		{"unknown flag", []string{"-x"}, 2},
		{"absent file", []string{filepath.Join(dir, "absent.json")}, 1},
		{"not JSON", []string{writeFile(t, dir, "bad.json", "{")}, 1},
		{"no items", []string{writeFile(t, dir, "empty.json", `{"strip_height":1}`)}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			var stdout, stderr bytes.Buffer
			if got := run(c.args, &stdout, &stderr); got != c.want {
				t.Errorf("exit code %d, want %d: %s", got, c.want, stderr.String())
			}
			if stderr.Len() == 0 {
				t.Error("said nothing")
			}
		})
	}
}

// The checker must see every fault: each is put into a sound layout.
func TestCheckerSeesFaults(t *testing.T) {
	var in checkedInstance
	if err := json.Unmarshal([]byte(`{"strip_height":10,"items":[
		{"id":7,"demand":2,"rotations":[0,90],"outline":[[0,0],[4,0],[4,4],[0,4]],"holes":[]},
		{"id":8,"demand":1,"rotations":[0],"outline":[[0,0],[6,0],[6,6],[0,6]],"holes":[[[1,1],[1,5],[5,5],[5,1]]]}]}`), &in); err != nil {
		t.Fatal(err)
	}
	const sound = `{"length":10,"items":[{"id":8,"rotate_deg":0,"x":0,"y":0},{"id":7,"rotate_deg":0,"x":1,"y":1},{"id":7,"rotate_deg":90,"x":10,"y":0}]}`
	for _, c := range []struct{ name, old, new string }{
		{"sound", "", ""},
		{"reaching into the ring", `"x":1,"y":1`, `"x":1.001,"y":1`},
		{"one on the other", `"rotate_deg":90,"x":10,"y":0`, `"rotate_deg":0,"x":1,"y":1`},
		{"beyond the length", `"x":10,"y":0`, `"x":10.001,"y":0`},
		{"beyond the height", `"x":10,"y":0`, `"x":10,"y":6.001`},
		{"left of the strip", `"x":0,"y":0`, `"x":-0.001,"y":0`},
		{"turned as it may not be", `"rotate_deg":90,"x":10,"y":0`, `"rotate_deg":180,"x":10,"y":4`},
		{"one too few", `,{"id":7,"rotate_deg":90,"x":10,"y":0}`, ``},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got checkedResult
			if err := json.Unmarshal([]byte(strings.Replace(sound, c.old, c.new, 1)), &got); err != nil {
				t.Fatal(err)
			}
			if f := in.faults(got); (len(f) == 0) != (c.name == "sound") {
				t.Errorf("faults %q", f)
			}
		})
	}
}
