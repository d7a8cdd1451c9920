package support

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// surface is a standing mesh, and which of its facets need support.
type surface struct {
	mesh  *mesh.Mesh
	hangs func(mesh.FaceID) bool // nil: none
}

// surfaceOf reads a standing mesh.
func surfaceOf(m *mesh.Mesh) surface { return surface{mesh: m} }

// corner is a corner in whole numbers, so that every comparison of a column
// with an edge is exact: x and y in fractions of the distance of columns, z in
// a unit of its own. None is negative.
type corner struct{ x, y, z int32 }

// relief is a turned mesh as the columns read it.
type relief struct {
	corners []corner
	faces   [][3]mesh.VertexID
	hangs   func(mesh.FaceID) bool // whether a facet needs support; nil: none does
	lattice
	unit      float64 // of z, mm
	base      float64 // height of low.z over the plate, mm
	above     float32 // what hangs no higher than this needs no support, mm
	touch     float32 // mm
	low, high corner  // bounding box
}

// columns samples a surface along vertical lines on a square grid: the spans
// of each line that lie in the body. Touching and overlapping shells make one
// span. The outermost columns meet nothing. The zero value is ready; one value
// used again and again keeps its memory.
type columns struct {
	x0, y0, step float64
	nx, ny       int
	start        []int32 // len nx·ny+1: where a column's spans begin in spans
	spans        []span  // rising within a column
	hangStart    []int32 // len nx·ny+1: where a column's hanging ends begin
	hanging      []cell  // rising within a column
	lowest       []int32 // len nx·ny: the bits of the lowest hanging end's height, or 0
	filled       int     // columns with a span

	hits        []hit      // crossings as they are found, facet by facet
	first       []int32    // where a column's crossings begin in sorted
	sorted      []crossing // crossings by column
	left, right []int32    // of a facet's rows
}

// span is one stretch of a column inside the body.
type span struct {
	bottom, top float32 // mm over the plate
	in, out     mesh.FaceID
}

// cell is the bottom of a span that hangs.
type cell struct {
	z, floor float32 // of it and of what lies below, mm over the plate
	face     mesh.FaceID
	below    mesh.FaceID // or plate
	column   int32
	spare    bool
}

// crossing is where a column meets a facet.
type crossing struct {
	z    float32
	face mesh.FaceID // ones' complement where the facet looks up; hangsBit set where it hangs
}

// hangsBit is above all numbers of facets.
const hangsBit mesh.FaceID = 1 << 30

// hit is a crossing and its column.
type hit struct {
	column int32
	crossing
}

// offGrid shifts the columns off round numbers, on which walls like to stand:
// a column along a wall would be told in or out by rounding. The share of a
// step is the golden ratio's, as far from simple fractions as can be.
const offGrid = 0.6180339887498949

// lattice says how x and y are held as whole numbers of 31 binary digits.
type lattice struct {
	fraction uint    // digits behind the point: one column and the next are 2^fraction apart
	scale    float64 // 2^−fraction
	near     float64 // of a column, more than floating-point numbers are off
}

// latticeFor returns the finest lattice for so many columns side by side.
func latticeFor(columns float64) lattice {
	const margin = 3 // offGrid, rounding up, and one
	fraction := uint(max(0, 31-bits.Len64(uint64(columns)+margin)))
	scale := 1 / float64(int64(1)<<fraction)
	return lattice{fraction, scale, scale / (1 << 18)}
}

// sample fills the columns, step mm apart, from a standing surface.
//
// A column on an edge that two facets share is given to exactly one of them.
// Cost: O(facets + crossings · log of those in a column).
func (c *columns) sample(s surface, step float64) {
	low := s.mesh.Bounds().Min
	size := r3.Sub(s.mesh.Bounds().Max, low)
	r := relief{
		corners: make([]corner, s.mesh.NumVertices()),
		faces:   s.mesh.Faces(),
		hangs:   s.hangs,
		lattice: latticeFor(max(size.X, size.Y) / step),
		unit:    max(size.Z, step) / (1 << 30),
		base:    low.Z,
		above:   float32(math.Inf(-1)),
		touch:   float32(touchShare * r3.Norm(size)),
	}
	c.step = step
	c.x0, c.y0 = low.X-offGrid*step, low.Y-offGrid*step
	scale := 1 / (r.scale * step)
	place := func(p r3.Vec) corner {
		return corner{int32((p.X - c.x0) * scale), int32((p.Y - c.y0) * scale), int32((p.Z - low.Z) / r.unit)}
	}
	for i, p := range s.mesh.Vertices() {
		r.corners[i] = place(p)
	}
	r.low, r.high = place(low), place(s.mesh.Bounds().Max)
	c.fill(&r)
}

