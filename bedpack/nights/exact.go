package nights

import (
	"math/bits"
	"slices"
)

// exact looks at all plans that end by a limit, plate by plate in the order
// of their changes, and keeps of those that have printed the same plates the
// ones that no other beats in all: the person, every printer, and what the
// plan costs so far.
//
// It finds a best plan, for of two partial plans with the same plates the one
// that is nowhere later or dearer can be gone on with like the other, and is
// then nowhere later or dearer (see put).
type exact struct {
	m      *model
	apart  *apart
	limit  instant
	cost   costing
	twins  []int // by task: the one before that is just like it, -1 for none
	budget int   // partial plans that may still be made
	layer  []*partial
	best   []instant // cost of the best plan found before, nil for any
}

// partial is a plan of some of the plates.
type partial struct {
	done   int // set of tasks
	person instant
	tracks []track
	cost   []instant
	last   placed
	before *partial
	ready  []track // for comparing: tracks as early as they can be changed, like machines sorted
}

// solve returns a plan that ends by the limit and is the cheapest; nil if none
// does. It reports false when the budget was spent before that was known.
func (x *exact) solve() ([]placed, bool) {
	root := &partial{person: x.m.from, cost: x.cost.none(x.m)}
	for k := range x.m.machines {
		root.tracks = append(root.tracks, x.m.machines[k].track)
	}
	x.apart.limit(x.limit)
	x.layer = []*partial{root}
	for range x.m.tasks {
		if !x.grow() {
			return nil, false
		}
	}
	if len(x.layer) == 0 {
		return nil, true
	}
	best := slices.MinFunc(x.layer, func(a, b *partial) int { return slices.Compare(a.cost, b.cost) })
	var out []placed
	for p := best; p.before != nil; p = p.before {
		out = append(out, p.last)
	}
	slices.Reverse(out)
	return out, true
}

// grow puts one more plate on every partial plan.
func (x *exact) grow() bool {
	kept := map[int][]*partial{} // by set
	var sets []int
	for _, p := range x.layer {
		for j := range x.m.tasks {
			if p.done>>j&1 == 1 || x.twins[j] >= 0 && p.done>>x.twins[j]&1 == 0 {
				continue
			}
			for k := range x.m.machines {
				if !x.m.fits(j, k) || x.likeEarlier(p, k) {
					continue
				}
				q := x.put(p, j, k)
				if q == nil {
					continue
				}
				if x.budget--; x.budget < 0 {
					return false
				}
				if kept[q.done] == nil {
					sets = append(sets, q.done)
				}
				kept[q.done] = insert(kept[q.done], q)
			}
		}
	}
	slices.Sort(sets)
	x.layer = x.layer[:0]
	for _, s := range sets {
		x.layer = append(x.layer, kept[s]...)
	}
	return true
}

// put returns the partial plan with one more plate; nil if it cannot end by
// the limit.
func (x *exact) put(p *partial, j, k int) *partial {
	at := p.tracks[k]
	one := x.m.put(j, k, &at, p.person)
	if one.end > x.limit {
		return nil
	}
	q := &partial{done: p.done | 1<<j, person: one.start, tracks: slices.Clone(p.tracks), last: one, before: p}
	q.tracks[k] = at
	q.cost = x.cost.add(x.m, p.cost, one)
	x.settle(q)
	if !x.hopeful(q) {
		return nil
	}
	return q
}

// settle works out when each machine can next be changed at all.
func (x *exact) settle(q *partial) {
	m := x.m
	q.ready = slices.Clone(q.tracks)
	for k := range q.ready {
		first := never
		for j := range m.tasks {
			if q.done>>j&1 == 0 && m.fits(j, k) {
				first = min(first, m.slots[j][k][0].next(max(q.tracks[k].ready, q.person)))
			}
		}
		q.ready[k].ready = first
	}
	for k := range q.ready { // like machines sorted: which is which does not matter
		for o := k; o > 0 && x.m.alike(o-1, o) && q.ready[o].ready < q.ready[o-1].ready; o-- {
			q.ready[o], q.ready[o-1] = q.ready[o-1], q.ready[o]
		}
	}
}

// hopeful reports whether the rest could be printed by the limit, and no
// dearer than the best, if each printer had a person to itself. When ways of
// sharing out the rest are many, only each plate by itself is looked at.
func (x *exact) hopeful(q *partial) bool {
	m := x.m
	rest := (1<<len(m.tasks) - 1) &^ q.done
	ready := make([]instant, len(q.ready))
	for k := range ready {
		ready[k] = q.ready[k].ready
	}
	for j := range m.tasks {
		if rest>>j&1 == 1 && !x.apart.canPrint(j, ready) {
			return false
		}
	}
	ways := 1
	for range bits.OnesCount(uint(rest)) {
		ways *= len(ready)
	}
	if ways <= 3000 && !x.apart.canEnd(rest, ready) {
		return false
	}
	return x.best == nil || slices.Compare(x.cost.atLeast(m, q, rest), x.best) < 0
}

// likeEarlier reports whether an earlier machine is in all like this one.
func (x *exact) likeEarlier(p *partial, k int) bool {
	for o := range k {
		if x.m.alike(o, k) && p.tracks[o] == p.tracks[k] {
			return true
		}
	}
	return false
}

// insert adds a partial plan to those of the same plates, unless one beats
// it, and takes out those that it beats.
func insert(list []*partial, q *partial) []*partial {
	for _, p := range list {
		if p.beats(q) {
			return list
		}
	}
	list = slices.DeleteFunc(list, q.beats)
	return append(list, q)
}

// beats reports whether p is nowhere later or dearer than q.
func (p *partial) beats(q *partial) bool {
	if slices.Compare(p.cost, q.cost) > 0 {
		return false
	}
	for k := range p.ready {
		a, b := &p.ready[k], &q.ready[k]
		if a.ready > b.ready || a.material != b.material || a.pin != b.pin {
			return false
		}
	}
	return true
}
