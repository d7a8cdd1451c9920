package nights

import "time"

// instant is a moment in Unix seconds, or a length of time in seconds. Whole
// seconds keep sums exact and every build of the program alike.
type instant int64

// never is later than anything that can be planned.
const never = instant(1) << 60

// second is a length of 1.
const (
	minute     instant = 60
	hour               = 60 * minute
	weekLength         = 7 * 24 * hour
	lookAhead          = 8 * weekLength // how far clocks are worked out at a time
)

// aMonday is the reading Monday 00:00 in wall seconds: 5 January 1970.
const aMonday = 4 * 24 * hour

// ceil returns the first whole second that is not before t.
func ceil(t time.Time) instant {
	s := instant(t.Unix())
	if t.Nanosecond() > 0 {
		s++
	}
	return s
}

func (t instant) in(zone *time.Location) time.Time { return time.Unix(int64(t), 0).In(zone) }

// span is what lies between two moments.
type span struct{ from, to instant }

// clock lays the stretches of a week on the line of time, by the wall clock
// of a zone. It is worked out as far as it is asked for.
type clock struct {
	week  []Window // stretches
	zone  *time.Location
	spans []span  // sorted, no two touching; what lies before the first moment is left out
	first instant // where it begins
	until instant // all is known before here
}

func newClock(week []Window, zone *time.Location, from instant) *clock {
	return &clock{week: week, zone: zone, first: from, until: from}
}

// reach works the clock out at least as far as a moment. Between two changes
// of the zone's offset wall clock and time run alike, so the stretches are
// only shifted; at a change they are cut, and joined again when they go on.
func (c *clock) reach(t instant) {
	for c.until < t {
		at := c.until.in(c.zone)
		_, offset := at.Zone()
		stop := t
		if _, end := at.ZoneBounds(); !end.IsZero() && instant(end.Unix()) < stop {
			stop = instant(end.Unix())
		}
		c.lay(c.until, stop, instant(offset))
		c.until = stop
	}
}

// lay adds the stretches between two moments with one offset.
func (c *clock) lay(from, to, offset instant) {
	first := from + offset - aMonday
	week := first - (first%weekLength+weekLength)%weekLength + aMonday - offset // the latest Monday 00:00
	for ; week < to; week += weekLength {
		for _, w := range c.week {
			a, b := max(from, week+instant(w.From)*minute), min(to, week+instant(w.To)*minute)
			if a >= b {
				continue
			}
			if n := len(c.spans); n > 0 && c.spans[n-1].to == a {
				c.spans[n-1].to = b
				continue
			}
			c.spans = append(c.spans, span{a, b})
		}
	}
}
