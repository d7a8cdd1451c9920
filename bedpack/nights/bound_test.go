package nights

import (
	"math/rand/v2"
	"testing"
	"time"
)

// smallShop draws what a planner can solve exactly, with a busy person as
// often as not.
func smallShop(t testing.TB, rnd *rand.Rand) Problem {
	p := randomShop(t, rnd, 1+rnd.IntN(4))
	if rnd.IntN(2) == 0 {
		p.Change += time.Duration(rnd.IntN(90)) * time.Minute
	}
	addPlates(rnd, &p, 2+rnd.IntN(7), pick(rnd, 2.0, 5, 12, 30))
	return p
}

// No bound is after the optimum, and each is near it often enough to be worth
// having.
func TestBoundsAreNeverLate(t *testing.T) {
	names := []string{"simple", "apart", "prices, coarse", "prices, fine"}
	near := make([]int, len(names)) // within 1 %
	proven := 0
	cases(t, many(t, 400), func(t *testing.T, rnd *rand.Rand) {
		p := smallShop(t, rnd)
		s := Plan(p, Effort{Search: 20000, Bound: 1e6})
		m := newModel(&p)
		if !s.Proven || len(m.tasks) < 2 {
			return
		}
		proven++
		end := ceil(s.End)
		coarse := newPrices(m, end, 5*minute)
		bounds := []instant{m.simpleBound(), newApart(m).bound(), coarse.climb(40), coarse.refine(end, minute).climb(40)}
		for i, b := range bounds {
			if b > end {
				t.Errorf("bound %q = %v, after the optimum %v", names[i], b.in(m.zone), s.End)
			}
			if (end-b)*100 <= end-m.from {
				near[i]++
			}
		}
	})
	if proven < many(t, 200) {
		t.Errorf("%d optima proven: the draw tests too little", proven)
	}
	for i, n := range near {
		t.Logf("bound %q is within 1 %% of %d of %d optima", names[i], n, proven)
		if n < proven/4 {
			t.Errorf("bound %q is within 1 %% of %d of %d optima only", names[i], n, proven)
		}
	}
}

// Prices that no printer can earn in time, worked out by hand. Two printers,
// one person, three plates of 2 h, changes of an hour, no night: the person
// cannot begin the third change before 2 h, and then it is 5 h. By work alone
// it would be 9 h / 2.
func TestPriceBoundByHand(t *testing.T) {
	p := machines([][]float64{{120, 120, 120}, {120, 120, 120}})
	p.Change = time.Hour
	m := newModel(&p)
	b := newPrices(m, m.from+10*hour, minute)
	if got := b.climb(1); got != m.from+6*hour {
		// Whole plates: two on one printer end after 6 h.
		t.Errorf("first round gives %v h, want 6", float64(got-m.from)/3600)
	}
	if end := Plan(p, Effort{}).End.Sub(p.From); end != 6*time.Hour {
		t.Errorf("Plan ends after %v, want 6 h", end)
	}
}

// Fees say what the person cannot do: ten plates of an hour on ten printers,
// changes of an hour, one after the other: 11 h. A printer alone thinks of 2.
// (Subgradients are slow here; 6.6 h was measured after 300 rounds.)
func TestFeesBoundByThePerson(t *testing.T) {
	minutes := make([][]float64, 10)
	for k := range minutes {
		for range 10 {
			minutes[k] = append(minutes[k], 60)
		}
	}
	p := machines(minutes)
	p.Change = time.Hour
	m := newModel(&p)
	end := m.from + 11*hour
	if got := m.simpleBound(); got != end {
		t.Errorf("simpleBound = %v h, want 11", float64(got-m.from)/3600)
	}
	b := newPrices(m, end, 5*minute)
	if got := b.climb(1); got != m.from+2*hour {
		t.Errorf("without fees the bound is %v h, want 2", float64(got-m.from)/3600)
	}
	if got := b.climb(300); got < m.from+6*hour || got > end {
		t.Errorf("with fees the bound is %v h, want 6 to 11", float64(got-m.from)/3600)
	}
}

func TestApartByHand(t *testing.T) {
	// 3, 2 and 2 h on two printers: 4 h; one of them only on the slow first: 5 h.
	p := machines([][]float64{{180, 120, 120}, {180, 120, 120}})
	m := newModel(&p)
	if got := newApart(m).bound(); got != m.from+4*hour {
		t.Errorf("bound = %v h, want 4", float64(got-m.from)/3600)
	}
	p.Plates[0].Pin, p.Plates[1].Pin = 0, 0
	m = newModel(&p)
	a := newApart(m)
	if got := a.bound(); got != m.from+5*hour {
		t.Errorf("bound = %v h, want 5", float64(got-m.from)/3600)
	}
	a.limit(m.from + 5*hour)
	for _, c := range []struct {
		set         int
		left, right instant
		want        bool
	}{{7, 0, 0, true}, {7, 1, 0, false}, {7, 0, 3, true}, {7, 0, 4, false}, {3, 0, 9, true}, {4, 3, 9, true}, {4, 4, 9, false}, {0, 9, 9, true}} {
		ready := []instant{m.from + c.left*hour, m.from + c.right*hour}
		if got := a.canEnd(c.set, ready); got != c.want {
			t.Errorf("canEnd(%b) from %d and %d h = %v, want %v", c.set, c.left, c.right, got, c.want)
		}
	}
}
