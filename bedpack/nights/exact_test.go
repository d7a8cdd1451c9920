package nights

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// sequences tries every order of tasks on every machine, each put at its
// earliest, pins, swaps and all; it returns the least end and, of plans that
// end then, the least cost.
type sequences struct {
	m     *model
	used  []bool
	plan  []placed
	found bool
	end   instant
	cost  []instant
}

func (q *sequences) next(person instant, tracks []track) {
	if len(q.plan) == len(q.m.tasks) {
		end, cost := byAll.of(q.m, q.plan, nil)
		if !q.found || end < q.end || end == q.end && slices.Compare(cost, q.cost) < 0 {
			q.found, q.end, q.cost = true, end, cost
		}
		return
	}
	for j := range q.m.tasks {
		for k := range q.m.machines {
			if q.used[j] || !q.m.fits(j, k) {
				continue
			}
			after := slices.Clone(tracks)
			one := q.m.put(j, k, &after[k], person)
			q.used[j], q.plan = true, append(q.plan, one)
			q.next(one.start, after)
			q.used[j], q.plan = false, q.plan[:len(q.plan)-1]
		}
	}
}

func trySequences(m *model) *sequences {
	q := &sequences{m: m, used: make([]bool, len(m.tasks))}
	var tracks []track
	for k := range m.machines {
		tracks = append(tracks, m.machines[k].track)
	}
	q.next(m.from, tracks)
	return q
}

// The exact search against every sequence: with pins, swaps, ranks and twins.
func TestExactAgainstEverySequence(t *testing.T) {
	solved, beyond := 0, 0 // beyond: optima that the bounds do not prove
	cases(t, many(t, 240), func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1+rnd.IntN(3))
		addPlates(rnd, &p, 1+rnd.IntN(4), pick(rnd, 2.0, 6, 15))
		if rnd.IntN(2) == 0 { // twins
			for i := range p.Plates {
				if i > 0 && rnd.IntN(2) == 0 {
					id := p.Plates[i].ID
					p.Plates[i] = p.Plates[i-1]
					p.Plates[i].ID = id
				}
			}
		}
		if rnd.IntN(2) == 0 && len(p.Printers) > 1 { // printers alike
			p.Printers[1].Running, p.Printers[1].Swap = p.Printers[0].Running, p.Printers[0].Swap
			for i := range p.Plates {
				p.Plates[i].Hours[1], p.Plates[i].Pin = p.Plates[i].Hours[0], AnyPrinter
			}
		}
		if rnd.IntN(2) == 0 {
			addPins(rnd, &p)
		}
		m := newModel(&p)
		if len(m.tasks) == 0 {
			return
		}
		want := trySequences(m)
		x := &exact{m: m, apart: newApart(m), twins: m.twins(), budget: 100_000, limit: want.end, cost: byAll}
		plan, known := x.solve()
		if !known || plan == nil {
			t.Fatalf("no plan by the optimum, known %v", known)
		}
		end, cost := byAll.of(m, plan, nil)
		if end > want.end || slices.Compare(cost, want.cost) != 0 {
			t.Errorf("end %v, cost %v; want %v, %v", end, cost, want.end, want.cost)
		}
		x = &exact{m: m, apart: x.apart, twins: m.twins(), budget: 100_000, limit: want.end - 1, cost: byEnd}
		if plan, known := x.solve(); plan != nil && want.end > m.end || !known {
			t.Errorf("a plan ends before the optimum: %v, known %v", plan, known)
		}
		solved++
		s := Plan(p, Effort{})
		if !s.Proven || !s.Best || ceil(s.End) != want.end {
			t.Errorf("Plan ends at %v, proven %v, best %v; want %v, both", ceil(s.End), s.Proven, s.Best, want.end)
		}
		if b := max(m.simpleBound(), x.apart.bound()); b < want.end {
			beyond++
		}
	})
	if beyond < solved/20 {
		t.Errorf("%d of %d optima are after the bounds: the draw tests too little", beyond, solved)
	}
	if solved < many(t, 240)/2 {
		t.Errorf("%d solved: the draw tests too little", solved)
	}
}

