package nights

import (
	"slices"
	"testing"
	"time"
)

// clockOf writes a moment as weekday and time.
func clockOf(t time.Time) string { return t.Format("Mon 15:04") }

// hoursOfPlates returns plates that take so many hours on one printer.
func hoursOfPlates(hours ...float64) []Plate {
	var out []Plate
	for i, h := range hours {
		out = append(out, Plate{ID: string(rune('a' + i)), Hours: []float64{h}, Pin: AnyPrinter})
	}
	return out
}

// timesOf returns when plates start and end, by plate.
func timesOf(s Schedule, plates int) []string {
	out := make([]string, plates)
	for _, one := range s.Starts {
		out[one.Plate] = clockOf(one.At) + " to " + clockOf(one.End)
	}
	return out
}

// Monday, 5 January 2026, 09:00.
func monday(hour int) time.Time { return time.Date(2026, 1, 5, hour, 0, 0, 0, time.UTC) }

// The examples that makers judge by, as they tell them. Times: arithmetic.
func TestStories(t *testing.T) {
	always, day := Always(), Daily(Window{540, 1020}) // 09:00-17:00
	for _, c := range []struct {
		name string
		in   Problem
		want []string
	}{
		{"16 h and 5 h with 8 h of presence: the 5 h by day, the 16 h overnight", Problem{
			From: monday(9), Attended: day, Start: always, Unattended: true,
			Printers: []Printer{{Running: always}}, Plates: hoursOfPlates(16, 5),
		}, []string{"Mon 14:00 to Tue 06:00", "Mon 09:00 to Mon 14:00"}},
		{"the same with changes of 10 minutes", Problem{
			From: monday(9), Attended: day, Start: always, Unattended: true, Change: 10 * time.Minute,
			Printers: []Printer{{Running: always}}, Plates: hoursOfPlates(16, 5),
		}, []string{"Mon 14:20 to Tue 06:20", "Mon 09:10 to Mon 14:10"}},
		// The plates are wanted in the order in which they are told.
		{"at 21:00, running forbidden 23:00-07:00, 4, 3, 1 and 6 h: the 1 h now, the 4 h at 07:00", Problem{
			From: monday(21), Attended: always, Start: always,
			Printers: []Printer{{Running: Daily(Window{420, 1380})}}, Plates: ranked(hoursOfPlates(4, 3, 1, 6)),
		}, []string{"Tue 07:00 to Tue 11:00", "Tue 11:00 to Tue 14:00", "Mon 21:00 to Mon 22:00", "Tue 14:00 to Tue 20:00"}},
		{"the same, changes of 10 minutes, a reserve of a tenth, the maker up at 06:30", Problem{
			From: monday(21), Attended: Daily(Window{390, 1430}), Start: always, Change: 10 * time.Minute, Reserve: 0.1,
			Printers: []Printer{{Running: Daily(Window{420, 1380})}}, Plates: ranked(hoursOfPlates(4, 3, 1, 6)),
		}, []string{"Tue 07:00 to Tue 11:00", "Tue 11:10 to Tue 14:10", "Mon 21:10 to Mon 22:10", "Tue 14:20 to Tue 20:20"}},
		{"no order wanted: short ones first, so that most is done early", Problem{
			From: monday(21), Attended: always, Start: always,
			Printers: []Printer{{Running: Daily(Window{420, 1380})}}, Plates: hoursOfPlates(4, 3, 1, 6),
		}, []string{"Tue 10:00 to Tue 14:00", "Tue 07:00 to Tue 10:00", "Mon 21:00 to Mon 22:00", "Tue 14:00 to Tue 20:00"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Plan(c.in, Effort{})
			if got := timesOf(s, len(c.in.Plates)); !slices.Equal(got, c.want) {
				t.Errorf("Plan = %q, want %q", got, c.want)
			}
			if err := Verify(c.in, s); err != nil {
				t.Errorf("Verify: %v", err)
			}
			if !s.Proven || !s.Best {
				t.Errorf("proven %v, best %v, want both", s.Proven, s.Best)
			}
		})
	}
}

// ranked has plates printed in the order in which they come.
func ranked(plates []Plate) []Plate {
	for i := range plates {
		plates[i].Rank = i
	}
	return plates
}

