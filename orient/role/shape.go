package role

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// shape is what of a surface does not depend on where it is, which way it is
// turned, how it is cut into facets, and whether it is mirrored.
type shape struct {
	area    float64    // mm²
	spreads [3]float64 // mean square distance from the centre along the axes, ascending, mm²

	centre r3.Vec    // not part of the shape: its centre of mass
	axes   [3]r3.Vec // of length 1, square to each other, right-handed
}

// shapeOf measures a mesh.
//
// Source: the second moments of a triangle are those of its corners and its
// middle, weighted 1/12 and 9/12.
func shapeOf(m *mesh.Mesh) shape {
	var s shape
	for _, f := range allFaces(m) {
		s.area += m.FaceArea(f)
		s.centre = r3.Add(s.centre, r3.Scale(m.FaceArea(f), middle(m, f)))
	}
	if s.area == 0 {
		return s
	}
	s.centre = r3.Scale(1/s.area, s.centre)
	moments := mat.NewSymDense(3, nil)
	for _, f := range allFaces(m) {
		a, b, c := m.Corners(f)
		w := m.FaceArea(f) / s.area / 12
		addMoment(moments, r3.Sub(a, s.centre), w)
		addMoment(moments, r3.Sub(b, s.centre), w)
		addMoment(moments, r3.Sub(c, s.centre), w)
		addMoment(moments, r3.Sub(middle(m, f), s.centre), 9*w)
	}
	s.turn(moments)
	return s
}

func addMoment(m *mat.SymDense, d r3.Vec, w float64) {
	v := [3]float64{d.X, d.Y, d.Z}
	for i := range 3 {
		for j := i; j < 3; j++ {
			m.SetSym(i, j, m.At(i, j)+w*v[i]*v[j])
		}
	}
}

// turn finds the axes and the spread along each. A shape so large that its
// moments are no numbers loses its area, and is like no other.
func (s *shape) turn(moments *mat.SymDense) {
	var e mat.EigenSym
	if !e.Factorize(moments, true) {
		s.area = 0
		return
	}
	var v mat.Dense
	e.VectorsTo(&v)
	for i, x := range e.Values(nil) {
		s.spreads[i] = max(0, x)
		s.axes[i] = r3.Vec{X: v.At(0, i), Y: v.At(1, i), Z: v.At(2, i)}
	}
	s.axes[2] = r3.Cross(s.axes[0], s.axes[1])
}

// like reports whether two shapes agree to within a share of their size. One
// without area is like none.
func (s shape) like(o shape, share float64) bool {
	if s.area == 0 || math.Abs(s.area-o.area) > share*max(s.area, o.area) {
		return false
	}
	for i, a := range s.spreads {
		if math.Abs(a-o.spreads[i]) > share*max(s.spreads[2], o.spreads[2]) {
			return false
		}
	}
	return true
}

// allFaces lists the facets of a mesh.
func allFaces(m *mesh.Mesh) []mesh.FaceID {
	out := make([]mesh.FaceID, m.NumFaces())
	for i := range out {
		out[i] = mesh.FaceID(i)
	}
	return out
}
