package printer

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// Bed is the area that a printer can print on: an oblong, or a disc when
// Diameter is not zero.
type Bed struct {
	Width, Depth float64 // mm; both equal Diameter for a disc
	Diameter     float64 // mm; 0 for an oblong
}

// Round reports whether the bed is a disc.
func (b Bed) Round() bool { return b.Diameter > 0 }

// Area returns the bed's area. Unit: mm².
func (b Bed) Area() float64 {
	if b.Round() {
		return math.Pi / 4 * b.Diameter * b.Diameter
	}
	return b.Width * b.Depth
}

// Holds reports whether every point, in the printer frame, lies on the bed at
// least margin from its edge, give or take slack.
func (b Bed) Holds(points []r2.Vec, margin, slack float64) bool {
	centre := r2.Vec{X: b.Width / 2, Y: b.Depth / 2}
	for _, p := range points {
		if b.Round() {
			if r2.Norm(r2.Sub(p, centre)) > b.Diameter/2-margin+slack {
				return false
			}
			continue
		}
		if p.X < margin-slack || p.Y < margin-slack ||
			p.X > b.Width-margin+slack || p.Y > b.Depth-margin+slack {
			return false
		}
	}
	return true
}

// Printer is one machine as it stands in the shop.
type Printer struct {
	Name    string
	Bed     Bed
	Height  float64      // tallest part, mm
	KeepOut []plane.Ring // areas of the bed that no part may touch, printer frame
	Margin  float64      // least distance of a part from the bed's edge, mm
	Gap     float64      // least distance between two parts of a plate, mm

	Nozzle     float64 // diameter, mm
	LineWidth  float64 // mm
	Layer      float64 // layer height, mm
	FirstLayer float64 // height of the first layer, mm
	Walls      int     // loops round each outline
	Skins      int     // solid layers at the top and at the bottom
	Infill     float64 // share of the inside that is filled, 0 to 1

	WallSpeed, SkinSpeed, InfillSpeed, SupportSpeed, TravelSpeed float64 // mm/s
	FirstLayerSpeed                                              float64 // mm/s
	Acceleration                                                 float64 // mm/s²
	TravelAcceleration                                           float64 // mm/s²
	CornerSpeed                                                  float64 // speed through a right-angled corner, mm/s
	SupportDensity                                               float64 // share of the support volume that is filled, 0 to 1
	HeatUp                                                       float64 // minutes before the first layer
	LayerChange                                                  float64 // seconds
	LeastLayerTime                                               float64 // seconds
	TimeFactor                                                   float64 // learned from recorded prints; 1 until then

	Material  string  // name of the material loaded
	SpoolLeft float64 // grams left on the spool; NaN when not known
}

// Material is one kind of filament.
type Material struct {
	Name      string
	Density   float64 // g/cm³
	Diameter  float64 // mm
	Price     float64 // of a kilogram, in the shop's currency
	FlowLimit float64 // mm³/s through the nozzle
}

// BeadArea returns the cross-section of a line of the given width and height:
// an oblong with rounded sides. Unit: mm².
//
// Source: stadium section, (w−h)h + πh²/4.
func BeadArea(width, height float64) float64 {
	return (width-height)*height + math.Pi/4*height*height
}

// Section returns the cross-section of the filament. Unit: mm².
func (m Material) Section() float64 { return math.Pi / 4 * m.Diameter * m.Diameter }

// MetreMass returns the mass of a metre of filament. Unit: g.
func (m Material) MetreMass() float64 { return mass(m, 1000*m.Section()) }
