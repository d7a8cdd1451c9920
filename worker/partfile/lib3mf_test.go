package partfile

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
)

// lib3mfcheck builds the program in testdata/lib3mfcheck, or skips the test
// where the compiler or Debian's lib3mf-dev is absent.
func lib3mfcheck(t *testing.T) string {
	t.Helper()
	const headers = "/usr/include/lib3mf"
	if _, err := os.Stat(headers); err != nil {
		t.Skip("skipped: lib3mf-dev absent")
	}
	compiler, err := exec.LookPath("g++")
	if err != nil {
		t.Skip("skipped: g++ absent")
	}
	program := filepath.Join(t.TempDir(), "lib3mfcheck")
	out, err := exec.Command(compiler, "-std=c++17", "-O1", "-Wall", "-o", program,
		"testdata/lib3mfcheck/main.cpp", "-I"+headers, "-l3MF").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return program
}

type placedItem struct {
	facets int
	box    r3.Box
}

// runLib3mf returns what lib3mf found in a file; an error if it found fault.
func runLib3mf(t *testing.T, program string, data []byte) ([]placedItem, error) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "plate.3mf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	var out, faults bytes.Buffer
	command := exec.Command(program, file)
	command.Stdout, command.Stderr = &out, &faults
	if err := command.Run(); err != nil {
		return nil, fmt.Errorf("%w: %s", err, faults.String())
	}
	var items []placedItem
	for text := range strings.Lines(out.String()) {
		var i placedItem
		if _, err := fmt.Sscanf(text, "item %d %g %g %g %g %g %g", &i.facets,
			&i.box.Min.X, &i.box.Min.Y, &i.box.Min.Z, &i.box.Max.X, &i.box.Max.Y, &i.box.Max.Z); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		items = append(items, i)
	}
	return items, nil
}

// TestPlateOpensInLib3mf lets lib3mf 1.8.1 open a plate in strict mode, without
// a warning, and say where the copies lie.
func TestPlateOpensInLib3mf(t *testing.T) {
	program := lib3mfcheck(t)
	plate := lumpPlate(t)
	items, err := runLib3mf(t, program, write3MFBytes(t, plate))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := len(items), len(plate.Copies); got != want {
		t.Fatalf("items = %d, want %d", got, want)
	}
	for i, item := range items {
		want := plate.Copies[i].Mesh.Moved(plate.Copies[i].Pose).Bounds()
		// lib3mf works in 32 bits: 800 mm · 2⁻²³ is 1e-4.
		if r3.Norm(r3.Sub(item.box.Min, want.Min)) > 5e-4 || r3.Norm(r3.Sub(item.box.Max, want.Max)) > 5e-4 {
			t.Errorf("item %d lies in %v, want %v", i, item.box, want)
		}
		if item.facets != 12 {
			t.Errorf("item %d has %d facets, want 12", i, item.facets)
		}
	}
}

// TestAnyNameOpensInLib3mf: its XML reader is stricter than others.
func TestAnyNameOpensInLib3mf(t *testing.T) {
	program := lib3mfcheck(t)
	plate := lumpPlate(t)
	for _, name := range []string{"", `<>&"'`, "\x00\x01\t\n\r\x7f", "\xff\xfe", "\u263a\ufffe\U0001F600", strings.Repeat("n", 5000), " a ", "]]>"} {
		plate.Title, plate.Copies[0].Name, plate.Copies[1].Number = name, name, name
		if _, err := runLib3mf(t, program, write3MFBytes(t, plate)); err != nil {
			t.Errorf("name %.20q: %v", name, err)
		}
		if _, err := decodeStrictly(write3MFBytes(t, plate)); err != nil {
			t.Errorf("name %.20q: %v", name, err)
		}
		if _, err := readBytes("x.3mf", write3MFBytes(t, plate), Limits{}); err != nil {
			t.Errorf("name %.20q: %v", name, err)
		}
	}
}

// TestTinyNumbersOpenInLib3mf: rotations by quarter turns leave 6e-17 where zero
// is meant.
func TestTinyNumbersOpenInLib3mf(t *testing.T) {
	program := lib3mfcheck(t)
	base := cubeMesh(10)
	vertices := slices.Clone(base.Vertices())
	vertices[0] = vec(1e-300, -6.123233995736766e-17, 1e-45)
	m, err := mesh.New(vertices, base.Faces())
	if err != nil {
		t.Fatal(err)
	}
	turned := mesh.Identity().Spun(plane.Angle(math.Pi / 2))
	plate := Plate{Copies: []Copy{{Mesh: m, Pose: mesh.Pose{Frame: turned, Shift: vec(20, 1e-17, 1e-300)}}}}
	items, err := runLib3mf(t, program, write3MFBytes(t, plate))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := items[0].box, (r3.Box{Min: vec(10, 0, 0), Max: vec(20, 10, 10)}); r3.Norm(r3.Sub(got.Min, want.Min)) > 1e-5 || r3.Norm(r3.Sub(got.Max, want.Max)) > 1e-5 {
		t.Errorf("box = %v, want %v", got, want)
	}
}

// TestLib3mfSeesFaults shows that the check above can fail.
func TestLib3mfSeesFaults(t *testing.T) {
	program := lib3mfcheck(t)
	if _, err := runLib3mf(t, program, package3MF(t, boxModel)); err != nil {
		t.Errorf("whole box: %v", err)
	}
	for name, in := range map[string][]byte{
		"repeated corner": package3MF(t, with(`v1="0" v2="2" v3="1"`, `v1="0" v2="2" v3="2"`)),
		"unknown object":  package3MF(t, with(`objectid="1"`, `objectid="2"`)),
		"open mesh":       package3MF(t, with(`<triangle v1="0" v2="2" v3="1"/>`, ``)),
		"unknown type":    package3MF(t, with(`type="model"`, `type="box"`)),
		"half a file":     package3MF(t, boxModel)[:500],
	} {
		if _, err := runLib3mf(t, program, in); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestLib3mfAgreesOnPlacement compares the boxes of build items in shared
// samples with ours.
func TestLib3mfAgreesOnPlacement(t *testing.T) {
	program := lib3mfcheck(t)
	dir := sharedData(t, "meshes/format")
	for _, name := range []string{
		"cube_gears.3mf",
		"mustpass/MUSTPASS_Chapter3.2c_MultipleItemsTransform.3mf",
		"mustpass/MUSTPASS_Chapter3.2b_UnitsMeasurementMM.3mf",
	} {
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		items, err := runLib3mf(t, program, data)
		if err != nil {
			t.Fatal(err)
		}
		part, err := readBytes("x.3mf", data, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		rest := part.Triangles
		for i, item := range items {
			box := bounds(rest[:item.facets])
			rest = rest[item.facets:]
			// 32 bits in lib3mf: 100 mm · 2⁻²³ is 1e-5.
			if r3.Norm(r3.Sub(item.box.Min, box.Min)) > 1e-4 || r3.Norm(r3.Sub(item.box.Max, box.Max)) > 1e-4 {
				t.Errorf("%s item %d lies in %v, lib3mf says %v", name, i, box, item.box)
			}
		}
		if len(rest) != 0 {
			t.Errorf("%s: %d facets more than in lib3mf", name, len(rest))
		}
	}
}
