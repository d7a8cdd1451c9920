package nights

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// search looks for lists that end early, by moving plates between lists and
// letting two change places.
type search struct {
	m     *model
	d     *decoder
	rnd   *rand.Rand
	l     lists
	left  int // plates that may still be put
	undo  change
	best  lists   // ending earliest
	least instant // when they end
}

// change is what a try did to the lists: tasks that changed places, or one
// that was moved.
type change struct {
	from, to     int // machines
	atFrom, atTo int
	swapped      bool
	turned       int     // task whose turn was changed, -1 for none
	turn         instant // what it was
}

func newSearch(m *model) *search {
	s := &search{m: m, d: newDecoder(m), rnd: rand.New(rand.NewPCG(1, 2))}
	s.begin()
	return s
}

// begin lists the longest task first, each where its printer has least to do.
// A start that fits tasks into days and nights was tried: the first heat undid
// it.
func (s *search) begin() {
	order := make([]int, len(s.m.tasks))
	for j := range order {
		order[j] = j
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.m.tasks[b].shortest(), s.m.tasks[a].shortest()) })
	s.l = lists{make([][]int32, len(s.m.machines)), make([]instant, len(s.m.tasks))}
	load := make([]instant, len(s.m.machines))
	for k := range load {
		load[k] = s.m.machines[k].ready
	}
	for _, j := range order {
		best := -1
		for k, p := range s.m.tasks[j].print {
			if p > 0 && (best < 0 || load[k]+p < load[best]+s.m.tasks[j].print[best]) {
				best = k
			}
		}
		load[best] += s.m.tasks[j].print[best] + s.m.change
		s.l.of[best] = append(s.l.of[best], int32(j))
	}
}

// aim is what a search makes small.
type aim instant

// early is the aim that ends are early: the last end counts as much as the
// mean of all printers' ends, for a printer that ends early can take more.
//
// Any other aim is a moment: the work that is left then counts, and the last
// end a little. That tells a plan in which half an hour is left from one in
// which hours are, when both have to wait for the morning.
const early = aim(never)

// energy puts the tasks and returns what the aim makes small, and the last
// end.
func (s *search) energy(a aim) (energy, end instant) {
	out := s.d.run(s.l)
	s.left -= len(out)
	end = s.m.end
	for _, t := range s.d.tracks {
		end = max(end, t.ready)
		energy += t.ready - s.m.from
	}
	if a == early {
		return energy + instant(len(s.l.of))*(end-s.m.from), end
	}
	energy = end - s.m.from
	for i := range out {
		if late := out[i].end - instant(a); late > 0 {
			energy += 4 * min(late, out[i].end-out[i].change)
		}
	}
	return energy, end
}

// try makes a random change; false when it drew one that cannot be.
func (s *search) try() bool {
	if s.m.change > 0 && s.rnd.IntN(8) == 0 {
		j := s.rnd.IntN(len(s.l.turn))
		s.undo = change{turned: j, turn: s.l.turn[j]}
		s.l.turn[j] = instant(s.rnd.IntN(3)-1) * s.m.change
		return s.l.turn[j] != s.undo.turn
	}
	k, o := s.rnd.IntN(len(s.l.of)), s.rnd.IntN(len(s.l.of))
	if len(s.l.of[k]) == 0 {
		return false
	}
	c := change{turned: -1, from: k, to: o, atFrom: s.rnd.IntN(len(s.l.of[k]))}
	j := s.l.of[k][c.atFrom]
	if !s.m.fits(int(j), o) {
		return false
	}
	if s.rnd.IntN(2) == 0 {
		c.atTo = s.rnd.IntN(len(s.l.of[o]) + 1)
		if o == k {
			c.atTo = s.rnd.IntN(len(s.l.of[k]))
		}
		s.undo = c
		s.shift(c.from, c.atFrom, c.to, c.atTo)
		return true
	}
	if len(s.l.of[o]) == 0 {
		return false
	}
	c.swapped, c.atTo = true, s.rnd.IntN(len(s.l.of[o]))
	i := s.l.of[o][c.atTo]
	if i == j || !s.m.fits(int(i), k) {
		return false
	}
	s.undo = c
	s.l.of[k][c.atFrom], s.l.of[o][c.atTo] = i, j
	return true
}

