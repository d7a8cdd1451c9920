package nights

import "slices"

// alike reports whether two machines print every task in the same time and
// hours and take as long to swap, which their slots tell. How far they are planned may differ.
func (m *model) alike(o, k int) bool {
	a, b := &m.machines[o], &m.machines[k]
	if len(a.pins)+len(b.pins) > 0 {
		return false
	}
	for j := range m.tasks {
		if m.tasks[j].print[o] != m.tasks[j].print[k] || m.slots[j][o] != m.slots[j][k] {
			return false
		}
	}
	return true
}

// twins returns for each task the one before that is just like it, -1 for
// none.
func (m *model) twins() []int {
	out := make([]int, len(m.tasks))
	for j := range m.tasks {
		out[j] = -1
		for i := range j {
			if m.tasks[i].like(&m.tasks[j]) {
				out[j] = i
			}
		}
	}
	return out
}

func (t *task) like(o *task) bool {
	return t.rank == o.rank && t.material == o.material && t.earliest == o.earliest &&
		slices.Equal(t.print, o.print) && slices.Equal(t.hold, o.hold)
}
