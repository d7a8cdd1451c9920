package nights

import (
	"errors"
	"fmt"
	"math"
	"time"
)

// Faults that Verify finds.
var (
	ErrCount   = errors.New("nights: plate is not started or refused exactly once")
	ErrUnknown = errors.New("nights: no such plate or printer")
	ErrBarred  = errors.New("nights: printer may not print the plate")
	ErrEarly   = errors.New("nights: before the plan, the printer or the plate is ready")
	ErrLength  = errors.New("nights: change or print takes another time")
	ErrAway    = errors.New("nights: nobody is there")
	ErrResting = errors.New("nights: printer may not run")
	ErrForbid  = errors.New("nights: no print may start")
	ErrBusy    = errors.New("nights: printer has two plates at a time")
	ErrTwo     = errors.New("nights: person is at two changes at a time")
	ErrPin     = errors.New("nights: plate is not where it is pinned")
	ErrRefused = errors.New("nights: plate is refused without that reason")
	ErrFigures = errors.New("nights: figures are not those of the starts")
)

// Verify returns every fault of a schedule, joined; nil when it has none. It
// trusts nothing that the planner keeps: it reads the wall clock of the zone
// minute after minute, and compares all starts with all others.
//
// That a plan could not be better is not its business; that Bound is not after
// End is.
//
// Errors: wraps the sentinels above. Cost: a reading for each printed minute.
func Verify(p Problem, s Schedule) error {
	v := verifier{p: p, s: s, seen: make([]int, len(p.Plates))}
	if v.zone = p.Zone; v.zone == nil {
		v.zone = time.UTC
	}
	v.from = whole(p.From)
	v.there, v.start, v.awkward = minutesOf(p.Attended), minutesOf(p.Start), minutesOf(p.Awkward)
	known := true
	for _, one := range s.Starts {
		known = v.known(one) && known
	}
	if !known {
		return errors.Join(v.faults...)
	}
	for i, one := range s.Starts {
		v.one(one)
		for _, other := range s.Starts[:i] {
			v.two(other, one)
		}
	}
	v.refusals()
	for i, n := range v.seen {
		if n != 1 {
			v.fault(ErrCount, i, "%d times", n)
		}
	}
	v.breaks()
	v.figures()
	return errors.Join(v.faults...)
}

type verifier struct {
	p                     Problem
	s                     Schedule
	zone                  *time.Location
	from                  time.Time
	there, start, awkward [weekLong]bool // by minute of the week
	seen                  []int          // by plate: times started or refused
	faults                []error
}

func (v *verifier) fault(err error, plate int, format string, args ...any) {
	name := fmt.Sprint(plate)
	if plate >= 0 && plate < len(v.p.Plates) {
		name = v.p.Plates[plate].ID
	}
	v.faults = append(v.faults, fmt.Errorf("plate %s: %s: %w", name, fmt.Sprintf(format, args...), err))
}

// whole returns the first whole second that is not before t.
func whole(t time.Time) time.Time {
	if cut := t.Truncate(time.Second); cut.Before(t) {
		return cut.Add(time.Second)
	}
	return t
}

// minutesOf says of each minute of the week whether it is in a window.
func minutesOf(w Week) (in [weekLong]bool) {
	for day, windows := range w {
		for _, one := range windows {
			if one.From < 0 || one.From >= 1440 {
				continue
			}
			for m := one.From; m < one.To && m < one.From+weekLong; m++ {
				in[(day*1440+m)%weekLong] = true
			}
		}
	}
	return in
}

// at reads the wall clock: whether the moment is in a week.
func (v *verifier) at(in *[weekLong]bool, t time.Time) bool {
	t = t.In(v.zone)
	day := (int(t.Weekday()) + 6) % 7
	return in[day*1440+t.Hour()*60+t.Minute()]
}

// all reports whether each moment of a stretch is in all of some weeks.
func (v *verifier) all(from, to time.Time, weeks ...*[weekLong]bool) bool {
	for t := from; t.Before(to); t = t.Add(time.Duration(60-t.In(v.zone).Second()) * time.Second) {
		for _, in := range weeks {
			if !v.at(in, t) {
				return false
			}
		}
	}
	return true
}

func (v *verifier) any(from, to time.Time, in *[weekLong]bool) bool {
	for t := from; t.Before(to); t = t.Add(time.Duration(60-t.In(v.zone).Second()) * time.Second) {
		if v.at(in, t) {
			return true
		}
	}
	return false
}

func (v *verifier) known(one Start) bool {
	if one.Plate < 0 || one.Plate >= len(v.p.Plates) || one.Printer < 0 || one.Printer >= len(v.p.Printers) {
		v.fault(ErrUnknown, one.Plate, "on printer %d", one.Printer)
		return false
	}
	return true
}

func (v *verifier) pinned(one Start) bool  { return !v.p.Plates[one.Plate].Start.IsZero() }
func (v *verifier) running(one Start) bool { return v.pinned(one) && one.At.Before(v.from) }

// hours returns what a plate takes on a printer, and whether it may go there.
func (v *verifier) hours(plate, printer int) (float64, bool) {
	p := v.p.Plates[plate]
	if printer < 0 || printer >= len(p.Hours) || p.Pin != AnyPrinter && p.Pin != printer {
		return 0, false
	}
	h := p.Hours[printer]
	return h, h > 0 && !math.IsInf(h, 1)
}

