package printer

import (
	"math"

	"platewright/support"
)

// region is an area to be filled with lines. What the lines see of it counts,
// not its shape.
type region struct {
	area    float64    // mm²
	outline float64    // length of its border, mm
	across  [2]float64 // its width across lines at 45° and −45°, mm
}

// evenly returns a region whose border runs in all directions alike: lines see
// 1/π of it (Cauchy's formula for the mean width).
func evenly(area, outline float64) region {
	return region{area, outline, [2]float64{outline / math.Pi, outline / math.Pi}}
}

// like returns a region bordered as the layer is.
func (l layer) like(area, outline float64) region {
	if l.Wall == 0 {
		return evenly(area, outline)
	}
	k := outline / l.Wall
	return region{area, outline, [2]float64{k * l.Across[0], k * l.Across[1]}}
}

func (r *region) add(o region, share float64) {
	r.area += share * o.area
	r.outline += share * o.outline
	r.across[0] += share * o.across[0]
	r.across[1] += share * o.across[1]
}

// scale multiplies a region's border, and what lines see of it.
func (r *region) scale(by float64) {
	r.outline *= by
	r.across[0] *= by
	r.across[1] *= by
}

// narrowed returns what is left of a region when lines shorter than least are
// not drawn. In a strip of width x a line at angle φ to its border is x/sin φ
// long; the share of the area where that is long enough, all angles alike, is
// (2/π)·asin(x/least), that of the lines 1 − √(1 − (x/least)²).
func (r region) narrowed(least float64) region {
	if r.area <= 0 || r.outline <= 0 {
		return region{}
	}
	x := 2 * r.area / r.outline / least
	if x >= 1 {
		return r
	}
	r.area *= 2 / math.Pi * math.Asin(x)
	r.scale(1 - math.Sqrt(1-x*x))
	return r
}

// insideWalls splits what lies inside the walls into skin, as far as there is
// room for it, and infill. An area that is a share of another has the root of
// that share of its outline.
func (l layer) insideWalls(bare region) (skin, infill region) {
	area, length := l.movedIn(l.inside)
	if area == 0 {
		return region{}, region{}
	}
	infill = l.strips(area, length)
	if bare.area >= infill.area {
		return infill, region{}
	}
	share := 1 - bare.area/area
	infill.area *= share
	infill.scale(math.Sqrt(share))
	return bare, infill
}

// strips returns what is left of the inside of the walls, area and outline
// given, when lines shorter than their width are not drawn: between walls that
// face each other closely few are.
func (l layer) strips(area, length float64) region {
	var sum region
	stretch := math.Max(0, 1-l.Shrink*l.inside/l.Wall)
	for class, wall := range l.Thin {
		width := 2 * ((float64(class)+0.5)*support.ThinStep - l.inside)
		if wall == 0 || width <= 0 {
			continue
		}
		border := math.Min(wall*stretch, length)
		strip := math.Min(border/2*width, area)
		sum.add(l.like(strip, border).narrowed(l.printer.LineWidth), 1)
		area, length = area-strip, length-border
	}
	sum.add(l.like(area, length).narrowed(l.printer.LineWidth), 1)
	return sum
}

// props returns the layer's support. Lines are drawn through its narrow gaps.
func (l layer) props() region {
	a := l.SupportAcross
	return region{
		area:    l.Support + (l.SupportGaps[0]+l.SupportGaps[1])/2,
		outline: math.Pi / 2 * (a[0] + a[1]),
		across:  a,
	}.narrowed(l.printer.LineWidth)
}
