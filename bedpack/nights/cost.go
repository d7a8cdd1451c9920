package nights

// costing is what plans that end in time are compared by; the first entry
// that differs decides, the least is best.
type costing int

const (
	byEnd costing = iota // the last end
	byAll                // by rank: the sum of ends; then awkward changes; then swaps
)

// none returns the cost of a plan without plates.
func (c costing) none(m *model) []instant {
	if c == byEnd {
		return []instant{m.end}
	}
	return make([]instant, m.ranks+2)
}

// add returns the cost with one more plate. It never gets less, and an earlier
// end makes it no more, in the entries before the first that differs.
func (c costing) add(m *model, cost []instant, one placed) []instant {
	out := append(make([]instant, 0, len(cost)), cost...)
	if c == byEnd {
		out[0] = max(out[0], one.end)
		return out
	}
	c.count(m, out, one)
	return out
}

func (c costing) count(m *model, cost []instant, one placed) {
	cost[m.tasks[one.task].rank] += one.end - m.from
	if m.awkward.touches(one.change, one.start) {
		cost[m.ranks]++
	}
	if one.swap {
		cost[m.ranks+1]++
	}
}

// atLeast returns what a partial plan costs at the least when a set of tasks
// is added.
func (c costing) atLeast(m *model, q *partial, rest int) []instant {
	if c == byEnd {
		return q.cost
	}
	out := append(make([]instant, 0, len(q.cost)), q.cost...)
	for j := range m.tasks {
		if rest>>j&1 == 0 {
			continue
		}
		first := never
		for k := range q.tracks {
			if m.fits(j, k) {
				first = min(first, m.slots[j][k][0].next(max(q.person, q.tracks[k].ready, m.tasks[j].earliest-m.change))+m.change+m.tasks[j].print[k])
			}
		}
		out[m.tasks[j].rank] += first - m.from
	}
	return out
}

// of returns the last end of a whole plan, and what it costs.
func (c costing) of(m *model, plan []placed, cost []instant) (instant, []instant) {
	end := m.end
	cost = append(cost[:0], c.none(m)...)
	for _, one := range plan {
		end = max(end, one.end)
		c.count(m, cost, one)
	}
	return end, cost
}
