package joblist

import (
	"fmt"
	"io"
	"time"
)

// WriteSummary writes what a person reads after a plan: the totals, each
// printer's plates with what is on them, what is not placed and why, and the
// notes on the folder and on each part. Plain text, at most 100 columns, no colour.
//
// Hours, grams and bench hours are shown to tenths in such a way that what is
// shown adds up to the totals shown; a single figure may so be off by less than
// a tenth. The exact ones are in jobs.json.
func WriteSummary(w io.Writer, l List) error {
	s := newSummary(&l)
	s.head()
	s.folderNotes()
	for i := range l.Printers {
		s.printer(&l.Printers[i])
	}
	s.left(NotPlaced, "Not placed")
	s.left(Unreadable, "Unreadable")
	s.reasons()
	s.notes()
	_, err := w.Write(s.Bytes())
	return err
}

// summary is the page and the figures on it, rounded as they are shown.
type summary struct {
	page
	list     *List
	items    []placed
	hours    []float64 // of each plate
	filament []float64 // of each plate
	support  []float64 // of each item
	bench    []float64 // of each item
}

func newSummary(l *List) *summary {
	s := &summary{list: l, items: placements(l)}
	for _, p := range l.Plates {
		s.hours = append(s.hours, p.Hours)
		s.filament = append(s.filament, p.Filament)
	}
	for _, p := range s.items {
		support, bench := 0.0, 0.0
		if p.on != nil {
			support = p.on.Support
		}
		if p.opt != nil {
			bench = p.opt.BenchHours
		}
		s.support = append(s.support, support)
		s.bench = append(s.bench, bench)
	}
	s.hours, s.filament = shares(s.hours), shares(s.filament)
	s.support, s.bench = shares(s.support), shares(s.bench)
	return s
}

// machine prints machine hours with how far to trust them.
func (s *summary) machine(hours float64) string {
	if s.list.Totals.HoursAre == "" {
		return tenths(hours) + " h"
	}
	return tenths(hours) + " h " + line(s.list.Totals.HoursAre)
}

func (s *summary) head() {
	t := s.list.Totals
	s.printf("Build %s", line(s.list.Build))
	s.printf("")
	copies := 0
	for _, p := range s.list.Parts {
		copies += p.Count
	}
	s.printf("  Parts      %s, %s: %d on plates, %d not", plural(len(s.list.Parts), "file", "files"),
		plural(copies, "copy", "copies"), len(s.items), copies-len(s.items))
	s.printf("  Plates     %d on %s, %s", len(s.list.Plates), plural(len(s.list.Printers), "printer", "printers"),
		plural(t.Changes, "change", "changes"))
	s.printf("  Machine    %s", s.machine(sum(s.hours)))
	s.printf("  Bench      %s h", tenths(sum(s.bench)))
	s.printf("  Filament   %s g, of it %s g support", tenths(sum(s.filament)), tenths(sum(s.support)))
	if t.FirstStart != nil && t.LastEnd != nil {
		s.printf("  When       %s", span(*t.FirstStart, *t.LastEnd))
	}
	if t.BoundHours != nil {
		s.printf("  At best    no plan is done in less than %s h", tenths(*t.BoundHours))
	}
	if t.HoursAre == Rough {
		// Common practice, no source.
		s.printf("")
		s.printf("Rough hours are reckoned from layers, not from the paths a printer takes: until recorded")
		s.printf("prints correct them, expect them to be off by about 30 %% either way.")
	}
}

// span prints a time from and to, in the zones they are in.
func span(from, to time.Time) string {
	const day, clock = "Mon 2 Jan 2006 ", "15:04"
	if from.Format(day) == to.Format(day) {
		return from.Format(day+clock) + " to " + to.Format(clock)
	}
	return from.Format(day+clock) + " to " + to.Format(day+clock)
}

