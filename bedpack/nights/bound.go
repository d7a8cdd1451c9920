package nights

import "slices"

// simpleBound returns a time before which no plan ends, of two thoughts.
//
// A plate alone: it ends no sooner than on its best printer, started as soon
// as that printer, the person and the plate are ready.
//
// The person: the k-th change ends no sooner than the k-th of changes done one
// right after the other, each as soon as any plate's may begin. The plates
// started by it and the ones after are n−k+1; so the longest of them prints at
// least as long as the (n−k+1)-th shortest of all.
func (m *model) simpleBound() instant {
	bound, prints := m.end, make([]instant, 0, len(m.tasks))
	for j := range m.tasks {
		bound = max(bound, m.alone(j))
		prints = append(prints, m.tasks[j].shortest())
	}
	slices.Sort(prints)
	person := m.from
	for k := range prints {
		person = m.nextChange(person) + m.change
		bound = max(bound, person+prints[len(prints)-1-k])
	}
	return bound
}

// alone returns when a task ends if it is all that is printed.
func (m *model) alone(j int) instant {
	first := never
	for k, a := range m.machines {
		if m.fits(j, k) {
			first = min(first, m.slots[j][k][0].next(max(a.ready, m.tasks[j].earliest-m.change))+m.change+m.tasks[j].print[k])
		}
	}
	return first
}

// nextChange returns the first moment from t on at which the change of any
// task may begin.
func (m *model) nextChange(t instant) instant {
	first := never
	for j := range m.tasks {
		for k := range m.machines {
			if m.fits(j, k) {
				first = min(first, m.slots[j][k][0].next(t))
			}
		}
	}
	return first
}

// grids of the bound by prices. Two passes: prices settle soon on the coarse
// grid and are then made good on the fine one.
const (
	coarse    = 5 * minute
	fine      = minute
	mostSteps = 30_000
)

// priceBound returns the bound by prices for plans that end by a horizon, at
// which one is known to end.
func (m *model) priceBound(horizon instant, effort int) instant {
	least := never
	for j := range m.tasks {
		least = min(least, m.change+m.tasks[j].shortest())
	}
	widen := max(1, (horizon-m.from)/fine/mostSteps+1)
	grid := min(widen*fine, least)
	if effort < 0 || grid <= 0 || (horizon-m.from)/grid > 4*mostSteps {
		return m.from
	}
	wide := min(widen*coarse, least)
	b := newPrices(m, horizon, wide)
	rounds := b.rounds(effort/4*3, 300)
	bound := b.climb(rounds)
	if bound >= horizon {
		return bound
	}
	effort -= rounds * b.cost()
	b = b.refine(horizon, grid)
	return max(bound, b.climb(b.rounds(effort, 150)))
}

// cost is what a round takes of the effort, about.
func (b *prices) cost() int { return max(1, (b.steps+1)*len(b.price)*len(b.earner)) }

// rounds returns how many rounds an effort is good for.
func (b *prices) rounds(effort, most int) int { return min(most, effort/b.cost()) }
