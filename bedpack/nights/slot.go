package nights

import "sort"

// slots are the moments at which a change may begin so that the person is
// there for all of it, the print starts when it may, and it runs, the reserve
// included, within one stretch of its printer's running hours. Sorted closed
// spans, worked out as far as they are asked for.
type slots struct {
	attended, start, running *clock
	change, hold             instant // length of the change, and of the print with its reserve
	spans                    []span
	until                    instant // slots before here are known
}

// patience is how long after the earliest moment a slot is looked for. What
// fits an ordinary week fits the first one in which no clock is changed.
const patience = 3 * lookAhead

// next returns the first moment from t on at which the change may begin, or
// never.
func (s *slots) next(t instant) instant {
	for {
		if i := s.ending(t); i < len(s.spans) {
			return max(t, s.spans[i].from)
		}
		if s.until > t+patience {
			return never
		}
		s.extend(max(s.until, t) + lookAhead)
	}
}

// ending returns the first span that ends at t or later. Of all that a search
// does this is done most; it is written out because that makes it twice as
// fast.
func (s *slots) ending(t instant) int {
	low, high := 0, len(s.spans)
	for low < high {
		if middle := int(uint(low+high) >> 1); s.spans[middle].to < t {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return low
}

// last returns the last moment up to t at which the change may begin, or
// -never.
func (s *slots) last(t instant) instant {
	if s.until <= t {
		s.extend(t + lookAhead)
	}
	i := sort.Search(len(s.spans), func(i int) bool { return s.spans[i].from > t })
	if i == 0 {
		return -never
	}
	return min(t, s.spans[i-1].to)
}

// extend works out the slots before a moment.
func (s *slots) extend(until instant) {
	end := until + s.change + s.hold + 1
	for _, c := range []*clock{s.attended, s.start, s.running} {
		c.reach(end)
	}
	there := cursor{spans: s.attended.spans, last: -s.change}
	begun := cursor{spans: s.start.spans, first: -s.change, last: -s.change}
	runs := cursor{spans: s.running.spans, first: -s.change, last: -s.change - s.hold}
	for t := s.until; t < until; {
		low, high := t, until-1
		for _, c := range []*cursor{&there, &begun, &runs} {
			one := c.from(t)
			low, high = max(low, one.from), min(high, one.to)
		}
		if low <= high {
			s.spans = append(s.spans, span{low, high})
			t = high + 1
		} else {
			t = low
		}
	}
	s.until = until
}

// cursor walks the spans of a clock, each end moved; spans that end before
// they begin then are left out.
type cursor struct {
	spans       []span
	first, last instant // added to the two ends of each span
	at          int
}

// from returns the first moved span that ends at t or later, closed.
func (c *cursor) from(t instant) span {
	for ; c.at < len(c.spans); c.at++ {
		one := span{c.spans[c.at].from + c.first, c.spans[c.at].to + c.last}
		if one.from <= one.to && one.to >= t {
			return one
		}
	}
	return span{never, never}
}
