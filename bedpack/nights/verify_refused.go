package nights

import (
	"math"
	"time"
)

// refusals checks that each refused plate could not be planned, by looking at
// every minute of a week in which no clock is changed.
func (v *verifier) refusals() {
	for _, r := range v.s.Refused {
		if r.Plate < 0 || r.Plate >= len(v.p.Plates) {
			v.fault(ErrUnknown, r.Plate, "refused")
			continue
		}
		v.seen[r.Plate]++
		if why := v.reason(r.Plate); why != r.Reason {
			v.fault(ErrRefused, r.Plate, "%q, not %q", r.Reason, why)
		}
	}
}

// reason returns why a plate cannot be planned, "" when it can.
func (v *verifier) reason(plate int) Reason {
	p := v.p.Plates[plate]
	if !v.soundShop() || p.Earliest.After(v.from) && v.tooFar(p.Earliest) {
		return Unsound
	}
	if !p.Start.IsZero() {
		return v.pinReason(plate)
	}
	best := Barred
	for k, one := range v.p.Printers {
		h, may := v.hours(plate, k)
		if !may || one.Free.After(v.from) && v.tooFar(one.Free) {
			continue
		}
		switch why := v.usual(k, p.Material, h); {
		case why == "":
			return ""
		case best == Barred || why != TooLong:
			best = why
		}
	}
	return best
}

func (v *verifier) soundShop() bool {
	week := 7 * 24 * time.Hour
	for _, one := range v.p.Printers {
		if one.Swap < 0 || one.Swap > week {
			return false
		}
	}
	return v.p.Change >= 0 && v.p.Change <= week && v.p.Reserve >= 0 && v.p.Reserve <= 10
}

// tooFar reports whether a moment is more than five years away.
func (v *verifier) tooFar(t time.Time) bool {
	return t.Sub(v.from).Abs() > 5*366*24*time.Hour
}

func (v *verifier) pinReason(plate int) Reason {
	p := v.p.Plates[plate]
	if p.Pin == AnyPrinter || v.tooFar(p.Start) {
		return Unsound
	}
	if p.Pin < 0 || p.Pin >= len(v.p.Printers) {
		return Barred
	}
	h, may := v.hours(plate, p.Pin)
	if !may || h > 1000 {
		return Barred
	}
	printer := v.p.Printers[p.Pin]
	at := whole(p.Start)
	end, from := at.Add(time.Duration(h*float64(time.Hour))), at.Add(-v.longestChange(p.Pin, p.Material))
	if at.Before(v.from) {
		from = at
	} else if printer.Free.After(v.from) && from.Before(printer.Free) {
		return Clash
	}
	for _, o := range v.s.Starts {
		if v.pinned(o) && o.Printer == p.Pin && from.Before(o.End) && o.ChangeFrom.Before(end) {
			return Clash
		}
	}
	return ""
}

// longestChange returns what a change takes if another material is loaded.
func (v *verifier) longestChange(printer int, material string) time.Duration {
	d := wholeLength(v.p.Change)
	if v.others(material) {
		d += wholeLength(v.p.Printers[printer].Swap)
	}
	return d
}

// usual tells why a print does not fit a printer in a usual week: it tries
// to start at every minute, and to begin the change at every minute.
func (v *verifier) usual(k int, material string, hours float64) Reason {
	c := int(v.longestChange(k, material) / time.Second)
	running := minutesOf(v.p.Printers[k].Running)
	for m := range running {
		running[m] = running[m] && (v.p.Unattended || v.there[m])
	}
	there, runs := stretchesFrom(&v.there), stretchesFrom(&running)
	longest := 0
	away := true
	for m := range weekLong {
		longest = max(longest, runs[m])
		away = away && (there[m] == 0 || there[m] < int(wholeLength(v.p.Change)/time.Second))
	}
	if away {
		return Away
	}
	seconds := math.Ceil(hours*3600*(1+v.p.Reserve) - 1e-3)
	if seconds > 3600*1000 || int(seconds) > longest {
		return TooLong
	}
	hold := int(seconds)
	const week = weekLong * 60
	for m := range weekLong {
		for _, from := range []int{m * 60, (m*60 - c + 2*week) % week} {
			start := from + c
			begun := v.start[start/60%weekLong] || start%60 == 0 && v.start[(start/60+weekLong-1)%weekLong]
			if left(&there, from) >= c && (c > 0 || left(&there, from) > 0 || left(&there, from+week-1) > 0) && begun && left(&runs, start) >= hold {
				return ""
			}
		}
	}
	return NoStart
}

// others reports whether there is another material in the shop.
func (v *verifier) others(material string) bool {
	if material == "" {
		return false
	}
	for _, one := range v.p.Printers {
		if one.Material != "" && one.Material != material {
			return true
		}
	}
	for _, one := range v.p.Plates {
		if one.Material != "" && one.Material != material {
			return true
		}
	}
	return false
}

// stretchesFrom returns, for each minute of the week, the seconds from it on
// without a gap; ten weeks when there is none.
func stretchesFrom(in *[weekLong]bool) (out [weekLong]int) {
	run := 0
	for m := 11*weekLong - 1; m >= 0; m-- {
		if run++; !in[m%weekLong] {
			run = 0
		}
		out[m%weekLong] = min(run, 10*weekLong) * 60
	}
	return out
}

// left returns how many seconds there are from a second of the week on.
func left(stretches *[weekLong]int, second int) int {
	s := stretches[second/60%weekLong]
	return max(0, s-second%60)
}
