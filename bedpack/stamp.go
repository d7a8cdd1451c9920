package bedpack

import (
	"math/bits"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// stamp is one option of a part at one spin on the raster of one bed.
type stamp struct {
	spin   plane.Angle
	anchor r2.Vec     // the point that lies at the origin in place (0, 0)
	hull   plane.Ring // turned, its anchor at the origin
	box    r2.Box     // around the hull
	bare   []run      // cells that the outline touches: none may be kept out
	grown  []run      // cells that the outline grown by half the gap touches
}

// newStamp draws a part's outline, simplified already, at a spin.
func newStamp(b *bed, rough plane.Outline, hull plane.Ring, spin plane.Angle) stamp {
	turned := hull.Placed(spin, r2.Vec{})
	s := stamp{spin: spin, anchor: b.anchor(turned)}
	toOrigin := r2.Scale(-1, s.anchor)
	s.hull = turned.Placed(0, toOrigin)
	s.box = s.hull.Bounds()
	outline := rough.Placed(spin, toOrigin)
	s.grown = runsOf(outline, b.cell, b.Gap/2+b.slack)
	s.bare = s.grown
	if b.Gap > 0 && len(b.keep) > 0 {
		s.bare = runsOf(outline, b.cell, 0)
	}
	return s
}

// same reports whether two stamps cover the same cells.
func (s *stamp) same(o *stamp) bool {
	return slices.Equal(s.grown, o.grown) && slices.Equal(s.bare, o.bare)
}

// runsOf returns the cells that a region grown by r touches, in an order in
// which the first few are spread over its height: places that are blocked
// are then found to be so soon.
func runsOf(o plane.Outline, cell, r float64) []run {
	box := o.Bounds()
	left, right := firstCell(box.Min.X-r, cell)-1, lastCell(box.Max.X+r, cell)+1
	low, high := firstCell(box.Min.Y-r, cell)-1, lastCell(box.Max.Y+r, cell)+1
	c := newCanvas(left, low, right-left+1, high-low+1, 0)
	c.draw(o, cell, r)
	out := c.runs()
	slices.SortStableFunc(out, func(p, q run) int {
		return int(spread(p.y-low)) - int(spread(q.y-low))
	})
	return out
}

// spread reverses the low 16 bits of n.
func spread(n int) uint16 { return bits.Reverse16(uint16(n)) }

// runs returns the taken cells, row by row.
func (c *canvas) runs() []run {
	var out []run
	for y := c.low; y < c.low+c.rows; y++ {
		row := c.row(y)
		for x := nextBit(row, 0, true); x >= 0; {
			end := nextBit(row, x, false)
			if end < 0 {
				end = c.cols
			}
			out = append(out, run{y, x + c.left, end - x})
			x = nextBit(row, end, true)
		}
	}
	return out
}

// nextBit returns the first bit at or after from that is as wanted, or -1.
func nextBit(row []uint64, from int, want bool) int {
	for w := from >> 6; w < len(row); w++ {
		word := row[w]
		if !want {
			word = ^word
		}
		if w == from>>6 {
			word &= ^uint64(0) << (from & 63)
		}
		if word != 0 {
			return w<<6 + bits.TrailingZeros64(word)
		}
	}
	return -1
}
