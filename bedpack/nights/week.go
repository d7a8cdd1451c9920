package nights

import (
	"cmp"
	"slices"
)

// Minutes of a day and of a week.
const (
	dayLong  = 24 * 60
	weekLong = 7 * dayLong
)

// Window is a stretch of hours of one weekday, in minutes after that day's
// midnight: From is 0 to 1439, To greater than From. To above 1440 leads into
// the next day. The minutes are readings of the wall clock, not time passed.
//
// A window with any other From, or whose To is not above its From, is none;
// one longer than a week is a week.
type Window struct{ From, To int }

// Week is the windows of each weekday, Monday first, in any order; they may
// overlap and touch. The zero value has none.
//
// Law: a moment is in the week when the wall clock, read at that moment,
// shows a weekday and time in one of the windows, From included, To not. So
// in the night in which clocks are put forward, what lies in the skipped hour
// is left out and what leads across it lasts an hour less; in the night in
// which they are put back, hours that are shown twice count twice, and a
// window that begins or ends among them falls into two pieces.
type Week [7][]Window

// Daily returns the week with the same windows every day.
func Daily(windows ...Window) Week {
	var w Week
	for day := range w {
		w[day] = windows
	}
	return w
}

// Always returns the week without a gap.
func Always() Week { return Daily(Window{0, dayLong}) }

// stretches returns the week's windows in minutes after Monday 00:00, sorted,
// no two touching, each within 0 to 10080: one that leads from Sunday into
// Monday is cut there.
func (w Week) stretches() []Window {
	var all []Window
	for day, windows := range w {
		for _, one := range windows {
			if one.From < 0 || one.From >= dayLong || one.To <= one.From {
				continue
			}
			from := day*dayLong + one.From
			to := from + min(one.To-one.From, weekLong)
			all = append(all, Window{from, min(to, weekLong)})
			if to > weekLong {
				all = append(all, Window{0, to - weekLong})
			}
		}
	}
	return merged(all)
}

// merged sorts windows and joins those that overlap or touch.
func merged(all []Window) []Window {
	slices.SortFunc(all, func(a, b Window) int {
		return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To))
	})
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

// common returns what two lists of stretches share.
func common(a, b []Window) []Window {
	var out []Window
	for i, j := 0, 0; i < len(a) && j < len(b); {
		if from, to := max(a[i].From, b[j].From), min(a[i].To, b[j].To); from < to {
			out = append(out, Window{from, to})
		}
		if a[i].To < b[j].To {
			i++
		} else {
			j++
		}
	}
	return out
}
