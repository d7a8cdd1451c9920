package bedpack

// quota keeps the number and hours of the parts in each bay within limits.
// The zero value has none.
type quota struct {
	mostParts int     // 0: no limit
	mostHours float64 // 0: no limit
	hoursOf   []float64
	inBay     []int // by mover; -1: not in yet
	parts     []int // by bay
	load      []float64
}

func newQuota(s Settings, hours []float64, bays int) quota {
	q := quota{mostParts: s.PlateParts, mostHours: s.PlateHours, hoursOf: hours}
	q.inBay, q.parts, q.load = make([]int, len(hours)), make([]int, bays), make([]float64, bays)
	for i := range q.inBay {
		q.inBay[i] = -1
	}
	return q
}

// admits reports whether a mover may go to a bay.
func (q *quota) admits(i, bay int) bool {
	if q.inBay == nil || q.inBay[i] == bay {
		return true
	}
	if q.mostParts > 0 && q.parts[bay] >= q.mostParts {
		return false
	}
	return q.mostHours <= 0 || q.load[bay]+q.hoursOf[i] <= q.mostHours
}

// swappable reports whether two movers may change places.
func (q *quota) swappable(i, j int) bool {
	if q.inBay == nil || q.mostHours <= 0 || q.inBay[i] == q.inBay[j] {
		return true
	}
	more := q.hoursOf[i] - q.hoursOf[j]
	return q.load[q.inBay[j]]+more <= q.mostHours && q.load[q.inBay[i]]-more <= q.mostHours
}

// move notes that a mover is in a bay.
func (q *quota) move(i, bay int) {
	if q.inBay == nil || q.inBay[i] == bay {
		return
	}
	if was := q.inBay[i]; was >= 0 {
		q.parts[was]--
		q.load[was] -= q.hoursOf[i]
	}
	q.inBay[i] = bay
	q.parts[bay]++
	q.load[bay] += q.hoursOf[i]
}
