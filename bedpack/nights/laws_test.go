package nights

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// replan returns what is left of a problem at a later moment when all went as
// planned: what prints stays, a change that is under way is ended, what has
// ended is gone.
func replan(p Problem, s Schedule, now time.Time) Problem {
	q := p
	q.From = now
	q.Printers, q.Plates = slices.Clone(p.Printers), nil
	for _, one := range s.Starts {
		plate := p.Plates[one.Plate]
		if m := plate.Material; m != "" && one.At.Before(now) {
			q.Printers[one.Printer].Material = m // the starts are in order
		}
		if !one.End.After(now) {
			continue
		}
		if one.ChangeFrom.Before(now) {
			plate.Start, plate.Pin = one.At, one.Printer
		}
		q.Plates = append(q.Plates, plate)
	}
	return q
}

// Planning again in the middle, nothing amiss, ends no later: the rest of the
// old plan is still a plan. Unless a swap is under way: how long a pinned
// change takes is not told, and taken to be as long as it could be.
func TestPlanningAgainLosesNothing(t *testing.T) {
	compared := 0
	cases(t, many(t, 150), func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1+rnd.IntN(3))
		addPlates(rnd, &p, 3+rnd.IntN(5), 8)
		for k := range p.Printers {
			p.Printers[k].Swap = 0
		}
		s := Plan(p, Effort{})
		if len(s.Starts) < 2 || !s.Proven {
			return
		}
		now := p.From.Add(time.Duration(rnd.Int64N(int64(s.End.Sub(p.From)))))
		q := replan(p, s, now)
		again := Plan(q, Effort{})
		if err := Verify(q, again); err != nil {
			t.Errorf("Verify: %v", err)
		}
		if len(again.Refused) > 0 || len(again.Broken) > 0 {
			t.Errorf("planned again at %v: refused %v, broken %v", now, again.Refused, again.Broken)
		}
		if again.Proven {
			compared++
			if again.End.After(s.End) {
				t.Errorf("planned again at %v it ends %v, before %v", now, again.End, s.End)
			}
		}
	})
	if compared < many(t, 150)/3 {
		t.Errorf("%d compared: the draw tests too little", compared)
	}
}

// Carry on after a failure: of four plates the second fails at noon, an hour
// before its end; it is printed again after what its printer can do at once.
// 2 h each on one printer, changes of 10 minutes, from Monday 08:00.
func TestCarryOnAfterAFailure(t *testing.T) {
	p := shopOf(ranked(hoursOfPlates(2, 2, 2, 2))...)
	s := Plan(p, Effort{})
	if got := timesOf(s, 4); got[1] != "Mon 10:20 to Mon 12:20" || got[3] != "Mon 14:40 to Mon 16:40" {
		t.Fatalf("planned %q", got)
	}
	q := p
	q.From = monday(12)
	q.Plates = p.Plates[1:] // the first is done; the second has failed and is wanted first
	again := Plan(q, Effort{})
	want := []string{"Mon 12:10 to Mon 14:10", "Mon 14:20 to Mon 16:20", "Mon 16:30 to Mon 18:30"}
	if got := timesOf(again, 3); !slices.Equal(got, want) {
		t.Errorf("planned again %q, want %q", got, want)
	}
}

// A whole week later, no change of clocks between, all is the same.
func TestAWeekLater(t *testing.T) {
	cases(t, many(t, 60), func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1+rnd.IntN(3))
		addPlates(rnd, &p, 1+rnd.IntN(8), 8)
		p.Zone = zone(t, "Asia/Kolkata")
		week := 7 * 24 * time.Hour
		q := p
		q.From = q.From.Add(week)
		q.Printers, q.Plates = slices.Clone(p.Printers), slices.Clone(p.Plates)
		for k := range q.Printers {
			if !q.Printers[k].Free.IsZero() {
				q.Printers[k].Free = q.Printers[k].Free.Add(week)
			}
		}
		for j := range q.Plates {
			if !q.Plates[j].Earliest.IsZero() {
				q.Plates[j].Earliest = q.Plates[j].Earliest.Add(week)
			}
		}
		a, b := Plan(p, few()), Plan(q, few())
		for i := range a.Starts {
			one, other := a.Starts[i], b.Starts[i]
			if one.Plate != other.Plate || one.Printer != other.Printer || !one.At.Add(week).Equal(other.At) {
				t.Fatalf("start %d is %+v, a week later %+v", i, one, other)
			}
		}
	})
}

// However little effort, and none at all, the plan is sound and claims no more
// than it knows.
func TestLittleEffort(t *testing.T) {
	for _, e := range []Effort{{-1, -1, -1}, {1, 1, 1}, {-1, 1_000_000, 100}, {100, -1, -1}, {-1, -1, 0}, {1000, 1000, 1000}} {
		cases(t, many(t, 25), func(t *testing.T, rnd *rand.Rand) {
			p := randomShop(t, rnd, 1+rnd.IntN(3))
			addPlates(rnd, &p, 1+rnd.IntN(6), 8)
			s, best := Plan(p, e), Plan(p, Effort{})
			if err := Verify(p, s); err != nil {
				t.Errorf("%+v: Verify: %v", e, err)
			}
			if !best.Proven {
				return
			}
			if s.Bound.After(best.End) || s.End.Before(best.End) || s.Proven && !s.End.Equal(best.End) {
				t.Errorf("%+v: bound %v, end %v, proven %v; the optimum is %v", e, s.Bound, s.End, s.Proven, best.End)
			}
			if s.Best && !slices.Equal(costOf(p, s), costOf(p, best)) {
				t.Errorf("%+v: best at %v, but there is %v", e, costOf(p, s), costOf(p, best))
			}
		})
	}
}

// Unattended running is off unless it is allowed: then every minute of a print
// is attended. Read here by the wall clock, not by the week.
func TestUnattendedIsOffUntilAllowed(t *testing.T) {
	p := shopOf(hoursOfPlates(9, 8, 7, 6, 5, 4, 3)...)
	s := Plan(p, Effort{})
	for _, one := range s.Starts {
		if one.ChangeFrom.Hour() < 8 || one.End.Hour() > 22 || one.End.Hour() == 22 && one.End.Minute() > 0 || one.End.YearDay() != one.At.YearDay() {
			t.Errorf("plate %d prints %v to %v, outside 08:00-22:00", one.Plate, one.At, one.End)
		}
	}
	p.Unattended = true
	if long := Plan(p, Effort{}); !long.End.Before(s.End) {
		t.Errorf("allowed to run overnight it ends %v, not before %v", long.End, s.End)
	}
}
