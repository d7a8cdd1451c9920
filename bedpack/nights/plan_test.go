package nights

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"
)

// few is an effort that keeps property tests short.
func few() Effort { return Effort{Search: 20000, Bound: 2e6, Exact: 2000} }

// named writes a schedule down without indices.
func named(p Problem, s Schedule) string {
	out := ""
	for _, one := range s.Starts {
		out += fmt.Sprintln(p.Plates[one.Plate].ID, p.Printers[one.Printer].Name, one.ChangeFrom, one.At, one.End, one.Swap, one.Awkward)
	}
	for _, r := range s.Refused {
		name := ""
		if r.Printer >= 0 {
			name = p.Printers[r.Printer].Name
		}
		out += fmt.Sprintln(p.Plates[r.Plate].ID, r.Reason, name, r.Need, r.Have)
	}
	for _, b := range s.Broken {
		out += fmt.Sprintln(p.Plates[b.Plate].ID, b.Clock)
	}
	loads := map[string]Load{}
	for k, l := range s.Loads {
		loads[p.Printers[k].Name] = l
	}
	return out + fmt.Sprintln(loads, s.End, s.Bound, s.Proven, s.Best, s.Changes, s.Swaps, s.Awkward, s.Nodes)
}

// shuffled puts plates and printers in another order.
func shuffled(rnd *rand.Rand, p Problem) Problem {
	at := rnd.Perm(len(p.Printers)) // by new index: the old one
	to := make([]int, len(at))
	q := p
	q.Printers, q.Plates = nil, nil
	for k, old := range at {
		q.Printers = append(q.Printers, p.Printers[old])
		to[old] = k
	}
	for _, j := range rnd.Perm(len(p.Plates)) {
		one := p.Plates[j]
		one.Hours = nil
		for _, old := range at {
			one.Hours = append(one.Hours, p.Plates[j].Hours[old])
		}
		if one.Pin >= 0 {
			one.Pin = to[one.Pin]
		}
		q.Plates = append(q.Plates, one)
	}
	return q
}

func TestOrderOfInputChangesNothing(t *testing.T) {
	cases(t, many(t, 60), func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1+rnd.IntN(4))
		addPlates(rnd, &p, 1+rnd.IntN(20), 8)
		addPins(rnd, &p)
		q := shuffled(rnd, p)
		if a, b := named(p, Plan(p, few())), named(q, Plan(q, few())); a != b {
			t.Errorf("Plan gives\n%s\nand of the same in another order\n%s", a, b)
		}
	})
}

func TestPlanTwiceIsTheSame(t *testing.T) {
	rnd := rand.New(rand.NewPCG(*seed, 0))
	p := homeShop(rnd, evenings, 30, 3)
	a, b := Plan(p, Effort{Search: 1e6, Bound: 1e7}), Plan(p, Effort{Search: 1e6, Bound: 1e7})
	if !reflect.DeepEqual(a, b) {
		t.Error("Plan gives two schedules of the same problem")
	}
}

// Plan leaves the problem as it was.
func TestPlanChangesNothingOfTheProblem(t *testing.T) {
	make := func() Problem {
		rnd := rand.New(rand.NewPCG(*seed, 1))
		p := randomShop(t, rnd, 3)
		addPlates(rnd, &p, 12, 8)
		addPins(rnd, &p)
		return p
	}
	p, q := make(), make()
	Plan(p, few())
	if named(p, Plan(p, few())) != named(q, Plan(q, few())) {
		t.Error("the second plan differs from the first")
	}
}

// What makes a shop better makes no plan longer: another printer like the
// first, a longer day, no reserve, a shorter change, one plate less.
func TestBetterShopsAreNoSlower(t *testing.T) {
	for _, c := range []struct {
		name   string
		better func(p *Problem)
	}{
		{"a second printer", func(p *Problem) {
			p.Printers = append(p.Printers, Printer{Name: "z", Running: p.Printers[0].Running, Material: p.Printers[0].Material})
			for j := range p.Plates {
				p.Plates[j].Hours = append(p.Plates[j].Hours, p.Plates[j].Hours[0])
			}
		}},
		{"always attended", func(p *Problem) { p.Attended = Always() }},
		{"no reserve", func(p *Problem) { p.Reserve = 0 }},
		{"quicker changes", func(p *Problem) { p.Change /= 2; p.Change = p.Change.Truncate(time.Second) }},
		{"one plate less", func(p *Problem) { p.Plates = p.Plates[1:] }},
	} {
		t.Run(c.name, func(t *testing.T) {
			compared := 0
			cases(t, 60, func(t *testing.T, rnd *rand.Rand) {
				p := randomShop(t, rnd, 1)
				addPlates(rnd, &p, 2+rnd.IntN(5), 6)
				before := Plan(p, few())
				q := p
				c.better(&q)
				after := Plan(q, few())
				if len(before.Refused) > 0 || len(after.Refused) > 0 || !before.Proven || !after.Proven {
					return
				}
				compared++
				if after.End.After(before.End) {
					t.Errorf("ends %v, before %v", after.End, before.End)
				}
			})
			if compared < 8 {
				t.Errorf("%d compared: the draw tests too little", compared)
			}
		})
	}
}

// The search alone, held against the optimum of problems that it is not
// needed for. Measured with seeds 1 to 3: 17 to 22 of 24 found, 2.3 % late at
// the worst.
func TestSearchComesNear(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: takes long under the race detector")
	}
	same, n, worst := 0, 0, 0.0
	for i := range uint64(24) {
		p := homeShop(rand.New(rand.NewPCG(*seed, i)), kinds()[i%4], 9+int(i%3), 2)
		exact, found := Plan(p, Effort{}), Plan(p, Effort{Search: 2_000_000, Exact: -1})
		if !exact.Proven {
			continue
		}
		n++
		if found.End.Equal(exact.End) {
			same++
		}
		worst = max(worst, float64(found.End.Sub(exact.End))/float64(exact.End.Sub(p.From)))
	}
	t.Logf("%d of %d optima found, the worst %.2f %% late", same, n, 100*worst)
	if n < 20 || same < n*2/3 || worst > 0.03 {
		t.Errorf("%d of %d optima found, the worst %.2f %% late; want 2 of 3 and 3 %% at most", same, n, 100*worst)
	}
}

func TestPlanOfNothing(t *testing.T) {
	s := Plan(Problem{From: monday(8)}, Effort{})
	if !s.End.Equal(monday(8)) || !s.Bound.Equal(s.End) || !s.Proven || !s.Best || len(s.Starts) > 0 {
		t.Errorf("Plan = %+v, want a proven plan of nothing that ends at once", s)
	}
}
