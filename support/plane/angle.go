package plane

import "math"

// Angle is an angle in radians. It is a type of its own because a number of
// degrees passed for radians compiles and looks plausible.
type Angle float64

// Units of Angle: 45*Degree is an Angle, a/Degree a plain number of degrees.
const (
	Radian Angle = 1
	Degree Angle = math.Pi / 180
)

// Degrees returns a as a number of degrees.
func (a Angle) Degrees() float64 { return float64(a / Degree) }

// Sin returns the sine of a.
func (a Angle) Sin() float64 { return math.Sin(float64(a)) }

// Cos returns the cosine of a.
func (a Angle) Cos() float64 { return math.Cos(float64(a)) }
