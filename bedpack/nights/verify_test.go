package nights

import (
	"errors"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

func TestEveryScheduleVerifies(t *testing.T) {
	planned, refused, broken := 0, 0, 0
	cases(t, many(t, 300), func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1+rnd.IntN(4))
		addPlates(rnd, &p, 1+rnd.IntN(25), pick(rnd, 3.0, 8, 20))
		if rnd.IntN(2) == 0 {
			addPins(rnd, &p)
		}
		s := Plan(p, Effort{Search: 20000, Bound: 2e6, Exact: 1000})
		if err := Verify(p, s); err != nil {
			t.Errorf("Verify: %v", err)
		}
		planned, refused, broken = planned+len(s.Starts), refused+len(s.Refused), broken+len(s.Broken)
	})
	if planned < many(t, 1000) || refused < many(t, 100) || broken < many(t, 50) {
		t.Errorf("%d plates started, %d refused, %d pins broken: the draw tests too little", planned, refused, broken)
	}
}

// What Verify finds in a sound schedule after one change to it, or to what was
// asked for.
func TestVerifyNamesTheFault(t *testing.T) {
	shop := func() (Problem, Schedule) {
		p := Problem{From: monday(8), Attended: Daily(Window{480, 1320}), Start: Daily(Window{480, 1200}), Awkward: Daily(Window{1080, 1320}), Change: 10 * time.Minute,
			Unattended: true, Printers: []Printer{{Name: "left", Running: Daily(Window{480, 1400}), Material: "white", Swap: 5 * time.Minute}, {Name: "right", Running: Daily(Window{480, 1400}), Free: monday(9)}},
			Plates: []Plate{
				{ID: "a", Hours: []float64{3, 3}, Pin: AnyPrinter, Material: "white"}, {ID: "b", Hours: []float64{4, 4}, Pin: AnyPrinter, Earliest: monday(10)},
				{ID: "c", Hours: []float64{2, 2}, Pin: 1}, {ID: "d", Hours: []float64{20, 20}, Pin: AnyPrinter},
				{ID: "e", Hours: []float64{1, 1}, Pin: 0, Start: monday(19), Material: "black"}, {ID: "f", Hours: []float64{2, 0}, Pin: 0, Start: monday(7)}, {ID: "g", Hours: []float64{2, 2}, Pin: 1, Start: monday(23)},
			}}
		return p, Plan(p, Effort{})
	}
	at := func(s *Schedule, p Problem, id string) *Start {
		for i := range s.Starts {
			if p.Plates[s.Starts[i].Plate].ID == id {
				return &s.Starts[i]
			}
		}
		t.Fatalf("plate %s is not started", id)
		return nil
	}
	move := func(one *Start, d time.Duration) {
		one.ChangeFrom, one.At, one.End = one.ChangeFrom.Add(d), one.At.Add(d), one.End.Add(d)
	}
	p, s := shop()
	if err := Verify(p, s); err != nil || len(s.Starts) != 6 || len(s.Refused) != 1 || len(s.Broken) != 3 {
		t.Fatalf("the schedule to begin with: %+v, %v", s, err)
	}
	for _, c := range []struct {
		name string
		spot func(p *Problem, s *Schedule)
		want error
	}{
		{"left out", func(p *Problem, s *Schedule) { s.Starts = s.Starts[1:] }, ErrCount},
		{"twice", func(p *Problem, s *Schedule) { s.Starts = append(s.Starts, s.Starts[0]) }, ErrCount},
		{"started and refused", func(p *Problem, s *Schedule) { s.Refused = append(s.Refused, Refusal{Plate: 0, Reason: TooLong}) }, ErrCount},
		{"refused without reason", func(p *Problem, s *Schedule) { s.Refused = append(s.Refused, Refusal{Plate: 0, Reason: TooLong}) }, ErrRefused},
		{"refused for another reason", func(p *Problem, s *Schedule) { s.Refused[0].Reason = NoStart }, ErrRefused},
		{"no such plate refused", func(p *Problem, s *Schedule) { s.Refused[0].Plate = 77 }, ErrUnknown},
		{"no such plate", func(p *Problem, s *Schedule) { s.Starts[0].Plate = 77 }, ErrUnknown},
		{"no such printer", func(p *Problem, s *Schedule) { s.Starts[0].Printer = -1 }, ErrUnknown},
		{"another printer than pinned", func(p *Problem, s *Schedule) { at(s, *p, "c").Printer = 0 }, ErrBarred},
		{"another start than pinned", func(p *Problem, s *Schedule) { move(at(s, *p, "e"), time.Minute) }, ErrPin},
		{"before the plan begins", func(p *Problem, s *Schedule) { p.From = monday(9).Add(time.Minute) }, ErrEarly},
		{"before the printer is free", func(p *Problem, s *Schedule) { p.Printers[1].Free = monday(20) }, ErrEarly},
		{"before the plate may", func(p *Problem, s *Schedule) { p.Plates[0].Earliest = monday(23) }, ErrEarly},
		{"a change too short", func(p *Problem, s *Schedule) {
			one := at(s, *p, "a")
			one.ChangeFrom = one.ChangeFrom.Add(time.Minute)
		}, ErrLength},
		{"a swap too short", func(p *Problem, s *Schedule) { p.Printers[0].Swap = 15 * time.Minute }, ErrLength},
		{"a print too short", func(p *Problem, s *Schedule) { p.Plates[2].Hours[1] = 2.001 }, ErrLength},
		{"a print too long", func(p *Problem, s *Schedule) { p.Plates[2].Hours[1] = 1.9995 }, ErrLength},
		{"changed while nobody is there", func(p *Problem, s *Schedule) { p.Attended = Daily(Window{541, 1320}) }, ErrAway},
		{"printing while nobody is there", func(p *Problem, s *Schedule) { p.Unattended, p.Attended = false, Daily(Window{480, 700}) }, ErrAway},
		{"running when it may not", func(p *Problem, s *Schedule) { p.Printers[1].Running = Daily(Window{480, 700}) }, ErrResting},
		{"running into the night with the reserve", func(p *Problem, s *Schedule) { p.Reserve = 9 }, ErrResting},
		{"starting when none may", func(p *Problem, s *Schedule) { p.Start = Daily(Window{480, 489}) }, ErrForbid},
		{"two on a printer", func(p *Problem, s *Schedule) { move(at(s, *p, "c"), 4*time.Hour) }, ErrBusy},
		{"a print that may last into a pinned one", func(p *Problem, s *Schedule) { p.Reserve = 2.5 }, ErrBusy},
		{"two changes at a time", func(p *Problem, s *Schedule) {
			move(at(s, *p, "a"), at(s, *p, "c").ChangeFrom.Sub(at(s, *p, "a").ChangeFrom))
		}, ErrTwo},
		{"out of order", func(p *Problem, s *Schedule) { slices.Reverse(s.Starts) }, ErrFigures},
		{"no swap told", func(p *Problem, s *Schedule) { at(s, *p, "e").Swap = false }, ErrFigures},
		{"a swap told", func(p *Problem, s *Schedule) { at(s, *p, "c").Swap = true }, ErrFigures},
		{"awkward told", func(p *Problem, s *Schedule) { at(s, *p, "c").Awkward = true }, ErrFigures},
		{"a later end", func(p *Problem, s *Schedule) { s.End = s.End.Add(time.Second) }, ErrFigures},
		{"a bound after the end", func(p *Problem, s *Schedule) { s.Bound = s.End.Add(time.Second) }, ErrFigures},
		{"not proven", func(p *Problem, s *Schedule) { s.Proven = !s.Proven }, ErrFigures},
		{"changes", func(p *Problem, s *Schedule) { s.Changes++ }, ErrFigures},
		{"swaps", func(p *Problem, s *Schedule) { s.Swaps++ }, ErrFigures},
		{"awkward changes", func(p *Problem, s *Schedule) { s.Awkward++ }, ErrFigures},
		{"loads", func(p *Problem, s *Schedule) { s.Loads = s.Loads[1:] }, ErrFigures},
		{"printing", func(p *Problem, s *Schedule) { s.Loads[0].Printing++ }, ErrFigures},
		{"changing", func(p *Problem, s *Schedule) { s.Loads[0].Changing++ }, ErrFigures},
		{"idle", func(p *Problem, s *Schedule) { s.Loads[0].Idle++ }, ErrFigures},
		{"last of a printer", func(p *Problem, s *Schedule) { s.Loads[0].Last = monday(1) }, ErrFigures},
		{"a broken pin not told", func(p *Problem, s *Schedule) { s.Broken = s.Broken[1:] }, ErrFigures},
		{"a broken pin told that is not", func(p *Problem, s *Schedule) { s.Broken[0].Clock = Changing }, ErrFigures},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, s := shop()
			c.spot(&p, &s)
			if err := Verify(p, s); !errors.Is(err, c.want) {
				t.Errorf("Verify = %v, want %v", err, c.want)
			}
		})
	}
}
