package joblist

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"
)

// reminder is how long before a change a calendar reminds of it.
const reminder = 10 * time.Minute

// WriteCalendar writes an event for each change, from when a person empties a
// plate until the next one prints, with a reminder. Plates without a time have
// none. Equal lists give equal bytes: events are stamped with the list's own
// time.
//
// Source: RFC 5545.
func WriteCalendar(w io.Writer, l List) error {
	cal := ics.NewCalendarFor("Platewright")
	cal.SetProductId("-//Platewright//Platewright//EN")
	cal.SetMethod(ics.MethodPublish)
	before := map[string]*Plate{} // the plate last printed on each printer
	for _, p := range byStart(l.Plates) {
		event := cal.AddEvent(fmt.Sprintf("plate-%s-%d@platewright", p.ID, p.Start.Unix()))
		event.SetDtStampTime(l.Made)
		event.SetStartAt(*p.ChangeFrom)
		event.SetEndAt(*p.Start)
		event.SetSummary(fmt.Sprintf("%s: start plate %s", line(p.Printer), p.ID))
		event.SetDescription(changeText(p, before[p.Printer]))
		alarm := event.AddAlarm()
		alarm.SetAction(ics.ActionDisplay)
		alarm.SetTrigger(fmt.Sprintf("-PT%dM", int(reminder.Minutes())))
		alarm.SetProperty(ics.ComponentPropertyDescription, fmt.Sprintf("%s: start plate %s", line(p.Printer), p.ID))
		before[p.Printer] = p
	}
	if err := cal.SerializeTo(w, ics.WithNewLineWindows); err != nil {
		return fmt.Errorf("write the calendar: %w", err)
	}
	return nil
}

// byStart returns the plates that have a time, the first to start first, those
// of one moment by printer.
func byStart(plates []Plate) []*Plate {
	var out []*Plate
	for i := range plates {
		if plates[i].Start != nil && plates[i].End != nil && plates[i].ChangeFrom != nil {
			out = append(out, &plates[i])
		}
	}
	slices.SortStableFunc(out, func(a, b *Plate) int {
		return cmp.Or(a.Start.Compare(*b.Start), cmp.Compare(a.Printer, b.Printer))
	})
	return out
}

// changeText says what to take off a printer and what to put on it.
func changeText(p, before *Plate) string {
	var out []string
	if before != nil {
		out = append(out, fmt.Sprintf("Take off plate %s: %s.", before.ID, contents(before)))
	}
	out = append(out, fmt.Sprintf("Start plate %s, %s h, %s g of filament: %s. Stay for the first layer.",
		p.ID, tenths(p.Hours), tenths(p.Filament), contents(p)))
	return strings.Join(out, "\n")
}

// contents lists what is on a plate.
func contents(p *Plate) string {
	var names []string
	count := map[string]int{}
	for _, item := range p.Items {
		if count[item.Part]++; count[item.Part] == 1 {
			names = append(names, item.Part)
		}
	}
	for i, name := range names {
		names[i] = line(name)
		if n := count[name]; n > 1 {
			names[i] = fmt.Sprintf("%s (%d)", line(name), n)
		}
	}
	return strings.Join(names, ", ")
}
