package printer

import "math"

// Rough returns a first guess of what a part costs on a printer: hours of
// machine time with its support, and the grams of filament in the part and,
// apart from them, in its support. volume, area and supportVolume (the
// envelope, in mm³) are the part's; layers is the number of layers.
//
// It knows no layer of the part. Filament: the walls take area × walls × line
// width, though no more than the volume; of the rest the infill share is
// filled; of the support's volume its density. Time: each of the three at its
// own speed or, if that is slower, at the material's flow limit; then the
// layer changes and the heat-up; all times the printer's time factor. Left
// out are skins, travel, acceleration, the slower first layer and the minimum
// layer time, so a solid or a slender part takes longer than told; walls
// counted over level faces make up for some of it. A forecast that looks at
// no tool path is worth ±30 % at best.
//
// No speed, flow limit or line may be zero: a printer read by worker/shop has
// none such.
//
// Laws: 1. Without heat-up, twice the volume, area, support and layers cost
// twice as much. 2. A part of more volume or area is never lighter.
func Rough(p Printer, m Material, volume, area, supportVolume float64, layers int) (hours, grams, supportGrams float64) {
	walls := math.Min(volume, area*float64(p.Walls)*p.LineWidth)
	infill := (volume - walls) * p.Infill
	support := supportVolume * p.SupportDensity

	seconds := walls/flow(p, m, p.WallSpeed) + infill/flow(p, m, p.InfillSpeed) + support/flow(p, m, p.SupportSpeed)
	seconds += float64(layers)*p.LayerChange + 60*p.HeatUp

	return seconds / 3600 * p.TimeFactor, mass(m, walls+infill), mass(m, support)
}

// flow returns what comes out of the nozzle at a speed. Unit: mm³/s.
func flow(p Printer, m Material, speed float64) float64 {
	return math.Min(m.FlowLimit, BeadArea(p.LineWidth, p.Layer)*speed)
}

// mass returns the mass of a volume in mm³. Unit: g.
func mass(m Material, volume float64) float64 {
	const mm3PerCM3 = 1000
	return volume / mm3PerCM3 * m.Density
}
