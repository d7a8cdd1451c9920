package orient

import (
	"cmp"
	"math"

	"platewright/orient/printer"
	"platewright/support"
	"platewright/support/mesh"
)

// Terms are the hours until paint that an orientation costs on one machine, by
// what they go into, before weights.
type Terms struct {
	Machine float64 // the printer runs
	Scar    float64 // hand work where support touched
	Sanding float64 // hand work on the steps between layers
	Loss    float64 // hours of the printer lost, on average, to prints that fail
	Other   float64 // the prices of bare figures, see Weights
}

// Sum returns the weighted hours.
func (t Terms) Sum(w Weights) float64 {
	return w.Machine*(t.Machine+t.Loss) + w.Bench*(t.Scar+t.Sanding) + t.Other
}

// On is an orientation on one machine.
type On struct {
	printer.Cost
	Terms Terms
	Fits  bool
}

// Option is one orientation of a part and what it costs.
type Option struct {
	Up       mesh.Direction
	Measures support.Measures
	On       []On // one a machine, in the order of Settings.Machines
	// Score is the hours until paint on the machine where they are least, of
	// those that the part fits on; of all machines if it fits on none.
	Score float64
}

// Fits reports whether some machine can take the option.
func (o Option) Fits() bool {
	for _, on := range o.On {
		if on.Fits {
			return true
		}
	}
	return false
}

// terms puts measures and print time into hours on machine k.
//
// The steps between layers are as high as the machine's layers; measures are
// those of Settings.Support's.
func (s Settings) terms(k int, m support.Measures, hours float64) Terms {
	p := s.Machines[k].Printer
	coarser := p.Layer / s.Support.Layer
	t := Terms{Machine: hours, Loss: s.Risk.loss(hours, m.Held)}
	for role := range m.Scar {
		t.Scar += s.Rates.Scar[role] * m.Scar[role]
		t.Sanding += s.Rates.Cusp[role] * m.Cusp[role] * coarser
	}
	w := s.Weights
	t.Other = w.Overhang*m.Overhang + w.Support*m.Support + w.Layer*float64(m.Layers) + w.Footprint*m.Footprint
	return t
}

// least returns the least weighted hours over the machines that fit, or over
// all when none does; with the latter goes false.
func least(on []On, w Weights) (hours float64, fits bool) {
	best, any := math.Inf(1), math.Inf(1)
	for _, o := range on {
		h := o.Terms.Sum(w)
		any = min(any, h)
		if o.Fits {
			best, fits = min(best, h), true
		}
	}
	if !fits {
		return any, false
	}
	return best, true
}

// scoreStep is the step that hours are compared in: rounding, and what one
// build of the program computes otherwise than another, must not decide.
const scoreStep = 1e-6

func steps(x float64) float64 { return math.Round(x / scoreStep) }

// before orders orientations: those that fit somewhere, then by score, then by
// the up vector, so that ties break the same way everywhere.
func before(aFits, bFits bool, a, b float64, aUp, bUp mesh.Direction) int {
	return cmp.Or(compareBool(bFits, aFits), cmp.Compare(steps(a), steps(b)), compareUp(aUp, bUp))
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

func compareUp(a, b mesh.Direction) int {
	u, v := a.Vec(), b.Vec()
	return cmp.Or(-cmp.Compare(u.Z, v.Z), cmp.Compare(u.X, v.X), cmp.Compare(u.Y, v.Y))
}
