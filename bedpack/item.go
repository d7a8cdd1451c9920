package bedpack

import (
	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// Option is one way up of a part.
type Option struct {
	Outline plane.Outline // shadow with holes, in the part's upright frame
	Hull    plane.Ring    // convex hull of the shadow: decides whether it is on the bed
	Height  float64       // mm
	Volume  float64       // mm³
	Hours   []float64     // by printer index; NaN, +Inf or missing: cannot print there
}

// AnyPrinter is the Pin of an item that may go on any printer.
const AnyPrinter = -1

// Item is one copy of a part. Name and Copy together tell it from all others.
// Copies cost least when they share the slice of options.
type Item struct {
	Name    string
	Copy    int
	Options []Option // best first
	Pin     int      // index of the printer it has to go on, or AnyPrinter
	Alone   bool     // gets a plate to itself
}

// Placement is an item on a plate: option number Option of the item, turned
// by Spin about its z axis and then shifted into the printer frame.
type Placement struct {
	Item, Option int
	Spin         plane.Angle
	Shift        r2.Vec
}

// Plate is what one printer prints in one run.
type Plate struct {
	Printer    int
	Placements []Placement // by name and copy of the item
}

// Reason says why an item is on no plate.
type Reason string

// Reasons of a Refusal.
const (
	TooLarge Reason = "too large"      // too high, or its hull is on no bed at any spin
	Blocked  Reason = "no free place"  // would fit, were it not for the keep-out areas
	Barred   Reason = "no printer may" // no printer that it may go on has finite hours for it
	Unformed Reason = "no sound shape" // no option has an outline and a hull of finite points
)

// Axis is a dimension of a printer.
type Axis string

// Axes of a Refusal; width and depth are those of the bed, not of the part.
const (
	Width    Axis = "width"
	Depth    Axis = "depth"
	Height   Axis = "height"
	Diameter Axis = "diameter"
)

// Refusal is an item that is on no plate. Of a part that is too large, Over
// is the least length by which it is, over its options, the printers it may
// go on and all spins, on that printer's worst axis.
type Refusal struct {
	Item    int
	Reason  Reason
	Printer int     // the one that comes nearest, -1 when there is none
	Option  int     // the option that comes nearest, -1 when there is none
	Over    float64 // mm, 0 unless too large
	Axis    Axis    // empty unless too large
}

// Arrangement says where each item goes.
type Arrangement struct {
	Plates  []Plate   // by printer, in the order they were filled
	Refused []Refusal // by name and copy of the item
}

// Settings are the choices of a caller; the zero value is good.
type Settings struct {
	AngleStep  plane.Angle // between the spins tried; 0: 5°
	Cell       float64     // of the raster, mm; 0: a 256th of the bed's longer side
	Tries      int         // ways of filling each printer's plates that are tried; 0: 4
	PlateParts int         // most parts on a plate; 0: no limit
	PlateHours float64     // most hours of a plate, unless one part takes more; 0: no limit
	Effort     int         // rounds over the parts, at quarter turns and again at any spin, spent on saving each plate; 0: 100, negative: none
}

func (s Settings) angleStep() plane.Angle {
	if s.AngleStep <= 0 {
		return 5 * plane.Degree
	}
	return s.AngleStep
}

func (s Settings) tries() int {
	if s.Tries <= 0 {
		return 4
	}
	return s.Tries
}

func (s Settings) effort() int {
	if s.Effort == 0 {
		return 100
	}
	return max(s.Effort, 0)
}
