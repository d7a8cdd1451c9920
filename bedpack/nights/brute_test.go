package nights

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// brute is the slow and obvious planner: it tries every order of plates on
// every printer and moves each change on, minute by minute, until Verify's
// reading of the clocks lets it be. Whole minutes only, no pins.
type brute struct {
	v     verifier
	p     Problem
	used  []bool
	end   time.Time
	cost  []int64 // by rank, awkward changes, swaps
	found bool
	until time.Time      // no plan worth having ends later
	may   map[Start]bool // what Verify thinks of a start, asked once
}

type bruteState struct {
	person time.Time
	ready  []time.Time
	loaded []string
	end    time.Time
	cost   []int64
}

func newBrute(p Problem) *brute {
	b := &brute{p: p, used: make([]bool, len(p.Plates)), may: map[Start]bool{}}
	b.v = verifier{p: p, zone: p.Zone, from: p.From}
	b.v.there, b.v.start, b.v.awkward = minutesOf(p.Attended), minutesOf(p.Start), minutesOf(p.Awkward)
	return b
}

func (b *brute) run() {
	s := bruteState{person: b.p.From, end: b.p.From, cost: make([]int64, 5)}
	for _, one := range b.p.Printers {
		s.ready = append(s.ready, slices.MaxFunc([]time.Time{b.p.From, one.Free}, time.Time.Compare))
		s.loaded = append(s.loaded, one.Material)
	}
	b.next(s, len(b.p.Plates))
}

func (b *brute) next(s bruteState, left int) {
	if left == 0 {
		if !b.found || s.end.Before(b.end) || s.end.Equal(b.end) && slices.Compare(s.cost, b.cost) < 0 {
			b.found, b.end, b.cost = true, s.end, s.cost
		}
		return
	}
	for j := range b.p.Plates {
		if b.used[j] {
			continue
		}
		b.used[j] = true
		for k := range b.p.Printers {
			if after, ok := b.put(s, j, k); ok {
				b.next(after, left-1)
			}
		}
		b.used[j] = false
	}
}

// put starts a plate at the first minute at which it may.
func (b *brute) put(s bruteState, j, k int) (bruteState, bool) {
	plate, printer := b.p.Plates[j], b.p.Printers[k]
	h, may := b.v.hours(j, k)
	if !may {
		return s, false
	}
	swap := plate.Material != "" && s.loaded[k] != "" && plate.Material != s.loaded[k]
	change := b.p.Change
	if swap {
		change += printer.Swap
	}
	one := Start{Plate: j, Printer: k}
	for c := slices.MaxFunc([]time.Time{s.person, s.ready[k]}, time.Time.Compare); ; c = c.Add(time.Minute) {
		one.ChangeFrom, one.At = c, c.Add(change)
		one.End = one.At.Add(PrintTime(h))
		if one.End.After(b.until) {
			return s, false
		}
		if !one.At.Before(plate.Earliest) && b.allowed(one) {
			break
		}
	}
	out := bruteState{person: one.At, ready: slices.Clone(s.ready), loaded: slices.Clone(s.loaded), cost: slices.Clone(s.cost)}
	out.ready[k] = one.End
	if plate.Material != "" {
		out.loaded[k] = plate.Material
	}
	out.end = slices.MaxFunc([]time.Time{s.end, one.End}, time.Time.Compare)
	out.cost[plate.Rank] += int64(one.End.Sub(b.p.From))
	out.cost[3] += int64(count(b.v.any(one.ChangeFrom, one.At, &b.v.awkward)))
	out.cost[4] += int64(count(swap))
	return out, true
}

func (b *brute) allowed(one Start) bool {
	may, known := b.may[one]
	if !known {
		v := b.v
		v.hoursKept(one, v.stretched(one))
		may = len(v.faults) == 0
		b.may[one] = may
	}
	return may
}

// costOf returns what brute compares plans by.
func costOf(p Problem, s Schedule) []int64 {
	out := make([]int64, 5)
	for _, one := range s.Starts {
		out[p.Plates[one.Plate].Rank] += int64(one.End.Sub(p.From))
	}
	out[3], out[4] = int64(s.Awkward), int64(s.Swaps)
	return out
}

// Against trying everything: what is proven least is least, what is called
// best is best, and the bound is never too late.
func TestPlanAgainstTryingAll(t *testing.T) {
	proven, best := 0, 0
	n := many(t, 300)
	cases(t, n, func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1+rnd.IntN(2))
		p.Change = p.Change.Truncate(time.Minute)
		addPlates(rnd, &p, 1+rnd.IntN(4), pick(rnd, 3.0, 8))
		for j := range p.Plates {
			for k, h := range p.Plates[j].Hours {
				p.Plates[j].Hours[k] = float64(int(h*60)) / 60
			}
		}
		s := Plan(p, Effort{})
		if len(s.Refused) > 0 {
			var some []Plate
			for _, one := range s.Starts {
				some = append(some, p.Plates[one.Plate])
			}
			p.Plates = some
			s = Plan(p, Effort{})
		}
		b := newBrute(p)
		b.until = s.End
		b.run()
		if len(p.Plates) == 0 {
			return
		}
		if !b.found {
			t.Fatalf("no plan ends by %v", s.End)
		}
		if s.Bound.After(b.end) {
			t.Errorf("Bound = %v, but a plan ends %v", s.Bound, b.end)
		}
		if s.Proven {
			proven++
			if !s.End.Equal(b.end) {
				t.Errorf("End = %v, proven, but a plan ends %v", s.End, b.end)
			}
		}
		if s.Best {
			best++
			if got := costOf(p, s); slices.Compare(got, b.cost) != 0 {
				t.Errorf("cost = %v, best, but a plan costs %v", got, b.cost)
			}
		}
	})
	if proven < n*3/4 || best < n*3/4 {
		t.Errorf("%d of %d proven, %d best: the exact search gives up too soon", proven, n, best)
	}
	t.Logf("%d of %d proven, %d best", proven, n, best)
}
