package nights

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

// shopOf is a shop of one printer that runs and is attended 08:00-22:00, with
// changes of 10 minutes, from a Monday 08:00.
func shopOf(plates ...Plate) Problem {
	return Problem{From: monday(8), Attended: Daily(Window{480, 1320}), Start: Always(), Change: 10 * time.Minute,
		Printers: []Printer{{Name: "left", Running: Always()}}, Plates: plates}
}

// Whatever is wrong with a plate or the shop, the plate comes back with the
// reason and the others are planned.
func TestBadInputs(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := Plate{ID: "good", Hours: []float64{2}, Pin: AnyPrinter}
	plate := func(hours ...float64) Plate { return Plate{ID: "bad", Hours: hours, Pin: AnyPrinter} }
	with := func(p Problem, change func(*Problem)) Problem {
		change(&p)
		return p
	}
	for _, c := range []struct {
		name string
		in   Problem
		want Reason // of "bad"; "" for planned
		good Reason
	}{
		{"no plates", shopOf(), "", ""},
		{"nothing wrong", shopOf(good, plate(3)), "", ""},
		{"NaN hours", shopOf(good, plate(nan)), Barred, ""},
		{"endless hours", shopOf(good, plate(inf)), Barred, ""},
		{"no hours", shopOf(good, plate()), Barred, ""},
		{"zero hours", shopOf(good, plate(0)), Barred, ""},
		{"hours below zero", shopOf(good, plate(-1)), Barred, ""},
		{"hours of a second that is not", shopOf(good, plate(nan, 3)), Barred, ""},
		{"a thousandth of a second", shopOf(good, plate(1e-7)), "", ""},
		{"more hours than there are", shopOf(good, plate(1e300)), TooLong, ""},
		{"longer than the person stays", shopOf(good, plate(14.5)), TooLong, ""},
		{"as long as the person stays, but there is the change", shopOf(good, plate(14)), NoStart, ""},
		{"as long as can be", shopOf(good, plate(13+50.0/60)), "", ""},
		{"a second longer", shopOf(good, plate(13+50.0/60+1.0/3600)), NoStart, ""},
		{"longer than running hours", with(shopOf(good, plate(3)), func(p *Problem) { p.Printers[0].Running = Daily(Window{600, 770}) }), TooLong, ""},
		{"longer with the reserve", with(shopOf(good, plate(13)), func(p *Problem) { p.Reserve = 0.1 }), TooLong, ""},
		{"pinned to a printer that is not", shopOf(good, Plate{ID: "bad", Hours: []float64{2}, Pin: 7}), Barred, ""},
		{"pinned below all", shopOf(good, Plate{ID: "bad", Hours: []float64{2}, Pin: -2}), Barred, ""},
		{"a start without a printer", shopOf(good, Plate{ID: "bad", Hours: []float64{2}, Pin: AnyPrinter, Start: monday(9)}), Unsound, ""},
		{"a start far away", shopOf(good, Plate{ID: "bad", Hours: []float64{2}, Start: monday(9).AddDate(90, 0, 0)}), Unsound, ""},
		{"a start of NaN hours", shopOf(good, Plate{ID: "bad", Hours: []float64{nan}, Start: monday(9)}), Barred, ""},
		{"may start in the year 9000", shopOf(good, Plate{ID: "bad", Hours: []float64{2}, Pin: AnyPrinter, Earliest: monday(9).AddDate(7000, 0, 0)}), Unsound, ""},
		{"two pinned to the same hours", shopOf(Plate{ID: "aaa", Hours: []float64{2}, Start: monday(9)}, Plate{ID: "bad", Hours: []float64{2}, Start: monday(10)}), Clash, ""},
		{"pinned so that its change meets a print", shopOf(Plate{ID: "aaa", Hours: []float64{2}, Start: monday(9)}, Plate{ID: "bad", Hours: []float64{2}, Start: monday(11).Add(5 * time.Minute)}), Clash, ""},
		{"pinned so that its change just does not", shopOf(Plate{ID: "aaa", Hours: []float64{2}, Start: monday(9)}, Plate{ID: "bad", Hours: []float64{2}, Start: monday(11).Add(10 * time.Minute)}), "", ""},
		{"pinned before the printer is free", with(shopOf(good, Plate{ID: "bad", Hours: []float64{2}, Start: monday(9)}), func(p *Problem) { p.Printers[0].Free = monday(10) }), Clash, ""},
		{"no printers", with(shopOf(good, plate(2)), func(p *Problem) { p.Printers = nil }), Barred, Barred},
		{"printer free in the year 9000", with(shopOf(good, plate(2)), func(p *Problem) { p.Printers[0].Free = monday(9).AddDate(7000, 0, 0) }), Barred, Barred},
		{"nobody ever there", with(shopOf(good, plate(2)), func(p *Problem) { p.Attended = Week{} }), Away, Away},
		{"nobody ever there, changes take no time", with(shopOf(good, plate(2)), func(p *Problem) { p.Attended, p.Change = Week{}, 0 }), Away, Away},
		{"nobody there as long as a change takes", with(shopOf(good, plate(2)), func(p *Problem) { p.Attended = Daily(Window{480, 489}) }), Away, Away},
		{"printers never run", with(shopOf(good, plate(2)), func(p *Problem) { p.Printers[0].Running = Week{} }), TooLong, TooLong},
		{"nothing may ever start", with(shopOf(good, plate(2)), func(p *Problem) { p.Start = Week{} }), NoStart, NoStart},
		{"starts only while nobody is there", with(shopOf(good, plate(2)), func(p *Problem) { p.Start = Daily(Window{0, 60}) }), NoStart, NoStart},
		{"change below zero", with(shopOf(good, plate(2)), func(p *Problem) { p.Change = -time.Second }), Unsound, Unsound},
		{"change of a year", with(shopOf(good, plate(2)), func(p *Problem) { p.Change = 365 * 24 * time.Hour }), Unsound, Unsound},
		{"swap below zero", with(shopOf(good, plate(2)), func(p *Problem) { p.Printers[0].Swap = -1 }), Unsound, Unsound},
		{"reserve NaN", with(shopOf(good, plate(2)), func(p *Problem) { p.Reserve = nan }), Unsound, Unsound},
		{"reserve below zero", with(shopOf(good, plate(2)), func(p *Problem) { p.Reserve = -0.1 }), Unsound, Unsound},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Plan(c.in, Effort{})
			want := map[string]Reason{}
			for _, one := range c.in.Plates {
				switch {
				case one.ID == "bad" && c.want != "":
					want["bad"] = c.want
				case one.ID != "bad" && c.good != "":
					want[one.ID] = c.good
				}
			}
			got := map[string]Reason{}
			for _, r := range s.Refused {
				got[c.in.Plates[r.Plate].ID] = r.Reason
			}
			if len(got) != len(want) || got["bad"] != want["bad"] || got["good"] != want["good"] {
				t.Errorf("refused %q, want %q", got, want)
			}
			if err := Verify(c.in, s); err != nil {
				t.Errorf("Verify: %v", err)
			}
		})
	}
}