func (s *summary) printer(printer *Printer) {
	hours, filament, plates := 0.0, 0.0, 0
	for i, p := range s.list.Plates {
		if p.Printer == printer.Name {
			hours, filament, plates = hours+s.hours[i], filament+s.filament[i], plates+1
		}
	}
	s.printf("")
	s.printf("Printer %s, %s, height %s mm", line(printer.Name), bed(printer), decimal(printer.Height, 1))
	if plates == 0 {
		s.printf("  no plates")
		return
	}
	s.printf("  %s, %s, %s g", plural(plates, "plate", "plates"), s.machine(hours), tenths(filament))
	item := 0
	for i := range s.list.Plates {
		plate := &s.list.Plates[i]
		if plate.Printer == printer.Name {
			s.plate(plate, i, item)
		}
		item += len(plate.Items)
	}
}

func bed(p *Printer) string {
	if p.Diameter > 0 {
		return "round bed " + decimal(p.Diameter, 1) + " mm"
	}
	return "bed " + decimal(p.Bed[0], 1) + " x " + decimal(p.Bed[1], 1) + " mm"
}

// plate prints plate number n, whose first item is number item of the list.
func (s *summary) plate(p *Plate, n, item int) {
	s.printf("")
	when := ""
	if p.Start != nil && p.End != nil {
		when = ", " + span(*p.Start, *p.End)
	}
	s.printf("  Plate %s: %s, %s g%s", line(p.ID), s.machine(s.hours[n]), tenths(s.filament[n]), when)
	rows := [][]string{{"part", "copy", "height mm", "support g", "scar on show mm2", "bench h"}}
	for i := range p.Items {
		at := s.items[item+i]
		row := []string{line(at.item.Part), fmt.Sprint(at.item.Copy), "", tenths(s.support[item+i]), "", tenths(s.bench[item+i])}
		if at.part != nil {
			row[1] = fmt.Sprintf("%d of %d", at.item.Copy, at.part.Count)
		}
		if at.opt != nil {
			row[2], row[4] = tenths(at.opt.Height), tenths(at.opt.Scar.Show)
		}
		rows = append(rows, row)
	}
	s.table(4, rows)
}

// left prints the parts of a status that leaves copies on no plate.
func (s *summary) left(status Status, title string) {
	on := map[string]int{}
	for _, p := range s.items {
		on[p.item.Part]++
	}
	var parts []Part
	for _, p := range s.list.Parts {
		if p.Status == status {
			parts = append(parts, p)
		}
	}
	s.heading(title, len(parts))
	for _, p := range parts {
		name := shorten(line(p.Name), pageWidth/2)
		s.entry(fmt.Sprintf("%s, %d of %s", name, p.Count-on[p.Name], plural(p.Count, "copy", "copies")), p.Why)
	}
}

// reasons prints why each placed part stands the way it does, and what to know
// about that.
func (s *summary) reasons() {
	var parts []Part
	for _, p := range s.list.Parts {
		if p.Status == Placed && line(p.Why) != "" {
			parts = append(parts, p)
		}
	}
	s.heading("Why this way up", len(parts))
	for _, p := range parts {
		texts := []string{p.Why}
		if p.Chosen != nil && *p.Chosen >= 0 && *p.Chosen < len(p.Options) {
			for _, n := range p.Options[*p.Chosen].Notes {
				texts = append(texts, n.Text)
			}
		}
		s.entry(shorten(line(p.Name), pageWidth-2), texts...)
	}
}

// folderNotes come before the plates: a folder in the wrong unit makes all the
// rest idle reading.
func (s *summary) folderNotes() {
	s.heading("Notes on the folder", len(s.list.Notes))
	for _, n := range s.list.Notes {
		for _, l := range wrap(n.Text, pageWidth-2) {
			s.printf("  %s", l)
		}
	}
}

func (s *summary) notes() {
	var parts []Part
	for _, p := range s.list.Parts {
		if len(p.Notes) > 0 {
			parts = append(parts, p)
		}
	}
	s.heading("Notes on parts", len(parts))
	for _, p := range parts {
		texts := make([]string, len(p.Notes))
		for i, n := range p.Notes {
			texts[i] = n.Text
		}
		s.entry(shorten(line(p.Name), pageWidth-2), texts...)
	}
}

// heading prints the title of a section with n entries, and nothing when there
// are none.
func (s *summary) heading(title string, n int) {
	if n > 0 {
		s.printf("")
		s.printf("%s", title)
	}
}

func sum(in []float64) float64 {
	total := 0.0
	for _, x := range in {
		total += x
	}
	return total
}
