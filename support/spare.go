package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/mesh"
)

// sparingStep is the spacing of the columns that look for ledges and bridges,
// as a share of the widest ledge: a ledge is then measured to an eighth of its
// limit.
const sparingStep = 0.25

// sparingColumns bounds the number of columns of one part: 250 × 250 mm at a
// quarter of a millimetre, with room to spare.
const sparingColumns = 1 << 21

// sparingDirections is the number of directions, over half a turn, in which
// spans are measured whatever the part looks like: a span that lies between
// two of them, 5.6° off, is measured half a per cent too long. That loses the
// corners of straight bridges, so the directions straight across the longest
// straight borders are added.
const (
	sparingDirections = 16
	borderDirections  = 4
)

// sparing finds the ledges and bridges among hanging surfaces. A hanging cell
// is spared where, in some direction along the plate, the run of hanging cells
// through it is held at both ends and no longer than a bridge may be, or held
// at one end and no wider than a ledge may be. An end is held when the next
// column is body at that height and does not hang there itself.
type sparing struct {
	settings Settings
	columns  *columns
	rise     float64 // steepest slope of a hanging surface, as rise over run
	hangs    []bool  // one a facet: some of it needs support
	borders  []int32 // cells that a run may begin at, and perhaps others
	members  []int32 // of the run at hand
	shift    []int32 // of the rows of a sweep
}

// sparedShare returns, for each facet, the share of its hanging surface that
// needs no support because it is part of a ledge or bridge; nil when nothing
// hangs or nothing may be spared.
func (s Settings) sparedShare(m *mesh.Mesh, u *underside) []float64 {
	if len(u.patches) == 0 || (s.Ledge <= 0 && s.Bridge <= 0) {
		return nil
	}
	sp := s.newSparing(m, u)
	for k := range sparingDirections {
		sp.sweep(math.Pi * float64(k) / sparingDirections)
	}
	for _, direction := range acrossBorders(m, sp.hangs) {
		sp.sweep(direction)
	}
	return sp.shares(m, u)
}

// newSparing samples a standing mesh finely enough for ledges.
func (s Settings) newSparing(m *mesh.Mesh, u *underside) *sparing {
	limit := s.Ledge
	if limit <= 0 {
		limit = s.Bridge / 10
	}
	b := m.Bounds()
	step := math.Max(limit*sparingStep, math.Sqrt((b.Max.X-b.Min.X)*(b.Max.Y-b.Min.Y)/sparingColumns))
	sp := &sparing{settings: s, hangs: make([]bool, m.NumFaces())}
	for _, p := range u.patches {
		sp.hangs[p.face] = true
	}
	c := new(columns)
	c.sample(surface{m, func(f mesh.FaceID) bool { return sp.hangs[f] }}, step)
	sp.reset(c)
	return sp
}

// reset looks at columns afresh.
func (sp *sparing) reset(c *columns) {
	// Half as much again for surfaces that curve between two columns; at a
	// limit near 0° the slope has no bound, and a rise of 4 has to do.
	sp.rise = math.Min(1.5/math.Tan(float64(sp.settings.Limit)), 4)
	sp.columns, sp.borders = c, sp.borders[:0]
	reach := float32(0.999 * sp.rise * c.step)
	for i := range c.hanging {
		if !c.surrounded(&c.hanging[i], reach) {
			sp.borders = append(sp.borders, int32(i))
		}
	}
}

// surrounded reports whether the lowest hanging ends on all eight sides of one
// are no more than reach higher or lower. Positive numbers compare as their
// bits do, so there is no branch for each.
func (c *columns) surrounded(h *cell, reach float32) bool {
	low, high := int32(math.Float32bits(max(h.z-reach, 1e-30))), int32(math.Float32bits(h.z+reach))
	off := int32(math.Float32bits(h.z)) // its sign, as all others', says no
	for row := int(h.column) - c.nx; row <= int(h.column)+c.nx; row += c.nx {
		z := (*[3]int32)(c.lowest[row-1:])
		off |= (z[0] - low) | (high - z[0]) | (z[1] - low) | (high - z[1]) | (z[2] - low) | (high - z[2])
	}
	return off >= 0
}

// acrossBorders returns the directions at right angles to the borders of the
// hanging surface that add up longest, in radians; at most borderDirections.
func acrossBorders(m *mesh.Mesh, hangs []bool) []float64 {
	inside := make(map[[2]mesh.VertexID]bool)
	eachHangingEdge(m, hangs, func(a, b mesh.VertexID) { inside[[2]mesh.VertexID{a, b}] = true })
	const bins = 180
	var length, sum [bins]float64
	eachHangingEdge(m, hangs, func(a, b mesh.VertexID) {
		if inside[[2]mesh.VertexID{b, a}] {
			return
		}
		d := r2.Sub(flat(m.Vertex(b)), flat(m.Vertex(a)))
		across := math.Mod(math.Atan2(d.Y, d.X)+2.5*math.Pi, math.Pi)
		bin := min(int(across/math.Pi*bins), bins-1)
		length[bin] += r2.Norm(d)
		sum[bin] += r2.Norm(d) * across
	})
	var out []float64
	for range borderDirections {
		best := 0
		for i := range length {
			if length[i] > length[best] {
				best = i
			}
		}
		if length[best] == 0 {
			break
		}
		out = append(out, sum[best]/length[best])
		length[best] = 0
	}
	return out
}

