package nights

import "time"

// judge finds out whether a task fits any printer in a usual week, one in
// which no clock is changed, and takes it off the printers that it does not
// fit. What fits a usual week can be planned, in whichever order; so no plate
// is refused because of the others.
func (m *model) judge(t *task, usual *workshop) (Refusal, bool) {
	r := Refusal{Plate: t.index, Reason: Barred, Printer: -1}
	if t.earliest > m.from+mostWait {
		r.Reason = Unsound
		return r, true
	}
	away := usual.attended.longest() < m.change || m.change == 0 && usual.attended.longest() == 0
	fits := false
	for k, a := range m.machines {
		if t.print[k] == 0 {
			continue
		}
		reason, short := m.misfit(t, k, usual)
		if away {
			reason = Away
		}
		if reason == "" {
			fits = true
			continue
		}
		t.print[k] = 0
		r.worsen(reason, short, a.index, t.hold[k])
	}
	return r, !fits
}

// misfit tells why a task does not fit a machine, and how much too long it
// is; no reason when it fits.
func (m *model) misfit(t *task, k int, usual *workshop) (Reason, instant) {
	a := m.machines[k]
	have := usual.running[a.index].longest()
	if have >= lookAhead {
		have = mostHours * hour
	}
	if t.print[k] > mostHours*hour || t.hold[k] > have {
		return TooLong, t.hold[k] - have
	}
	change := m.changeTime(k, m.others(t.material))
	if usual.slots(a.index, change, t.hold[k]).next(usual.attended.first) == never {
		return NoStart, 0
	}
	return "", 0
}

// worsen keeps the reason of the printer that comes nearest: one on which only
// the start fails, then the one on which the plate is too long by least.
func (r *Refusal) worsen(reason Reason, short instant, printer int, hold instant) {
	have := time.Duration(hold-short) * time.Second
	need := time.Duration(hold) * time.Second
	switch {
	case reason != TooLong:
		*r = Refusal{Plate: r.Plate, Reason: reason, Printer: -1}
	case r.Reason == Barred || r.Reason == TooLong && need-have < r.Need-r.Have:
		*r = Refusal{Plate: r.Plate, Reason: TooLong, Printer: printer, Need: need, Have: have}
	}
}
