package nights

// lists says which tasks each machine prints, in which order, and which of
// them the person puts first or last: a task's turn is added to the moment at
// which its change could begin before these are compared. A turn of a change's
// length, earlier or later, is enough for every order of changes that leaves
// no room for one of them in front.
type lists struct {
	of   [][]int32 // tasks by machine
	turn []instant // by task
}

// decoder turns lists into times. It keeps its memory from one call to the
// next.
type decoder struct {
	m      *model
	tracks []track
	next   []int    // by machine: how many of its list are put
	ahead  []placed // by machine: its next task, as early as it can be
	after  []track  // by machine: behind that
	tail   []instant
	out    []placed // by change
}

func newDecoder(m *model) *decoder {
	n := len(m.machines)
	return &decoder{m: m, tracks: make([]track, n), next: make([]int, n), ahead: make([]placed, n),
		after: make([]track, n), tail: make([]instant, n)}
}

// run puts all tasks: of the next tasks on the lists always the one that can
// be changed first, their turns considered, of several the one whose printer
// has most to do.
// The result is good until the next call.
func (d *decoder) run(l lists) []placed {
	m := d.m
	d.out = d.out[:0]
	for k := range m.machines {
		d.tracks[k] = m.machines[k].track
		d.next[k], d.tail[k] = 0, 0
		for _, j := range l.of[k] {
			d.tail[k] += m.tasks[j].print[k]
		}
		d.look(l, k, m.from)
	}
	for {
		best, first := -1, never
		for k := range m.machines {
			if d.next[k] == len(l.of[k]) {
				continue
			}
			if t := d.ahead[k].change + l.turn[d.ahead[k].task]; best < 0 || t < first || t == first && d.tail[k] > d.tail[best] {
				best, first = k, t
			}
		}
		if best < 0 {
			return d.out
		}
		d.take(l, best)
	}
}

// take puts the next task of a machine.
func (d *decoder) take(l lists, k int) {
	one := d.ahead[k]
	d.out = append(d.out, one)
	d.tracks[k] = d.after[k]
	d.tail[k] -= d.m.tasks[one.task].print[k]
	d.next[k]++
	d.look(l, k, one.start)
	for o := range d.m.machines {
		if o != k && d.next[o] < len(l.of[o]) && d.ahead[o].change < one.start {
			d.look(l, o, one.start)
		}
	}
}

// look finds out when the next task of a machine could be changed.
func (d *decoder) look(l lists, k int, person instant) {
	if d.next[k] < len(l.of[k]) {
		d.after[k] = d.tracks[k]
		d.ahead[k] = d.m.put(int(l.of[k][d.next[k]]), k, &d.after[k], person)
	}
}
