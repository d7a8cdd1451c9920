package nights

import "time"

// Start is a plate on a printer. The person is at it from ChangeFrom to At; it
// prints from At to End and then waits until somebody empties it. A plate that
// was printing already has ChangeFrom equal to At.
type Start struct {
	Plate, Printer      int // indices of the problem
	ChangeFrom, At, End time.Time
	Swap                bool // another material is loaded
	Awkward             bool // part of the change is in awkward hours
}

// Reason says why a plate is not planned.
type Reason string

// Reasons of a Refusal.
const (
	Unsound Reason = "the shop or the plate makes no sense"                 // a negative or undefined length, a Start without a printer
	Barred  Reason = "no printer may"                                       // no printer that it may go on has sound hours for it
	Away    Reason = "nobody is there as long as a change takes"            // on any day of the week
	TooLong Reason = "longer than any stretch of hours in which it may run" // the reserve included
	NoStart Reason = "never may it start, run and be attended at a time"    // each alone it could
	Clash   Reason = "pinned to hours in which its printer is not free"
)

// Refusal is a plate that is not planned. TooLong tells of the printer that
// comes nearest.
type Refusal struct {
	Plate   int
	Reason  Reason
	Printer int           // -1 unless TooLong
	Need    time.Duration // the print with its reserve; 0 unless TooLong
	Have    time.Duration // the longest stretch in a week without a change of clocks; 0 unless TooLong
}

// Clock is what a start has to wait for.
type Clock string

// Clocks, the three of the shop first.
const (
	Attending Clock = "until someone is there"
	Running   Clock = "until the printer may run"
	Starting  Clock = "until a print may start"
	Printing  Clock = "for the plate before on the printer"
	Changing  Clock = "for the person to end another change"
	Freeing   Clock = "until the printer is free at first"
	Allowing  Clock = "until the plate may start"
	Pinned    Clock = "until the start it is pinned to"
	Beginning Clock = "for nothing: it starts when the plan does"
)

// Break is a pinned start that does not keep to a clock of the shop. It is
// kept all the same: the maker's word wins.
type Break struct {
	Plate int
	Clock Clock // Attending, Running, Starting or Changing
}

// Load is how a printer spends the time from when it is free, at the earliest
// from Problem.From, until the last plate of the whole plan ends.
//
// Law: Printing + Changing + Idle is that time, unless a plate was printing
// when the printer was said to be free.
type Load struct {
	Printing, Changing, Idle time.Duration
	Last                     time.Time // when its last plate ends; the zero time when it has none
}

// Schedule says when each plate is started, and where.
type Schedule struct {
	Starts  []Start   // by ChangeFrom, then At, then printer name
	Refused []Refusal // by plate ID
	Broken  []Break   // by plate ID
	Loads   []Load    // by printer index
	End     time.Time // when the last plate ends; Problem.From without any
	Bound   time.Time // the last plate of no plan of these plates ends earlier
	Proven  bool      // Bound is End: no plan is shorter
	Best    bool      // nor, among the plans as short, better by rank, sum of ends, awkward changes and swaps
	Changes int       // of planned and pinned plates, without those that were printing already
	Swaps   int
	Awkward int
	Nodes   int // partial plans that the exact search looked at
}
