package nights

import (
	"cmp"
	"slices"
	"time"
)

// Effort limits the work, in counts, so that the result does not depend on
// the speed of the machine. Zero is the default given, negative is none.
type Effort struct {
	Search int // plates put while lists are tried; 0: 40 million, a few seconds
	Bound  int // steps of time, plates and printers, multiplied, gone through for the bound; 0: 400 million
	Exact  int // partial plans looked at one by one, of 14 plates at most; 0: 200,000
}

func (e Effort) filled() Effort {
	for _, one := range []struct {
		field    *int
		standard int
	}{{&e.Search, 40_000_000}, {&e.Bound, 400_000_000}, {&e.Exact, 200_000}} {
		if *one.field == 0 {
			*one.field = one.standard
		}
	}
	return e
}

// Plan gives each plate a printer and a start so that the last plate ends as
// soon as can be; then, among such plans, so that the plates of the least rank
// end early in the mean, then those of the next rank, and so on; then with few
// changes in awkward hours; then with few swaps.
//
// Laws: 1. Each plate is started once or refused once; Verify finds no fault.
// 2. No plate is refused because of the others, unless both are pinned.
// 3. Bound is not after the End of any plan that starts the same plates; with
// Proven it is End. 4. The order in which plates and printers come changes
// nothing but the indices by which the result names them, if names differ.
// 5. The same problem and effort give the same schedule.
//
// Up to 14 plates and their bounds are looked at exactly, as far as
// Effort.Exact goes; more are planned by search, with a bound.
func Plan(p Problem, e Effort) Schedule {
	m := newModel(&p)
	return m.schedule(m.solve(e.filled()))
}

// result is a plan and what is known of it.
type result struct {
	plan  []placed
	end   instant
	cost  []instant
	bound instant
	best  bool
	nodes int
}

// take keeps a plan if it is better than the one so far.
func (r *result) take(m *model, plan []placed) {
	end, cost := byAll.of(m, plan, nil)
	if r.plan == nil || end < r.end || end == r.end && slices.Compare(cost, r.cost) < 0 {
		r.plan, r.end, r.cost = slices.Clone(plan), end, cost
	}
}

// quick is the share of the search, in tenths, that goes before the bound:
// bounds are worked out up to the end it finds. Another share is for tidying.
const (
	quick = 1
	neat  = 1
)

func (m *model) solve(e Effort) result {
	r := result{end: m.end, bound: m.end, best: true}
	if len(m.tasks) == 0 {
		return r
	}
	r.best, r.bound = false, m.simpleBound()
	s := newSearch(m)
	if len(m.tasks) <= mostApart {
		a := newApart(m)
		r.bound = max(r.bound, a.bound())
		s.shorten(min(e.Search, 20_000), r.bound, early, hour)
		r.take(m, s.plan())
		if m.lookAtAll(&r, a, e.Exact); r.best {
			return r
		}
		s.adopt(r.plan)
	}
	s.shorten(e.Search/10*quick, r.bound, early, hour)
	r.take(m, s.plan())
	if r.end > r.bound {
		r.bound = max(r.bound, m.priceBound(r.end, e.Bound))
	}
	if r.end > r.bound {
		s.again(e.Search/10*(10-quick-neat), r.bound)
	}
	s.tidy(e.Search / 10 * neat)
	r.take(m, s.plan())
	return r
}

// lookAtAll betters a result by looking at all plans, first for an earlier
// end, then for a lower cost with the same end.
func (m *model) lookAtAll(r *result, a *apart, budget int) {
	x := &exact{m: m, apart: a, twins: m.twins(), budget: budget}
	defer func() { r.nodes = max(0, budget) - max(0, x.budget) }()
	if r.end > r.bound {
		x.limit, x.cost = r.end-1, byEnd
		plan, known := x.solve()
		if !known {
			return
		}
		if plan != nil {
			r.take(m, plan)
		}
		r.bound = r.end
	}
	x.limit, x.cost, x.best = r.end, byAll, r.cost
	plan, known := x.solve()
	if plan != nil {
		r.take(m, plan)
	}
	r.best = known
}

// schedule writes a result down in the terms of the problem.
func (m *model) schedule(r result) Schedule {
	p := m.problem
	s := Schedule{Refused: m.refused, Broken: m.broken, Loads: make([]Load, len(p.Printers)),
		End: r.end.in(m.zone), Bound: r.bound.in(m.zone), Proven: r.bound == r.end, Best: r.best, Nodes: r.nodes}
	for _, one := range r.plan {
		one.task = m.tasks[one.task].index
		s.Starts = append(s.Starts, m.start(one))
	}
	for _, one := range m.pinned {
		s.Starts = append(s.Starts, m.start(one))
	}
	slices.SortFunc(s.Starts, func(a, b Start) int {
		return cmp.Or(a.ChangeFrom.Compare(b.ChangeFrom), a.At.Compare(b.At), m.rankOf(a.Printer)-m.rankOf(b.Printer))
	})
	m.markSwaps(s.Starts)
	for _, one := range s.Starts {
		s.tally(one, m.from.in(m.zone))
	}
	for i := range s.Loads {
		free := m.from
		if f := p.Printers[i].Free; !f.IsZero() {
			free = max(free, ceil(f))
		}
		l := &s.Loads[i]
		l.Idle = max(0, s.End.Sub(free.in(m.zone))-l.Printing-l.Changing)
	}
	return s
}

// markSwaps notes at which starts another material is loaded.
func (m *model) markSwaps(starts []Start) {
	for k, p := range m.problem.Printers {
		loaded := p.Material
		for i := range starts {
			material := m.problem.Plates[starts[i].Plate].Material
			if starts[i].Printer != k || material == "" {
				continue
			}
			starts[i].Swap = loaded != "" && loaded != material && ceil(starts[i].At) >= m.from
			loaded = material
		}
	}
}

func (m *model) start(one placed) Start {
	return Start{Plate: one.task, Printer: m.machines[one.machine].index, ChangeFrom: one.change.in(m.zone), At: one.start.in(m.zone),
		End: one.end.in(m.zone), Awkward: m.awkward.touches(one.change, one.start)}
}

// rankOf returns where a printer comes by name.
func (m *model) rankOf(printer int) int {
	return slices.IndexFunc(m.machines, func(a machine) bool { return a.index == printer })
}

// tally counts a start, of a print that is under way only what comes after
// the plan begins.
func (s *Schedule) tally(one Start, from time.Time) {
	l := &s.Loads[one.Printer]
	l.Printing += max(0, one.End.Sub(later(one.At, from)))
	l.Changing += max(0, one.At.Sub(later(one.ChangeFrom, from)))
	if one.End.After(l.Last) {
		l.Last = one.End
	}
	if one.At.Before(from) {
		return
	}
	s.Changes++
	if one.Swap {
		s.Swaps++
	}
	if one.Awkward {
		s.Awkward++
	}
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
