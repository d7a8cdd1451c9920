package nights

import (
	"slices"
	"time"
)

// workshop holds the clocks of a shop in one zone from one moment on, and the
// slots that come of them, each made once.
type workshop struct {
	attended, start *clock
	running         []*clock // by printer index
	made            map[slotKey]*slots
}

type slotKey struct {
	running      *clock
	change, hold instant
}

func newWorkshop(p *Problem, zone *time.Location, from instant) *workshop {
	w := &workshop{made: map[slotKey]*slots{}}
	there := p.Attended.stretches()
	w.attended = newClock(there, zone, from)
	w.start = newClock(p.Start.stretches(), zone, from)
	for _, one := range p.Printers {
		week := one.Running.stretches()
		if !p.Unattended {
			week = common(week, there)
		}
		k := slices.IndexFunc(w.running, func(c *clock) bool { return slices.Equal(c.week, week) })
		if k < 0 {
			w.running = append(w.running, newClock(week, zone, from))
			continue
		}
		w.running = append(w.running, w.running[k])
	}
	return w
}

func (w *workshop) slots(printer int, change, hold instant) *slots {
	key := slotKey{w.running[printer], change, hold}
	if s := w.made[key]; s != nil {
		return s
	}
	from := w.attended.first
	s := &slots{attended: w.attended, start: w.start, running: w.running[printer], change: change, hold: hold, until: from}
	w.made[key] = s
	return s
}

// longest returns the longest stretch of the first weeks of a clock.
func (c *clock) longest() instant {
	c.reach(c.first + lookAhead)
	most := instant(0)
	for _, s := range c.spans {
		most = max(most, s.to-s.from)
	}
	return most
}
