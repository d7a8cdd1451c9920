package worker

import (
	"platewright/bedpack"
	"platewright/orient"
	"platewright/orient/printer"
	"platewright/support"
	"platewright/support/plane"
	"platewright/worker/joblist"
)

// cost is what a part costs alone on one printer, and whether it fits on it at
// all.
type cost struct {
	joblist.On
	fits bool
}

// costs returns what option k of a part costs on each printer. Whether it fits
// is told by the outline that packing uses; the search went by the hull.
func (b *build) costs(p *part, k int) []cost {
	out := make([]cost, len(b.shop.Printers))
	for i, machine := range b.shop.Printers {
		on := p.Options[k].On[i]
		out[i] = cost{joblist.On{
			Printer: machine.Name, Hours: on.Hours, Filament: on.Grams + on.SupportGrams, Support: on.SupportGrams,
			Loss: on.Terms.Loss, Until: on.Terms.Sum(b.weights()),
		}, bedpack.Fits(machine, p.stands[k].shape())}
	}
	return out
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

// machines are the printers as a search knows them, less what is nothing to it:
// scores are remembered by its settings.
func (b *build) machines() []orient.Machine {
	var out []orient.Machine
	for _, p := range b.shop.Printers {
		m := b.material(p)
		p.SpoolLeft, m.Price = 0, 0
		out = append(out, orient.Machine{Printer: p, Material: m})
	}
	return out
}

func (b *build) weights() orient.Weights { return orient.Weights(b.shop.Weights) }

// rates returns the hours of hand work by role; the shop file has minutes.
func (b *build) rates() orient.Rates {
	const minutes = 60
	var out orient.Rates
	scar, cusp := b.shop.Bench.Scar, b.shop.Bench.Cusp
	out.Scar = support.ByRole{scar.Show / minutes, scar.Joint / minutes, scar.Hidden / minutes}
	out.Cusp = support.ByRole{cusp.Show / minutes, cusp.Joint / minutes, cusp.Hidden / minutes}
	return out
}

// room reports whether a shadow of which this is the hull can be set on a
// printer.
func (b *build) room(k int, height float64, hull plane.Ring) bool {
	outline := plane.Outline{hull}
	return bedpack.Fits(b.shop.Printers[k], bedpack.Option{Outline: outline, Hull: hull, Height: height})
}

// bench returns the hours of hand work that option k of a part asks for, on
// scars and on the steps between layers.
func (b *build) bench(p *part, k int) (scars, sanding float64) {
	m, rates := p.Options[k].Measures, b.rates()
	for role := range rates.Scar {
		scars += rates.Scar[role] * m.Scar[role]
		sanding += rates.Cusp[role] * m.Cusp[role]
	}
	return scars, sanding
}
