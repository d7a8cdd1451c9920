package toolpath

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Triangle is a facet, counter-clockwise seen from outside.
type Triangle = [3]r3.Vec

// segment is a straight piece of outline, body to the left.
type segment struct{ p, q r2.Vec }

// cut returns the outline of the body at height h. A corner at h counts as
// above it.
func cut(facets []Triangle, h float64) []segment {
	var out []segment
	for _, t := range facets {
		above := 0
		for _, v := range t {
			if v.Z >= h {
				above++
			}
		}
		if above == 0 || above == 3 {
			continue
		}
		var ends []r2.Vec
		for i, v := range t {
			if w := t[(i+1)%3]; (v.Z >= h) != (w.Z >= h) {
				ends = append(ends, crossing(v, w, h))
			}
		}
		p, q := ends[0], ends[1]
		n := r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))
		// The normal must lie to the right of the way.
		if d := r2.Sub(q, p); d.Y*n.X-d.X*n.Y < 0 {
			p, q = q, p
		}
		if p != q {
			out = append(out, segment{p, q})
		}
	}
	return out
}

// crossing returns where an edge meets height h, computed alike whichever way
// the edge runs.
func crossing(a, b r3.Vec, h float64) r2.Vec {
	if a.Z > b.Z {
		a, b = b, a
	}
	k := (h - a.Z) / (b.Z - a.Z)
	return r2.Vec{X: a.X + k*(b.X-a.X), Y: a.Y + k*(b.Y-a.Y)}
}

// byLayer sorts facets into the layers whose middle they cross.
func byLayer(facets []Triangle, m *Machine, layers int) [][]Triangle {
	out := make([][]Triangle, layers)
	for _, t := range facets {
		low, high := min(t[0].Z, t[1].Z, t[2].Z), max(t[0].Z, t[1].Z, t[2].Z)
		k := max(0, int((low-m.FirstLayer)/m.Layer)-1)
		for ; k < layers && m.layer(k).middle() <= high; k++ {
			if m.layer(k).middle() > low {
				out[k] = append(out[k], t)
			}
		}
	}
	return out
}

// box is an upright rectangle.
type box struct{ low, high r2.Vec }

func boxOf(facets []Triangle) (b box, height float64) {
	inf := math.Inf(1)
	b = box{r2.Vec{X: inf, Y: inf}, r2.Vec{X: -inf, Y: -inf}}
	for _, t := range facets {
		for _, v := range t {
			b.low = r2.Vec{X: min(b.low.X, v.X), Y: min(b.low.Y, v.Y)}
			b.high = r2.Vec{X: max(b.high.X, v.X), Y: max(b.high.Y, v.Y)}
			height = max(height, v.Z)
		}
	}
	return b, height
}
