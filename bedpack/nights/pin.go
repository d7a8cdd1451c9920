package nights

import (
	"cmp"
	"slices"
)

// addPins puts the plates with a Start where they belong, those printing
// already first. The person is held for each of the others for as long as its
// change could take: whether another material is loaded depends on what will
// be printed before.
func (m *model) addPins(order []int, materials map[string]int) {
	var pins []placed
	for _, i := range order {
		p := &m.problem.Plates[i]
		if p.Start.IsZero() {
			continue
		}
		k := slices.IndexFunc(m.machines, func(a machine) bool { return a.index == p.Pin })
		start := ceil(p.Start)
		switch h := p.hours(p.Pin); {
		case p.Pin == AnyPrinter || start > m.from+mostWait || start < m.from-mostWait:
			m.refuse(i, Unsound)
		case k < 0 || !(h <= mostHours):
			m.refuse(i, Barred)
		default:
			print, _ := m.lengths(h)
			pins = append(pins, placed{task: i, machine: k, change: start, start: start, end: start + print})
		}
	}
	slices.SortStableFunc(pins, func(a, b placed) int { return cmp.Compare(a.start, b.start) })
	for _, one := range pins {
		m.pin(one, materials)
	}
	slices.SortFunc(m.held, func(a, b span) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	m.breaks()
}

// pin adds one pinned plate to its printer; pins come by their starts.
func (m *model) pin(one placed, materials map[string]int) {
	a := &m.machines[one.machine]
	material := materials[m.problem.Plates[one.task].Material]
	if one.start >= m.from {
		one.change = one.start - m.changeTime(one.machine, m.others(material))
	}
	busy := one.start >= m.from && a.ready > m.from && one.change < a.ready
	if n := len(a.pins); n > 0 && one.change < a.pins[n-1].to {
		busy = true
	}
	if busy {
		m.refuse(one.task, Clash)
		return
	}
	if one.start >= m.from {
		m.held = append(m.held, span{one.change, one.start})
		a.pins = append(a.pins, block{span{one.change, one.end}, material})
	} else {
		a.ready = max(a.ready, one.end)
		a.load(material)
	}
	m.end = max(m.end, one.end)
	m.pinned = append(m.pinned, one)
}

// others reports whether any printer or plate has another material than this.
func (m *model) others(material int) bool { return material != 0 && m.materials > 1 }

// changeTime returns how long the person is at a change.
func (m *model) changeTime(machine int, swap bool) instant {
	if swap {
		return m.change + m.machines[machine].swap
	}
	return m.change
}

// breaks lists what the pinned plates do not keep to.
func (m *model) breaks() {
	w := newWorkshop(m.problem, m.zone, m.earliestChange()-hour)
	for i, one := range m.pinned {
		if one.start < m.from {
			continue
		}
		clash := slices.ContainsFunc(m.pinned[:i], func(o placed) bool { return o.start >= m.from && o.start > one.change })
		for _, c := range []struct {
			broken bool
			clock  Clock
		}{
			{!w.attended.covers(one.change, one.start), Attending},
			{!w.running[m.machines[one.machine].index].covers(one.start, one.end), Running},
			{!w.start.covers(one.start-1, one.start) && !w.start.covers(one.start, one.start+1), Starting},
			{clash, Changing},
		} {
			if c.broken {
				m.broken = append(m.broken, Break{m.pinned[i].task, c.clock})
			}
		}
	}
	slices.SortStableFunc(m.broken, func(a, b Break) int { return m.comparePlates(a.Plate, b.Plate) })
}

// earliestChange returns when the first pinned change begins, From if none does
// before.
func (m *model) earliestChange() instant {
	first := m.from
	for _, one := range m.pinned {
		first = min(first, one.change)
	}
	return first
}

// covers reports whether a clock has all of a stretch of time.
func (c *clock) covers(from, to instant) bool {
	c.reach(to)
	return slices.ContainsFunc(c.spans, func(s span) bool { return s.from <= from && to <= s.to })
}

// touches reports whether a clock has some of a stretch of time.
func (c *clock) touches(from, to instant) bool {
	c.reach(to)
	i, _ := slices.BinarySearchFunc(c.spans, from, func(s span, t instant) int {
		if s.to <= t {
			return -1
		}
		return 1
	})
	return from < to && i < len(c.spans) && c.spans[i].from < to
}
