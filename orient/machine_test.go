package orient_test

import (
	"platewright/orient"
	"platewright/orient/printer"
	"platewright/support"
	"platewright/support/plane"
)

// machine is a printer and material with the documented defaults of a shop
// file.
func machine() orient.Machine {
	return orient.Machine{
		Printer: printer.Printer{
			LineWidth: 0.4, Layer: 0.2, FirstLayer: 0.2, Walls: 3, Skins: 4, Infill: 0.15, SupportDensity: 0.15,
			WallSpeed: 50, SkinSpeed: 50, InfillSpeed: 60, SupportSpeed: 50, TravelSpeed: 150, FirstLayerSpeed: 20,
			Acceleration: 1000, TravelAcceleration: 3000, CornerSpeed: 5,
			HeatUp: 5, LayerChange: 1, LeastLayerTime: 8, TimeFactor: 1, Height: 300,
		},
		Material: printer.Material{Density: 1.24, Diameter: 1.75, FlowLimit: 11},
	}
}

// settings are those of a shop with one such machine and the documented
// defaults.
func settings() orient.Settings {
	const minute, cm2 = 1.0 / 60, 100.0
	return orient.Settings{
		Support:  support.Defaults(),
		Machines: []orient.Machine{machine()},
		Weights:  orient.DefaultWeights(),
		Rates: orient.Rates{
			Scar: support.ByRole{20 * minute / cm2, 5 * minute / cm2, 0.5 * minute / cm2},
			Cusp: support.ByRole{0.5 * minute, 0.1 * minute, 0},
		},
		Risk: orient.Risk{Failure: 0.01, Tip: 0.8, Safe: 10 * plane.Degree},
	}
}
