package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// stretch is a part of a pile, from one of its islands to another, both
// counted.
type stretch struct{ from, to int }

// slender returns what the slender stretches of a pile make up, from the
// lowest up.
//
// Cost: O(n²) for n islands at worst.
func (p *piles) slender(s pile) []stretch {
	var out []stretch
	n := len(s.islands)
	thickest := make([]float64, n) // of the islands from the one at hand on
	for i := 0; i+slimSections <= n; i++ {
		thick := p.flared(s, i, i+1)
		if !p.isHigh(n-i, thick) {
			continue
		}
		for j := i; j < n; j++ {
			thick = max(thick, p.at(s, j).width)
			thickest[j] = thick
		}
		for j := n - 1; j >= i+slimSections-1; j-- {
			thick := max(thickest[j], p.flared(s, j, j-1))
			if p.isHigh(j-i+1, thick) && p.isUpright(s, i, j, thick) {
				out = covered(out, stretch{i, j})
				break
			}
		}
	}
	return out
}

// flared returns the thickness half a section beyond island i, where a stretch
// that goes on to island next ends, if it grows on as from there to island i.
// Without that a tip would be more slender the less of it is looked at.
func (p *piles) flared(s pile, i, next int) float64 {
	here := p.at(s, i).width
	return here + max(0, here-p.at(s, next).width)/2
}

// covered adds a stretch to others, none of which begins after it: it may
// lengthen the last.
func covered(out []stretch, s stretch) []stretch {
	if n := len(out); n > 0 && s.from <= out[n-1].to+1 {
		out[n-1].to = max(out[n-1].to, s.to)
		return out
	}
	return append(out, s)
}

// isHigh reports whether so many sections are high enough for a thickness.
func (p *piles) isHigh(sections int, thickness float64) bool {
	return float64(sections)*p.step >= p.worries.Slender*thickness*(1-worrySlack)
}

// steepLean is the tangent of the lean from which on layers are not the weak
// place: see Worries.Slim.
func steepLean() float64 { return math.Sqrt(1/AcrossLayers - 1) }

// isUpright reports whether a stretch leans little enough to come apart between
// layers.
func (p *piles) isUpright(s pile, from, to int, thickness float64) bool {
	low, high := p.at(s, from), p.at(s, to)
	rise := float64(to-from) * p.step * steepLean()
	way := r2.Sub(high.centre, low.centre)
	far := r2.Norm(way)
	if far <= rise {
		return true
	}
	way = r2.Scale(1/far, way)
	_, end := extent(low.hull, way)
	start, _ := extent(high.hull, way)
	return start-end+thickness <= rise
}
