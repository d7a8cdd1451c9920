package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// surface is a turned mesh as the columns read it: corners, facets, and each
// facet's vertical normal part.
type surface struct {
	corners []r3.Vec
	faces   [][3]mesh.VertexID
	nz      []float64
	low     r3.Vec // least corner of the bounding box
	high    r3.Vec // greatest
}

// surfaceOf reads a standing mesh.
func surfaceOf(m *mesh.Mesh) surface {
	s := surface{corners: m.Vertices(), faces: m.Faces(), low: m.Bounds().Min, high: m.Bounds().Max}
	s.nz = make([]float64, m.NumFaces())
	for i, n := range m.Normals() {
		s.nz[i] = n.Z
	}
	return s
}

// columns samples a surface along vertical lines on a square grid: the spans
// of each line that lie in the body. Touching and overlapping shells make one
// span. The zero value is ready; one value used again and again keeps its
// memory.
type columns struct {
	x0, y0, step float64
	nx, ny       int
	start        []int32 // len nx·ny+1: where a column's spans begin in spans
	spans        []span  // rising within a column

	hits   []hit      // crossings as they are found, facet by facet
	first  []int32    // where a column's crossings begin in sorted
	sorted []crossing // crossings by column
}

// span is one stretch of a column inside the body.
type span struct {
	bottom, top float32 // mm over the plate
	in, out     mesh.FaceID
}

// crossing is where a column meets a facet.
type crossing struct {
	z    float32
	face mesh.FaceID // ones' complement where the facet looks up
}

// hit is a crossing and its column.
type hit struct {
	column int32
	crossing
}

// offGrid shifts the columns off round numbers, on which walls like to stand:
// a column along a wall would be told in or out by rounding. The share of a
// step is the golden ratio's, as far from simple fractions as can be.
const offGrid = 0.6180339887498949

// sample fills the columns, step mm apart, from a surface.
//
// A column on an edge that two facets share is given to exactly one of them:
// crossings of shared edges are computed alike for both and taken half-open.
// Cost: O(facets + crossings · log of those in a column).
func (c *columns) sample(s surface, step float64) {
	c.step = step
	c.x0, c.y0 = s.low.X-offGrid*step, s.low.Y-offGrid*step
	c.nx = int((s.high.X-c.x0)/step) + 2
	c.ny = int((s.high.Y-c.y0)/step) + 2
	c.strike(s)
	c.sort()
	touch := float32(touchShare * r3.Norm(r3.Sub(s.high, s.low)))
	c.spans = c.spans[:0]
	c.start = sized(c.start, c.nx*c.ny+1)
	c.start[0] = 0
	for i := range c.nx * c.ny {
		if c.first[i] < c.first[i+1] {
			c.join(c.sorted[c.first[i]:c.first[i+1]], touch)
		}
		c.start[i+1] = int32(len(c.spans))
	}
}

// strike finds every crossing of a column with a facet, facets in order.
func (c *columns) strike(s surface) {
	c.hits = c.hits[:0]
	inverse := 1 / c.step
	for f, corner := range s.faces {
		a, b, d := &s.corners[corner[0]], &s.corners[corner[1]], &s.corners[corner[2]]
		// Most facets of a fine mesh slip between the columns: two look-ups
		// and they are done with.
		y0, y1 := ceil((min(a.Y, b.Y, d.Y)-c.y0)*inverse), ceil((max(a.Y, b.Y, d.Y)-c.y0)*inverse)
		if y0 == y1 {
			continue
		}
		x0, x1 := ceil((min(a.X, b.X, d.X)-c.x0)*inverse), ceil((max(a.X, b.X, d.X)-c.x0)*inverse)
		if x0 == x1 {
			continue
		}
		face := mesh.FaceID(f)
		switch nz := s.nz[f]; {
		case nz > steepest:
			face = ^face
		case nz >= -steepest:
			continue
		}
		c.strikeFacet(face, a, b, d, y0, y1)
	}
}

// strikeFacet finds the crossings of one facet in rows y0 up to y1.
func (c *columns) strikeFacet(face mesh.FaceID, a, b, d *r3.Vec, y0, y1 int) {
	inverse := 1 / c.step
	plane := slopeThrough(*a, r3.Cross(r3.Sub(*b, *a), r3.Sub(*d, *a)))
	low, high := min(a.Z, b.Z, d.Z), max(a.Z, b.Z, d.Z)
	corners := [3]r2.Vec{flat(*a), flat(*b), flat(*d)}
	for y := y0; y < y1; y++ {
		left, right := rowSpan(&corners, c.y0+float64(y)*c.step)
		x1 := ceil((right - c.x0) * inverse)
		for x := ceil((left - c.x0) * inverse); x < x1; x++ {
			// A steep facet's plane overshoots its corners by rounding.
			z := min(max(plane.at(c.at(x, y)), low), high)
			c.hits = append(c.hits, hit{int32(y*c.nx + x), crossing{float32(z), face}})
		}
	}
}

// sort deals the crossings into their columns.
func (c *columns) sort() {
	n := c.nx * c.ny
	c.first = sized(c.first, n+2)
	clear(c.first)
	for _, h := range c.hits {
		c.first[h.column+2]++
	}
	for i := 2; i < len(c.first); i++ {
		c.first[i] += c.first[i-1]
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
	sortCrossings(x)
	first := len(c.spans)
	depth := 0
	for _, x := range x {
		if x.face < 0 {
			depth--
			if depth == 0 {
				c.spans[len(c.spans)-1].top, c.spans[len(c.spans)-1].out = x.z, ^x.face
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
		c.spans = append(c.spans, span{bottom: x.z, top: x.z, in: x.face, out: x.face})
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

// at returns the place of a column.
func (c *columns) at(x, y int) r2.Vec {
	return r2.Vec{X: c.x0 + float64(x)*c.step, Y: c.y0 + float64(y)*c.step}
}

// of returns the spans of column i.
func (c *columns) of(i int) []span { return c.spans[c.start[i]:c.start[i+1]] }

// rowSpan returns where the line at height y enters and leaves a triangle. An
// edge belongs to the rows from its lower end up to, not including, its upper.
func rowSpan(t *[3]r2.Vec, y float64) (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	for i, p := range t {
		q := t[(i+1)%3]
		if p.Y > q.Y {
			p, q = q, p // always from the lower end: shared edges agree to the bit
		}
		if p.Y <= y && y < q.Y {
			x := p.X + (y-p.Y)/(q.Y-p.Y)*(q.X-p.X)
			left, right = min(left, x), max(right, x)
		}
	}
	return left, right
}

// ceil rounds up to a whole number; x must not be below −1, which the columns'
// margin of a part of a step sees to.
func ceil(x float64) int {
	n := int(x)
	if float64(n) < x {
		n++
	}
	return n
}

// sized returns a slice of length n that reuses s's memory where it is enough.
func sized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
