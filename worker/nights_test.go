package worker

import (
	"math"
	"strings"
	"testing"
	"time"

	"platewright/orient/printer"
	"platewright/worker/joblist"
	"platewright/worker/shop"
)

func daily(from, to int) shop.Week {
	var w shop.Week
	for day := range w {
		w[day] = []shop.Window{{From: from, To: to}}
	}
	return w
}

func TestLongestRun(t *testing.T) {
	for _, c := range []struct {
		name string
		h    shop.Hours
		want float64
	}{
		{"attended only", shop.Hours{Attended: daily(8*60, 22*60), Running: daily(0, shop.Day)}, 14},
		{"unattended round the clock", shop.Hours{Unattended: true, Attended: daily(8*60, 22*60), Running: daily(0, shop.Day)}, math.Inf(1)},
		{"not at night", shop.Hours{Unattended: true, Attended: daily(0, shop.Day), Running: daily(7*60, 23*60)}, 16},
		{"from Sunday into Monday", shop.Hours{Attended: daily(0, shop.Day), Running: shop.Week{0: {{From: 0, To: 300}}, 6: {{From: 20 * 60, To: shop.Day}}}}, 9},
		{"nobody there while it may run", shop.Hours{Attended: daily(8*60, 9*60), Running: daily(10*60, 11*60)}, 0},
	} {
		if got := longestRun(c.h); got != c.want {
			t.Errorf("%s: %v h, want %v", c.name, got, c.want)
		}
	}
}

func TestSpoolsAreShortBeforeAnythingStarts(t *testing.T) {
	start := func(hour int) *time.Time {
		at := time.Date(2027, 3, 1, hour, 0, 0, 0, time.UTC)
		return &at
	}
	b := &build{shop: shop.Shop{
		Printers: []printer.Printer{{Name: "a", SpoolLeft: 150}, {Name: "b", SpoolLeft: 240}, {Name: "c", SpoolLeft: math.NaN()}},
		Reserve:  shop.Reserve{Grams: 20, Filament: 0.05},
	}}
	l := &joblist.List{Plates: []joblist.Plate{
		{ID: "1", Printer: "a", Filament: 100, Start: start(9)}, {ID: "2", Printer: "a", Filament: 60, Start: start(6)},
		{ID: "3", Printer: "b", Filament: 220}, {ID: "4", Printer: "c", Filament: 9000},
	}}
	// a: 60 g fit, with 100 g more and 20 g in hand it needs 180. b: 240 g just do.
	got := b.spools(l)
	if len(got) != 1 || !strings.Contains(got[0].Text, "spool on a") || !strings.Contains(got[0].Text, "30 g short, from plate 1 on") {
		t.Errorf("spools = %v", got)
	}
}
