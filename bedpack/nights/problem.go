package nights

import (
	"math"
	"time"
)

// AnyPrinter is the Pin of a plate that may go on any printer.
const AnyPrinter = -1

// Problem is a shop and the plates that are to be printed in it. Moments that
// are no whole second count as the next one, lengths as the next longer.
type Problem struct {
	From       time.Time      // no change begins before
	Zone       *time.Location // of all windows; nil is UTC
	Attended   Week           // when the person is there
	Start      Week           // when a print may start, each window's last moment included
	Awkward    Week           // when changes are done, but unwillingly
	Change     time.Duration  // what emptying a plate and starting the next takes of the person
	Unattended bool           // printers may run while nobody is there
	Reserve    float64        // share by which a print is taken longer when it is fitted into a window; 0 or more
	Printers   []Printer
	Plates     []Plate
}

// Printer is one machine. Its name tells it from all others.
type Printer struct {
	Name     string
	Free     time.Time     // no change begins before; the zero time: free
	Running  Week          // when it may run
	Material string        // loaded; "" when that does not matter
	Swap     time.Duration // what a change takes longer when another material is loaded
}

// Plate is what one printer prints in one run. Its ID tells it from all
// others.
//
// A plate with a Start is pinned: it stays where the maker put it, printer Pin
// at that moment. If Start is before From it is already printing and nobody is
// needed to start it.
type Plate struct {
	ID       string
	Hours    []float64 // of print by printer index; NaN, +Inf, 0 or missing: cannot go there
	Pin      int       // index of the printer it has to go on, or AnyPrinter
	Material string    // "" for whatever is loaded
	Rank     int       // order group: all else equal, the least is printed first
	Earliest time.Time // it does not start printing before; the zero time: at any
	Start    time.Time // the zero time: to be planned
	Parts    []string  // what it holds, for Complete
}

// most is the longest print and the farthest wait that are planned.
const (
	mostHours = 1000
	mostWait  = 5 * 366 * 24 * hour
)

// hours returns the hours of a plate on a printer, NaN when it cannot go there.
func (p *Plate) hours(printer int) float64 {
	if printer < 0 || printer >= len(p.Hours) || p.Pin != AnyPrinter && p.Pin != printer {
		return math.NaN()
	}
	if h := p.Hours[printer]; h > 0 && !math.IsInf(h, 1) {
		return h
	}
	return math.NaN()
}

// PrintTime returns how long a print of some hours takes: whole seconds, a
// part of one counted whole. A millisecond is forgiven, so that hours made by
// division come out as they were meant.
func PrintTime(hours float64) time.Duration {
	return time.Duration(max(1, math.Ceil(hours*3600-1e-3))) * time.Second
}

// seconds returns a length, a part of a second counted whole.
func seconds(d time.Duration) instant {
	return instant((d + time.Second - 1) / time.Second)
}
