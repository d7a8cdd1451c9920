package joblist

import (
	"bytes"
	"encoding/json"
	"flag"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
)

var (
	update = flag.Bool("update", false, "rewrite the golden files")
	seed   = flag.Uint64("seed", 1, "seed of the random cases")
)

// dice returns the random numbers of a test, and names their seed if it fails.
func dice(t *testing.T) *rand.Rand {
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("seed %d", *seed)
		}
	})
	return rand.New(rand.NewPCG(*seed, 7))
}

// standing returns the matrix that turns up upright, spins by degrees and
// shifts.
func standing(up [3]float64, degrees float64, shift r3.Vec) [16]float64 {
	d, err := mesh.NewDirection(r3.Vec{X: up[0], Y: up[1], Z: up[2]})
	if err != nil {
		panic(err)
	}
	frame := mesh.Upright(d).Spun(plane.Angle(degrees) * plane.Degree)
	return mesh.Pose{Frame: frame, Shift: shift}.Matrix()
}

func at(clock string) *time.Time {
	t, err := time.Parse(time.RFC3339, clock)
	if err != nil {
		panic(err)
	}
	return &t
}

func option(up [3]float64, height, bench float64, on ...On) Option {
	return Option{
		Up: up, Height: height, Layers: int(height / 0.2), Overhang: 12.5, OverhangRaw: 20.25,
		Support: 340.5, SupportRaw: 400, Footprint: 900, Contact: 450.125,
		Scar: Roles{Show: 3.5, Hidden: 9}, Cusp: Roles{Show: 10, Joint: 2, Hidden: 1},
		Tip: 31.5, BenchHours: bench, ScarHours: bench / 4, SandHours: bench * 3 / 4, Notes: []Note{}, On: on,
	}
}

var (
	up    = [3]float64{0, 0, 1}
	lying = [3]float64{1, 0, 0}
	lean  = [3]float64{0.6, 0, 0.8}
)

// sample is a list with one part of every status, one part that is placed in
// part, an oblong and a round printer, and numbers that must be rounded.
func sample() List {
	l := List{
		Schema: SchemaID, Build: "lantern", Made: *at("2026-05-01T07:30:00+02:00"), Seed: 7,
		Settings: json.RawMessage(`{"overhang_deg":45.00000000000001,"printer":[{"name":"big","gap_mm":5}],"deadline":null}`),
		Totals:   Totals{BoundHours: new(10.5), HoursAre: Rough},
		Notes:    []Note{{"size_odd", "spire is 8 times as large as the next part"}},
		Printers: []Printer{
			{Name: "big", Bed: [2]float64{300, 300}, Height: 400},
			{Name: "round", Diameter: 180, Height: 200, IdleHours: new(1.25)},
		},
		Parts:  sampleParts(),
		Plates: samplePlates(),
	}
	AddUp(&l)
	return l
}

func sampleParts() []Part {
	big, round := On{"big", 2.5, 40.126, 4.5, 0.0625, 3.0625}, On{"round", 2.75, 40.126, 4.5, 0.07, 3.07}
	hash := "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"
	return []Part{
		{
			Name: "base", File: "base.stl", SHA256: hash, Count: 2, Triangles: 12, Volume: 27000, Area: 5400,
			Size: [3]float64{30, 30, 30}, Chosen: new(1), Status: Placed, Why: "least support on show faces",
			Options: []Option{option(lying, 30, 0.5, big), option(up, 30.1234564, 0.25, big, round)},
		},
		{
			Name: "pane", File: "panes/pane_x3.stl", SHA256: hash, Count: 3, Triangles: 1234, Volume: 812.00049, Area: 900,
			Size: [3]float64{40, 2, 60}, Chosen: new(0), Status: NotPlaced,
			Why:     "the spool on round lasts for 2 of the 3",
			Notes:   []Note{{"open_edges", "4 edges are open; the holes are flat and were closed"}, {"slim", "3 mm thick where it joins base"}},
			Options: []Option{option(lean, 60, 0.125, big, round)},
		},
		{
			Name: "spire", File: "spire.stl", SHA256: hash, Count: 1, Triangles: 800, Volume: 9e5, Area: 7e4,
			Size: [3]float64{60, 60, 460}, Chosen: new(0), Status: NotPlaced,
			Why:     "too long for every printer: 60 mm over in z on big, which comes nearest",
			Options: []Option{option(up, 460, 1)},
		},
		{Name: "hook", File: "hook.stl", Count: 2, Status: Unreadable, Why: "the file ends inside facet 17"},
	}
}

func samplePlates() []Plate {
	return []Plate{
		{
			ID: "01-big", Printer: "big", ChangeFrom: at("2026-05-01T07:50:00+02:00"), Start: at("2026-05-01T08:00:00+02:00"), End: at("2026-05-01T12:00:00+02:00"),
			Hours: 4.00004, Filament: 80.254, Files: Files{"plates/01-big.3mf", "plates/01-big.stl"},
			Items: []Item{
				{Part: "base", Copy: 1, Option: 1, Box: new([4]float64{10, 20, 40, 50}), Matrix: standing(up, 90, r3.Vec{X: 40, Y: 20})},
				{Part: "pane", Copy: 1, Option: 0, Matrix: standing(lean, 30, r3.Vec{X: 100, Y: 100.0000004, Z: -1e-9})},
			},
		},
		{
			ID: "02-round", Printer: "round", Hours: 2.75004, Filament: 40.126, Files: Files{ThreeMF: "plates/02-round.3mf"},
			Items: []Item{{Part: "pane", Copy: 2, Option: 0, Box: new([4]float64{50, 50, 90, 95}), Matrix: standing(lean, -45, r3.Vec{X: 60, Y: 60})}},
		},
		{
			ID: "03-big", Printer: "big", ChangeFrom: at("2026-05-01T12:00:00+02:00"), Start: at("2026-05-01T12:10:00+02:00"), End: at("2026-05-02T01:40:00+02:00"),
			Hours: 13.5, Filament: 40.004, Files: Files{"plates/03-big.3mf", "plates/03-big.stl"},
			Items: []Item{{Part: "base", Copy: 2, Option: 0, Box: new([4]float64{0, 0, 30, 30}), Matrix: standing(lying, 180, r3.Vec{Z: 30})}},
		},
	}
}

func encoded(t testing.TB, l List) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Encode(&out, l); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// golden compares got with a file below testdata, or rewrites the file.
func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile("testdata/"+file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs (look at it with -update and git diff); got:\n%s", file, got)
	}
}
