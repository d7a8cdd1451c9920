package bedpack

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"platewright/orient/printer"
)

func bedsOf(sides ...float64) []*bed {
	var out []*bed
	for i, s := range sides {
		out = append(out, newBed(i, printer.Printer{Bed: printer.Bed{Width: s, Depth: s}}, Settings{}))
	}
	return out
}

// hoursOf gives a piece of an area its hours on each bed; NaN: not there.
func hoursOf(area float64, hours ...float64) []*shape {
	out := make([]*shape, len(hours))
	for b, h := range hours {
		if !math.IsNaN(h) {
			out[b] = &shape{hours: h, area: area}
		}
	}
	return out
}

func TestShareSimpleCases(t *testing.T) {
	no := math.NaN()
	for _, c := range []struct {
		name    string
		choices [][]*shape
		want    []int
	}{
		{"nothing", nil, []int{}},
		{"each where it can", [][]*shape{hoursOf(1, no, 5), hoursOf(1, 5, no)}, []int{1, 0}},
		{"alike, the small bed takes it", [][]*shape{hoursOf(1, 5, 5)}, []int{1}},
		{"alike, the small part on the small bed", [][]*shape{hoursOf(1, 5, 5), hoursOf(9, 5, 5)}, []int{1, 0}},
		{"where it takes fewer hours", [][]*shape{hoursOf(1, 4, 5)}, []int{0}},
		{"the long one alone", [][]*shape{hoursOf(1, 3, 3), hoursOf(9, 9, 9), hoursOf(1, 3, 3), hoursOf(1, 3, 3)}, []int{1, 0, 1, 1}},
		// What must go on the large bed fills it; the rest keeps off.
		{"round the bound ones", [][]*shape{hoursOf(9, 8, no), hoursOf(1, 5, 5), hoursOf(1, 4, 4)}, []int{0, 1, 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := share(c.choices, bedsOf(300, 200)); !slices.Equal(got, c.want) {
				t.Errorf("share = %v, want %v", got, c.want)
			}
		})
	}
}

// Against trying everything: the largest sum of hours is seldom above the
// least possible, and never by much.
func TestShareAgainstTryingAll(t *testing.T) {
	exact, worst, n := 0, 1.0, 0
	cases(t, 150, func(t *testing.T, rnd *rand.Rand) {
		beds := bedsOf([]float64{300, 200, 250}[:2+rnd.IntN(2)]...)
		choices := make([][]*shape, 2+rnd.IntN(6))
		for i := range choices {
			hours := make([]float64, len(beds))
			for b := range hours {
				hours[b] = 1 + 20*rnd.Float64()
				if b > 0 && rnd.IntN(4) == 0 {
					hours[b] = math.NaN()
				}
			}
			choices[i] = hoursOf(100*rnd.Float64(), hours...)
		}
		got, want := longest(choices, share(choices, beds), len(beds)), leastLongest(choices, make([]int, 0, 8), len(beds))
		if got < want-1e-9 {
			t.Fatalf("%v hours, less than the least %v: the test is wrong", got, want)
		}
		n++
		if got < want+0.002 {
			exact++
		}
		worst = max(worst, got/want)
	})
	t.Logf("least in %d of %d, worst ratio %.3f", exact, n, worst)
	if exact < n*3/4 || worst > 1.25 {
		t.Errorf("least in only %d of %d, worst ratio %v", exact, n, worst)
	}
}

func longest(choices [][]*shape, bedOf []int, beds int) float64 {
	load := make([]float64, beds)
	for i, b := range bedOf {
		load[b] += choices[i][b].hours
	}
	return slices.Max(load)
}

func leastLongest(choices [][]*shape, bedOf []int, beds int) float64 {
	if len(bedOf) == len(choices) {
		return longest(choices, bedOf, beds)
	}
	best := math.Inf(1)
	for b, c := range choices[len(bedOf)] {
		if c != nil {
			best = min(best, leastLongest(choices, append(bedOf, b), beds))
		}
	}
	return best
}

// Proven optima of jobs on machines that take unrelated times, in the
// schedules of the shared data (two exact methods agree on each). All but one
// of the eight are reached, that one is missed by 1.3 %.
func TestShareAgainstProvenOptima(t *testing.T) {
	data, err := os.ReadFile(sharedData(t, "schedules/rcmax_small.json"))
	if err != nil {
		t.Fatal(err)
	}
	var instances []struct {
		Name    string
		Hours   [][]float64 `json:"p_machine_job"`
		Optimum float64     `json:"optimal_makespan"`
	}
	if err := json.Unmarshal(data, &instances); err != nil {
		t.Fatal(err)
	}
	reached := 0
	for _, in := range instances {
		choices := make([][]*shape, len(in.Hours[0]))
		for i := range choices {
			hours := make([]float64, len(in.Hours))
			for b := range hours {
				hours[b] = in.Hours[b][i]
			}
			choices[i] = hoursOf(1, hours...)
		}
		sides := make([]float64, len(in.Hours))
		for b := range sides {
			sides[b] = 200
		}
		got := longest(choices, share(choices, bedsOf(sides...)), len(sides))
		t.Logf("%s: %v, optimum %v", in.Name, got, in.Optimum)
		if got < in.Optimum || got > 1.015*in.Optimum {
			t.Errorf("%s: %v, optimum %v", in.Name, got, in.Optimum)
		}
		if got == in.Optimum {
			reached++
		}
	}
	if reached < len(instances)-1 {
		t.Errorf("the optimum is reached in only %d of %d", reached, len(instances))
	}
}

func BenchmarkShare(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 3))
	choices := make([][]*shape, 200)
	for i := range choices {
		h := 1 + 20*rnd.Float64()
		choices[i] = hoursOf(100*rnd.Float64(), h, h*(0.9+0.3*rnd.Float64()), h, h*1.1)
	}
	beds := bedsOf(300, 250, 250, 200)
	for b.Loop() {
		share(choices, beds)
	}
}