// A budget that is spent says so, and claims nothing.
func TestExactGivesUp(t *testing.T) {
	p := homeShop(rand.New(rand.NewPCG(3, 3)), atHome, 12, 3)
	s := Plan(p, Effort{Search: 20000, Bound: -1, Exact: 10})
	if s.Best || s.Nodes != 10 {
		t.Errorf("best %v after %d partial plans, want false after 10", s.Best, s.Nodes)
	}
	if err := Verify(p, s); err != nil {
		t.Errorf("Verify: %v", err)
	}
	if s := Plan(p, Effort{Search: 20000, Bound: -1, Exact: -1}); s.Nodes != 0 || s.Best {
		t.Errorf("best %v after %d partial plans, want false after none", s.Best, s.Nodes)
	}
}

func TestBeats(t *testing.T) {
	plan := func(cost instant, material int, ready ...instant) *partial {
		p := &partial{cost: []instant{cost}}
		for _, r := range ready {
			p.ready = append(p.ready, track{ready: r, material: material})
		}
		return p
	}
	for _, c := range []struct {
		name string
		a, b *partial
		want bool
	}{
		{"the same", plan(5, 1, 10, 20), plan(5, 1, 10, 20), true},
		{"one printer earlier", plan(5, 1, 9, 20), plan(5, 1, 10, 20), true},
		{"one earlier, one later", plan(5, 1, 9, 21), plan(5, 1, 10, 20), false},
		{"cheaper", plan(4, 1, 10, 20), plan(5, 1, 10, 20), true},
		{"earlier but dearer", plan(6, 1, 9, 20), plan(5, 1, 10, 20), false},
		{"something else loaded", plan(4, 2, 9, 19), plan(5, 1, 10, 20), false},
	} {
		if got := c.a.beats(c.b); got != c.want {
			t.Errorf("%s: beats = %v, want %v", c.name, got, c.want)
		}
	}
	kept := insert(insert(insert(nil, plan(5, 1, 10, 20)), plan(5, 1, 9, 21)), plan(5, 1, 10, 21))
	if len(kept) != 2 {
		t.Errorf("%d kept, want 2: the third is beaten", len(kept))
	}
	if kept = insert(kept, plan(4, 1, 9, 20)); len(kept) != 1 {
		t.Errorf("%d kept, want 1: it beats both", len(kept))
	}
}

func TestAlikeAndTwins(t *testing.T) {
	p := machines([][]float64{{60, 60, 90}, {60, 60, 90}, {60, 61, 90}})
	m := newModel(&p)
	if !m.alike(0, 1) || m.alike(0, 2) {
		t.Error("printers 0 and 1 are alike, 0 and 2 are not")
	}
	p.Printers[1].Swap = time.Second
	if m := newModel(&p); m.alike(0, 1) {
		t.Error("printers that swap in another time are not alike")
	}
	p.Printers[1].Swap, p.Printers[1].Running = 0, Daily(Window{0, 1439})
	if m := newModel(&p); m.alike(0, 1) {
		t.Error("printers with other hours are not alike")
	}
	p = machines([][]float64{{60, 60, 60, 60, 61}})
	p.Plates[2].Rank, p.Plates[3].Earliest = 1, p.From
	m = newModel(&p)
	if got := m.twins(); !slices.Equal(got, []int{-1, 0, -1, -1, -1}) {
		t.Errorf("twins = %v, want the second of the first alone", got)
	}
}

func TestCostByHand(t *testing.T) {
	p := machines([][]float64{{60, 120, 60}})
	p.Awkward = Daily(Window{600, 700}) // 10:00-11:40
	p.From = monday(8)
	p.Change = 30 * minuteLong
	p.Printers[0].Material = "white"
	p.Plates[0].Rank, p.Plates[1].Rank, p.Plates[2].Rank = 7, -3, 7
	p.Plates[1].Material = "black"
	m := newModel(&p)
	// 08:30-09:30, 10:00-12:00 after a change from 09:30, 12:30-13:30.
	s := newSearch(m)
	s.l.of[0] = []int32{0, 1, 2}
	end, cost := byAll.of(m, s.d.run(s.l), nil)
	want := []instant{4 * hour, hour*3/2 + hour*11/2, 0, 1}
	if end != m.from+11*hour/2 || !slices.Equal(cost, want) {
		t.Errorf("end %v, cost %v; want %v, %v", end-m.from, cost, 11*hour/2, want)
	}
	s.l.of[0] = []int32{1, 0, 2} // 08:30-10:30, changed 10:30-11:00
	if _, cost := byAll.of(m, s.d.run(s.l), nil); cost[2] != 1 {
		t.Errorf("%d awkward changes, want 1", cost[2])
	}
}
