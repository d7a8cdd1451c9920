package main

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"platewright/testdata/lanterngen/lantern"
)

const demoFolder = "../fish-lantern"

func TestDemoFilesAreSmall(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(demoFolder, "*.stl"))
	if err != nil || len(files) != len(lantern.Names()) {
		t.Fatalf("%d files, %v; want %d", len(files), err, len(lantern.Names()))
	}
	total := int64(0)
	for _, f := range files {
		info, err := os.Stat(f)
		if err != nil {
			t.Fatal(err)
		}
		total += info.Size()
	}
	if total > 2_500_000 {
		t.Errorf("%d bytes in all, want at most 2.5 MB", total)
	}
}

func TestRunWritesPartAndRoles(t *testing.T) {
	dir := t.TempDir()
	var out bytes.Buffer
	err := run([]string{"-out", filepath.Join(dir, "new"), "-mm", "4", "-facets", "400", "-roles", "-part", "crest-fin-1"}, &out, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	if want := "crest-fin-1: 400 facets\n"; out.String() != want {
		t.Errorf("printed %q, want %q", out.String(), want)
	}
	file, err := os.ReadFile(filepath.Join(dir, "new", "crest-fin-1.stl"))
	if err != nil {
		t.Fatal(err)
	}
	n := int(binary.LittleEndian.Uint32(file[80:]))
	if n != 400 || len(file) != 84+50*n || bytes.HasPrefix(file, []byte("solid")) {
		t.Errorf("file of %d bytes says %d facets", len(file), n)
	}
	table, err := os.ReadFile(filepath.Join(dir, "new", "crest-fin-1.roles.csv"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(string(table), "\n"), "\n")
	if len(lines) != n+1 || lines[0] != "role" {
		t.Errorf("%d lines of roles, the first %q", len(lines), lines[0])
	}
	for _, l := range lines[1:] {
		if l != "show" && l != "joint" {
			t.Fatalf("role %q of a fin", l)
		}
	}
}

// The volume read back from the bytes alone.
func TestSTLHoldsTheMesh(t *testing.T) {
	p, err := lantern.Make("lure-bulb", 5, 0)
	if err != nil {
		t.Fatal(err)
	}
	file := stl(p)
	var sum, want float64
	for at := 84; at < len(file); at += 50 {
		var x [12]float64
		for i := range x {
			x[i] = float64(math.Float32frombits(binary.LittleEndian.Uint32(file[at+4*i:])))
		}
		sum += (x[3]*(x[7]*x[11]-x[8]*x[10]) + x[4]*(x[8]*x[9]-x[6]*x[11]) + x[5]*(x[6]*x[10]-x[7]*x[9])) / 6
	}
	for _, c := range p.Mesh.Triangles() {
		want += (c[0].X*(c[1].Y*c[2].Z-c[1].Z*c[2].Y) + c[0].Y*(c[1].Z*c[2].X-c[1].X*c[2].Z) + c[0].Z*(c[1].X*c[2].Y-c[1].Y*c[2].X)) / 6
	}
	if math.Abs(sum-want) > 1e-9*want {
		t.Errorf("volume of the file = %v, of the mesh %v", sum, want)
	}
}

func TestRunRefuses(t *testing.T) {
	dir := t.TempDir()
	for name, args := range map[string][]string{
		"no folder":        {},
		"unknown flag":     {"-out", dir, "-fast"},
		"unknown part":     {"-out", dir, "-part", "wheel"},
		"stray argument":   {"-out", dir, "more"},
		"negative facets":  {"-out", dir, "-facets", "-1"},
		"spacing of zero":  {"-out", dir, "-mm", "0", "-part", "lure-bulb"},
		"folder is a file": {"-out", "main.go", "-part", "lure-bulb"},
	} {
		if err := run(args, io.Discard, io.Discard); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
