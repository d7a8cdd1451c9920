package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
)

// Tip returns the least, over the layers as they are printed, of the angle by
// which the part could be tilted before its mass centre passes the edge of the
// hull of what touches the plate. Support is not counted as a
// foot. A mesh that touches the plate in less than an area returns 0.
func (s Settings) Tip(m *mesh.Mesh) plane.Angle {
	var feet []r2.Vec
	s.eachFoot(m, func(polygon []r3.Vec) {
		for _, p := range polygon {
			feet = append(feet, flat(p))
		}
	})
	foot := plane.Hull(feet)
	if len(foot) < 3 {
		return 0
	}
	height := m.Bounds().Max.Z
	layers := s.NumLayers(height)
	cuts := sections(m, s.middles(height))
	least := math.Pi / 2
	volume, rise := 0.0, 0.0
	var moment r2.Vec
	for k := range layers {
		bottom := s.Bottom(k)
		t := min(s.Bottom(k+1), height) - bottom
		volume += cuts[k].area * t
		rise += cuts[k].area * t * (bottom + t/2)
		moment = r2.Add(moment, r2.Scale(t, cuts[k].moment))
		if volume <= 0 {
			continue
		}
		inside := depth(foot, r2.Scale(1/volume, moment))
		least = min(least, math.Atan2(max(inside, 0), rise/volume))
	}
	return plane.Angle(least)
}

// middles returns the height of the middle of each layer, of the last layer
// the middle of what the part fills of it.
func (s Settings) middles(height float64) []float64 {
	out := make([]float64, s.NumLayers(height))
	for k := range out {
		bottom := s.Bottom(k)
		out[k] = (bottom + max(bottom, min(s.Bottom(k+1), height))) / 2
	}
	return out
}

// depth returns how far inside a convex counter-clockwise ring a point lies,
// negative outside. Unit: mm.
func depth(ring plane.Ring, p r2.Vec) float64 {
	least := math.Inf(1)
	for i, a := range ring {
		d := r2.Sub(ring[(i+1)%len(ring)], a)
		least = min(least, r2.Cross(d, r2.Sub(p, a))/r2.Norm(d))
	}
	return least
}
