package shop

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Minutes of a day and of a week.
const (
	Day      = 24 * 60
	WeekLong = 7 * Day
)

// days are the keys of the weekdays, the first day of Week first.
var days = [7]string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// Window is a stretch of hours of one day, in minutes after that day's
// midnight: From is 0 to 1439, To greater than From. A window that crosses
// midnight belongs to the day on which it begins and has To above 1440, at
// most 2879. The times are of the wall clock.
type Window struct{ From, To int }

// String returns the window as the file writes it, such as "22:00-06:00".
func (w Window) String() string {
	to := w.To
	if to > Day {
		to -= Day
	}
	return fmt.Sprintf("%02d:%02d-%02d:%02d", w.From/60, w.From%60, to/60, to%60)
}

// Week is the windows of each weekday, Monday first, each day sorted and
// without two that share a minute. Windows that cross midnight may overlap
// those of the next day. The zero value has no windows.
type Week [7][]Window

// Spans returns the week's windows in minutes after Monday 00:00, sorted and
// merged: no two touch. A window that leads from Sunday into Monday is cut at
// the end of the week.
//
// Law: the spans lie in 0 to 10080 and cover the minutes of the windows, no
// other.
func (w Week) Spans() []Window {
	var all []Window
	for day, windows := range w {
		for _, one := range windows {
			from, to := day*Day+one.From, day*Day+one.To
			all = append(all, Window{from, min(to, WeekLong)})
			if to > WeekLong {
				all = append(all, Window{0, to - WeekLong})
			}
		}
	}
	slices.SortFunc(all, byStart)
	var out []Window
	for _, one := range all {
		if n := len(out); n > 0 && one.From <= out[n-1].To {
			out[n-1].To = max(out[n-1].To, one.To)
			continue
		}
		out = append(out, one)
	}
	return out
}

// longest returns the length of the longest stretch of the week without a
// gap, over the week's end too. Unit: minutes; at most a week.
func (w Week) longest() int {
	spans := w.Spans()
	if len(spans) == 0 {
		return 0
	}
	first, last := spans[0], spans[len(spans)-1]
	best := 0
	if first.From == 0 && last.To == WeekLong {
		best = min(WeekLong, first.To+last.To-last.From)
	}
	for _, s := range spans {
		best = max(best, s.To-s.From)
	}
	return best
}

// shared returns how many minutes of the week lie in all of the weeks.
func shared(weeks ...Week) int {
	var hits [WeekLong]int
	for _, w := range weeks {
		for _, s := range w.Spans() {
			for m := s.From; m < s.To; m++ {
				hits[m]++
			}
		}
	}
	n := 0
	for _, h := range hits {
		if h == len(weeks) {
			n++
		}
	}
	return n
}

func byStart(a, b Window) int {
	return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
}

// windows is the windows of one weekday, kept in a []Window.
type windows struct{}

func (windows) unit() string { return "" }

func (windows) allowed() string {
	return `list of "HH:MM-HH:MM", 00:00 to 24:00, no two overlapping`
}

func (windows) read(v, field any) string {
	list, ok := v.([]any)
	if !ok {
		return misfit(v, "a list of windows")
	}
	var out []Window
	for i, one := range list {
		s, ok := one.(string)
		if !ok {
			return fmt.Sprintf("window %d: %s", i+1, misfit(one, "text"))
		}
		w, wrong := parseWindow(s)
		if wrong != "" {
			return fmt.Sprintf("window %d: %s", i+1, wrong)
		}
		out = append(out, w)
	}
	slices.SortFunc(out, byStart)
	for i := 1; i < len(out); i++ {
		if out[i].From < out[i-1].To {
			return fmt.Sprintf("%s and %s overlap", out[i-1], out[i])
		}
	}
	*field.(*[]Window) = out
	return ""
}

func (windows) write(field any) any {
	out := []any{}
	for _, w := range *field.(*[]Window) {
		out = append(out, w.String())
	}
	return out
}

// parseWindow reads "HH:MM-HH:MM". An end before the start is on the next
// day.
func parseWindow(s string) (w Window, wrong string) {
	from, to, dash := strings.Cut(s, "-")
	if !dash {
		return w, "no dash between two times"
	}
	var ok bool
	if w.From, ok = parseClock(from); !ok || w.From == Day {
		return w, fmt.Sprintf("%s is no time of day from 00:00 to 23:59", quoted(shorten(from, 12)))
	}
	if w.To, ok = parseClock(to); !ok {
		return w, fmt.Sprintf("%s is no time of day from 00:00 to 24:00", quoted(shorten(to, 12)))
	}
	switch {
	case w.To == w.From:
		return w, "ends when it begins; a whole day is 00:00-24:00"
	case w.To < w.From:
		w.To += Day
	}
	return w, ""
}

// parseClock reads "HH:MM" as minutes after midnight, 24:00 included.
func parseClock(s string) (minutes int, ok bool) {
	if len(s) != 5 || s[2] != ':' || strings.ContainsAny(s, "+-") {
		return 0, false
	}
	h, hourErr := strconv.Atoi(s[:2])
	m, minuteErr := strconv.Atoi(s[3:])
	if hourErr != nil || minuteErr != nil || m > 59 || h*60+m > Day {
		return 0, false
	}
	return h*60 + m, true
}