func eachHangingEdge(m *mesh.Mesh, hangs []bool, do func(a, b mesh.VertexID)) {
	for i, f := range m.Faces() {
		if hangs[i] {
			do(f[0], f[1])
			do(f[1], f[2])
			do(f[2], f[0])
		}
	}
}

// sweep measures the runs along one direction. The grid's lines in that
// direction are sheared rows (or columns, where the direction is steeper):
// every column lies on exactly one of them, and the next one on a line is
// beside it or across a corner. A run therefore begins at a border.
func (sp *sparing) sweep(direction float64) {
	sin, cos := math.Sincos(direction)
	c := sp.columns
	length, along, across := c.nx, 1, c.nx
	slope, pitch := sin/cos, c.step/math.Abs(cos)
	if math.Abs(cos) < math.Abs(sin) {
		length, along, across = c.ny, c.nx, 1
		slope, pitch = cos/sin, c.step/math.Abs(sin)
	}
	sp.shift = sized(sp.shift, length)
	for k := range sp.shift {
		at := int(math.Round(float64(k)*slope)) - int(math.Round(float64(k-1)*slope))
		sp.shift[k] = int32(along + at*across)
	}
	for _, i := range sp.borders {
		at := int(c.hanging[i].column)
		k := at % c.nx
		if along != 1 {
			k = at / c.nx
		}
		before := at - int(sp.shift[k])
		if sp.next(before, c.hanging[i].z, pitch) < 0 {
			sp.run(i, k, before, pitch)
		}
	}
}

// run follows one run from its first cell, in place k along its line, and
// spares it if it may be; before is the column before.
func (sp *sparing) run(first int32, k, before int, pitch float64) {
	cells := sp.columns.hanging
	// As many cells as the run is long, to the nearest cell: half a cell of
	// grace makes a span of exactly the limit pass.
	fits := func(cells int, limit float64) bool { return (float64(cells)-0.5)*pitch <= limit }
	held := sp.holds(before, cells[first].z)
	limit := sp.settings.Ledge
	if held {
		limit = max(limit, sp.settings.Bridge)
	}
	sp.members = append(sp.members[:0], first)
	last, column := first, int(cells[first].column)
	for fits(len(sp.members), limit) {
		k++
		column += int(sp.shift[k])
		on := sp.next(column, cells[last].z, pitch)
		if on >= 0 {
			last = on
			sp.members = append(sp.members, on)
			continue
		}
		both := held && sp.holds(column, cells[last].z)
		if (both && fits(len(sp.members), sp.settings.Bridge)) ||
			((held || sp.holds(column, cells[last].z)) && fits(len(sp.members), sp.settings.Ledge)) {
			for _, i := range sp.members {
				cells[i].spare = true
			}
		}
		return
	}
}

// next returns the hanging cell of a column that carries a surface at height z
// on, or −1. What rises faster than a hanging surface can is another surface.
func (sp *sparing) next(column int, z float32, pitch float64) int32 {
	first, end := sp.columns.hangingOf(column)
	for i := first; i < end; i++ {
		if math.Abs(float64(sp.columns.hanging[i].z-z)) <= sp.rise*pitch {
			return i
		}
	}
	return -1
}

// holds reports whether a column is body at height z and already was a layer
// further down, or at least does not end there.
func (sp *sparing) holds(column int, z float32) bool {
	for _, s := range sp.columns.of(column) {
		if s.bottom < z && s.top >= z-float32(sp.settings.Layer) {
			return true
		}
	}
	return false
}

// shares turns spared cells into a share for each facet. A facet too small to
// hold a column takes the answer of the cell nearest to its middle.
func (sp *sparing) shares(m *mesh.Mesh, u *underside) []float64 {
	total := make([]float64, m.NumFaces())
	spare := make([]float64, m.NumFaces())
	for _, c := range sp.columns.hanging {
		total[c.face]++
		if c.spare {
			spare[c.face]++
		}
	}
	for _, f := range u.hanging {
		switch {
		case total[f] > 0:
			spare[f] /= total[f]
		case sp.spareAt(m, f):
			spare[f] = 1
		}
	}
	return spare
}

// spareAt reports whether the hanging cell nearest to a facet's middle is
// spared.
func (sp *sparing) spareAt(m *mesh.Mesh, f mesh.FaceID) bool {
	a, b, d := m.Corners(f)
	c := sp.columns
	x := int(math.Round(((a.X+b.X+d.X)/3 - c.x0) / c.step))
	y := int(math.Round(((a.Y+b.Y+d.Y)/3 - c.y0) / c.step))
	z := (a.Z + b.Z + d.Z) / 3
	best, answer := math.Inf(1), false
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			if x+dx < 0 || y+dy < 0 || x+dx >= c.nx || y+dy >= c.ny {
				continue
			}
			first, end := c.hangingOf((y+dy)*c.nx + x + dx)
			for _, h := range c.hanging[first:end] {
				far := math.Hypot(float64(h.z)-z, c.step*math.Hypot(float64(dx), float64(dy)))
				if far < best {
					best, answer = far, h.spare
				}
			}
		}
	}
	return answer
}
