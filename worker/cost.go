package worker

import (
	"platewright/bedpack"
	"platewright/orient/printer"
	"platewright/worker/joblist"
)

// cost is what a part costs alone on one printer, and whether it fits on it at
// all.
type cost struct {
	joblist.On
	fits bool
}

// costs returns what option k of a part costs on each printer.
func (b *build) costs(p *part, k int) []cost {
	out := make([]cost, len(b.shop.Printers))
	for i, machine := range b.shop.Printers {
		out[i] = cost{b.on(p, k, machine), bedpack.Fits(machine, p.stands[k].shape())}
	}
	return out
}

func (b *build) on(p *part, k int, machine printer.Printer) joblist.On {
	m := p.options[k].Measures
	s := b.orientSettings().Support
	s.Layer, s.FirstLayer = machine.Layer, machine.FirstLayer
	hours, grams, support := printer.Rough(machine, b.material(machine), p.body.volume, p.body.area, m.Support, s.NumLayers(m.Height))
	return joblist.On{Printer: machine.Name, Hours: hours, Filament: grams + support, Support: support}
}

// hours returns what option k of a part takes on each printer, whether it fits
// or not: that is packing's to say.
func (p *part) hours(k int) []float64 {
	out := make([]float64, len(p.costs[k]))
	for i, c := range p.costs[k] {
		out[i] = c.Hours
	}
	return out
}

// material returns what a printer is loaded with; settings have been checked
// to name one.
func (b *build) material(p printer.Printer) printer.Material {
	for _, m := range b.shop.Materials {
		if m.Name == p.Material {
			return m
		}
	}
	panic("worker: printer " + p.Name + " is loaded with an unknown material")
}

// bench returns the hours of hand work that option k of a part asks for.
func (b *build) bench(p *part, k int) float64 {
	m, rate := p.options[k].Measures, b.shop.Bench
	minutes := 0.0
	for role, of := range [3]struct{ scar, cusp float64 }{
		{rate.Scar.Show, rate.Cusp.Show}, {rate.Scar.Joint, rate.Cusp.Joint}, {rate.Scar.Hidden, rate.Cusp.Hidden},
	} {
		minutes += of.scar*m.Scar[role] + of.cusp*m.Cusp[role]
	}
	return minutes / 60
}
