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

// cell is a hanging span end of one column.
type cell struct {
	z     float32
	face  mesh.FaceID
	spare bool
}

// sparing finds the ledges and bridges among hanging surfaces. A hanging cell
// is spared where, in some direction along the plate, the run of hanging cells
// through it is held at both ends and no longer than a bridge may be, or held
// at one end and no wider than a ledge may be. An end is held when the next
// column is body at that height and does not hang there itself.
type sparing struct {
	settings Settings
	columns  *columns
	cells    []cell  // one a span; face −1 where the span's bottom does not hang
	rise     float64 // steepest slope of a hanging surface, as rise over run
	hangs    []bool  // one a facet: some of it needs support
	members  []int32 // cells of the run at hand
	shift    []int   // of the rows of a sweep
	line     []int   // columns along one of them
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
	sp := &sparing{settings: s, columns: new(columns), hangs: make([]bool, m.NumFaces())}
	sp.columns.sample(surfaceOf(m), step)
	for _, p := range u.patches {
		sp.hangs[p.face] = true
	}
	sp.reset(func(x span) bool { return sp.hangs[x.in] })
	return sp
}

// reset looks at the columns afresh; hangs tells whether the bottom of a span
// needs support.
func (sp *sparing) reset(hangs func(span) bool) {
	// Half as much again for surfaces that curve between two columns; at a
	// limit near 0° the slope has no bound, and a rise of 4 has to do.
	sp.rise = math.Min(1.5/math.Tan(float64(sp.settings.Limit)), 4)
	sp.cells = sized(sp.cells, len(sp.columns.spans))
	for i, x := range sp.columns.spans {
		sp.cells[i] = cell{z: x.bottom, face: -1}
		if hangs(x) {
			sp.cells[i].face = x.in
		}
	}
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
// every column lies on exactly one of them.
func (sp *sparing) sweep(direction float64) {
	sin, cos := math.Sincos(direction)
	c := sp.columns
	alongX := math.Abs(cos) >= math.Abs(sin)
	length, width := c.nx, c.ny
	slope, pitch := sin/cos, c.step/math.Abs(cos)
	if !alongX {
		length, width = c.ny, c.nx
		slope, pitch = cos/sin, c.step/math.Abs(sin)
	}
	sp.shift, sp.line = sized(sp.shift, length), sized(sp.line, length)
	shift, line := sp.shift, sp.line
	low, high := 0, 0
	for k := range shift {
		shift[k] = int(math.Round(float64(k) * slope))
		low, high = min(low, shift[k]), max(high, shift[k])
	}
	for row := -high; row < width-low; row++ {
		for k := range line {
			w := row + shift[k]
			switch {
			case w < 0 || w >= width:
				line[k] = -1
			case alongX:
				line[k] = w*c.nx + k
			default:
				line[k] = k*c.nx + w
			}
		}
		sp.walk(line, pitch)
	}
}

// walk measures the runs along one line of columns; −1 stands for columns off
// the grid.
func (sp *sparing) walk(line []int, pitch float64) {
	for k, column := range line {
		first, end := sp.cellsOf(column)
		for at := first; at < end; at++ {
			if sp.cells[at].face < 0 {
				continue
			}
			if k > 0 && sp.next(line[k-1], sp.cells[at].z, pitch) >= 0 {
				continue // not the first cell of its run
			}
			sp.run(line, k, at, pitch)
		}
	}
}

// run follows one run from its first cell and spares it if it may be.
func (sp *sparing) run(line []int, k int, first int32, pitch float64) {
	held := 0
	if k > 0 && sp.holds(line[k-1], sp.cells[first].z) {
		held++
	}
	sp.members = append(sp.members[:0], first)
	last := first
	for k++; k < len(line); k++ {
		on := sp.next(line[k], sp.cells[last].z, pitch)
		if on < 0 {
			if sp.holds(line[k], sp.cells[last].z) {
				held++
			}
			break
		}
		last = on
		sp.members = append(sp.members, on)
	}
	// As many cells as the run is long, to the nearest cell: half a cell of
	// grace makes a span of exactly the limit pass.
	length := (float64(len(sp.members)) - 0.5) * pitch
	if (held == 2 && length <= sp.settings.Bridge) || (held >= 1 && length <= sp.settings.Ledge) {
		for _, i := range sp.members {
			sp.cells[i].spare = true
		}
	}
}

// cellsOf returns the numbers of a column's first cell and of the one behind
// its last.
func (sp *sparing) cellsOf(column int) (first, end int32) {
	if column < 0 {
		return 0, 0
	}
	return sp.columns.start[column], sp.columns.start[column+1]
}

// next returns the hanging cell of a column that carries a surface at height z
// on, or −1. What rises faster than a hanging surface can is another surface.
func (sp *sparing) next(column int, z float32, pitch float64) int32 {
	first, end := sp.cellsOf(column)
	for i := first; i < end; i++ {
		if sp.cells[i].face >= 0 && math.Abs(float64(sp.cells[i].z-z)) <= sp.rise*pitch {
			return i
		}
	}
	return -1
}

// holds reports whether a column is body at height z and already was a layer
// further down, or at least does not end there.
func (sp *sparing) holds(column int, z float32) bool {
	if column < 0 {
		return false
	}
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
	for _, c := range sp.cells {
		if c.face >= 0 {
			total[c.face]++
			if c.spare {
				spare[c.face]++
			}
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
			first, end := sp.cellsOf((y+dy)*c.nx + x + dx)
			for i := first; i < end; i++ {
				if sp.cells[i].face < 0 {
					continue
				}
				far := math.Hypot(float64(sp.cells[i].z)-z, c.step*math.Hypot(float64(dx), float64(dy)))
				if far < best {
					best, answer = far, sp.cells[i].spare
				}
			}
		}
	}
	return answer
}
