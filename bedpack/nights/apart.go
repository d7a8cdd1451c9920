package nights

// apart is what each printer could do with a person to itself, for every set
// of tasks: exact, so long as tasks are few. Pinned starts and swaps are left
// out, which only makes printers quicker.
type apart struct {
	m    *model
	ends [][]instant // by machine and set: when the set can be printed, never if it cannot
	by   [][]instant // by machine and set: when the machine has to be ready so that the set ends by the limit
}

// mostApart is the most tasks for which sets are looked at: 3^14 pairs of a
// set and a subset take 20 ms.
const mostApart = 14

// newApart works out the ends. Tasks of a set are printed in the order that
// ends first; the end of a set with a last task is soonest when the rest ends
// as soon as it can, so a set's end follows from those of the smaller ones.
func newApart(m *model) *apart {
	a := &apart{m: m}
	sets := 1 << len(m.tasks)
	for k := range m.machines {
		ends := make([]instant, sets)
		ends[0] = m.machines[k].ready
		for set := 1; set < sets; set++ {
			ends[set] = never
			for j := range m.tasks {
				if set>>j&1 == 0 || !m.fits(j, k) || ends[set&^(1<<j)] == never {
					continue
				}
				c := m.slots[j][k][0].next(max(ends[set&^(1<<j)], m.tasks[j].earliest-m.change))
				ends[set] = min(ends[set], c+m.change+m.tasks[j].print[k])
			}
		}
		a.ends = append(a.ends, ends)
	}
	return a
}

// bound returns the least end over all ways of sharing the tasks out: no plan
// ends earlier, for its printers print their tasks no sooner than each with a
// person to itself.
//
// Cost: 3^n for each machine after the first.
func (a *apart) bound() instant {
	least := make([]instant, 1<<len(a.m.tasks)) // with the machines so far
	for set := range least {
		least[set] = never
	}
	least[0] = a.m.from
	for k := range a.m.machines {
		ends := a.ends[k]
		for set := len(least) - 1; set >= 0; set-- {
			best := least[set]
			for sub := set; sub > 0; sub = (sub - 1) & set {
				if e := ends[sub]; e < best {
					best = min(best, max(e, least[set&^sub]))
				}
			}
			least[set] = best
		}
	}
	return least[len(least)-1]
}

// limit works out when machines have to be ready, the other way round: the
// first task of a set begins as late as the rest allows.
func (a *apart) limit(end instant) {
	m := a.m
	a.by = nil
	for k := range m.machines {
		by := make([]instant, 1<<len(m.tasks))
		by[0] = end
		for set := 1; set < len(by); set++ {
			by[set] = -never
			for j := range m.tasks {
				rest := by[set&^(1<<j)]
				if set>>j&1 == 0 || !m.fits(j, k) || rest == -never {
					continue
				}
				c := m.slots[j][k][0].last(rest - m.change - m.tasks[j].print[k])
				if c >= m.tasks[j].earliest-m.change {
					by[set] = max(by[set], c)
				}
			}
		}
		a.by = append(a.by, by)
	}
}

// canEnd reports whether machines that are ready at given times could print a
// set by the limit, each with a person to itself.
func (a *apart) canEnd(set int, ready []instant) bool { return a.share(0, set, ready) }

func (a *apart) share(k, set int, ready []instant) bool {
	if set == 0 {
		return true
	}
	if k == len(ready)-1 {
		return ready[k] <= a.by[k][set]
	}
	for sub := set; ; sub = (sub - 1) & set {
		if (sub == 0 || ready[k] <= a.by[k][sub]) && a.share(k+1, set&^sub, ready) {
			return true
		}
		if sub == 0 {
			return false
		}
	}
}

// canPrint reports whether any of the machines could print a task by the
// limit.
func (a *apart) canPrint(j int, ready []instant) bool {
	for k, r := range ready {
		if r <= a.by[k][1<<j] {
			return true
		}
	}
	return false
}
