package printer

import (
	"math"

	"platewright/support"
)

// skinsOf returns the skin of each layer. A surface that looks up makes skin
// of the layers below it, one that looks down of those above it, so many layers
// of the printer deep; of a coarser layer that is not reached through, a share.
func skinsOf(p Printer, work []support.LayerWork) []region {
	out := make([]region, len(work))
	depth := float64(p.Skins) * p.Layer
	wall := func(k int) float64 {
		if k < 0 || k >= len(work) {
			return 0
		}
		return work[k].Wall
	}
	for k := range work {
		l := newLayer(&p, nil, &work[k], k == 0)
		down := l.skinUnder(&l.DownBy, wall(k-1), depth)
		up := l.skinUnder(&l.UpBy, wall(k+1), depth)
		spread(&p, work, out, k, 1, down)
		spread(&p, work, out, k, -1, up)
	}
	return out
}

// spread adds skin to layer k and those beyond it, step by step, until there
// is skin for as many of the printer's layers as it makes.
func spread(p *Printer, work []support.LayerWork, out []region, k, step int, skin region) {
	for left := float64(p.Skins); k >= 0 && k < len(out) && left > 0; k += step {
		layers := newLayer(p, nil, &work[k], k == 0).layers()
		out[k].add(skin, math.Min(1, left/layers))
		left -= layers
	}
}

// skinUnder returns the skin that the bare surface of a layer asks for, less
// what walls cover of it anyway. beside is the length of the outlines of the
// layer that the surface looks at.
//
// A slope lays bare a strip along the outline, as wide as the slope runs over
// the depth of the skin; of it the walls cover their own width. A level surface
// lies at the outline where that ends with it, and elsewhere borders on more
// body: the walls cover their share of the outline that is lost.
func (l layer) skinUnder(bare *[support.NumSlopes]float64, beside, depth float64) region {
	var sum region
	for class, shadow := range bare {
		wide := support.SlopeRun(class) * depth
		switch {
		case shadow == 0 || wide <= l.inside:
		case math.IsInf(wide, 1):
			sum.add(l.levelSkin(shadow, beside), 1)
		default:
			strip := wide - l.inside
			area := shadow * strip / wide
			sum.add(evenly(area, 2*area/strip).narrowed(l.printer.LineWidth), 1)
		}
	}
	return sum
}

// levelSkin returns the skin under level surface.
func (l layer) levelSkin(shadow, beside float64) region {
	area, length := l.movedIn(l.inside)
	if area == 0 {
		return region{}
	}
	covered := (l.Solid - area) * math.Max(0, l.Wall-beside) / l.Wall
	bare := math.Max(0, shadow-covered)
	return l.like(bare, length*math.Sqrt(math.Min(1, bare/area)))
}
