package shop

import (
	"time"

	"github.com/pelletier/go-toml/v2"
)

// Deadline is when the last plate of a build should be done. The zero value
// is no deadline.
type Deadline struct {
	// At is the moment if Zoned, else the wall-clock time in UTC's clothes.
	At    time.Time
	Zoned bool // the file named an offset from UTC
}

// Given reports whether there is a deadline.
func (d Deadline) Given() bool { return !d.At.IsZero() }

// In returns the moment of the deadline; a time without an offset is one of
// the wall clock at zone, the shop's. Without a deadline it is the zero time.
func (d Deadline) In(zone *time.Location) time.Time {
	if d.Zoned || !d.Given() {
		return d.At
	}
	year, month, day := d.At.Date()
	return time.Date(year, month, day, d.At.Hour(), d.At.Minute(), d.At.Second(), d.At.Nanosecond(), zone)
}

// moment is a date or a date and time, kept in a Deadline.
type moment struct{}

func (moment) unit() string { return "" }

func (moment) allowed() string {
	return `date such as 2031-05-01, date and time such as 2031-05-01T18:00:00, both without quotes, or ""`
}

func (moment) read(v, field any) string {
	d := field.(*Deadline)
	switch v := v.(type) {
	case time.Time:
		*d = Deadline{At: v, Zoned: true}
	case toml.LocalDateTime:
		*d = Deadline{At: v.AsTime(time.UTC)}
	case toml.LocalDate: // to the end of that day
		*d = Deadline{At: v.AsTime(time.UTC).AddDate(0, 0, 1)}
	case string:
		if v != "" {
			return misfit(v, "a date")
		}
		*d = Deadline{}
	default:
		return misfit(v, "a date")
	}
	return ""
}

func (moment) write(field any) any {
	d := *field.(*Deadline)
	switch {
	case !d.Given():
		return ""
	case d.Zoned:
		return d.At.Format(time.RFC3339)
	}
	return d.At.Format("2006-01-02T15:04:05")
}
