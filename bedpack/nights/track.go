package nights

// track is how far a printer is planned.
type track struct {
	ready    instant // when it may be changed next
	material int     // loaded
	pin      int     // the next of its pinned plates
}

// load notes that a plate of a material is printed.
func (t *track) load(material int) {
	if material != 0 {
		t.material = material
	}
}

// put returns the earliest times of a task on a machine whose change begins
// neither before the machine and the plate are ready nor before a moment, at
// which the person is free; end is never when there are none. The track is
// moved on behind it.
//
// Law: with an earlier moment, or a track that is ready earlier and loaded
// alike, the times are no later. Hence a plan loses nothing when its plates
// are put again, by the order of their changes, each at its earliest.
func (m *model) put(j, k int, at *track, person instant) placed {
	t, a := &m.tasks[j], &m.machines[k]
	for {
		swap := at.material != 0 && t.material != 0 && at.material != t.material
		s, change := m.slots[j][k][0], m.change
		if swap {
			s, change = m.slots[j][k][1], m.change+a.swap
		}
		c := s.next(max(at.ready, person, t.earliest-change))
		if c == never {
			return placed{task: j, machine: k, change: never, start: never, end: never}
		}
		if later := m.heldUntil(c, c+change); later > c {
			person = later
			continue
		}
		if at.pin < len(a.pins) && c+change+t.hold[k] > a.pins[at.pin].from {
			at.ready = max(at.ready, a.pins[at.pin].to)
			at.load(a.pins[at.pin].material)
			at.pin++
			continue
		}
		end := c + change + t.print[k]
		at.ready = end
		at.load(t.material)
		return placed{task: j, machine: k, change: c, start: c + change, end: end, swap: swap}
	}
}

// heldUntil returns when the person is free of pinned changes that meet a
// stretch of time, its beginning when none does.
func (m *model) heldUntil(from, to instant) instant {
	for _, h := range m.held {
		if h.from < to && from < h.to {
			return h.to
		}
	}
	return from
}
