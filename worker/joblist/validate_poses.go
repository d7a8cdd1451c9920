package joblist

import "math"

const (
	// unitTolerance is for products of two written unit vectors: each of their
	// parts is off by at most 0.5e-9, so a product is by 2·√3·0.5e-9 at most;
	// five times that leaves room for the caller's own rounding.
	unitTolerance = 1e-8
	// bedTolerance is ten times the step lengths are written with, mm.
	bedTolerance = 1e-5
)

// poses checks law (4).
func (v *validator) poses() {
	for _, p := range v.items {
		m := p.item.Matrix
		if !rigid(m) {
			v.fault("plate %q: part %q copy %d: matrix is no rigid transform", p.plate.ID, p.item.Part, p.item.Copy)
		} else if p.opt != nil && !uprights(m, p.opt.Up) {
			v.fault("plate %q: part %q copy %d: matrix does not turn option %d upright", p.plate.ID, p.item.Part, p.item.Copy, p.item.Option)
		}
		if printer := v.printer(p.plate.Printer); printer != nil && p.item.Box != nil && !printer.onBed(*p.item.Box) {
			v.fault("plate %q: part %q copy %d: box %v is not on the bed", p.plate.ID, p.item.Part, p.item.Copy, *p.item.Box)
		}
	}
}

// rigid reports whether a row-major matrix turns and shifts, and does nothing
// else: rows of the turn are unit vectors at right angles, right-handed.
func rigid(m [16]float64) bool {
	if [4]float64(m[12:]) != [4]float64{0, 0, 0, 1} {
		return false
	}
	row := func(i int) [3]float64 { return [3]float64(m[4*i : 4*i+3]) }
	for i := range 3 {
		for j := range 3 {
			want := 0.0
			if i == j {
				want = 1
			}
			if !(math.Abs(dot(row(i), row(j))-want) <= unitTolerance) { // NaN must fail
				return false
			}
		}
		if shift := m[4*i+3]; math.IsNaN(shift) || math.IsInf(shift, 0) {
			return false
		}
	}
	return dot(cross(row(0), row(1)), row(2)) > 0
}

// uprights reports whether the turn of m takes up to +z, which is so just when
// up is its last row.
func uprights(m [16]float64, up [3]float64) bool {
	return math.Abs(m[8]-up[0]) <= unitTolerance && math.Abs(m[9]-up[1]) <= unitTolerance &&
		math.Abs(m[10]-up[2]) <= unitTolerance
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// onBed reports whether a box is one and lies in the bed, of a round bed in its
// bounding square: the corners of a box may stick out where the part does not.
func (p *Printer) onBed(box [4]float64) bool {
	x, y := p.Bed[0], p.Bed[1]
	if p.Diameter > 0 {
		x, y = p.Diameter, p.Diameter
	}
	return box[0] <= box[2] && box[1] <= box[3] &&
		box[0] >= -bedTolerance && box[1] >= -bedTolerance &&
		box[2] <= x+bedTolerance && box[3] <= y+bedTolerance
}
