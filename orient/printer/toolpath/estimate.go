package toolpath

import (
	"maps"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Tally is what a print takes. Seconds and volumes are by Kind.
type Tally struct {
	Layers  float64           // that it stands for
	Seconds [NumKinds]float64 // of moves
	Volume  [NumKinds]float64 // mm³ of filament
	Change  float64           // s between layers
	Wait    float64           // s until the least layer time has passed
}

// Total returns the seconds from the start of the first layer to the end of
// the last.
func (t Tally) Total() float64 {
	sum := t.Change + t.Wait
	for _, s := range t.Seconds {
		sum += s
	}
	return sum
}

// Options say how closely to look.
type Options struct {
	Cell  float64 // of the grid that outlines are offset on, mm
	Every int     // one layer is drawn for at most so many that look alike; 0 or 1: draw each
}

// thinning is how far paths may stray from the offset outlines, mm. At a corner
// the contours of a grid cut off a third of a cell, which this puts back.
const thinning = 0.05

// supportCell is the distance of the columns that support is found along.
const supportCell = 0.4

// Estimate draws a standing part layer by layer and returns what that takes,
// layer for layer of those drawn in each.
//
// Cost: about a second for a part of 40 mm at a cell of 0.15 mm.
func Estimate(facets []Triangle, m Machine, o Options) Tally {
	var sum Tally
	for _, t := range Layers(facets, m, o) {
		sum.Layers += t.Layers
		for k := range NumKinds {
			sum.Seconds[k] += t.Seconds[k]
			sum.Volume[k] += t.Volume[k]
		}
		sum.Change += t.Change
		sum.Wait += t.Wait
	}
	return sum
}

// Layers is Estimate, one Tally for each layer drawn; it covers as many layers
// as it stands for.
func Layers(facets []Triangle, m Machine, o Options) []Tally {
	around, height := boxOf(facets)
	n := m.layers(height)
	p := part{
		Machine: &m,
		around:  around,
		layers:  n,
		facets:  byLayer(facets, &m, n),
		masks:   map[int]mask{},
		raster:  newRaster(around, o.Cell, 2*o.Cell),
		props:   m.props(facets, newRaster(around, supportCell, supportCell)),
		at:      around.low,
	}
	var out []Tally
	for _, r := range p.runs(o.Every) {
		middle, length := (r.from+r.to)/2, float64(r.to-r.from)
		if length > 1 { // one layer of each direction of lines
			length /= 2
			out = append(out, p.draw(middle-1).times(length))
		}
		out = append(out, p.draw(middle).times(length))
	}
	return out
}

func (t Tally) times(n float64) Tally {
	t.Layers *= n
	for k := range NumKinds {
		t.Seconds[k] *= n
		t.Volume[k] *= n
	}
	t.Change *= n
	t.Wait *= n
	return t
}

// part is a part being drawn, layer by layer upwards.
type part struct {
	*Machine
	raster
	around box
	props  props
	layers int
	facets [][]Triangle // by layer
	masks  map[int]mask // of the layers lately looked at
	at     r2.Vec       // where the head is
}

// mask returns which points lie in layer k; none beyond the part.
func (p *part) mask(k int) mask {
	if k < 0 || k >= p.layers {
		return nil
	}
	if in, ok := p.masks[k]; ok {
		return in
	}
	in, _ := p.fill(cut(p.facets[k], p.layer(k).middle()))
	p.masks[k] = in
	return in
}

// forget drops the masks of layers below k.
func (p *part) forget(k int) {
	maps.DeleteFunc(p.masks, func(old int, _ mask) bool { return old < k })
}

// bare returns which points of layer k are not covered by each of the Skins
// layers above it, or below it.
func (p *part) bare(k int) mask {
	out := make(mask, p.nx*p.ny)
	for step := 1; step <= p.Skins; step++ {
		for _, other := range [2]mask{p.mask(k + step), p.mask(k - step)} {
			for i := range out {
				out[i] = out[i] || other == nil || !other[i]
			}
		}
	}
	return out
}

// draw draws layer k.
func (p *part) draw(k int) Tally {
	p.forget(k - p.Skins)
	l := p.layer(k)
	outline := cut(p.facets[k], l.middle())
	in, overlap := p.fill(outline)
	if overlap {
		outline = p.raster.bare(outline, in)
	}
	f := p.field(outline, in, l.inside()+l.spacing()+3*p.cell)
	h := head{layer: l, at: p.at}
	for _, i := range p.lay(l, &f, in, p.bare(k)).nearestFirst(h.at) {
		h.draw(i)
	}
	p.support(&h)
	p.at = h.at
	return h.tally()
}

// support draws a layer's support.
func (p *part) support(h *head) {
	if p.SupportDensity == 0 || !p.props.any(h.middle()) {
		return
	}
	spacing := h.spacing() / p.SupportDensity
	h.lines(p.props.hatch(h.turn(), spacing, p.LineWidth, p.props.depth(h.middle())), Support, 3*spacing)
}

// tally adds up a layer's moves.
func (h *head) tally() Tally {
	t := Tally{Layers: 1, Change: h.LayerChange}
	total := 0.0
	for i, s := range h.durations(h.moves) {
		t.Seconds[h.moves[i].kind] += s
		total += s
		if h.moves[i].kind != Travel {
			t.Volume[h.moves[i].kind] += h.moves[i].length * h.bead()
		}
	}
	t.Wait = math.Max(0, h.LeastLayerTime-total)
	return t
}
