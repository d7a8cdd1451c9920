package nights

import (
	"errors"
	"slices"
	"time"
)

// breaks checks that the pinned starts that keep to no clock are listed.
func (v *verifier) breaks() {
	want := map[Break]bool{}
	for _, one := range v.s.Starts {
		if !v.pinned(one) || v.running(one) {
			continue
		}
		w := verifier{p: v.p, s: v.s, zone: v.zone, there: v.there, start: v.start}
		w.p.Unattended = true
		w.hoursKept(one, one.End)
		for _, err := range w.faults {
			for is, clock := range map[error]Clock{ErrAway: Attending, ErrForbid: Starting, ErrResting: Running} {
				if errors.Is(err, is) {
					want[Break{one.Plate, clock}] = true
				}
			}
		}
		if !v.p.Unattended && !v.all(one.At, one.End, &v.there) {
			want[Break{one.Plate, Running}] = true
		}
		for _, o := range v.s.Starts {
			if o.Plate != one.Plate && v.pinned(o) && !v.running(o) && o.ChangeFrom.Before(one.At) && one.ChangeFrom.Before(o.At) &&
				(o.At.Before(one.At) || o.At.Equal(one.At) && v.p.Plates[o.Plate].ID < v.p.Plates[one.Plate].ID) {
				want[Break{one.Plate, Changing}] = true
			}
		}
	}
	for _, b := range v.s.Broken {
		if !want[b] {
			v.fault(ErrFigures, b.Plate, "does wait %s", b.Clock)
		}
		delete(want, b)
	}
	for b := range want {
		v.fault(ErrFigures, b.Plate, "does not wait %s", b.Clock)
	}
}

// figures checks what is counted.
func (v *verifier) figures() {
	s, end := v.s, v.from
	changes, swaps, awkward := 0, 0, 0
	for _, one := range s.Starts {
		if one.End.After(end) {
			end = one.End
		}
		if !v.running(one) {
			changes++
			swaps += count(one.Swap)
			awkward += count(one.Awkward)
		}
	}
	if !s.End.Equal(end) || s.Bound.After(s.End) || s.Proven != s.Bound.Equal(s.End) {
		v.fault(ErrFigures, -1, "end %v, bound %v, proven %v; last print ends %v", s.End, s.Bound, s.Proven, end)
	}
	if s.Changes != changes || s.Swaps != swaps || s.Awkward != awkward {
		v.fault(ErrFigures, -1, "%d changes, %d swaps, %d awkward; want %d, %d, %d", s.Changes, s.Swaps, s.Awkward, changes, swaps, awkward)
	}
	if len(s.Loads) != len(v.p.Printers) {
		v.fault(ErrFigures, -1, "%d loads of %d printers", len(s.Loads), len(v.p.Printers))
		return
	}
	for k, l := range s.Loads {
		v.load(k, l, end)
	}
}

func count(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// load checks how a printer spends its time, second sums of all its starts.
func (v *verifier) load(k int, l Load, end time.Time) {
	var want Load
	free := slices.MaxFunc([]time.Time{v.from, whole(v.p.Printers[k].Free)}, time.Time.Compare)
	for _, one := range v.s.Starts {
		if one.Printer != k {
			continue
		}
		if one.End.After(v.from) {
			want.Printing += one.End.Sub(slices.MaxFunc([]time.Time{v.from, one.At}, time.Time.Compare))
		}
		if !v.running(one) {
			want.Changing += one.At.Sub(slices.MaxFunc([]time.Time{v.from, one.ChangeFrom}, time.Time.Compare))
		}
		if one.End.After(want.Last) {
			want.Last = one.End
		}
	}
	want.Idle = max(0, end.Sub(free)-want.Printing-want.Changing)
	same := l.Last.Equal(want.Last)
	l.Last = want.Last
	if !same || l != want {
		v.fault(ErrFigures, -1, "load of %s is %+v, want %+v", v.p.Printers[k].Name, l, want)
	}
}
