package joblist

import (
	"slices"
	"time"
)

// timetable checks law (6), and that a plate has both times or neither.
func (v *validator) timetable() {
	runs := map[string][]Plate{}
	for _, p := range v.list.Plates {
		switch {
		case (p.Start == nil) != (p.End == nil):
			v.fault("plate %q has only one of start and end", p.ID)
		case p.Start == nil:
		case !p.End.After(*p.Start):
			v.fault("plate %q ends before it starts", p.ID)
		default:
			runs[p.Printer] = append(runs[p.Printer], p)
		}
	}
	for _, printer := range v.list.Printers {
		plates := runs[printer.Name]
		slices.SortStableFunc(plates, func(a, b Plate) int { return a.Start.Compare(*b.Start) })
		for i := 1; i < len(plates); i++ {
			if plates[i].Start.Before(*plates[i-1].End) {
				v.fault("printer %q: plate %q starts before plate %q ends", printer.Name, plates[i].ID, plates[i-1].ID)
			}
		}
	}
}

// sums checks law (7) against a copy that AddUp went over.
func (v *validator) sums() {
	want := *v.list
	want.Printers = slices.Clone(want.Printers)
	AddUp(&want)
	got, t := v.list.Totals, want.Totals
	v.sum("machine_hours", got.MachineHours, t.MachineHours, hourPlaces)
	v.sum("bench_hours", got.BenchHours, t.BenchHours, hourPlaces)
	v.sum("filament_g", got.Filament, t.Filament, gramPlaces)
	v.sum("support_g", got.Support, t.Support, gramPlaces)
	if got.Plates != t.Plates || got.Changes != t.Changes {
		v.fault("totals say %d plates and %d changes, and there are %d and %d", got.Plates, got.Changes, t.Plates, t.Changes)
	}
	if !sameTime(got.FirstStart, t.FirstStart) || !sameTime(got.LastEnd, t.LastEnd) {
		v.fault("first_start and last_end are not those of the plates")
	}
	for i, p := range v.list.Printers {
		v.sum("printer "+p.Name+": machine_hours", p.MachineHours, want.Printers[i].MachineHours, hourPlaces)
	}
}

// sum faults a number that would be written differently from the sum.
func (v *validator) sum(what string, got, want float64, places int) {
	if decimal(got, places) != decimal(want, places) {
		v.fault("%s is %s, and its parts add up to %s", what, decimal(got, places), decimal(want, places))
	}
}

func sameTime(a, b *time.Time) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Equal(*b)
}
