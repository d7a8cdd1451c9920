package orient

import (
	"math"

	"platewright/orient/printer"
	"platewright/support"
	"platewright/support/plane"
)

// Runner calls f(0) … f(n−1), each once, in any order and on any goroutines,
// and returns when all have returned.
type Runner func(n int, f func(i int))

// Serial is the Runner that does everything in a row.
func Serial(n int, f func(i int)) {
	for i := range n {
		f(i)
	}
}

// Machine is a printer and what it is loaded with.
type Machine struct {
	Printer  printer.Printer
	Material printer.Material
}

// Weights say what counts how much in the score of an orientation.
type Weights struct {
	// Machine and Bench are what an hour of a printer and an hour of hand work
	// count.
	Machine, Bench float64
	// The others are prices of the bare figures, for whoever wants to steer by
	// them: hours a mm² of overhang, a mm³ of support, a layer, and a mm² of
	// footprint.
	Overhang, Support, Layer, Footprint float64
}

// DefaultWeights returns the weights of the zero Settings: an hour is an hour.
func DefaultWeights() Weights { return Weights{Machine: 1, Bench: 1} }

// Rates are the hand work that a face asks for, by its role: hours a mm² of
// scar, and hours a mm³ of the steps between layers.
type Rates struct{ Scar, Cusp support.ByRole }

// Risk says how prints fail.
type Risk struct {
	Failure float64     // chance that a running printer fails within an hour, 0 to 1
	Tip     float64     // chance that a part on the brink of falling comes off, 0 to 1
	Safe    plane.Angle // from this tip angle on, none does on that account
}

// mostFailures bounds the chance of failing: what never succeeds costs no
// number of hours.
const mostFailures = 0.95

// chance returns the chance that a print of some hours fails. A part falls over
// by a chance of Tip up to half of Safe, for to a degree or two nobody knows how
// easily, and from there on by less in proportion, down to none at Safe.
func (r Risk) chance(hours float64, tip plane.Angle) float64 {
	short := 0.0
	if r.Safe > 0 {
		short = min(max(2*(1-float64(tip/r.Safe)), 0), 1)
	}
	return min(mostFailures, 1-math.Pow(1-r.Failure, hours)*(1-r.Tip*short))
}

// loss returns the hours lost, on average, before a print of some hours
// succeeds: tried again and again, it fails p/(1−p) times first.
func (r Risk) loss(hours float64, tip plane.Angle) float64 {
	p := r.chance(hours, tip)
	return hours * p / (1 - p)
}

// Settings steer a search. Machines must not be empty; the zero value of each
// other field means its default.
type Settings struct {
	Support    support.Settings // limits; zero: support.Defaults
	Machines   []Machine
	Weights    Weights // zero: DefaultWeights
	Rates      Rates
	Risk       Risk
	Directions int // directions over the sphere; 0: 500
	Keep       int // most options in a choice set; 0: 8
	// Room reports whether a part of some height, with this convex hull of its
	// shadow, can be set on machine k, however it is spun; nil: always.
	Room func(k int, height float64, hull plane.Ring) bool `json:"-"`
}

func (s Settings) withDefaults() Settings {
	if s.Support == (support.Settings{}) {
		s.Support = support.Defaults()
	}
	if s.Weights == (Weights{}) {
		s.Weights = DefaultWeights()
	}
	if s.Directions == 0 {
		s.Directions = 500
	}
	if s.Keep == 0 {
		s.Keep = 8
	}
	return s
}
