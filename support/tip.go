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
	bare, _ := s.TipOn(m, nil)
	return bare
}

// TipOn returns Tip, and the same with further feet: places on the plate where
// support stands, which keeps the part from falling that way.
func (s Settings) TipOn(m *mesh.Mesh, further []r2.Vec) (bare, held plane.Angle) {
	var feet []r2.Vec
	s.eachFoot(m, func(polygon []r3.Vec) {
		for _, p := range polygon {
			feet = append(feet, flat(p))
		}
	})
	foot := HullOf(feet)
	wide := foot
	if len(further) > 0 {
		wide = HullOf(append(feet, further...))
	}
	if len(wide) < 3 {
		return 0, 0
	}
	least, leastWide := math.Pi/2, math.Pi/2
	s.eachStage(m, func(centre r2.Vec, height float64) {
		least = min(least, lean(foot, centre, height))
		leastWide = min(leastWide, lean(wide, centre, height))
	})
	return plane.Angle(least), plane.Angle(leastWide)
}

// lean returns how far something can be tilted over the edge of its foot; 0
// where the foot has no area.
func lean(foot plane.Ring, centre r2.Vec, height float64) float64 {
	if len(foot) < 3 {
		return 0
	}
	return math.Atan2(max(depth(foot, centre), 0), height)
}

// eachStage calls do with the mass centre of what is printed after each layer.
func (s Settings) eachStage(m *mesh.Mesh, do func(centre r2.Vec, height float64)) {
	height := m.Bounds().Max.Z
	layers := s.NumLayers(height)
	cuts := sections(m, s.middles(height))
	volume, rise := 0.0, 0.0
	var moment r2.Vec
	for k := range layers {
		bottom := s.Bottom(k)
		t := min(s.Bottom(k+1), height) - bottom
		volume += cuts[k].area * t
		rise += cuts[k].area * t * (bottom + t/2)
		moment = r2.Add(moment, r2.Scale(t, cuts[k].moment))
		if volume > 0 {
			do(r2.Scale(1/volume, moment), rise/volume)
		}
	}
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
