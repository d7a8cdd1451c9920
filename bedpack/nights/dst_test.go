package nights

import (
	"slices"
	"testing"
	"time"
)

// Plans through nights in which clocks are changed. Hours are real: a print of
// 8 h that starts at 22:00 ends at 07:00 in spring and at 05:00 in autumn.
// Source of the changes: IANA time zone database, see TestClockChanges.
func TestPlansThroughClockChanges(t *testing.T) {
	berlin, santiago := zone(t, "Europe/Berlin"), zone(t, "America/Santiago")
	spring := time.Date(2026, 3, 28, 21, 0, 0, 0, berlin)  // Saturday; at 02:00 on Sunday it is 03:00
	autumn := time.Date(2026, 10, 24, 21, 0, 0, 0, berlin) // Saturday; at 03:00 on Sunday it is 02:00
	south := time.Date(2026, 9, 5, 21, 0, 0, 0, santiago)  // Saturday; at 24:00 it is 01:00 on Sunday
	always := Always()
	night := Daily(Window{1320, 1320 + 9*60}) // 22:00-07:00
	for _, c := range []struct {
		name              string
		from              time.Time
		attended, running Week
		start             Week
		hours             []float64
		want              []string
	}{
		{"8 h overnight, spring", spring, always, Daily(Window{1320, 2160}), always, []float64{8}, []string{"Sat 22:00+01 to Sun 07:00+02"}},
		{"8 h overnight, autumn", autumn, always, Daily(Window{1320, 2160}), always, []float64{8}, []string{"Sat 22:00+02 to Sun 05:00+01"}},
		{"8 h overnight, the south in spring", south, always, Daily(Window{1320, 2160}), always, []float64{8}, []string{"Sat 22:00-04 to Sun 07:00-03"}},
		// 22:00 to 07:00 is 8 hours in that night, 9 in others.
		{"9 h do not fit the short night", spring, always, night, always, []float64{9}, []string{"Sun 22:00+02 to Mon 07:00+02"}},
		{"8 h do", spring, always, night, always, []float64{8}, []string{"Sat 22:00+01 to Sun 07:00+02"}},
		// It is 10 hours in this one, but a usual week has no room for them.
		{"10 h in the long night are refused", autumn, always, night, always, []float64{10}, []string{""}},
		{"9 h in the long night end early", autumn, always, night, always, []float64{9}, []string{"Sat 22:00+02 to Sun 06:00+01"}},
		{"two in the long night", autumn, always, night, always, []float64{5, 5}, []string{"Sat 22:00+02 to Sun 02:00+01", "Sun 02:00+01 to Sun 07:00+01"}},
		// Starts only 02:15-02:45: that does not come on Sunday.
		{"starts in the skipped hour wait a day", spring, always, always, Daily(Window{135, 165}), []float64{1}, []string{"Mon 02:15+02 to Mon 03:15+02"}},
		{"starts in the doubled hour, the first", autumn, always, always, Daily(Window{135, 165}), []float64{1}, []string{"Sun 02:15+02 to Sun 02:15+01"}},
		{"both of them", autumn, always, always, Daily(Window{135, 165}), []float64{1, 1}, []string{"Sun 02:15+02 to Sun 02:15+01", "Sun 02:15+01 to Sun 03:15+01"}},
		// Somebody is there 23:00-01:30, which in the south is an hour and a half then.
		{"over the midnight that is not", south, Daily(Window{1380, 1380 + 150}), always, always, []float64{1.5}, []string{"Sat 23:00-04 to Sun 01:30-03"}},
		{"too long for it", south, Daily(Window{1380, 1380 + 150}), always, always, []float64{2}, []string{"Sun 23:00-03 to Mon 01:00-03"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := Problem{From: c.from, Zone: c.from.Location(), Attended: c.attended, Start: c.start, Printers: []Printer{{Running: c.running}}, Plates: hoursOfPlates(c.hours...)}
			s := Plan(p, Effort{})
			got := make([]string, len(p.Plates))
			for _, one := range s.Starts {
				got[one.Plate] = one.At.Format("Mon 15:04-07") + " to " + one.End.Format("Mon 15:04-07")
				if d := one.End.Sub(one.At); d != PrintTime(c.hours[one.Plate]) {
					t.Errorf("plate %d prints %v", one.Plate, d)
				}
			}
			slices.Sort(got) // plates of a length are alike
			want := slices.Sorted(slices.Values(c.want))
			if !slices.Equal(got, want) {
				t.Errorf("Plan = %q, want %q", got, want)
			}
			if err := Verify(p, s); err != nil {
				t.Errorf("Verify: %v", err)
			}
		})
	}
}

// A plan for the whole week of a change: the same plates take as many hours
// of printing, an hour of the clock less or more.
func TestTheWeekOfAChange(t *testing.T) {
	berlin := zone(t, "Europe/Berlin")
	for _, c := range []struct {
		name string
		from time.Time
		want string
	}{
		{"usual", time.Date(2026, 3, 20, 8, 0, 0, 0, berlin), "Sun 18:00"},
		{"spring", time.Date(2026, 3, 27, 8, 0, 0, 0, berlin), "Sun 19:00"},
		{"autumn", time.Date(2026, 10, 23, 8, 0, 0, 0, berlin), "Sun 17:00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			// Friday 08:00 plus 58 hours, nobody to wait for.
			p := Problem{From: c.from, Zone: berlin, Attended: Always(), Start: Always(), Printers: []Printer{{Running: Always()}}, Plates: hoursOfPlates(20, 20, 18)}
			s := Plan(p, Effort{})
			if got := clockOf(s.End); got != c.want || s.End.Sub(c.from) != 58*time.Hour {
				t.Errorf("ends %s after %v, want %s after 58 h", got, s.End.Sub(c.from), c.want)
			}
		})
	}
}

// The zone decides, not the one in which From is written.
func TestZoneOfWindows(t *testing.T) {
	p := shopOf(hoursOfPlates(1)...)
	p.Zone = zone(t, "Asia/Kolkata")     // +05:30
	p.From = p.From.Add(-12 * time.Hour) // Sunday 20:00 UTC is Monday 01:30 there
	s := Plan(p, Effort{})
	if got := s.Starts[0].At.Format("Mon 15:04 -0700"); got != "Mon 08:10 +0530" {
		t.Errorf("starts %s, want Mon 08:10 +0530", got)
	}
	p.Zone = nil
	if got := Plan(p, Effort{}).Starts[0].At.Format("Mon 15:04 -0700"); got != "Sun 20:10 +0000" {
		t.Errorf("without a zone it starts %s, want Sun 20:10 +0000", got)
	}
}
