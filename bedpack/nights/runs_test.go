package nights

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// The data of the published instances, optimum proven by two exact methods.
type batchInstance struct {
	Name     string
	Machines []struct{ ST, VT, HT, A, H float64 }
	Parts    []struct{ V, H, A float64 }
	Optimal  float64 `json:"optimal_makespan"`
	Batches  []struct {
		Machine int
		Parts   []int
	}
}

func (in batchInstance) problem() (printers []RunPrinter, parts []RunPart) {
	for _, m := range in.Machines {
		printers = append(printers, RunPrinter{Setup: m.ST, PerVolume: m.VT, PerHeight: m.HT, Area: m.A, Height: m.H})
	}
	for _, p := range in.Parts {
		parts = append(parts, RunPart{Volume: p.V, Height: p.H, Area: p.A})
	}
	return printers, parts
}

func TestBatchInstances(t *testing.T) {
	var all []batchInstance
	shared(t, &all, "schedules", "am_batch_small.json")
	if len(all) < 4 {
		t.Fatalf("%d instances, want 4 or more", len(all))
	}
	for _, in := range all {
		t.Run(in.Name, func(t *testing.T) {
			printers, parts := in.problem()
			runs, end, err := ShareRuns(printers, parts)
			if err != nil || end != in.Optimal {
				t.Errorf("ShareRuns ends %v, %v, want %v", end, err, in.Optimal)
			}
			if got := endOfRuns(t, printers, parts, runs); got != in.Optimal {
				t.Errorf("its runs end %v, want %v", got, in.Optimal)
			}
			var published []Run
			for _, b := range in.Batches {
				published = append(published, Run{b.Machine, b.Parts})
			}
			if got := endOfRuns(t, printers, parts, published); got != in.Optimal {
				t.Errorf("the published runs end %v, want %v: the definition differs", got, in.Optimal)
			}
		})
	}
}

// endOfRuns checks runs and returns when the last printer is done.
func endOfRuns(t *testing.T, printers []RunPrinter, parts []RunPart, runs []Run) float64 {
	t.Helper()
	seen := make([]int, len(parts))
	ends := make([]float64, len(printers))
	for _, r := range runs {
		p, area, volume, height := printers[r.Printer], 0.0, 0.0, 0.0
		for _, i := range r.Parts {
			seen[i]++
			area += parts[i].Area
			volume += parts[i].Volume
			height = math.Max(height, parts[i].Height)
		}
		if area > p.Area || height > p.Height {
			t.Errorf("run %v does not fit", r)
		}
		ends[r.Printer] += p.Setup + p.PerVolume*volume + p.PerHeight*height
	}
	last := 0.0
	for _, e := range ends {
		last = math.Max(last, e)
	}
	for i, n := range seen {
		if n != 1 {
			t.Errorf("part %d is in %d runs", i, n)
		}
	}
	return last
}

// The same by trying everything: each part into each run begun before it on
// each printer, or a new one.
func TestShareRunsAgainstTryingAll(t *testing.T) {
	cases(t, 60, func(t *testing.T, rnd *rand.Rand) {
		var printers []RunPrinter
		for range 1 + rnd.IntN(3) {
			printers = append(printers, RunPrinter{float64(rnd.IntN(40)), float64(1 + rnd.IntN(4)), float64(rnd.IntN(3)), float64(100 + rnd.IntN(300)), float64(50 + rnd.IntN(100))})
		}
		var parts []RunPart
		for range rnd.IntN(6) {
			parts = append(parts, RunPart{float64(rnd.IntN(100)), float64(rnd.IntN(110)), float64(20 + rnd.IntN(150))})
		}
		runs, end, err := ShareRuns(printers, parts)
		if want := tryRuns(printers, parts, nil, 0); err != nil || end != want {
			t.Fatalf("ShareRuns ends %v, %v, want %v", end, err, want)
		}
		if !math.IsInf(end, 1) {
			if got := endOfRuns(t, printers, parts, runs); got != end {
				t.Errorf("its runs end %v, want %v", got, end)
			}
		}
	})
}

func tryRuns(printers []RunPrinter, parts []RunPart, runs []Run, next int) float64 {
	if next == len(parts) {
		ends := make([]float64, len(printers))
		for _, r := range runs {
			p, area, volume, height := printers[r.Printer], 0.0, 0.0, 0.0
			for _, i := range r.Parts {
				area, volume, height = area+parts[i].Area, volume+parts[i].Volume, math.Max(height, parts[i].Height)
			}
			if area > p.Area || height > p.Height {
				return math.Inf(1)
			}
			ends[r.Printer] += p.Setup + p.PerVolume*volume + p.PerHeight*height
		}
		last := 0.0
		for _, e := range ends {
			last = math.Max(last, e)
		}
		return last
	}
	best := math.Inf(1)
	for i := range runs {
		kept := runs[i].Parts
		runs[i].Parts = append(append([]int(nil), kept...), next)
		best = math.Min(best, tryRuns(printers, parts, runs, next+1))
		runs[i].Parts = kept
	}
	for k := range printers {
		best = math.Min(best, tryRuns(printers, parts, append(runs[:len(runs):len(runs)], Run{k, []int{next}}), next+1))
	}
	return best
}

func TestShareRunsBadInput(t *testing.T) {
	one := []RunPrinter{{Setup: 1, PerVolume: 1, Area: 10, Height: 10}}
	for _, c := range []struct {
		name     string
		printers []RunPrinter
		parts    []RunPart
		end      float64
		err      error
	}{
		{"nothing", nil, nil, 0, nil},
		{"no printer", nil, make([]RunPart, 1), math.Inf(1), nil},
		{"no part", one, nil, 0, nil},
		{"too high", one, []RunPart{{Height: 11}}, math.Inf(1), nil},
		{"too large", one, []RunPart{{Area: 11}}, math.Inf(1), nil},
		{"too many", one, make([]RunPart, MostRunParts+1), 0, ErrMany},
		{"as many as can be", one, make([]RunPart, MostRunParts), 1, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			runs, end, err := ShareRuns(c.printers, c.parts)
			if end != c.end || !errors.Is(err, c.err) {
				t.Errorf("ShareRuns = %v, %v, %v, want %v, %v", runs, end, err, c.end, c.err)
			}
		})
	}
}

func ExampleShareRuns() {
	// Each setup costs 10. Apart the two parts take 10+6 on two printers;
	// together on one, 10+6+6.
	printers := []RunPrinter{{Setup: 10, PerVolume: 1, Area: 100, Height: 50}, {Setup: 10, PerVolume: 1, Area: 100, Height: 50}}
	parts := []RunPart{{Volume: 6, Height: 5, Area: 40}, {Volume: 6, Height: 5, Area: 40}}
	_, two, _ := ShareRuns(printers, parts)
	_, one, _ := ShareRuns(printers[:1], parts)
	fmt.Println(two, one)
	// Output: 16 22
}