// fill fills the columns from a relief.
func (c *columns) fill(r *relief) {
	c.nx = int(r.high.x>>r.fraction-r.low.x>>r.fraction) + 2
	c.ny = int(r.high.y>>r.fraction-r.low.y>>r.fraction) + 2
	c.strike(r)
	c.sort()
	c.spans, c.hanging, c.filled = c.spans[:0], c.hanging[:0], 0
	c.start, c.hangStart = sized(c.start, c.nx*c.ny+1), sized(c.hangStart, c.nx*c.ny+1)
	c.lowest = sized(c.lowest, c.nx*c.ny)
	clear(c.lowest)
	end := c.first[0]
	for i := range c.nx * c.ny {
		c.start[i], c.hangStart[i] = int32(len(c.spans)), int32(len(c.hanging))
		from := end
		end = c.first[i+1]
		if from < end {
			c.join(c.sorted[from:end], r.touch)
			c.list(int32(i), r.above)
		}
	}
	c.start[c.nx*c.ny], c.hangStart[c.nx*c.ny] = int32(len(c.spans)), int32(len(c.hanging))
}

// sort deals the crossings into their columns.
func (c *columns) sort() {
	c.first = sized(c.first, c.nx*c.ny+2)
	clear(c.first)
	for i := range c.hits {
		c.first[c.hits[i].column+2]++
	}
	sum := int32(0)
	for i, n := range c.first {
		sum += n
		c.first[i] = sum
	}
	c.sorted = sized(c.sorted, len(c.hits))
	for _, h := range c.hits {
		at := &c.first[h.column+1]
		c.sorted[*at] = h.crossing
		*at++
	}
}

// join appends the spans of one column's crossings, which it sorts.
func (c *columns) join(x []crossing, touch float32) {
	if len(x) == 2 && x[0].face^x[1].face < 0 { // what most columns are: in and out
		in, out := x[0], x[1]
		if in.face < 0 {
			in, out = out, in
		}
		if in.z <= out.z {
			c.spans = append(c.spans, span{in.z, out.z, in.face, ^out.face})
			return
		}
	}
	sortCrossings(x)
	first := len(c.spans)
	depth := 0
	for _, x := range x {
		if x.face < 0 {
			depth--
			if depth == 0 {
				last := &c.spans[len(c.spans)-1]
				last.top, last.out = x.z, ^x.face
			}
			depth = max(depth, 0) // an open mesh: an exit without an entry
			continue
		}
		depth++
		if depth > 1 {
			continue
		}
		if n := len(c.spans); n > first && x.z-c.spans[n-1].top <= touch {
			continue // touches the span below: goes on with it
		}
		c.spans = append(c.spans, span{bottom: x.z, top: x.z, in: x.face, out: x.face &^ hangsBit})
	}
}

// list counts column i if it has spans, and lists those of them that hang.
func (c *columns) list(i int32, above float32) {
	floor, below, hanging := float32(0), plate, len(c.hanging)
	spans := c.spans[c.start[i]:]
	if len(spans) > 0 {
		c.filled++
	}
	for k := range spans {
		x := &spans[k]
		if x.in&hangsBit != 0 {
			x.in &^= hangsBit
			if x.bottom > above {
				c.hanging = append(c.hanging, cell{z: x.bottom, floor: floor, face: x.in, below: below, column: i})
			}
		}
		floor, below = x.top, x.out
	}
	if len(c.hanging) > hanging {
		c.lowest[i] = int32(math.Float32bits(c.hanging[hanging].z))
	}
}

// sortCrossings sorts by height, entries before exits. Columns hold a handful
// of crossings: insertion beats any general sort.
func sortCrossings(x []crossing) {
	for i := 1; i < len(x); i++ {
		k := x[i]
		j := i
		for ; j > 0 && (x[j-1].z > k.z || (x[j-1].z == k.z && x[j-1].face < k.face)); j-- {
			x[j] = x[j-1]
		}
		x[j] = k
	}
}

// of returns the spans of column i.
func (c *columns) of(i int) []span { return c.spans[c.start[i]:c.start[i+1]] }

// hangingOf returns the numbers of column i's first hanging end and of the one
// behind its last.
func (c *columns) hangingOf(i int) (first, end int32) { return c.hangStart[i], c.hangStart[i+1] }

// sized returns a slice of length n that reuses s's memory where it is enough.
func sized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
