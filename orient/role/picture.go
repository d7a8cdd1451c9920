package role

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// picture is what an assembly looks like along an axis, from both ends: for
// each cell of a grid across the axis the height along it of the first facet
// met from above and from below.
type picture struct {
	frame       mesh.Frame // Z is the axis
	cell        float64    // mm
	shift       r3.Vec     // of the frame, so that cell 0, 0 has its middle at 0, 0
	side        int        // cells along X and Y
	top, bottom []float32  // mm; infinite where there is nothing

	corners []r3.Vec // of the mesh being drawn, X and Y in cells
}

// newPicture returns a picture that has room for the meshes whichever way it is
// turned.
func newPicture(meshes []*mesh.Mesh) *picture {
	box := nothing()
	for _, m := range meshes {
		box = union(box, m.Bounds())
	}
	long := r3.Norm(r3.Sub(box.Max, box.Min))
	if !(long > 0 && long <= math.MaxFloat64) {
		long = 1 // all in one place, or out of all bounds: there is nothing to see
	}
	p := &picture{cell: max(long/finestCells, min(long/coarsestCells, cellSize))}
	p.side = int(long/p.cell) + 4
	p.shift = r3.Scale(0.5, r3.Add(box.Min, box.Max))
	p.top, p.bottom = make([]float32, p.side*p.side), make([]float32, p.side*p.side)
	return p
}

// take takes the picture along an axis.
func (p *picture) take(axis mesh.Direction, meshes []*mesh.Mesh) {
	p.frame = mesh.Upright(axis)
	inf := float32(math.Inf(1))
	for i := range p.top {
		p.top[i], p.bottom[i] = -inf, inf
	}
	for _, m := range meshes {
		p.corners = p.corners[:0]
		for _, v := range m.Vertices() {
			p.corners = append(p.corners, p.place(v))
		}
		for _, f := range m.Faces() {
			p.draw(p.corners[f[0]], p.corners[f[1]], p.corners[f[2]])
		}
	}
}

// place returns where a point is in the picture: X and Y in cells, Z in mm.
func (p *picture) place(v r3.Vec) r3.Vec {
	t := p.frame.Turn(r3.Sub(v, p.shift))
	middle := float64(p.side-1) / 2
	return r3.Vec{X: t.X/p.cell + middle, Y: t.Y/p.cell + middle, Z: t.Z}
}

// clamp returns the cell that x is in, the outermost if it is in none.
func (p *picture) clamp(x float64) int {
	if !(x > 0) { // or not a number
		return 0
	}
	return int(min(x, float64(p.side-1)))
}

// rounding is by how much of a cell the two facets at an edge may differ in
// where it crosses a row.
const rounding = 1e-6

// draw enters a facet into the cells whose middles it covers.
func (p *picture) draw(a, b, c r3.Vec) {
	lo, hi := p.clamp(math.Ceil(min(a.Y, b.Y, c.Y))), p.clamp(math.Floor(max(a.Y, b.Y, c.Y)))
	if lo > hi || math.Ceil(min(a.X, b.X, c.X)-rounding) > max(a.X, b.X, c.X)+rounding {
		return
	}
	for y := lo; y <= hi; y++ {
		s := emptySpan()
		s.crossEdge(a, b, float64(y))
		s.crossEdge(b, c, float64(y))
		s.crossEdge(c, a, float64(y))
		p.drawSpan(s, y)
	}
}

func (p *picture) drawSpan(s span, y int) {
	slope := 0.0
	if s.x1 > s.x0 {
		slope = (s.z1 - s.z0) / (s.x1 - s.x0)
	}
	from, to := p.clamp(math.Ceil(s.x0-rounding)), p.clamp(math.Floor(s.x1+rounding))
	for x := from; x <= to; x++ {
		z := float32(s.z0 + slope*(float64(x)-s.x0))
		i := y*p.side + x
		p.top[i] = max(p.top[i], z)
		p.bottom[i] = min(p.bottom[i], z)
	}
}

// span is what a row of cells and a facet have in common.
type span struct{ x0, z0, x1, z1 float64 }

func emptySpan() span { return span{x0: math.Inf(1), x1: math.Inf(-1)} }

// crossEdge grows the span to where the edge from a to b crosses row y.
func (s *span) crossEdge(a, b r3.Vec, y float64) {
	if (a.Y < y && b.Y < y) || (a.Y > y && b.Y > y) {
		return
	}
	if a.Y == b.Y {
		s.grow(a.X, a.Z)
		s.grow(b.X, b.Z)
		return
	}
	t := (y - a.Y) / (b.Y - a.Y)
	s.grow(a.X+t*(b.X-a.X), a.Z+t*(b.Z-a.Z))
}

func (s *span) grow(x, z float64) {
	if x < s.x0 {
		s.x0, s.z0 = x, z
	}
	if x > s.x1 {
		s.x1, s.z1 = x, z
	}
}

// sees reports whether a point of a facet with normal n is the first thing met
// from the end of the axis that the facet faces. The cosine of n and the axis,
// which may be negative, is known to the caller.
func (p *picture) sees(at, n r3.Vec, cosine float64) bool {
	q := p.place(r3.Add(at, r3.Scale(lift*p.cell, n)))
	i := p.clamp(q.Y+half)*p.side + p.clamp(q.X+half)
	// The middle of the cell is up to 0.71 cells from the point.
	slope := math.Sqrt(max(0, 1-cosine*cosine)) / math.Abs(cosine)
	play := p.cell * (slack + math.Sqrt2/2*min(slope, steepest))
	if cosine > 0 {
		return q.Z+play >= float64(p.top[i])
	}
	return q.Z-play <= float64(p.bottom[i])
}
