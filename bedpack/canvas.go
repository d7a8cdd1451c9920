package bedpack

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// canvas is a raster of cells that are taken or free. Cell (x, y) covers the
// square from (x, y)·cell to (x+1, y+1)·cell of the raster's frame.
type canvas struct {
	left, low  int // the first column and row
	cols, rows int
	words      int      // of a row
	bits       []uint64 // rows·words; bit k of a row is column left+k
}

// newCanvas returns a free canvas. The words beyond the last column let a row
// be read past its end.
func newCanvas(left, low, cols, rows, beyond int) canvas {
	words := (cols+63)/64 + beyond
	return canvas{left: left, low: low, cols: cols, rows: rows, words: words, bits: make([]uint64, rows*words)}
}

func (c *canvas) row(y int) []uint64 { return c.bits[(y-c.low)*c.words : (y-c.low+1)*c.words] }

// take marks the cells from to to, ends included, of row y. What lies beyond
// the canvas is left out.
func (c *canvas) take(y, from, to int) {
	from, to = max(from-c.left, 0), min(to-c.left, c.cols-1)
	if y < c.low || y >= c.low+c.rows || from > to {
		return
	}
	row := c.row(y)
	first, last := from>>6, to>>6
	head, tail := ^uint64(0)<<(from&63), ^uint64(0)>>(63-to&63)
	if first == last {
		row[first] |= head & tail
		return
	}
	row[first] |= head
	for w := first + 1; w < last; w++ {
		row[w] = ^uint64(0)
	}
	row[last] |= tail
}

// draw takes every cell that the region, grown by r, touches. It may take a
// cell that is farther by a rounding error, never leave one out.
func (c *canvas) draw(o plane.Outline, cell, r float64) {
	for _, ring := range o {
		for i, a := range ring {
			c.drawEdge(capsule{a, ring[(i+1)%len(ring)], r}.risen(), cell)
		}
	}
	c.fill(o, cell)
}

// drawEdge takes every cell that the points within r of an edge touch.
func (c *canvas) drawEdge(e capsule, cell float64) {
	grown := e.r + roundOff*(math.Abs(e.a.X)+math.Abs(e.b.X)+math.Abs(e.a.Y)+math.Abs(e.b.Y)+e.r)
	e.r = grown
	// A point on the line between two rows touches both.
	first, last := firstCell(e.a.Y-grown, cell), lastCell(e.b.Y+grown, cell)
	for y := max(first, c.low); y <= min(last, c.low+c.rows-1); y++ {
		bottom, top := float64(y)*cell, float64(y+1)*cell
		right := e.rightmost(bottom, top)
		left := -e.mirrored().rightmost(bottom, top)
		c.take(y, firstCell(left, cell), lastCell(right, cell))
	}
}

// firstCell and lastCell return the cells that a closed range touches at its
// ends.
func firstCell(from, cell float64) int { return int(math.Ceil(from/cell)) - 1 }
func lastCell(to, cell float64) int    { return int(math.Floor(to / cell)) }

// capsule is all points within r of the segment from a up to b.
type capsule struct {
	a, b r2.Vec
	r    float64
}

func (e capsule) risen() capsule {
	if e.a.Y > e.b.Y {
		e.a, e.b = e.b, e.a
	}
	return e
}

func (e capsule) mirrored() capsule {
	e.a.X, e.b.X = -e.a.X, -e.b.X
	return e
}

// rightmost returns the largest x of the points of the capsule between two
// heights. The right rim bulges outward, with its utmost point beside the
// utmost end; so the wanted point is the nearest to that in height.
func (e capsule) rightmost(bottom, top float64) float64 {
	utmost := e.a
	if e.b.X > e.a.X {
		utmost = e.b
	}
	y := min(max(utmost.Y, bottom, e.a.Y-e.r), top, e.b.Y+e.r)
	return max(e.arc(e.a, y), e.arc(e.b, y), e.flank(y))
}

// arc returns the right end of the disc around an end at height y.
func (e capsule) arc(centre r2.Vec, y float64) float64 {
	d := math.Abs(y - centre.Y)
	if d > e.r*1.001 { // a height clipped to the rim may be off it by a rounding error
		return math.Inf(-1)
	}
	return centre.X + math.Sqrt(max(0, (e.r-d)*(e.r+d)))
}

// flank returns where the straight right rim is at height y.
func (e capsule) flank(y float64) float64 {
	along := r2.Sub(e.b, e.a)
	if along.Y == 0 {
		return math.Inf(-1)
	}
	normal := r2.Scale(e.r/r2.Norm(along), r2.Vec{X: along.Y, Y: -along.X})
	t := (y - e.a.Y - normal.Y) / along.Y
	if t < 0 || t > 1 {
		return math.Inf(-1)
	}
	return e.a.X + normal.X + t*along.X
}

// crossing is where a ring crosses the middle of a row of cells.
type crossing struct {
	x    float64
	turn int // +1 when the ring goes down there, -1 when up
}

// fill takes the cells whose middle lies in the region. Cells that its rings
// cross are taken already, so the middle stands for all of the others.
func (c *canvas) fill(o plane.Outline, cell float64) {
	rows := make([][]crossing, c.rows)
	for _, ring := range o {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			turn := 1
			if b.Y > a.Y {
				a, b, turn = b, a, -1
			}
			// Half open, so that a corner on the middle of a row counts once.
			first, last := int(math.Ceil(b.Y/cell-0.5)), int(math.Ceil(a.Y/cell-0.5))-1
			for y := max(first, c.low); y <= min(last, c.low+c.rows-1); y++ {
				t := ((float64(y)+0.5)*cell - b.Y) / (a.Y - b.Y)
				rows[y-c.low] = append(rows[y-c.low], crossing{b.X + t*(a.X-b.X), turn})
			}
		}
	}
	for k, row := range rows {
		slices.SortFunc(row, func(p, q crossing) int {
			if p.x < q.x {
				return -1
			} else if p.x > q.x {
				return 1
			}
			return 0
		})
		depth := 0
		for i, at := range row {
			if depth > 0 {
				c.take(c.low+k, int(math.Ceil(row[i-1].x/cell-0.5)), int(math.Floor(at.x/cell-0.5)))
			}
			depth += at.turn
		}
	}
}
