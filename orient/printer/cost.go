package printer

import "platewright/support"

// Cost is what a part takes on a printer.
type Cost struct {
	Hours        float64 // from the start of the job, heat-up and time factor included
	Grams        float64 // of filament in the part
	SupportGrams float64 // of filament in its support
	Metres       float64 // of filament in both
	Parts        Parts
	Volumes      Volumes
}

// Parts are the seconds that each part of a print takes, before the time
// factor.
type Parts struct {
	HeatUp, Walls, Skins, Infill, Support, Travel, LayerChange, Waiting float64
}

// Volumes are the filament laid down, in mm³.
type Volumes struct{ Walls, Skins, Infill, Support float64 }

// Sum returns the seconds of all parts.
func (p Parts) Sum() float64 {
	return p.HeatUp + p.Walls + p.Skins + p.Infill + p.Support + p.Travel + p.LayerChange + p.Waiting
}

// add adds n times what another print takes.
func (p *Parts) add(o Parts, n float64) {
	p.HeatUp += n * o.HeatUp
	p.Walls += n * o.Walls
	p.Skins += n * o.Skins
	p.Infill += n * o.Infill
	p.Support += n * o.Support
	p.Travel += n * o.Travel
	p.LayerChange += n * o.LayerChange
	p.Waiting += n * o.Waiting
}

func (v *Volumes) add(o Volumes, n float64) {
	v.Walls += n * o.Walls
	v.Skins += n * o.Skins
	v.Infill += n * o.Infill
	v.Support += n * o.Support
}

// Time returns what a part costs on a printer, told by its layers from the
// plate up, as support.Settings.Work measures them. The first entry is the
// first layer. Each of the others stands for as many of the printer's layers
// as fill its thickness, so a search may cut the part more coarsely than the
// printer does.
//
// The model, layer by layer. Lines lie so close that they fill the space
// between them: a bead's area over its height apart. Walls run along the
// outline moved in; each corner slows them to its speed, and between corners
// the head speeds up as far as the way allows. Skin is what lies inside the
// walls under so many layers of a surface that looks up, or over one that looks
// down. The rest is infill; it, the skin and the support are straight lines at
// ±45° by turns, linked at their ends. A layer takes the least layer time at
// least. How far all that is from drawing every line is measured in the tests;
// package toolpath does draw them.
//
// Left out, for the printer has no numbers for them: retraction, wiping, slower
// bridges and overhangs, filling of gaps narrower than a line, brims and rafts.
//
// No speed, acceleration, flow limit or line may be zero, and no layer higher
// than a line is wide: a printer read by worker/shop has none such.
//
// Laws: 1. No part of the time is negative. 2. The time factor multiplies the
// hours. 3. A quarter turn of the part about z changes nothing.
// Cost: O(layers), some microseconds each.
func Time(p Printer, m Material, work []support.LayerWork) Cost {
	var c Cost
	for _, d := range drawAll(p, m, work) {
		c.Parts.add(d.parts, d.layers)
		c.Volumes.add(d.volumes, d.layers)
	}
	c.Parts.HeatUp = 60 * p.HeatUp
	c.Hours = c.Parts.Sum() / 3600 * p.TimeFactor
	part, under := c.Volumes.Walls+c.Volumes.Skins+c.Volumes.Infill, c.Volumes.Support
	c.Grams, c.SupportGrams = mass(m, part), mass(m, under)
	const mmPerMetre = 1000
	c.Metres = (part + under) / m.Section() / mmPerMetre
	return c
}

// layerCost is what one layer of the printer takes, and how many layers alike
// there are.
type layerCost struct {
	layers  float64
	parts   Parts
	volumes Volumes
}

// drawAll returns what each entry of the work takes.
func drawAll(p Printer, m Material, work []support.LayerWork) []layerCost {
	out := make([]layerCost, len(work))
	skins := skinsOf(p, work)
	for k := range work {
		l := newLayer(&p, &m, &work[k], k == 0)
		parts, volumes := l.draw(skins[k])
		out[k] = layerCost{l.layers(), parts, volumes}
	}
	return out
}
