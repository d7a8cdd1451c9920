package printer_test

import (
	"fmt"

	"platewright/orient/printer"
	"platewright/support"
)

// A pin of 5 × 5 mm in 100 layers. Each is done long before the layer below is
// cold, so each takes the least layer time of 10 s, and 1 s for the change:
// 1100 s, and 5 minutes of heating up.
func ExampleTime() {
	work := make([]support.LayerWork, 100)
	for k := range work {
		work[k].Layer = support.Layer{Bottom: 0.2 * float64(k), Thickness: 0.2, Solid: 25, Wall: 20, Islands: 1}
		work[k].Rings, work[k].Shrink = 1, 8
		work[k].Across = [2]float64{7.07, 7.07} // its diagonal
	}
	p := printer.Printer{
		LineWidth: 0.4, Layer: 0.2, FirstLayer: 0.2, Walls: 3, Skins: 4, Infill: 0.15, SupportDensity: 0.15,
		WallSpeed: 50, SkinSpeed: 50, InfillSpeed: 60, SupportSpeed: 50, TravelSpeed: 150, FirstLayerSpeed: 20,
		Acceleration: 1000, TravelAcceleration: 3000, CornerSpeed: 5,
		HeatUp: 5, LayerChange: 1, LeastLayerTime: 10, TimeFactor: 1,
	}
	c := printer.Time(p, printer.Material{Density: 1.24, Diameter: 1.75, FlowLimit: 11}, work)
	fmt.Printf("%.0f s\n", 3600*c.Hours)
	// Output: 1400 s
}
