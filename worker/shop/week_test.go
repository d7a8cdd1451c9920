package shop

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestWindowReadsAndWrites(t *testing.T) {
	for _, test := range []struct {
		text string
		want Window
	}{
		{"00:00-24:00", Window{0, 1440}},
		{"00:00-00:01", Window{0, 1}},
		{"23:59-24:00", Window{1439, 1440}},
		{"08:05-17:30", Window{485, 1050}},
		{"22:00-06:00", Window{1320, 1800}}, // over midnight
		{"22:00-00:00", Window{1320, 1440}}, // to midnight: written 24:00
		{"12:00-11:59", Window{720, 2159}},
		{"23:59-23:58", Window{1439, 2878}},
	} {
		got, wrong := parseWindow(test.text)
		if got != test.want || wrong != "" {
			t.Errorf("parseWindow(%s) = %v %q, want %v", test.text, got, wrong, test.want)
		}
		if again, _ := parseWindow(got.String()); again != got {
			t.Errorf("%s is written %s, which reads as %v", test.text, got, again)
		}
	}
}

func TestSpans(t *testing.T) {
	tests := []struct {
		name    string
		week    Week
		want    []Window
		longest int
	}{
		{"no windows", Week{}, nil, 0},
		{"two on Monday", Week{0: {{60, 120}, {180, 200}}}, []Window{{60, 120}, {180, 200}}, 60},
		{"touching over midnight", Week{0: {{1400, 1440}}, 1: {{0, 30}}}, []Window{{1400, 1470}}, 70},
		{"overlapping over midnight", Week{0: {{1400, 1500}}, 1: {{10, 30}, {40, 70}}}, []Window{{1400, 1510}}, 110},
		{"Sunday into Monday", Week{0: {{300, 400}}, 6: {{1380, 1500}}}, []Window{{0, 60}, {300, 400}, {10020, 10080}}, 120},
		{"whole week", Week{{{0, 1440}}, {{0, 1440}}, {{0, 1440}}, {{0, 1440}}, {{0, 1440}}, {{0, 1440}}, {{0, 1440}}}, []Window{{0, 10080}}, 10080},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if diff := cmp.Diff(test.want, test.week.Spans()); diff != "" {
				t.Errorf("Spans: want -, got +\n%s", diff)
			}
			if got := test.week.longest(); got != test.longest {
				t.Errorf("longest = %d, want %d", got, test.longest)
			}
		})
	}
}

// Spans against a slow count of each minute.
func TestSpansCoverTheMinutesOfTheWindows(t *testing.T) {
	const seed = 3
	random := rand.New(rand.NewPCG(seed, 0))
	for round := range 200 {
		var w Week
		var want [WeekLong]bool
		for range random.IntN(8) {
			day, from := random.IntN(7), random.IntN(Day)
			one := Window{from, from + 1 + random.IntN(Day-1)}
			w[day] = append(w[day], one)
			for m := one.From; m < one.To; m++ {
				want[(day*Day+m)%WeekLong] = true
			}
		}
		var got [WeekLong]bool
		before := -1
		for _, s := range w.Spans() {
			if s.From <= before || s.To <= s.From || s.To > WeekLong {
				t.Fatalf("seed %d, round %d: span %v after %d", seed, round, s, before)
			}
			before = s.To
			for m := s.From; m < s.To; m++ {
				got[m] = true
			}
		}
		if got != want {
			t.Fatalf("seed %d, round %d: %v covers other minutes than %v", seed, round, w.Spans(), w)
		}
	}
}

func TestShared(t *testing.T) {
	a := Week{0: {{60, 120}}, 6: {{1380, 1500}}}
	b := Week{0: {{0, 90}}}
	if got := shared(a, b); got != 90 { // 00:00-01:00 from Sunday, 01:00-01:30
		t.Errorf("shared = %d, want 90", got)
	}
	if got := shared(a, b, Week{}); got != 0 {
		t.Errorf("shared with a week of no windows = %d, want 0", got)
	}
}

// A window from Sunday 22:00 to Monday 06:00 is cut at the end of the week.
func ExampleWeek_Spans() {
	sunday, _ := parseWindow("22:00-06:00")
	fmt.Println(sunday, Week{6: {sunday}}.Spans()[0].To, "minutes of Monday")
	// Output: 22:00-06:00 360 minutes of Monday
}
