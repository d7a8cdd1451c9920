package nights

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// Lists always hold each task once, on a machine that it fits; what is taken
// back is as before.
func TestTriesKeepTheLists(t *testing.T) {
	moved, swapped, turned := 0, 0, 0
	cases(t, 30, func(t *testing.T, rnd *rand.Rand) {
		p := homeShop(rnd, kinds()[rnd.IntN(4)], 2+rnd.IntN(12), 1+rnd.IntN(4))
		m := newModel(&p)
		s := newSearch(m)
		for range 300 {
			before := s.l.clone()
			if !s.try() {
				if !sameLists(before, s.l) {
					t.Fatal("a try that failed changed the lists")
				}
				continue
			}
			switch {
			case s.undo.turned >= 0:
				turned++
			case s.undo.swapped:
				swapped++
			default:
				moved++
			}
			checkLists(t, m, s.l)
			if rnd.IntN(2) == 0 {
				s.back()
				if !sameLists(before, s.l) {
					t.Fatalf("taken back the lists are %v, want %v", s.l, before)
				}
			}
		}
	})
	if min(moved, swapped, turned) < 300 {
		t.Errorf("%d moved, %d swapped, %d turned: too few of one", moved, swapped, turned)
	}
}

func sameLists(a, b lists) bool {
	return slices.EqualFunc(a.of, b.of, slices.Equal[[]int32]) && slices.Equal(a.turn, b.turn)
}

func checkLists(t *testing.T, m *model, l lists) {
	t.Helper()
	seen := make([]int, len(m.tasks))
	for k := range l.of {
		for _, j := range l.of[k] {
			seen[j]++
			if !m.fits(int(j), k) {
				t.Fatalf("task %d is on machine %d", j, k)
			}
		}
	}
	for j, n := range seen {
		if n != 1 {
			t.Fatalf("task %d is on %d lists", j, n)
		}
	}
}

// More searching never loses what was found, and tidying neither.
func TestSearchKeepsItsBest(t *testing.T) {
	cases(t, 20, func(t *testing.T, rnd *rand.Rand) {
		p := homeShop(rnd, kinds()[rnd.IntN(4)], 20, 3)
		for j := range p.Plates {
			p.Plates[j].Rank = rnd.IntN(2)
		}
		m := newModel(&p)
		s := newSearch(m)
		last, lastCost := never, []instant(nil)
		for round := range 6 {
			switch round {
			case 0, 1:
				s.shorten(4000, m.from, early, hour)
			case 2, 3:
				s.again(4000, m.from)
			default:
				s.tidy(4000)
			}
			checkLists(t, m, s.best)
			end, cost := byAll.of(m, s.plan(), nil)
			if end != s.least {
				t.Fatalf("the best lists end at %v, noted is %v", end, s.least)
			}
			if end > last || round >= 4 && slices.Compare(cost, lastCost) > 0 {
				t.Errorf("round %d: end %v, cost %v; before %v, %v", round, end, cost, last, lastCost)
			}
			last, lastCost = end, cost
		}
	})
}

// The search stops at the bound: nothing can be better.
func TestSearchStopsAtTheBound(t *testing.T) {
	p := homeShop(rand.New(rand.NewPCG(1, 1)), atHome, 20, 2)
	m := newModel(&p)
	s := newSearch(m)
	s.shorten(1_000_000, never, early, hour)
	if s.left < 1_000_000-20 {
		t.Errorf("%d plates put though the bound was met at once", 1_000_000-s.left)
	}
}

// What the aims make small, by hand: plates of 4 and 2 h on the first printer,
// one of 3 h on the second; changes take no time.
func TestEnergy(t *testing.T) {
	no := 0.0
	p := machines([][]float64{{240, 120, no}, {no, no, 180}})
	m := newModel(&p)
	s := newSearch(m)
	s.l = lists{[][]int32{{0, 1}, {2}}, make([]instant, 3)}
	for _, c := range []struct {
		name string
		aim  aim
		want instant // hours
	}{
		{"early: twice the last end and the sum of both", early, 2*6 + 6 + 3},
		{"by 7 h nothing is left", aim(m.from + 7*hour), 6},
		{"by 5 h an hour is", aim(m.from + 5*hour), 6 + 4*1},
		{"by 3 h one of 4 and all 2 are", aim(m.from + 3*hour), 6 + 4*(1+2)},
		{"by 1 h 3 of 4, all 2, 2 of 3 are", aim(m.from + hour), 6 + 4*(3+2+2)},
	} {
		if e, end := s.energy(c.aim); e != c.want*hour || end != m.from+6*hour {
			t.Errorf("%s: energy %v h, end %v h, want %v, 6", c.name, float64(e)/3600, float64(end-m.from)/3600, c.want)
		}
	}
}

// Who is changed first when two could be: the one whose turn is earlier, then
// the one whose printer has more to do.
func TestTurns(t *testing.T) {
	p := machines([][]float64{{60, 60, 0, 0}, {0, 0, 60, 180}})
	p.Change = 10 * time.Minute
	m := newModel(&p)
	d := newDecoder(m)
	order := func(turn ...instant) []int {
		l := lists{[][]int32{{0, 1}, {2, 3}}, make([]instant, 4)}
		copy(l.turn, turn)
		var out []int
		for _, one := range d.run(l) {
			out = append(out, one.task)
		}
		return out
	}
	for _, c := range []struct {
		name string
		turn []instant
		want []int
	}{
		{"more to do first", nil, []int{2, 0, 3, 1}},
		{"task 0 first, by its turn", []instant{-m.change}, []int{0, 2, 1, 3}},
		// Both printers are ready for the second plates at 70 and 80 minutes.
		{"task 1 waits for task 3", []instant{-m.change, m.change + 1}, []int{0, 2, 3, 1}},
	} {
		if got := order(c.turn...); !slices.Equal(got, c.want) {
			t.Errorf("%s: order %v, want %v", c.name, got, c.want)
		}
	}
}

// Decoded plans are in order of their changes, one at a time.
func TestDecodedChangesFollowEachOther(t *testing.T) {
	cases(t, 60, func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1+rnd.IntN(4))
		addPlates(rnd, &p, 12, 8)
		addPins(rnd, &p)
		m := newModel(&p)
		if len(m.tasks) == 0 {
			return
		}
		s := newSearch(m)
		for range 20 {
			s.try()
		}
		plan := s.d.run(s.l)
		if len(plan) != len(m.tasks) {
			t.Fatalf("%d of %d tasks are put", len(plan), len(m.tasks))
		}
		for i := 1; i < len(plan); i++ {
			if plan[i].change < plan[i-1].start {
				t.Errorf("change %d begins at %v, before %v", i, plan[i].change, plan[i-1].start)
			}
		}
	})
}
