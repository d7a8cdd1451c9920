package worker

import (
	"fmt"
	"math"
	"strings"
	"time"

	"platewright/bedpack/nights"
	"platewright/worker/joblist"
	"platewright/worker/shop"
)

// begin returns when the plan begins: as asked for, else now, to the minute.
func (b *build) begin(c Config) (time.Time, error) {
	zone, err := time.LoadLocation(b.shop.Hours.Zone)
	if err != nil {
		return time.Time{}, usage("time zone: %w", err)
	}
	if c.From == "" {
		now := time.Now()
		if c.Now != nil {
			now = c.Now()
		}
		return now.In(zone).Truncate(time.Minute).Add(time.Minute), nil
	}
	if t, err := time.Parse(time.RFC3339, c.From); err == nil {
		return t.In(zone), nil
	}
	for _, layout := range []string{"2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02"} {
		if t, err := time.ParseInLocation(layout, c.From, zone); err == nil {
			return t, nil
		}
	}
	return time.Time{}, usage("begin at %q: not a time; write it such as 2031-05-01T18:00, in the shop's time zone, or with its own offset", c.From)
}

// longestRun returns how many hours on end a printer may run without a change,
// by the week's windows; +Inf when there is no end to it.
func longestRun(h shop.Hours) float64 {
	may := make([]bool, shop.WeekLong)
	for _, w := range h.Running.Spans() {
		for m := w.From; m < w.To; m++ {
			may[m] = true
		}
	}
	if !h.Unattended {
		there := make([]bool, shop.WeekLong)
		for _, w := range h.Attended.Spans() {
			for m := w.From; m < w.To; m++ {
				there[m] = true
			}
		}
		for m := range may {
			may[m] = may[m] && there[m]
		}
	}
	longest, run := 0, 0
	for m := range 2 * len(may) { // twice round: Sunday leads into Monday
		if run++; !may[m%len(may)] {
			run = 0
		}
		longest = max(longest, run)
	}
	if longest >= len(may) {
		return math.Inf(1)
	}
	return float64(longest) / 60
}

// mostHours returns how long a plate may print: as the shop says, and as long
// as it may run on end with the reserve.
func (b *build) mostHours() float64 {
	most := longestRun(b.shop.Hours) / (1 + b.shop.Reserve.Time)
	if limit := b.shop.Plate.Hours; limit > 0 {
		most = min(most, limit)
	}
	if math.IsInf(most, 1) {
		return 0
	}
	return most
}

// problem puts the plates of a list to the planner of nights.
func (b *build) problem(l *joblist.List, from time.Time) nights.Problem {
	h := b.shop.Hours
	p := nights.Problem{
		From: from, Zone: from.Location(),
		Attended: week(h.Attended), Start: week(h.Start),
		Change: time.Duration(h.Change * float64(time.Minute)), Unattended: h.Unattended, Reserve: b.shop.Reserve.Time,
	}
	index := map[string]int{}
	for i, machine := range b.shop.Printers {
		index[machine.Name] = i
		p.Printers = append(p.Printers, nights.Printer{Name: machine.Name, Running: week(h.Running), Material: machine.Material})
	}
	rank := b.ranks(l)
	for _, plate := range l.Plates {
		at := index[plate.Printer]
		one := nights.Plate{ID: plate.ID, Hours: make([]float64, len(p.Printers)), Pin: at, Rank: len(b.build.Groups)}
		one.Hours[at] = plate.Hours
		for _, item := range plate.Items {
			one.Parts = append(one.Parts, item.Part)
			one.Rank = min(one.Rank, rank[item.Part])
		}
		p.Plates = append(p.Plates, one)
	}
	return p
}

// ranks returns the order group of each part by name, counted from 0; parts
// without one come after all groups.
func (b *build) ranks(l *joblist.List) map[string]int {
	place := map[string]int{}
	for i, g := range b.build.Groups {
		place[g] = i
	}
	out := map[string]int{}
	for _, p := range l.Parts {
		out[p.Name] = len(b.build.Groups)
		if i, known := place[b.build.Parts[p.File].Group]; known {
			out[p.Name] = i
		}
	}
	return out
}

func week(w shop.Week) nights.Week {
	var out nights.Week
	for day, windows := range w {
		for _, one := range windows {
			out[day] = append(out[day], nights.Window(one))
		}
	}
	return out
}