// TooLong says by how much, on the printer that comes nearest: 15 h with a
// tenth in reserve against 14 h, 12 h against 11 h.
func TestTooLongTellsTheNearest(t *testing.T) {
	p := shopOf(Plate{ID: "long", Hours: []float64{15 / 1.1, 12 / 1.1}, Pin: AnyPrinter})
	p.Reserve = 0.1
	p.Attended = Daily(Window{480, 1320})
	p.Printers = []Printer{{Name: "left", Running: Always()}, {Name: "right", Running: Daily(Window{480, 1140})}}
	s := Plan(p, Effort{})
	want := []Refusal{{Plate: 0, Reason: TooLong, Printer: 0, Need: 15 * time.Hour, Have: 14 * time.Hour}}
	if !slices.Equal(s.Refused, want) {
		t.Errorf("refused %+v, want %+v", s.Refused, want)
	}
	p.Plates[0].Hours[0] += 0.5
	want[0] = Refusal{Plate: 0, Reason: TooLong, Printer: 1, Need: 12 * time.Hour, Have: 11 * time.Hour}
	if s := Plan(p, Effort{}); !slices.Equal(s.Refused, want) {
		t.Errorf("refused %+v, want %+v", s.Refused, want)
	}
}

// Every reason can be read out as it stands.
func TestReasonsAreText(t *testing.T) {
	for _, r := range []Reason{Unsound, Barred, Away, TooLong, NoStart, Clash} {
		if len(r) < 10 || strings.ContainsAny(string(r), "_%") {
			t.Errorf("reason %q is no text", r)
		}
	}
}

// Whatever numbers come, Plan comes back with a schedule that Verify finds no
// fault in.
func FuzzPlan(f *testing.F) {
	f.Add(int64(1767600000), int64(600), 480, 1320, 0, 1440, 3.5, 12.0, 0.1, true, int64(0), int64(0))
	f.Add(int64(1774746000), int64(0), 1380, 1900, 120, 170, math.NaN(), 1e300, 10.0, false, int64(1774750000), int64(-5))
	f.Add(int64(-1), int64(1e18), -5, 1<<62, 3, 3, 1e-300, math.Inf(1), -1.0, false, int64(1<<40), int64(1))
	f.Fuzz(func(t *testing.T, from, change int64, there, gone, runs, rests int, a, b, reserve float64, unattended bool, start, free int64) {
		const year9999 = 253370764800
		if from < -year9999/10 || from > year9999 || start < -year9999 || start > year9999 || free < -year9999 || free > year9999 {
			return // time.Time itself has no such years in RFC 3339
		}
		p := Problem{From: time.Unix(from, 0), Zone: zone(t, "Europe/Berlin"), Attended: Daily(Window{there, gone}), Start: Always(), Change: time.Duration(change),
			Unattended: unattended, Reserve: reserve, Printers: []Printer{{Name: "left", Running: Daily(Window{runs, rests})}, {Name: "right", Running: Always(), Free: time.Unix(free, 0)}},
			Plates: []Plate{{ID: "a", Hours: []float64{a, b}, Pin: AnyPrinter}, {ID: "b", Hours: []float64{b, a}, Pin: AnyPrinter, Earliest: time.Unix(start, 0)}, {ID: "c", Hours: []float64{a, a}, Pin: 1, Start: time.Unix(start, 0)}}}
		if err := Verify(p, Plan(p, Effort{Search: 200, Bound: 1e5, Exact: 50})); err != nil {
			t.Error(err)
		}
	})
}
