package joblist

import (
	"encoding/json"
	"math/big"
	"testing"
)

// The written totals are exactly the sums of the written figures, added up as
// fractions and not in the program's own arithmetic.
func TestWrittenTotalsAreExactSums(t *testing.T) {
	random := dice(t)
	for range 100 {
		l := sample()
		for i := range l.Plates {
			l.Plates[i].Hours = 100 * random.Float64()
			l.Plates[i].Filament = 1000 * random.Float64()
		}
		for i := range l.Parts {
			for j := range l.Parts[i].Options {
				l.Parts[i].Options[j].BenchHours = random.Float64()
				for k := range l.Parts[i].Options[j].On {
					l.Parts[i].Options[j].On[k].Support = 10 * random.Float64()
				}
			}
		}
		AddUp(&l)
		exactSums(t, encoded(t, l))
	}
}

// written is what the test reads of a list: texts of numbers.
type written struct {
	Totals map[string]json.RawMessage
	Parts  []struct {
		Name    string
		Options []struct {
			BenchHours json.Number `json:"bench_hours"`
			On         []struct {
				Printer string
				Support json.Number `json:"support_g"`
			}
		}
	}
	Plates []struct {
		Printer  string
		Hours    json.Number
		Filament json.Number `json:"filament_g"`
		Items    []struct {
			Part   string
			Option int
		}
	}
}

func exactSums(t *testing.T, data []byte) {
	t.Helper()
	var w written
	if err := json.Unmarshal(data, &w); err != nil {
		t.Fatal(err)
	}
	sums := map[string]*big.Rat{"machine_hours": {}, "filament_g": {}, "bench_hours": {}, "support_g": {}}
	add := func(key string, n json.Number) {
		x, ok := new(big.Rat).SetString(n.String())
		if !ok {
			t.Fatalf("%s is not a number: %q", key, n)
		}
		sums[key].Add(sums[key], x)
	}
	for _, plate := range w.Plates {
		add("machine_hours", plate.Hours)
		add("filament_g", plate.Filament)
		for _, item := range plate.Items {
			for _, part := range w.Parts {
				if part.Name != item.Part {
					continue
				}
				add("bench_hours", part.Options[item.Option].BenchHours)
				for _, on := range part.Options[item.Option].On {
					if on.Printer == plate.Printer {
						add("support_g", on.Support)
					}
				}
			}
		}
	}
	for key, want := range sums {
		got, ok := new(big.Rat).SetString(string(w.Totals[key]))
		if !ok || got.Cmp(want) != 0 {
			t.Errorf("%s = %s, and its parts add up to %s", key, w.Totals[key], want.FloatString(6))
		}
	}
}

func TestAddUpCountsChangesBetweenPlates(t *testing.T) {
	for _, row := range []struct {
		name     string
		printers []string // of each plate
		want     int
	}{
		{"no plate", nil, 0},
		{"one plate", []string{"a"}, 0},
		{"one plate on each", []string{"a", "b"}, 0},
		{"three on one, two on another", []string{"a", "b", "a", "b", "a"}, 3},
	} {
		t.Run(row.name, func(t *testing.T) {
			var l List
			for _, name := range row.printers {
				l.Plates = append(l.Plates, Plate{Printer: name})
			}
			AddUp(&l)
			if l.Totals.Changes != row.want {
				t.Errorf("Changes = %d, want %d", l.Totals.Changes, row.want)
			}
		})
	}
}
