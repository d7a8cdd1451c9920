package nights

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// chainOf writes a chain as plate and clock.
func chainOf(p Problem, s Schedule, v Verdict) []string {
	var out []string
	for _, l := range v.Chain {
		out = append(out, p.Plates[s.Starts[l.Start].Plate].ID+" waits "+string(l.Clock))
	}
	return out
}

func TestDeadline(t *testing.T) {
	always := Always()
	shop := func(change func(*Problem)) Problem {
		p := Problem{From: monday(8), Attended: always, Start: always, Change: 10 * time.Minute, Unattended: true,
			Printers: []Printer{{Name: "left", Running: always}}, Plates: ranked(hoursOfPlates(3, 5))}
		change(&p)
		return p
	}
	for _, c := range []struct {
		name   string
		in     Problem
		margin time.Duration // to Monday 20:00
		chain  []string
		most   Clock
		waited time.Duration
	}{
		{"one plate after the other: 08:10-11:10, 11:20-16:20", shop(func(*Problem) {}), 220 * time.Minute,
			[]string{"b waits " + string(Printing), "a waits " + string(Beginning)}, "", 0},
		{"nobody there from 09:00 to 14:00: 5 h until 13:10, then 3 h", shop(func(p *Problem) {
			p.Attended = Daily(Window{480, 540}, Window{840, 1320})
			p.Plates[0].Hours[0], p.Plates[1].Hours[0] = 5, 3
		}), 170 * time.Minute,
			[]string{"b waits " + string(Attending), "a waits " + string(Beginning)}, Attending, 50 * time.Minute},
		{"not running from 11:30 to 14:00", shop(func(p *Problem) { p.Printers[0].Running = Daily(Window{0, 690}, Window{840, 1440}) }), time.Hour,
			[]string{"b waits " + string(Running), "a waits " + string(Beginning)}, Running, 160 * time.Minute},
		{"unattended running is off: that is the person", shop(func(p *Problem) { p.Unattended, p.Attended = false, Daily(Window{0, 690}, Window{830, 1440}) }), time.Hour,
			[]string{"b waits " + string(Attending), "a waits " + string(Beginning)}, Attending, 160 * time.Minute},
		{"no start from 09:00 to 14:00: 5 h until 13:10, then 3 h", shop(func(p *Problem) {
			p.Start = Daily(Window{480, 540}, Window{840, 1440})
			p.Plates[0].Hours[0], p.Plates[1].Hours[0] = 5, 3
		}), 3 * time.Hour, []string{"b waits " + string(Starting), "a waits " + string(Beginning)}, Starting, 40 * time.Minute},
		{"the plate may start at 14:00", shop(func(p *Problem) { p.Plates[1].Earliest = monday(14) }), time.Hour,
			[]string{"b waits " + string(Allowing), "a waits " + string(Beginning)}, Allowing, 160 * time.Minute},
		{"pinned to 14:00", shop(func(p *Problem) { p.Plates[1].Start, p.Plates[1].Pin = monday(14), 0 }), time.Hour,
			[]string{"b waits " + string(Pinned), "a waits " + string(Beginning)}, Pinned, 160 * time.Minute},
		{"the printer is free at 10:00", shop(func(p *Problem) { p.Printers[0].Free = monday(10) }), 100 * time.Minute,
			[]string{"b waits " + string(Printing), "a waits " + string(Freeing)}, Freeing, 2 * time.Hour},
		{"it prints since 07:00", shop(func(p *Problem) { p.Plates[0].Start, p.Plates[0].Pin = monday(7), 0 }), 290 * time.Minute,
			[]string{"b waits " + string(Printing), "a waits " + string(Pinned)}, "", 0},
		// One on each printer; the person is at a's change until 08:10.
		{"the person is at another change", shop(func(p *Problem) {
			p.Printers = append(p.Printers, Printer{Name: "right", Running: always})
			p.Plates[0].Hours, p.Plates[1].Hours = []float64{3, 0}, []float64{0, 5}
			p.Plates[0].Earliest = monday(8)
			p.Plates[0].Start, p.Plates[0].Pin = monday(8).Add(10*time.Minute), 0
		}), 400 * time.Minute, []string{"b waits " + string(Changing), "a waits " + string(Pinned)}, "", 0},
		{"nothing to print", shop(func(p *Problem) { p.Plates = nil }), 12 * time.Hour, nil, "", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Plan(c.in, Effort{})
			v := Deadline(c.in, s, monday(20))
			if v.Margin != c.margin || v.Most != c.most || v.Waited != c.waited {
				t.Errorf("margin %v, most %q, waited %v; want %v, %q, %v", v.Margin, v.Most, v.Waited, c.margin, c.most, c.waited)
			}
			if got := chainOf(c.in, s, v); !slices.Equal(got, c.chain) {
				t.Errorf("chain %q, want %q", got, c.chain)
			}
		})
	}
	p := shop(func(*Problem) {})
	if v := Deadline(p, Plan(p, Effort{}), monday(16)); v.Margin != -20*time.Minute {
		t.Errorf("margin %v, want 20 minutes late", v.Margin)
	}
}

// The chain of any schedule adds up to its length.
func TestDeadlineAddsUp(t *testing.T) {
	links := map[Clock]int{}
	cases(t, 200, func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1+rnd.IntN(4))
		addPlates(rnd, &p, 1+rnd.IntN(12), 8)
		if rnd.IntN(2) == 0 {
			addPins(rnd, &p)
		}
		s := Plan(p, few())
		v := Deadline(p, s, p.From)
		if sum, want := v.Printed+v.Changed+v.Waited, s.End.Sub(p.From); sum != want && len(s.Starts) > 0 {
			t.Errorf("printed %v + changed %v + waited %v = %v, want %v", v.Printed, v.Changed, v.Waited, sum, want)
		}
		if v.Margin != -s.End.Sub(p.From) {
			t.Errorf("margin %v, want %v", v.Margin, -s.End.Sub(p.From))
		}
		for _, l := range v.Chain {
			links[l.Clock]++
		}
	})
	for _, c := range []Clock{Attending, Running, Starting, Printing, Changing, Freeing, Allowing, Pinned, Beginning} {
		if links[c] == 0 {
			t.Errorf("no plate waits %s: the draw tests too little", c)
		}
	}
}