// Each clock alone forbids what the other two allow. One plate of 3 h, a
// change of 10 minutes, from Monday 08:00.
func TestThreeClocksAreApart(t *testing.T) {
	always := Always()
	for _, c := range []struct {
		name                     string
		attended, running, start Week
		unattended               bool
		want                     string
	}{
		{"nothing forbids", always, always, always, false, "Mon 08:10 to Mon 11:10"},
		{"attended from 09:00", Daily(Window{540, 1320}), always, always, false, "Mon 09:10 to Mon 12:10"},
		{"attended 09:00-12:00, unattended running is off", Daily(Window{540, 720}, Window{780, 1000}), always, always, false, "Mon 13:10 to Mon 16:10"},
		{"attended 09:00-12:00, unattended running is on", Daily(Window{540, 720}, Window{780, 1000}), always, always, true, "Mon 09:10 to Mon 12:10"},
		{"running from 09:00: the change may come before", always, Daily(Window{540, 1320}), always, false, "Mon 09:00 to Mon 12:00"},
		{"running 09:00-11:59 and from 14:00", always, Daily(Window{540, 719}, Window{840, 1320}), always, false, "Mon 14:00 to Mon 17:00"},
		{"starting from 09:00: the change may come before", always, always, Daily(Window{540, 545}), false, "Mon 09:00 to Mon 12:00"},
		{"starting until 08:10, that moment included", always, always, Daily(Window{480, 490}), false, "Mon 08:10 to Mon 11:10"},
		{"starting until 08:09: tomorrow", always, always, Daily(Window{480, 489}), false, "Tue 08:00 to Tue 11:00"},
		{"the change does not fit before the window ends", Daily(Window{480, 489}, Window{600, 610}), always, always, true, "Mon 10:10 to Mon 13:10"},
		{"it ends when the window does, and the person goes", Daily(Window{480, 490}), always, always, true, "Mon 08:10 to Mon 11:10"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := Problem{From: monday(8), Attended: c.attended, Start: c.start, Unattended: c.unattended, Change: 10 * time.Minute,
				Printers: []Printer{{Running: c.running}}, Plates: hoursOfPlates(3)}
			s := Plan(p, Effort{})
			if got := timesOf(s, 1)[0]; got != c.want {
				t.Errorf("Plan = %s, want %s", got, c.want)
			}
			if err := Verify(p, s); err != nil {
				t.Errorf("Verify: %v", err)
			}
		})
	}
}

// The reserve keeps a print out of a window that it might outlast, but what
// follows is planned by the forecast.
func TestReserve(t *testing.T) {
	p := Problem{From: monday(8), Attended: Daily(Window{480, 900}), Start: Always(), Reserve: 0.5,
		Printers: []Printer{{Running: Always()}}, Plates: ranked(hoursOfPlates(4, 3))}
	want := []string{"Mon 08:00 to Mon 12:00", "Tue 08:00 to Tue 11:00"} // 12:00 + 4.5 h is after 15:00
	s := Plan(p, Effort{})
	if got := timesOf(s, 2); !slices.Equal(got, want) {
		t.Errorf("Plan = %q, want %q", got, want)
	}
	p.Plates[1].Hours[0] = 2 // 12:00 + 3 h is 15:00
	want[1] = "Mon 12:00 to Mon 14:00"
	if got := timesOf(Plan(p, Effort{}), 2); !slices.Equal(got, want) {
		t.Errorf("Plan = %q, want %q", got, want)
	}
}

// Spools: two plates of each colour, a swap of 20 minutes. With one swap all
// is done at 08:00 + 4·(10 min + 1 h) + 20 min = 13:00.
func TestSwapsAreFew(t *testing.T) {
	p := Problem{From: monday(8), Attended: Always(), Start: Always(), Change: 10 * time.Minute,
		Printers: []Printer{{Running: Always(), Material: "white", Swap: 20 * time.Minute}}, Plates: hoursOfPlates(1, 1, 1, 1)}
	for i, m := range []string{"black", "white", "black", "white"} {
		p.Plates[i].Material = m
	}
	s := Plan(p, Effort{})
	if s.Swaps != 1 || clockOf(s.End) != "Mon 13:00" || s.Changes != 4 {
		t.Errorf("Plan has %d swaps and %d changes and ends %s, want 1, 4, Mon 13:00", s.Swaps, s.Changes, clockOf(s.End))
	}
	if err := Verify(p, s); err != nil {
		t.Errorf("Verify: %v", err)
	}
	p.Printers[0].Swap = 0
	if s := Plan(p, Effort{}); s.Swaps != 1 {
		t.Errorf("with swaps that take no time, Plan has %d, want 1", s.Swaps)
	}
}

// Of two plans that end alike, the one that spares the evening. Both plates on
// the left printer: a prints 19:00-20:00, b is changed 20:00-21:00 and prints
// until 22:00. One on each: a as before, b is changed 19:00-20:00 and prints
// two hours. The ends are the same; only the first has a change after 20:00.
func TestAwkwardHoursAreSpared(t *testing.T) {
	p := Problem{From: monday(18), Attended: Always(), Start: Always(), Awkward: Daily(Window{1200, 1320}), Change: time.Hour,
		Printers: []Printer{{Name: "left", Running: Always()}, {Name: "right", Running: Always(), Free: monday(19)}}}
	p.Plates = []Plate{{ID: "a", Hours: []float64{1, 1}, Pin: AnyPrinter}, {ID: "b", Hours: []float64{1, 2}, Pin: AnyPrinter}}
	s := Plan(p, Effort{})
	if s.Awkward != 0 || !s.Best {
		t.Errorf("Plan has %d changes in awkward hours, best %v, want 0, true", s.Awkward, s.Best)
	}
	if err := Verify(p, s); err != nil {
		t.Errorf("Verify: %v", err)
	}
}