// schedule gives the plates of a list their times.
func (b *build) schedule(l *joblist.List, from time.Time) error {
	p := b.problem(l, from)
	s := nights.Plan(p, nights.Effort{Search: nightsSearch, Bound: nightsBound})
	if err := nights.Verify(p, s); err != nil {
		return fmt.Errorf("the times are not sound, which is a fault of ours: %w", err)
	}
	for _, one := range s.Starts {
		from, at, end := one.ChangeFrom, one.At, one.End
		plate := &l.Plates[one.Plate]
		plate.ChangeFrom, plate.Start, plate.End = &from, &at, &end
	}
	for i := range l.Printers {
		idle := s.Loads[i].Idle.Hours()
		l.Printers[i].IdleHours = &idle
	}
	if len(s.Starts) > 0 {
		bound := s.Bound.Sub(from).Hours()
		l.Totals.BoundHours = &bound
	}
	l.Notes = append(l.Notes, b.spools(l)...)
	for _, r := range s.Refused {
		l.Notes = append(l.Notes, joblist.Note{Code: "plate cannot be started", Text: b.refusalOfPlate(l, r)})
	}
	if date := b.build.Deadline.In(from.Location()); !date.IsZero() && len(s.Starts) > 0 {
		l.Notes = append(l.Notes, joblist.Note{Code: "deadline", Text: deadlineText(date, nights.Deadline(p, s, date), p, s)})
	}
	return nil
}

// The effort of the planner of nights: a second or so for sixty plates.
const (
	nightsSearch = 4_000_000
	nightsBound  = 40_000_000
)

func (b *build) refusalOfPlate(l *joblist.List, r nights.Refusal) string {
	plate := l.Plates[r.Plate]
	text := fmt.Sprintf("Plate %s cannot be started: %s.", plate.ID, r.Reason)
	if r.Reason != nights.TooLong {
		return text
	}
	text = fmt.Sprintf("Plate %s cannot be started: it takes %.1f h with its reserve, and %s may run for %.1f h on end",
		plate.ID, r.Need.Hours(), plate.Printer, r.Have.Hours())
	if !b.shop.Hours.Unattended {
		return text + " while somebody is there. Whether it may run while nobody is, you have to say in the shop file (hours.unattended_running)."
	}
	return text + "."
}

// deadlineText says whether the last plate is done by a date, and what holds it
// up.
func deadlineText(date time.Time, v nights.Verdict, p nights.Problem, s nights.Schedule) string {
	by := date.Format("Mon 2 Jan 2006 15:04")
	text := fmt.Sprintf("Done %.1f h before the deadline, %s.", v.Margin.Hours(), by)
	if v.Margin < 0 {
		text = fmt.Sprintf("Late: done %.1f h after the deadline, %s.", -v.Margin.Hours(), by)
	}
	if len(v.Chain) == 0 {
		return text
	}
	last := s.Starts[v.Chain[0].Start]
	text += fmt.Sprintf(" The last is plate %s on %s: %.1f h of printing, %.1f h of changes and %.1f h of waiting lead up to its end",
		p.Plates[last.Plate].ID, p.Printers[last.Printer].Name, v.Printed.Hours(), v.Changed.Hours(), v.Waited.Hours())
	if v.Most != "" && v.Waited > 0 {
		text += ", most of it " + string(v.Most)
	}
	return strings.TrimSuffix(text, ".") + "."
}

// spools says which printers have too little on the spool for their plates, and
// at which plate it runs out, before anything starts.
func (b *build) spools(l *joblist.List) []joblist.Note {
	var out []joblist.Note
	for _, machine := range b.shop.Printers {
		if math.IsNaN(machine.SpoolLeft) {
			continue
		}
		need, first := 0.0, ""
		for _, p := range joblist.InTurn(*l, machine.Name) {
			need += p.Filament
			if first == "" && need+b.shop.Reserve.Needed(need) > machine.SpoolLeft {
				first = p.ID
			}
		}
		if first == "" {
			continue
		}
		short := need + b.shop.Reserve.Needed(need) - machine.SpoolLeft
		out = append(out, joblist.Note{Code: "spool short", Text: fmt.Sprintf(
			"The spool on %s has %.0f g left; its plates take %.0f g, and %.0f g are to be kept in hand: %.0f g short, from plate %s on.",
			machine.Name, machine.SpoolLeft, need, b.shop.Reserve.Needed(need), short, first)})
	}
	return out
}
