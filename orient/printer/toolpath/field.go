package toolpath

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// field is the distance of each point of a raster to the outline, positive in
// the body, exact up to reach and ±reach beyond.
//
// A distance transform of the filled cells would be quicker but knows the
// outline to half a cell only, and the walls drawn along it come out jagged.
type field struct {
	raster
	reach    float64
	distance []float64
}

func (r raster) field(outline []segment, in mask, reach float64) field {
	f := field{r, reach, make([]float64, r.nx*r.ny)}
	for i := range f.distance {
		f.distance[i] = reach * reach
	}
	for _, s := range outline {
		for _, piece := range s.pieces(reach) {
			f.near(piece)
		}
	}
	for i, d := range f.distance {
		f.distance[i] = math.Sqrt(d)
		if !in[i] {
			f.distance[i] *= -1
		}
	}
	return f
}

// near lowers the squared distances around a segment.
func (f *field) near(s segment) {
	rim := r2.Vec{X: f.reach, Y: f.reach}
	x0, y0 := f.nearest(r2.Sub(r2.Vec{X: min(s.p.X, s.q.X), Y: min(s.p.Y, s.q.Y)}, rim))
	x1, y1 := f.nearest(r2.Add(r2.Vec{X: max(s.p.X, s.q.X), Y: max(s.p.Y, s.q.Y)}, rim))
	along := r2.Sub(s.q, s.p)
	square := r2.Norm2(along)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			from := r2.Sub(f.at(x, y), s.p)
			k := min(max(r2.Dot(from, along)/square, 0), 1)
			d := r2.Norm2(r2.Sub(from, r2.Scale(k, along)))
			if i := y*f.nx + x; d < f.distance[i] {
				f.distance[i] = d
			}
		}
	}
}

// value returns the distance at any place, between the points of the grid
// bilinearly.
func (f *field) value(p r2.Vec) float64 {
	x, y := (p.X-f.origin.X)/f.cell, (p.Y-f.origin.Y)/f.cell
	i, j := int(x), int(y)
	if x < 0 || y < 0 || i+1 >= f.nx || j+1 >= f.ny {
		return -f.reach
	}
	u, v := x-float64(i), y-float64(j)
	k := j*f.nx + i
	low := f.distance[k]*(1-u) + f.distance[k+1]*u
	high := f.distance[k+f.nx]*(1-u) + f.distance[k+f.nx+1]*u
	return low*(1-v) + high*v
}
