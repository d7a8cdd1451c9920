package orient

import (
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/orient/printer"
	"platewright/support"
	"platewright/support/mesh"
)

// clock tells the seconds that one part takes on one machine from a few figures
// of an orientation, having seen some timed layer by layer. Heat-up and time
// factor are left out.
type clock struct {
	rates figures
	least float64 // least seconds of drawing seen, over those of drawing()
}

// figures are what a clock reads: one, layers, outlines (image.wall), skin
// (image.skin), support, and the seconds that layers wait for the least layer
// time by plain reckoning.
type figures [6]float64

// timed is an orientation's figures, and what it takes.
type timed struct {
	figures figures
	seconds float64
	drawn   float64 // of which walls, skins and infill
}

// trust is how much what is known of any part beforehand counts against what
// is seen of this one, in orientations seen.
const trust = 0.02

// newClock fits the rates to what was seen by least squares, held near to what
// the machine does at full speed so that two orientations alike do not send
// them off (ridge regression: A. E. Hoerl & R. W. Kennard, Technometrics 12,
// 1970).
func newClock(m Machine, volume float64, seen []timed) clock {
	p := m.Printer
	out := clock{rates: outright(m, volume)}
	d := drawing(p, m.Material, volume)
	for i, t := range seen {
		if ratio := t.drawn / (d.constant + d.wall*t.figures[2]); i == 0 || ratio < out.least {
			out.least = ratio
		}
	}
	scale, mean := meanOf(seen)
	if mean == 0 {
		return out
	}
	const n = len(figures{})
	a, b := mat.NewDense(len(seen)+n, n, nil), mat.NewVecDense(len(seen)+n, nil)
	for i, t := range seen {
		for k, x := range t.figures {
			a.Set(i, k, ratioOf(x, scale[k]))
		}
		b.SetVec(i, t.seconds/mean)
	}
	for k := range n {
		a.Set(len(seen)+k, k, trust)
		b.SetVec(len(seen)+k, trust*out.rates[k]*scale[k]/mean)
	}
	var x mat.VecDense
	if x.SolveVec(a, b) != nil {
		return out
	}
	for k := range n {
		out.rates[k] = ratioOf(x.AtVec(k)*mean, scale[k])
	}
	return out
}

// outright returns the rates of a machine that draws every line at full speed.
func outright(m Machine, volume float64) figures {
	p := m.Printer
	d := drawing(p, m.Material, volume)
	bead := printer.BeadArea(p.LineWidth, p.Layer)
	full := func(speed float64) float64 { return 1 / (bead * min(speed, m.Material.FlowLimit/bead)) }
	return figures{d.constant, p.LayerChange, d.wall, float64(p.Skins) * p.Layer * full(p.SkinSpeed), p.SupportDensity * full(p.SupportSpeed), 1}
}

// meanOf returns the mean of each figure and of the seconds.
func meanOf(seen []timed) (scale figures, seconds float64) {
	n := float64(len(seen))
	for _, t := range seen {
		for k, x := range t.figures {
			scale[k] += x / n
		}
		seconds += t.seconds / n
	}
	return scale, seconds
}

func ratioOf(x, y float64) float64 {
	if y == 0 {
		return 0
	}
	return x / y
}

// read returns the seconds of an orientation with such figures.
func (c clock) read(f figures) float64 {
	sum := 0.0
	for k, x := range f {
		sum += c.rates[k] * x
	}
	return max(sum, 0)
}

// hours returns what a machine takes for so many seconds, all told.
func hours(p printer.Printer, seconds float64) float64 {
	return (60*p.HeatUp + seconds) / 3600 * p.TimeFactor
}

// reading is what clocks read of an orientation, for each machine its layers
// and its waiting.
func (sk *searcher) reading(up mesh.Direction, m support.Measures, slabs []support.Slab) []figures {
	u := up.Vec()
	out := make([]figures, len(sk.settings.Machines))
	wall, skin := sk.image.wall(u), sk.image.skin(u)
	for k, machine := range sk.settings.Machines {
		p := machine.Printer
		layers := max(0, 1+(m.Height-p.FirstLayer)/p.Layer)
		out[k] = figures{1, layers, wall, skin, m.Support, waiting(machine, slabs)}
	}
	return out
}

// waiting returns the seconds that layers wait, walls, infill and support drawn
// at full speed.
func waiting(m Machine, slabs []support.Slab) float64 {
	p := m.Printer
	bead := printer.BeadArea(p.LineWidth, p.Layer)
	a := p.Layer / bead // length of line a mm² that is filled
	top := m.Material.FlowLimit / bead
	wall := float64(p.Walls) / min(p.WallSpeed, top)
	fill, prop := a*p.Infill/min(p.InfillSpeed, top), a*p.SupportDensity/min(p.SupportSpeed, top)
	sum := 0.0
	for _, s := range slabs {
		drawn := s.Wall*wall + s.Solid*fill + s.Support*prop
		sum += max(0, p.LeastLayerTime-drawn) * s.Thickness / p.Layer
	}
	return sum
}

// heightOf is the height of the part that way up, told by its hull.
func (sk *searcher) heightOf(up mesh.Direction) float64 {
	if sk.hull == nil {
		return 0
	}
	return r3.Dot(up.Vec(), sk.hull.Across(up))
}
