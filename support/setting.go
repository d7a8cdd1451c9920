package support

import "platewright/support/plane"

// Settings are the limits that the measures depend on.
type Settings struct {
	// Limit is how far a surface may lean out from the vertical before it
	// needs support: 0 is a wall, 90° a ceiling. 45° is common practice; no
	// standard gives a number.
	Limit plane.Angle
	// Layer and FirstLayer are layer heights in mm.
	Layer, FirstLayer float64
	// Ledge is the widest ledge that prints without support, in mm.
	Ledge float64
	// Bridge is the longest span, held at both ends, that prints without
	// support, in mm.
	Bridge float64
}

// Defaults returns the documented defaults: 45°, layers of 0.2 mm, ledges of
// 1 mm, bridges of 20 mm (common practice, no source).
func Defaults() Settings {
	return Settings{Limit: 45 * plane.Degree, Layer: 0.2, FirstLayer: 0.2, Ledge: 1, Bridge: 20}
}

// leanSlack keeps a surface that leans exactly at the limit on the free side
// when its normal is off by rounding: a cube turned by exactly 45° needs no
// support. MEASURES: "strict, 1e-9".
const leanSlack = 1e-9

// leans reports whether a facet with vertical normal part nz leans out further
// than the limit.
func (s Settings) leans(nz float64) bool { return -nz > s.Limit.Sin()+leanSlack }