// shift moves a task to another place.
func (s *search) shift(from, atFrom, to, atTo int) {
	j := s.l.of[from][atFrom]
	s.l.of[from] = slices.Delete(s.l.of[from], atFrom, atFrom+1)
	s.l.of[to] = slices.Insert(s.l.of[to], atTo, j)
}

// back takes the last change back.
func (s *search) back() {
	c := s.undo
	if c.turned >= 0 {
		s.l.turn[c.turned] = c.turn
		return
	}
	if c.swapped {
		s.l.of[c.from][c.atFrom], s.l.of[c.to][c.atTo] = s.l.of[c.to][c.atTo], s.l.of[c.from][c.atFrom]
		return
	}
	s.shift(c.to, c.atTo, c.from, c.atFrom)
}

// shorten changes the lists until the effort is spent or the bound is reached,
// and keeps the best. Changes for the worse are taken when they are by less
// than a threshold that falls from the heat, for each printer, to nothing
// (Dueck & Scheuer 1990, "Threshold accepting").
func (s *search) shorten(effort int, bound instant, a aim, heat instant) {
	s.left = effort
	now, end := s.energy(a)
	s.note(end)
	heat *= instant(len(s.l.of))
	for s.left > 0 && s.least > bound {
		if !s.try() {
			s.left--
			continue
		}
		share := instant(s.left) * 1000 / instant(effort)
		e, end := s.energy(a)
		if e > now+heat*share/1000*share/1000 {
			s.back()
			continue
		}
		now = e
		s.note(end)
	}
}

// again shortens the best lists in four rounds or more. Each aims at a moment
// between the bound and the end so far: what cannot be done by then has to be
// little. Of what was tried on shops of 18, 30 and 60 plates this was best:
// rounds from the best lists rather than from new ones, aims and heats that
// differ rather than the same, and some 100,000 plans a round rather than
// fewer, longer rounds. Taking the last half of two or three printers' lists
// and putting it together anew, exactly, found nothing more in the same time.
func (s *search) again(effort int, bound instant) {
	turns := []struct{ eighth, heat instant }{{2, 2 * hour}, {4, hour / 3}, {1, hour}, {3, hour / 3}}
	rounds := max(len(turns), effort/(100_000*len(s.m.tasks)))
	for round := range rounds {
		s.l = s.best.clone()
		turn := turns[round%len(turns)]
		s.shorten(effort/rounds, bound, aim(bound+(s.least-bound)*turn.eighth/8), turn.heat)
	}
}

// note keeps the lists if none before ended as early.
func (s *search) note(end instant) {
	if s.best.of == nil || end < s.least {
		s.best, s.least = s.l.clone(), end
	}
}

// adopt makes a plan's lists the best, if they end as early.
func (s *search) adopt(plan []placed) {
	s.l = lists{make([][]int32, len(s.m.machines)), make([]instant, len(s.m.tasks))}
	for _, one := range plan {
		s.l.of[one.machine] = append(s.l.of[one.machine], int32(one.task))
	}
	_, end := s.energy(early)
	if end <= s.least {
		s.best, s.least = s.l.clone(), end
	}
}

// plan returns the plan of the best lists, good until the next call.
func (s *search) plan() []placed { return s.d.run(s.best) }

// tidy changes the best lists, so that what else a plan costs gets less and
// the end no later, until the effort is spent.
func (s *search) tidy(effort int) {
	s.l, s.left = s.best.clone(), effort
	_, now := byAll.of(s.m, s.d.run(s.l), nil)
	var cost []instant
	for s.left > 0 {
		if !s.try() {
			s.left--
			continue
		}
		out := s.d.run(s.l)
		s.left -= len(out)
		var end instant
		end, cost = byAll.of(s.m, out, cost)
		if end > s.least || slices.Compare(cost, now) > 0 {
			s.back()
			continue
		}
		now, cost, s.least = cost, now, end
	}
	s.best = s.l
}

func (l lists) clone() lists {
	out := lists{make([][]int32, len(l.of)), slices.Clone(l.turn)}
	for k := range l.of {
		out.of[k] = slices.Clone(l.of[k])
	}
	return out
}
