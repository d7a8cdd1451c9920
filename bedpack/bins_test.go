package bedpack

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

// sharedData finds a file of the shared data, which a fresh clone lacks.
func sharedData(t *testing.T, path string) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for ; dir != filepath.Dir(dir); dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
	}
	out := filepath.Join(dir, "..", "shared", "data", path)
	if _, err := os.Stat(out); err != nil {
		t.Skip("skipped: shared data absent")
	}
	return out
}

// binInstance is a set of outlines cut from a known number of square sheets.
type binInstance struct {
	Bins    []struct{ Width, Height float64 }
	Optimal int `json:"optimal_bins"`
	Items   []struct {
		Demand  int
		Outline [][2]float64
	}
}

func (in binInstance) items() []Item {
	var out []Item
	for k, it := range in.Items {
		var ring plane.Ring
		for _, p := range it.Outline {
			ring = append(ring, r2.Vec{X: p[0], Y: p[1]})
		}
		if ring.SignedArea() < 0 {
			ring = ring.Reversed()
		}
		options := []Option{option(plane.Outline{ring}, 1)}
		for c := range it.Demand {
			out = append(out, Item{Name: fmt.Sprintf("%03d", k), Copy: c + 1, Options: options, Pin: AnyPrinter})
		}
	}
	return out
}

// The instances are jigsaws: the optimum wastes nothing, and no packer that
// places one part after the other comes near it. The bounds are what is
// reached, so that a worse packer is seen; they are not a claim to be good.
//
// Source: ESICUP data sets, terashima1 and terashima2 (CC0); H.
// Terashima-Marín et al., "Generalized hyper-heuristics for solving 2D regular
// and irregular packing problems", Annals of Operations Research 179, 2010.
func TestBinInstances(t *testing.T) {
	for _, c := range []struct {
		name   string
		effort int
		most   int
	}{
		{"TA001", -1, 4}, {"TC001", -1, 8}, {"TF001", -1, 3}, {"TM001", -1, 7}, {"TU001C5C5", -1, 8}, {"TY001C10", -1, 8},
		{"TM001", 300, 6},
	} {
		t.Run(fmt.Sprint(c.name, c.effort), func(t *testing.T) {
			data, err := os.ReadFile(sharedData(t, "nesting/bins/"+c.name+".json"))
			if err != nil {
				t.Fatal(err)
			}
			var in binInstance
			if err := json.Unmarshal(data, &in); err != nil {
				t.Fatal(err)
			}
			p := []printer.Printer{{Bed: printer.Bed{Width: in.Bins[0].Width, Depth: in.Bins[0].Height}, Height: 10}}
			items := in.items()
			a := Arrange(p, items, Settings{Tries: 1, Effort: c.effort})
			checkArrangement(t, p, items, a)
			t.Logf("%d plates, optimum %d", len(a.Plates), in.Optimal)
			if len(a.Refused) > 0 || len(a.Plates) > c.most {
				t.Errorf("%d plates and %d refused, want at most %d and none", len(a.Plates), len(a.Refused), c.most)
			}
			if len(a.Plates) < in.Optimal {
				t.Errorf("%d plates, fewer than the optimum %d: something overlaps", len(a.Plates), in.Optimal)
			}
		})
	}
}
