package toolpath

import "math"

// Layers that look alike are not all drawn: the middle one of a run stands for
// the run. A run ends where the area of the body or of its skin has changed by
// more than alike of what a layer has on average, told on a grid of coarseCell.
const (
	alike      = 0.02
	coarseCell = 0.4
)

// run is a run of layers.
type run struct{ from, to int }

// runs cuts the layers into runs of at most so many. The first layer, which is
// printed at its own speed, stays alone.
func (p *part) runs(most int) []run {
	coarse := *p
	coarse.raster = newRaster(p.around, coarseCell, coarseCell)
	coarse.masks = map[int]mask{}
	look := make([][2]float64, p.layers)
	mean := 0.0
	for k := range look {
		look[k] = coarse.areas(k)
		mean += look[k][0] / float64(p.layers)
	}
	var out []run
	for k := range look {
		if last := len(out) - 1; k > 1 && k-out[last].from < most {
			first := look[out[last].from]
			if max(math.Abs(look[k][0]-first[0]), math.Abs(look[k][1]-first[1])) <= alike*mean {
				out[last].to = k + 1
				continue
			}
		}
		out = append(out, run{k, k + 1})
	}
	return out
}

// areas returns how many points of the raster lie in the body and how many in
// skin, walls included.
func (p *part) areas(k int) [2]float64 {
	var body, skin float64
	in := p.mask(k)
	for i, bare := range p.bare(k) {
		if in[i] {
			body++
			if bare {
				skin++
			}
		}
	}
	p.forget(k - p.Skins)
	return [2]float64{body, skin}
}
