package plane

import (
	"gonum.org/v1/gonum/spatial/r2"
)

// Outline is a region of the plate: outer rings counter-clockwise, holes
// clockwise, no two rings crossing. A nil Outline is the empty region.
type Outline []Ring

// Area returns the area of the region, holes taken off. Unit: mm².
func (o Outline) Area() float64 {
	sum := 0.0
	for _, r := range o {
		sum += r.SignedArea()
	}
	return sum
}

// Bounds returns the smallest upright box around the region.
func (o Outline) Bounds() r2.Box {
	box := emptyBox()
	for _, r := range o {
		for _, p := range r {
			box = grow(box, p)
		}
	}
	return box
}

// Contains reports whether p lies in the region. Points exactly on a ring may
// be told either way.
func (o Outline) Contains(p r2.Vec) bool {
	n := 0
	for _, r := range o {
		n += r.winding(p)
	}
	return n > 0
}

// Points returns every corner of every ring, in order.
func (o Outline) Points() []r2.Vec {
	var out []r2.Vec
	for _, r := range o {
		out = append(out, r...)
	}
	return out
}

// Placed returns the region turned by spin about the origin and then shifted.
//
// Laws: area is unchanged; Placed(0, zero) equals the region.
func (o Outline) Placed(spin Angle, shift r2.Vec) Outline {
	out := make(Outline, len(o))
	for i, r := range o {
		out[i] = r.Placed(spin, shift)
	}
	return out
}

// Placed returns the ring turned by spin about the origin and then shifted.
func (r Ring) Placed(spin Angle, shift r2.Vec) Ring {
	sin, cos := spin.Sin(), spin.Cos()
	out := make(Ring, len(r))
	for i, p := range r {
		out[i] = r2.Vec{X: cos*p.X - sin*p.Y + shift.X, Y: sin*p.X + cos*p.Y + shift.Y}
	}
	return out
}
