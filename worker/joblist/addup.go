package joblist

import (
	"slices"
	"time"
)

// Decimals of the sums below, as in the tags of Totals.
const (
	hourPlaces = 4
	gramPlaces = 2
)

// placed is one copy where it is printed.
type placed struct {
	plate *Plate
	item  *Item
	part  *Part   // nil when the item names no part of the list
	opt   *Option // nil when the item names no option of the part
	on    *On     // nil when the option does not fit on the plate's printer
}

// placements returns every item of every plate, in the order of the list, with
// what it refers to.
func placements(l *List) []placed {
	parts := map[string]*Part{}
	for i := range l.Parts {
		parts[l.Parts[i].Name] = &l.Parts[i]
	}
	var out []placed
	for i := range l.Plates {
		plate := &l.Plates[i]
		for j := range plate.Items {
			p := placed{plate: plate, item: &plate.Items[j], part: parts[plate.Items[j].Part]}
			if p.part != nil && p.item.Option >= 0 && p.item.Option < len(p.part.Options) {
				p.opt = &p.part.Options[p.item.Option]
				p.on = p.opt.onPrinter(plate.Printer)
			}
			out = append(out, p)
		}
	}
	return out
}

// onPrinter returns what the option costs on a printer, or nil.
func (o *Option) onPrinter(name string) *On {
	for i := range o.On {
		if o.On[i].Printer == name {
			return &o.On[i]
		}
	}
	return nil
}

// AddUp fills in Totals and the printers' MachineHours from the plates and what
// is on them. It leaves BoundHours, HoursAre and IdleHours as they are.
//
// Numbers are rounded as they are written before they are added, so that a
// person who adds up the written ones gets the written sum.
func AddUp(l *List) {
	t := &l.Totals
	t.MachineHours, t.BenchHours, t.Filament, t.Support = 0, 0, 0, 0
	t.Plates, t.Changes = len(l.Plates), 0
	t.FirstStart, t.LastEnd = nil, nil
	hours, plates := map[string]float64{}, map[string]int{}
	for _, p := range l.Plates {
		h := rounded(p.Hours, hourPlaces)
		t.MachineHours += h
		hours[p.Printer] += h
		t.Filament += rounded(p.Filament, gramPlaces)
		if plates[p.Printer]++; plates[p.Printer] > 1 {
			t.Changes++
		}
		t.FirstStart = earlier(t.FirstStart, p.Start)
		t.LastEnd = later(t.LastEnd, p.End)
	}
	for i := range l.Printers {
		l.Printers[i].MachineHours = rounded(hours[l.Printers[i].Name], hourPlaces)
	}
	for _, p := range placements(l) {
		if p.opt != nil {
			t.BenchHours += rounded(p.opt.BenchHours, hourPlaces)
		}
		if p.on != nil {
			t.Support += rounded(p.on.Support, gramPlaces)
		}
	}
	// The sums of binary fractions are off in their last bits.
	t.MachineHours, t.BenchHours = rounded(t.MachineHours, hourPlaces), rounded(t.BenchHours, hourPlaces)
	t.Filament, t.Support = rounded(t.Filament, gramPlaces), rounded(t.Support, gramPlaces)
}

// InTurn returns the plates of a printer as they are printed, those without a
// time last.
func InTurn(l List, printer string) []Plate {
	var out []Plate
	for _, p := range l.Plates {
		if p.Printer == printer {
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(a, b Plate) int {
		switch {
		case a.Start == nil && b.Start == nil:
			return 0
		case a.Start == nil:
			return 1
		case b.Start == nil:
			return -1
		}
		return a.Start.Compare(*b.Start)
	})
	return out
}

func earlier(a, b *time.Time) *time.Time {
	if a == nil || b != nil && b.Before(*a) {
		return b
	}
	return a
}

func later(a, b *time.Time) *time.Time {
	if a == nil || b != nil && b.After(*a) {
		return b
	}
	return a
}

// midnight returns the beginning of a time's day, where it is.
func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}
