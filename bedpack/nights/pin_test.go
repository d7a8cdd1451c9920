package nights

import (
	"slices"
	"testing"
	"time"
)

// A plan in the middle of a build: what prints already stays, what is pinned
// stays, the rest goes round both. Monday 12:00, changes of 10 minutes,
// somebody there 08:00-22:00.
func TestPlanGoesRoundPins(t *testing.T) {
	at := func(hour, minute int) time.Time { return monday(hour).Add(time.Duration(minute) * time.Minute) }
	base := func(plates ...Plate) Problem {
		p := shopOf(plates...)
		p.From, p.Unattended = monday(12), true
		p.Printers = append(p.Printers, Printer{Name: "right", Running: Always()})
		return p
	}
	running := Plate{ID: "running", Hours: []float64{6, 0}, Pin: 0, Start: at(9, 0)}
	pinned := Plate{ID: "pinned", Hours: []float64{0, 3}, Pin: 1, Start: at(16, 0)}
	short := Plate{ID: "short", Hours: []float64{1, 1}, Pin: AnyPrinter}
	long := Plate{ID: "long", Hours: []float64{4, 4}, Pin: AnyPrinter}
	for _, c := range []struct {
		name   string
		in     Problem
		want   []string // by plate: printer, start and end
		broken []Break
	}{
		{"a printer is free when what it prints has ended", base(running, Plate{ID: "next", Hours: []float64{1}, Pin: 0}),
			[]string{"left Mon 09:00 to Mon 15:00", "left Mon 15:10 to Mon 16:10"}, nil},
		{"the short one fits before the pinned one, the long one after what is printing", base(running, pinned, short, long),
			[]string{"left Mon 09:00 to Mon 15:00", "right Mon 16:00 to Mon 19:00", "right Mon 12:10 to Mon 13:10", "left Mon 15:10 to Mon 19:10"}, nil},
		{"the person is at a pinned change", base(Plate{ID: "pinned", Hours: []float64{0, 3}, Pin: 1, Start: at(12, 10)}, Plate{ID: "next", Hours: []float64{1}, Pin: 0}),
			[]string{"right Mon 12:10 to Mon 15:10", "left Mon 12:20 to Mon 13:20"}, nil},
		{"the change of a pinned one has begun before the plan", base(Plate{ID: "pinned", Hours: []float64{0, 3}, Pin: 1, Start: at(12, 5)}, Plate{ID: "next", Hours: []float64{1}, Pin: 0}),
			[]string{"right Mon 12:05 to Mon 15:05", "left Mon 12:15 to Mon 13:15"}, nil},
		{"pinned to the night", base(Plate{ID: "night", Hours: []float64{3, 0}, Pin: 0, Start: at(23, 0)}),
			[]string{"left Mon 23:00 to Tue 02:00"}, []Break{{0, Attending}}},
		{"two pinned changes at a time", base(Plate{ID: "a", Hours: []float64{3, 0}, Pin: 0, Start: at(14, 0)}, Plate{ID: "b", Hours: []float64{0, 3}, Pin: 1, Start: at(14, 5)}),
			[]string{"left Mon 14:00 to Mon 17:00", "right Mon 14:05 to Mon 17:05"}, []Break{{1, Changing}}},
		{"ended long ago", base(Plate{ID: "old", Hours: []float64{1, 0}, Pin: 0, Start: at(2, 0)}, Plate{ID: "next", Hours: []float64{1}, Pin: 0}),
			[]string{"left Mon 02:00 to Mon 03:00", "left Mon 12:10 to Mon 13:10"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Plan(c.in, Effort{})
			got := make([]string, len(c.in.Plates))
			for _, one := range s.Starts {
				got[one.Plate] = c.in.Printers[one.Printer].Name + " " + clockOf(one.At) + " to " + clockOf(one.End)
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("Plan = %q, want %q", got, c.want)
			}
			if !slices.Equal(s.Broken, c.broken) {
				t.Errorf("broken %v, want %v", s.Broken, c.broken)
			}
			if err := Verify(c.in, s); err != nil {
				t.Errorf("Verify: %v", err)
			}
		})
	}
}

// What a printer prints already is loaded; a pinned change is kept as long as
// a swap takes when one may be needed.
func TestPinsAndSwaps(t *testing.T) {
	p := shopOf(Plate{ID: "now", Hours: []float64{2}, Pin: 0, Start: monday(7), Material: "black"},
		Plate{ID: "next", Hours: []float64{1}, Pin: 0, Material: "white"},
		Plate{ID: "pinned", Hours: []float64{1}, Pin: 0, Start: monday(12), Material: "white"})
	p.Printers[0].Material, p.Printers[0].Swap = "white", 20*time.Minute
	s := Plan(p, Effort{})
	if err := Verify(p, s); err != nil {
		t.Errorf("Verify: %v", err)
	}
	want := []string{"Mon 07:00 to Mon 09:00", "Mon 09:30 to Mon 10:30", "Mon 12:00 to Mon 13:00"}
	if got := timesOf(s, 3); !slices.Equal(got, want) || s.Swaps != 1 {
		t.Errorf("Plan = %q with %d swaps, want %q with 1", got, s.Swaps, want)
	}
	if from := s.Starts[2].ChangeFrom; !from.Equal(monday(11).Add(30 * time.Minute)) {
		t.Errorf("the pinned change is kept from %v, want 11:30", from)
	}
}

// Loads of a plan by hand: left prints 09:00-15:00, of which 12:00-15:00
// counts, is changed 15:00-15:10 and prints until 16:10; right is free from
// 13:00 and does nothing until the end, 16:10.
func TestLoads(t *testing.T) {
	p := shopOf(Plate{ID: "running", Hours: []float64{6}, Pin: 0, Start: monday(9)}, Plate{ID: "next", Hours: []float64{1}, Pin: 0})
	p.From = monday(12)
	p.Printers = append(p.Printers, Printer{Name: "right", Running: Always(), Free: monday(13)})
	s := Plan(p, Effort{})
	left := Load{Printing: 4 * time.Hour, Changing: 10 * time.Minute, Last: monday(16).Add(10 * time.Minute)}
	right := Load{Idle: 190 * time.Minute}
	if !slices.Equal(s.Loads, []Load{left, right}) {
		t.Errorf("loads %+v, want %+v, %+v", s.Loads, left, right)
	}
	if s.Changes != 1 {
		t.Errorf("%d changes, want 1: nobody starts what is printing", s.Changes)
	}
}
