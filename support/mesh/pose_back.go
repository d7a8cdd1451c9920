package mesh

import "gonum.org/v1/gonum/spatial/r3"

// Back returns the point that the pose takes to v: a place on the plate in the
// part's file frame.
//
// Laws: Back(Apply(v)) = v, up to rounding.
func (p Pose) Back(v r3.Vec) r3.Vec {
	v, f := r3.Sub(v, p.Shift), p.Frame
	return r3.Add(r3.Scale(v.X, f.X), r3.Add(r3.Scale(v.Y, f.Y), r3.Scale(v.Z, f.Z)))
}
