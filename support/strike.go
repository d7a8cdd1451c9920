package support

import (
	"math"
	"slices"

	"platewright/support/mesh"
)

// A column meets a facet where it lies inside the facet's shadow or on its
// border on the right, or on its top border where that is level: a column on
// an edge or a corner is then inside exactly one of the facets around it.
// All of that is told in whole numbers, without rounding.

// strike finds every crossing of a column with a facet, facets in order.
func (c *columns) strike(r *relief) {
	c.hits = c.hits[:0]
	for f := range r.faces {
		t := &r.faces[f]
		a, b, d := &r.corners[t[0]], &r.corners[t[1]], &r.corners[t[2]]
		// Most facets of a fine mesh slip between the columns.
		if ((a.y^b.y)|(a.y^d.y))>>r.fraction == 0 || ((a.x^b.x)|(a.x^d.x))>>r.fraction == 0 {
			continue
		}
		c.strikeFacet(r, mesh.FaceID(f), a, b, d)
	}
}

// strikeFacet finds the crossings of one facet.
func (c *columns) strikeFacet(r *relief, f mesh.FaceID, a, b, d *corner) {
	twice := beside(a, b, d.x, d.y)
	switch {
	case twice == 0:
		return
	case twice > 0:
		f = ^f
	default:
		twice, b, d = -twice, d, b // counter-clockwise seen from above
		if r.hangs != nil && r.hangs(f) {
			f |= hangsBit
		}
	}
	x0, x1 := min(a.x, b.x, d.x)>>r.fraction, max(a.x, b.x, d.x)>>r.fraction
	y0, y1 := min(a.y, b.y, d.y)>>r.fraction, max(a.y, b.y, d.y)>>r.fraction
	if (x1-x0)*(y1-y0) <= smallBox {
		c.strikeBox(r, f, twice, [3]*corner{a, b, d}, x0, x1, y0, y1)
		return
	}
	c.strikeRows(r, f, float64(twice), [3]*corner{a, b, d}, y0, y1)
}

// beside returns twice the area of the triangle from the edge a, b to a point:
// positive to the left of it.
func beside(a, b *corner, x, y int32) int64 {
	return int64(b.x-a.x)*int64(y-a.y) - int64(b.y-a.y)*int64(x-a.x)
}

// smallBox is how many columns a facet's bounding box may hold for all of them
// to be looked at.
const smallBox = 64

// outside returns 1 where the edge from a to b, counter-clockwise seen from
// above, does not belong to the facet because it falls in y, and else 0. A level
// edge is the top one: the columns looked at lie above a level edge below.
func outside(a, b *corner) int64 { return int64(uint32(b.y-a.y) >> 31) }

// strikeBox finds the crossings of a facet by looking at all columns of its
// bounding box. Which of them it meets is as good as random, so there is no
// branch for it: each is written down, and the next one over it if it was none.
func (c *columns) strikeBox(r *relief, f mesh.FaceID, twice int64, t [3]*corner, x0, x1, y0, y1 int32) {
	a, b, d := t[0], t[1], t[2]
	per := r.unit / float64(twice)
	az, bz, dz := r.base+float64(a.z-r.low.z)*r.unit, float64(b.z-a.z)*per, float64(d.z-a.z)*per
	// Twice the areas to the edges across from b and d, and to that across from
	// a what is left; where an edge is not the facet's, less by one.
	x, y := (x0+1)<<r.fraction, (y0+1)<<r.fraction
	lessB, lessD := outside(d, a), outside(a, b)
	rowB, rowD := beside(d, a, x, y)-lessB, beside(a, b, x, y)-lessD
	all := twice - lessB - lessD - outside(b, d)
	az += float64(lessB)*bz + float64(lessD)*dz
	rightB, rightD := int64(d.y-a.y)<<r.fraction, int64(a.y-b.y)<<r.fraction
	upB, upD := int64(a.x-d.x)<<r.fraction, int64(b.x-a.x)<<r.fraction
	n := len(c.hits)
	if cap(c.hits)-n < smallBox {
		c.hits = slices.Grow(c.hits, smallBox)
	}
	hits := c.hits[:cap(c.hits)]
	first := c.column(r, x0, y0)
	for range y1 - y0 {
		first += int32(c.nx)
		v, w := rowB, rowD
		for column := first + 1; column <= first+x1-x0; column++ {
			hits[n] = hit{column, crossing{float32(az + float64(v)*bz + float64(w)*dz), f}}
			n += int(uint64(^(v | w | (all - v - w))) >> 63)
			v, w = v+rightB, w+rightD
		}
		rowB, rowD = rowB+upB, rowD+upD
	}
	c.hits = hits[:n]
}

// column returns the number of a column.
func (c *columns) column(r *relief, x, y int32) int32 {
	return (y-r.low.y>>r.fraction)*int32(c.nx) + x - r.low.x>>r.fraction
}

// strikeRows finds the crossings of a facet in the rows behind y0 up to y1.
func (c *columns) strikeRows(r *relief, f mesh.FaceID, twice float64, t [3]*corner, y0, y1 int32) {
	left, right := sized(c.left, int(y1-y0)), sized(c.right, int(y1-y0))
	c.left, c.right = left, right
	for i, p := range t {
		q := t[(i+1)%3]
		if p.y < q.y {
			r.edgeRows(right, p, q, y0)
		} else {
			r.edgeRows(left, q, p, y0)
		}
	}
	a, b, d := t[0], t[1], t[2]
	perTwice := r.unit / twice
	bz, dz := float64(b.z-a.z)*perTwice, float64(d.z-a.z)*perTwice
	slopeX := bz*float64(d.y-a.y) - dz*float64(b.y-a.y)
	slopeY := dz*float64(b.x-a.x) - bz*float64(d.x-a.x)
	low := r.base + float64(min(a.z, b.z, d.z)-r.low.z)*r.unit
	high := r.base + float64(max(a.z, b.z, d.z)-r.low.z)*r.unit
	from := r.base + float64(a.z-r.low.z)*r.unit
	hits := c.hits
	for i := range left {
		x, end, y := left[i], right[i], y0+1+int32(i)
		row := from + slopeY*float64(y<<r.fraction-a.y)
		column := c.column(r, x, y)
		for x < end {
			x++
			column++
			// A steep facet's plane overshoots its corners by rounding.
			z := row + slopeX*float64(x<<r.fraction-a.x)
			if z < low {
				z = low
			} else if z > high {
				z = high
			}
			hits = append(hits, hit{column, crossing{float32(z), f}})
		}
	}
	c.hits = hits
}

// edgeRows writes, for each row behind y0 that an edge from its lower end to
// its upper crosses, the last column on the edge or to the left of it.
func (l *lattice) edgeRows(out []int32, low, high *corner, y0 int32) {
	first, last := low.y>>l.fraction+1, high.y>>l.fraction
	if first > last {
		return
	}
	from, slope := float64(low.x), float64(high.x-low.x)/float64(high.y-low.y)
	for y := first; y <= last; y++ {
		x := (from + float64(float64(y<<l.fraction-low.y)*slope)) * l.scale
		n := int32(x)
		if part := x - float64(n); part < l.near || part > 1-l.near {
			n = l.exactly(low, high, int32(math.Round(x)), y)
		}
		out[y-y0-1] = n
	}
}

// exactly returns x if column x of row y lies on the edge or to the left of
// it, and otherwise the column before.
func (l *lattice) exactly(low, high *corner, x, y int32) int32 {
	if beside(low, high, x<<l.fraction, y<<l.fraction) >= 0 {
		return x
	}
	return x - 1
}
