package nights

import (
	"slices"
	"time"
)

// Link is one step on the way from the last plate of a plan back to its
// beginning: what the change of a start waited for, and how long it did while
// the printer stood still.
type Link struct {
	Start int // index into Schedule.Starts
	Clock Clock
	Wait  time.Duration
}

// Verdict says whether a plan meets a date, and what holds it up.
//
// Chain leads from the plate that ends last back to the beginning of the plan:
// each link but the last waits for the next one or, if it is a clock of the
// shop, follows the next one on the printer. Printed, Changed and Waited are
// the sums over the chain; a link that another waits for while the person is
// at its change counts with that change alone.
//
// Law: Printed + Changed + Waited is the time from Problem.From to the end.
type Verdict struct {
	Margin                   time.Duration // from the last end to the date; less than 0: late
	Chain                    []Link        // the plate that ends last first; empty without plates
	Printed, Changed, Waited time.Duration
	Most                     Clock // what the chain waited for longest; "" when it never stood still
}

// Deadline holds a schedule that Plan returned for the problem against a date.
// Of plates that end last at the same time it tells of the one on the printer
// that comes first by name.
func Deadline(p Problem, s Schedule, by time.Time) Verdict {
	v := Verdict{Margin: by.Sub(s.End)}
	m := newModel(&p)
	c := chain{m: m, s: s, shop: newWorkshop(&p, m.zone, m.earliestChange()-hour)}
	p.Unattended = true
	c.alone = newWorkshop(&p, m.zone, m.earliestChange()-hour)
	waits := map[Clock]time.Duration{}
	for i, whole := c.lastOf(s), true; i >= 0; {
		l, next, nextWhole := c.link(i)
		one := s.Starts[i]
		if whole {
			v.Printed += one.End.Sub(later(one.At, m.from.in(m.zone)))
		}
		v.Changed += max(0, one.At.Sub(later(one.ChangeFrom, m.from.in(m.zone))))
		v.Waited += l.Wait
		waits[l.Clock] += l.Wait
		v.Chain = append(v.Chain, l)
		i, whole = next, nextWhole
	}
	for _, l := range v.Chain {
		if waits[l.Clock] > waits[v.Most] {
			v.Most = l.Clock
		}
	}
	return v
}

// chain finds out what starts waited for.
type chain struct {
	m           *model
	s           Schedule
	shop, alone *workshop // as it is, and as if printers ran unattended
}

func (c *chain) lastOf(s Schedule) int {
	best := -1
	for i, one := range s.Starts {
		if best < 0 || one.End.After(s.Starts[best].End) ||
			one.End.Equal(s.Starts[best].End) && c.m.rankOf(one.Printer) < c.m.rankOf(s.Starts[best].Printer) {
			best = i
		}
	}
	return best
}

// link returns what a start waited for, the next start of the chain, -1 for
// none, and whether its print belongs to the chain.
func (c *chain) link(i int) (l Link, next int, whole bool) {
	one := c.s.Starts[i]
	plate, printer := &c.m.problem.Plates[one.Plate], &c.m.problem.Printers[one.Printer]
	change, since := ceil(one.ChangeFrom), c.m.from
	ready, last := since, Beginning // when the printer is ready, and why not before
	if free := ceil(printer.Free); !printer.Free.IsZero() && free > ready {
		ready, last = free, Freeing
	}
	before := c.before(i)
	if before >= 0 {
		if since = ceil(c.s.Starts[before].End); since >= ready {
			ready, last = since, Printing
		}
	}
	l = Link{Start: i, Wait: time.Duration(max(0, change-since)) * time.Second}
	switch other := c.changedUntil(i); {
	case !plate.Start.IsZero():
		l.Clock = Pinned
	case change == ready:
		l.Clock = last
	case other >= 0:
		return Link{Start: i, Clock: Changing}, other, false
	case !plate.Earliest.IsZero() && ceil(plate.Earliest) == ceil(one.At):
		l.Clock = Allowing
	default:
		l.Clock = c.closed(one)
	}
	return l, before, true
}

// before returns the start before another on its printer, -1 when there is
// none that prints while the plan runs.
func (c *chain) before(i int) int {
	best := -1
	for j, o := range c.s.Starts[:i] {
		if o.Printer == c.s.Starts[i].Printer && ceil(o.End) > c.m.from && (best < 0 || o.End.After(c.s.Starts[best].End)) {
			best = j
		}
	}
	if ceil(c.s.Starts[i].At) < c.m.from {
		return -1
	}
	return best
}

// changedUntil returns the start of another printer whose change ends when
// that of i begins, -1 for none.
func (c *chain) changedUntil(i int) int {
	one := c.s.Starts[i]
	return slices.IndexFunc(c.s.Starts, func(o Start) bool {
		return o.Printer != one.Printer && o.At.Equal(one.ChangeFrom) && o.At.After(o.ChangeFrom)
	})
}

// closed returns the clock of the shop that would be broken if a change began
// a second earlier.
func (c *chain) closed(one Start) Clock {
	change, start := ceil(one.ChangeFrom)-1, ceil(one.At)-1
	_, hold := c.m.lengths(c.m.problem.Plates[one.Plate].hours(one.Printer))
	switch {
	case !c.shop.attended.covers(change, start):
		return Attending
	case !c.alone.running[one.Printer].covers(start, start+hold):
		return Running
	case !c.shop.running[one.Printer].covers(start, start+hold):
		return Attending
	case !c.shop.start.covers(start-1, start) && !c.shop.start.covers(start, start+1):
		return Starting
	}
	return Changing // not in turn
}
