package nights

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// earnings tries every sequence of tasks on one printer, each as often as it
// likes, waiting as long as it likes on the grid, and returns the most earned
// by a step.
func earnings(b *prices, k, t, until int) int64 {
	best := int64(0)
	if t > until {
		return poor
	}
	if t < until {
		best = max(0, earnings(b, k, t+1, until))
	}
	m := b.m
	for j := range m.tasks {
		if !m.fits(j, k) {
			continue
		}
		from := m.from + instant(t)*b.grid
		c := m.slots[j][k][0].next(max(from, m.tasks[j].earliest-m.change))
		if c >= from+b.grid {
			continue
		}
		end := int((c + m.change + m.tasks[j].print[k] - m.from) / b.grid)
		if rest := earnings(b, k, end, until); rest > poor {
			best = max(best, b.price[j]-b.toll[t]+rest)
		}
	}
	return best
}

// What a printer earns, against every sequence, at random prices and fees.
func TestEarnAgainstEverySequence(t *testing.T) {
	worth := 0
	cases(t, 80, func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1)
		addPlates(rnd, &p, 1+rnd.IntN(3), 12)
		m := newModel(&p)
		if len(m.tasks) == 0 {
			return
		}
		b := newPrices(m, m.from+48*hour, 2*hour)
		if b.width > 0 || len(b.earner) == 0 || m.change+m.tasks[0].shortest() < 2*hour {
			return // the grid is too wide for these
		}
		for j := range b.price {
			if m.change+m.tasks[j].shortest() < 2*hour {
				return
			}
			b.price[j] = int64(rnd.IntN(1000))
		}
		b.width = 1 + rnd.IntN(2)
		for i := range b.fee[:b.steps] {
			b.fee[i] = int64(rnd.IntN(3) * rnd.IntN(200))
		}
		b.levy()
		e := &b.earner[0]
		b.earn(e)
		for until := e.first; until <= b.steps; until += 3 {
			want := earnings(b, 0, e.first, until)
			if got := max(0, e.best[until]); got != want {
				t.Fatalf("by step %d it earns %d, want %d", until, got, want)
			}
			if want > 0 {
				worth++
			}
		}
	})
	if worth < 50 {
		t.Errorf("%d compared: the draw tests too little", worth)
	}
}

func TestLevy(t *testing.T) {
	p := machines([][]float64{{60}})
	m := newModel(&p)
	b := newPrices(m, m.from+6*hour, hour)
	b.width = 2
	b.fee = []int64{0, 5, 0, 7, 0, 1, 0}
	b.toll, b.paid = make([]int64, 7), make([]int64, 8)
	b.levy()
	if want := []int64{0, 0, 5, 5, 12, 12, 13, 13}; !slices.Equal(b.paid, want) {
		t.Errorf("paid %v, want %v", b.paid, want)
	}
	if want := []int64{5, 5, 7, 7, 1, 1, 0}; !slices.Equal(b.toll, want) {
		t.Errorf("toll %v, want %v", b.toll, want)
	}
}

// What is chosen is what is earned: prices of the tasks counted, less the
// tolls of their changes, are the earnings.
func TestCountFindsWhatIsEarned(t *testing.T) {
	cases(t, 40, func(t *testing.T, rnd *rand.Rand) {
		p := homeShop(rnd, kinds()[rnd.IntN(4)], 8, 1)
		m := newModel(&p)
		b := newPrices(m, m.from+100*hour, 5*minute)
		for i := range b.fee[:b.steps] {
			b.fee[i] = int64(rnd.IntN(2) * rnd.IntN(20) * 60000)
		}
		b.levy()
		e := &b.earner[0]
		b.earn(e)
		b.count(b.steps)
		sum := int64(0)
		for j, n := range b.use {
			sum += int64(n) * b.price[j]
		}
		for step, n := range b.busy {
			sum -= int64(n) * b.fee[step]
		}
		if sum != e.best[b.steps] {
			t.Errorf("what is chosen earns %d, want %d", sum, e.best[b.steps])
		}
	})
}

// More rounds never make the bound earlier.
func TestClimbNeverFalls(t *testing.T) {
	p := homeShop(rand.New(rand.NewPCG(*seed, 9)), evenings, 20, 3)
	m := newModel(&p)
	s := newSearch(m)
	s.shorten(20000, m.from, early, hour)
	last := m.from
	for _, rounds := range []int{0, 1, 5, 20, 60} {
		b := newPrices(m, s.least, 5*minute)
		got := b.climb(rounds)
		if got < last || got > s.least {
			t.Errorf("after %d rounds the bound is %v, before %v; a plan ends at %v", rounds, got, last, s.least)
		}
		last = got
	}
	if last < m.from+20*hour {
		t.Errorf("bound after 60 rounds is %v h", float64(last-m.from)/3600)
	}
}

// Odd sizes: prints shorter than the grid, changes shorter than it, a horizon
// of months. The bound is still no later than a plan.
func TestPriceBoundOfOddSizes(t *testing.T) {
	for _, c := range []struct {
		name    string
		minutes []float64
		change  time.Duration
		within  float64 // of the end
	}{
		{"prints of seconds", []float64{0.1, 0.2, 0.3, 0.4}, 0, 0.3},
		{"prints of a second, changes of two", []float64{1.0 / 60, 1.0 / 60, 1.0 / 60}, 2 * time.Second, 0.3},
		{"changes longer than prints", []float64{1, 1, 1, 1}, time.Hour, 0.5},
		{"prints of weeks", []float64{50000, 40000, 30000, 20000, 50000}, 10 * time.Minute, 0.2},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := machines([][]float64{c.minutes, c.minutes})
			p.Change = c.change
			m := newModel(&p)
			end := ceil(Plan(p, Effort{}).End)
			got := m.priceBound(end, 20_000_000)
			if got > end || float64(end-got) > c.within*float64(end-m.from) {
				t.Errorf("bound after %v s, the optimum %v s", got-m.from, end-m.from)
			}
			if got := m.priceBound(end, -1); got != m.from {
				t.Errorf("without effort the bound is %v, want the beginning", got)
			}
		})
	}
}
