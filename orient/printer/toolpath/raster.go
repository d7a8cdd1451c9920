package toolpath

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// raster is a square grid of points on the plate.
type raster struct {
	origin r2.Vec
	cell   float64
	nx, ny int
}

// offGrid keeps the points off round coordinates, on which walls like to stand.
const offGrid = 0.6180339887498949

// newRaster covers a box with some cells to spare all round.
func newRaster(b box, cell, spare float64) raster {
	rim := (math.Ceil(spare/cell) + offGrid) * cell
	r := raster{origin: r2.Sub(b.low, r2.Vec{X: rim, Y: rim}), cell: cell}
	r.nx = int((b.high.X-r.origin.X+rim)/cell) + 1
	r.ny = int((b.high.Y-r.origin.Y+rim)/cell) + 1
	return r
}

func (r raster) at(x, y int) r2.Vec {
	return r2.Vec{X: r.origin.X + float64(x)*r.cell, Y: r.origin.Y + float64(y)*r.cell}
}

// nearest returns the point nearest to p, kept on the grid.
func (r raster) nearest(p r2.Vec) (x, y int) {
	x = int(math.Round((p.X - r.origin.X) / r.cell))
	y = int(math.Round((p.Y - r.origin.Y) / r.cell))
	return min(max(x, 0), r.nx-1), min(max(y, 0), r.ny-1)
}

func (r raster) index(p r2.Vec) int {
	x, y := r.nearest(p)
	return y*r.nx + x
}

// mask says of each point of a raster whether it is in.
type mask []bool

// step is a place where a row enters or leaves a shell.
type step struct {
	x    float64
	turn int
}

// fill returns which points lie in the body, and whether shells overlap
// anywhere. A point is in where its winding number is positive.
func (r raster) fill(outline []segment) (in mask, overlap bool) {
	rows := make([][]step, r.ny)
	for _, s := range outline {
		p, q, turn := s.p, s.q, -1
		if p.Y > q.Y {
			p, q, turn = q, p, 1
		}
		first := max(0, int(math.Ceil((p.Y-r.origin.Y)/r.cell)))
		for y := first; y < r.ny && r.at(0, y).Y < q.Y; y++ {
			x := p.X + (r.at(0, y).Y-p.Y)/(q.Y-p.Y)*(q.X-p.X)
			rows[y] = append(rows[y], step{x, turn})
		}
	}
	in = make(mask, r.nx*r.ny)
	for y, row := range rows {
		slices.SortFunc(row, func(a, b step) int {
			return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(b.turn, a.turn))
		})
		winding := 0
		for i, s := range row {
			winding += s.turn
			overlap = overlap || winding > 1
			if winding <= 0 || i+1 == len(row) {
				continue
			}
			from := max(0, int(math.Ceil((s.x-r.origin.X)/r.cell)))
			for x := from; x < r.nx && r.at(x, y).X < row[i+1].x; x++ {
				in[y*r.nx+x] = true
			}
		}
	}
	return in, overlap
}

// bare returns the part of an outline that does not lie inside the body, as
// where shells overlap.
func (r raster) bare(outline []segment, in mask) []segment {
	var out []segment
	for _, s := range outline {
		for _, piece := range s.pieces(r.cell) {
			d := r2.Sub(piece.q, piece.p)
			right := r2.Scale(r.cell/r2.Norm(d), r2.Vec{X: d.Y, Y: -d.X})
			if !in[r.index(r2.Add(r2.Scale(0.5, r2.Add(piece.p, piece.q)), right))] {
				out = append(out, piece)
			}
		}
	}
	return out
}

// pieces cuts a segment into equal parts no longer than most.
func (s segment) pieces(most float64) []segment {
	n := int(math.Ceil(r2.Norm(r2.Sub(s.q, s.p)) / most))
	out := make([]segment, 0, n)
	from := s.p
	for i := 1; i <= n; i++ {
		to := r2.Add(s.p, r2.Scale(float64(i)/float64(n), r2.Sub(s.q, s.p)))
		out = append(out, segment{from, to})
		from = to
	}
	return out
}
