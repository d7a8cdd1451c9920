package nights

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"
)

// model is a problem in whole seconds: plates and printers in the order of
// their names, so that the order in which they come does not matter.
type model struct {
	problem   *Problem
	zone      *time.Location
	from      instant
	change    instant
	tasks     []task
	machines  []machine
	slots     [][][2]*slots // by task and machine; nil where it cannot go; [1] with a swap
	held      []span        // when the person is at a pinned change, sorted
	awkward   *clock
	pinned    []placed
	end       instant // of the last pinned plate; from without any
	refused   []Refusal
	broken    []Break
	ranks     int
	materials int // different ones, "" left out
}

// task is a plate that is to be planned.
type task struct {
	index    int
	rank     int // 0 to ranks-1
	material int // 0: whatever is loaded
	earliest instant
	print    []instant // by machine; 0: it cannot go there
	hold     []instant // the same with the reserve
}

// machine is a printer, as it is at the beginning.
type machine struct {
	index int
	swap  instant
	track
	pins []block
}

// block is a pinned plate on a printer, its change included.
type block struct {
	span
	material int
}

// placed is a task with its times. Pinned plates have their index as task.
type placed struct {
	task, machine      int
	change, start, end instant
	swap               bool
}

func newModel(p *Problem) *model {
	m := &model{problem: p, zone: p.Zone, from: ceil(p.From), change: seconds(p.Change)}
	if m.zone == nil {
		m.zone = time.UTC
	}
	m.end = m.from
	m.awkward = newClock(p.Awkward.stretches(), m.zone, m.from)
	order := m.order()
	if !p.sound() {
		for _, i := range order {
			m.refuse(i, Unsound)
		}
		return m
	}
	materials := numbered(p)
	m.materials = len(materials) - 1
	m.addMachines(materials)
	m.addPins(order, materials)
	m.addTasks(order, materials)
	slices.SortFunc(m.refused, func(a, b Refusal) int { return m.comparePlates(a.Plate, b.Plate) })
	return m
}

// sound reports whether lengths and shares are such that sums of them are.
func (p *Problem) sound() bool {
	ok := func(d time.Duration) bool { return d >= 0 && seconds(d) <= weekLength }
	for _, one := range p.Printers {
		if !ok(one.Swap) {
			return false
		}
	}
	return ok(p.Change) && p.Reserve >= 0 && p.Reserve <= 10
}

// order returns the indices of the plates by ID.
func (m *model) order() []int {
	order := make([]int, len(m.problem.Plates))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, m.comparePlates)
	return order
}

func (m *model) comparePlates(i, j int) int {
	return cmp.Or(strings.Compare(m.problem.Plates[i].ID, m.problem.Plates[j].ID), cmp.Compare(i, j))
}

func (m *model) refuse(plate int, r Reason) {
	m.refused = append(m.refused, Refusal{Plate: plate, Reason: r, Printer: -1})
}

// numbered gives each material a number from 1 on, "" gets 0.
func numbered(p *Problem) map[string]int {
	var names []string
	for _, one := range p.Printers {
		names = append(names, one.Material)
	}
	for _, one := range p.Plates {
		names = append(names, one.Material)
	}
	slices.Sort(names)
	out := map[string]int{"": 0}
	for _, n := range names {
		if _, known := out[n]; !known {
			out[n] = len(out)
		}
	}
	return out
}

// addMachines adds the printers by name.
func (m *model) addMachines(materials map[string]int) {
	for i, p := range m.problem.Printers {
		ready := m.from
		if !p.Free.IsZero() {
			ready = max(ready, ceil(p.Free))
		}
		m.machines = append(m.machines, machine{index: i, swap: seconds(p.Swap),
			track: track{ready: ready, material: materials[p.Material]}})
	}
	slices.SortFunc(m.machines, func(a, b machine) int {
		return cmp.Or(strings.Compare(m.problem.Printers[a.index].Name, m.problem.Printers[b.index].Name), cmp.Compare(a.index, b.index))
	})
}

// addTasks adds the plates that are not pinned to a start, or refuses them.
func (m *model) addTasks(order []int, materials map[string]int) {
	laid := newWorkshop(m.problem, m.zone, m.from)
	usual := newWorkshop(m.problem, time.UTC, aMonday)
	var ranks []int
	for _, i := range order {
		p := &m.problem.Plates[i]
		if !p.Start.IsZero() {
			continue
		}
		t := m.newTask(i, materials[p.Material])
		if r, refused := m.judge(&t, usual); refused {
			m.refused = append(m.refused, r)
			continue
		}
		m.tasks = append(m.tasks, t)
		ranks = append(ranks, p.Rank)
		m.slots = append(m.slots, m.slotsOf(&t, laid))
	}
	slices.Sort(ranks)
	ranks = slices.Compact(ranks)
	m.ranks = len(ranks)
	for k := range m.tasks {
		m.tasks[k].rank, _ = slices.BinarySearch(ranks, m.problem.Plates[m.tasks[k].index].Rank)
	}
}

func (m *model) newTask(i, material int) task {
	p := &m.problem.Plates[i]
	t := task{index: i, material: material, earliest: -never}
	if !p.Earliest.IsZero() {
		t.earliest = ceil(p.Earliest)
	}
	for k := range m.machines {
		var print, hold instant
		h := p.hours(m.machines[k].index)
		if h > 0 && m.machines[k].ready <= m.from+mostWait {
			print, hold = m.lengths(h)
		}
		t.print, t.hold = append(t.print, print), append(t.hold, hold)
	}
	return t
}

// lengths returns the seconds of a print, and with the reserve. Prints too
// long to be planned are cut to a second more than can be.
func (m *model) lengths(hours float64) (print, hold instant) {
	hours = min(hours, mostHours+1.0/3600)
	print = seconds(PrintTime(hours))
	return print, max(print, seconds(PrintTime(hours*(1+m.problem.Reserve))))
}

// slotsOf returns where the task has its slots on each machine.
func (m *model) slotsOf(t *task, w *workshop) [][2]*slots {
	out := make([][2]*slots, len(m.machines))
	for k, a := range m.machines {
		if t.print[k] == 0 {
			continue
		}
		out[k][0] = w.slots(a.index, m.change, t.hold[k])
		out[k][1] = w.slots(a.index, m.change+a.swap, t.hold[k])
	}
	return out
}

// fits reports whether a task can ever be printed on a machine.
func (m *model) fits(task, machine int) bool { return m.tasks[task].print[machine] > 0 }

// shortest returns the least time that a task prints on any machine.
func (t *task) shortest() instant {
	least := instant(math.MaxInt64)
	for _, p := range t.print {
		if p > 0 {
			least = min(least, p)
		}
	}
	return least
}