// one checks a start by itself.
func (v *verifier) one(one Start) {
	v.seen[one.Plate]++
	plate, printer := v.p.Plates[one.Plate], v.p.Printers[one.Printer]
	h, may := v.hours(one.Plate, one.Printer)
	if !may {
		v.fault(ErrBarred, one.Plate, "%s", printer.Name)
		return
	}
	if off := one.End.Sub(one.At).Seconds() - h*3600; off < -2e-3 || off >= 1 {
		v.fault(ErrLength, one.Plate, "prints %v, not %v h", one.End.Sub(one.At), h)
	}
	v.change(one)
	if v.pinned(one) {
		if !one.At.Equal(whole(plate.Start)) || one.Printer != plate.Pin {
			v.fault(ErrPin, one.Plate, "%v on %s", one.At, printer.Name)
		}
		return
	}
	if one.ChangeFrom.Before(v.from) || one.ChangeFrom.Before(printer.Free) || one.At.Before(plate.Earliest) {
		v.fault(ErrEarly, one.Plate, "change %v, start %v", one.ChangeFrom, one.At)
	}
	v.hoursKept(one, v.stretched(one))
}

// stretched returns when a print ends at the latest, the reserve used up.
func (v *verifier) stretched(one Start) time.Time {
	h, _ := v.hours(one.Plate, one.Printer)
	return one.At.Add(time.Duration((h*3600*(1+v.p.Reserve) - 2e-3) * float64(time.Second)))
}

// hoursKept checks the three clocks.
func (v *verifier) hoursKept(one Start, until time.Time) {
	if !v.all(one.ChangeFrom, one.At, &v.there) || !v.at(&v.there, one.At) && !v.at(&v.there, one.At.Add(-1)) {
		v.fault(ErrAway, one.Plate, "change from %v to %v", one.ChangeFrom, one.At)
	}
	if !v.at(&v.start, one.At) && !v.at(&v.start, one.At.Add(-1)) {
		v.fault(ErrForbid, one.Plate, "starts %v", one.At)
	}
	running := minutesOf(v.p.Printers[one.Printer].Running)
	if !v.all(one.At, until, &running) {
		v.fault(ErrResting, one.Plate, "%v to %v", one.At, until)
	}
	if !v.p.Unattended && !v.all(one.At, until, &v.there) {
		v.fault(ErrAway, one.Plate, "prints from %v to %v", one.At, until)
	}
}

// change checks how long a change takes, and whether it is a swap.
func (v *verifier) change(one Start) {
	loaded := v.p.Printers[one.Printer].Material
	var last time.Time
	for _, o := range v.s.Starts {
		if m := v.p.Plates[o.Plate].Material; m != "" && o.Printer == one.Printer && o.At.Before(one.At) && o.At.After(last) {
			loaded, last = m, o.At
		}
	}
	material := v.p.Plates[one.Plate].Material
	swap := material != "" && loaded != "" && loaded != material && !v.running(one)
	if one.Swap != swap {
		v.fault(ErrFigures, one.Plate, "swap %v from %q to %q", one.Swap, loaded, material)
	}
	want := wholeLength(v.p.Change)
	if swap {
		want = wholeLength(v.p.Change) + wholeLength(v.p.Printers[one.Printer].Swap)
	}
	got := one.At.Sub(one.ChangeFrom)
	switch {
	case v.running(one) && got != 0, !v.pinned(one) && got != want, v.pinned(one) && !v.running(one) && got < want:
		v.fault(ErrLength, one.Plate, "changed in %v, not %v", got, want)
	}
	if one.Awkward != v.any(one.ChangeFrom, one.At, &v.awkward) {
		v.fault(ErrFigures, one.Plate, "awkward %v", one.Awkward)
	}
}

func wholeLength(d time.Duration) time.Duration {
	if r := d % time.Second; r > 0 {
		d += time.Second - r
	}
	return d
}

// two checks a start against another that is listed before it.
func (v *verifier) two(a, b Start) {
	if b.ChangeFrom.Before(a.ChangeFrom) {
		v.fault(ErrFigures, b.Plate, "listed after one that is changed later")
	}
	if v.pinned(a) && v.pinned(b) && (v.running(a) || v.running(b)) {
		return
	}
	meet := func(from, to, otherFrom, otherTo time.Time) bool { return from.Before(otherTo) && otherFrom.Before(to) }
	if !(v.pinned(a) && v.pinned(b)) && meet(a.ChangeFrom, a.At, b.ChangeFrom, b.At) {
		v.fault(ErrTwo, b.Plate, "with plate %s", v.p.Plates[a.Plate].ID)
	}
	if a.Printer != b.Printer {
		return
	}
	if a.At.After(b.At) {
		a, b = b, a
	}
	end := a.End
	if v.pinned(b) && !v.pinned(a) {
		end = v.stretched(a)
	}
	if meet(a.ChangeFrom, end, b.ChangeFrom, b.End) {
		v.fault(ErrBusy, b.Plate, "with plate %s", v.p.Plates[a.Plate].ID)
	}
}
