package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// flatVolume is the volume, relative to area times bounding-box diagonal,
// below which a closed surface encloses nothing: rounding leaves some 1e-15 of
// it a facet; the thinnest sheet that prints, 0.1 mm on 1 m, has 5e-5.
const flatVolume = 1e-9

// Measures are the sizes of a mesh or of one shell of it.
type Measures struct {
	Area   float64 // mm²
	Volume float64 // mm³; negative inside out; 0 unless Solid
	// Centre is the centre of mass of the solid or, unless Solid, that of the
	// surface as a sheet of even thickness.
	Centre r3.Vec // mm
	Solid  bool   // the surface is closed and encloses a volume
}

// Volume returns the signed volume that the facets enclose: hollows that face
// in count negative, what overlaps counts twice. For a surface that is not
// closed it is that of the cones from the middle of the bounding box to the
// facets, an estimate.
//
// Units: mm³. Laws: (1) unchanged by turning and shifting a closed mesh; (2)
// k³ times as much for a closed mesh k times as large. Cost: O(facets).
// Source: the divergence theorem, as a sum of tetrahedra.
func (m *Mesh) Volume() float64 {
	middle := m.middle()
	sum := 0.0
	for f := range m.faces {
		six, _ := m.cone(FaceID(f), middle)
		sum += six
	}
	return sum / 6
}

// Area returns the area of all facets, both sides of a sheet apart. Unit: mm².
// Cost: O(facets).
func (m *Mesh) Area() float64 {
	sum := 0.0
	for _, a := range m.areas {
		sum += a
	}
	return sum
}

// Centroid returns the centre of mass of the solid; for a surface that is not
// closed or encloses nothing, that of the surface, and ofSolid is false. Where
// shells overlap, what they share weighs double. Unit: mm. Cost: that of
// NewTopology; who has a Topology asks it to Measure.
func (m *Mesh) Centroid() (centre r3.Vec, ofSolid bool) {
	s := NewTopology(m).Measure()
	return s.Centre, s.Solid
}

// Measure returns the sizes of the whole mesh. Cost: O(facets).
func (t *Topology) Measure() Measures {
	var sum sums
	middle := t.mesh.middle()
	for f := range t.mesh.faces {
		sum.add(t.mesh, FaceID(f), middle)
	}
	return sum.measures(t.mesh, middle, t.IsClosed())
}

// MeasureShells returns the sizes of each shell, by ShellID. Cost: O(facets).
func (t *Topology) MeasureShells() []Measures {
	sum := make([]sums, len(t.shells))
	middle := t.mesh.middle()
	for f, s := range t.shell {
		sum[s].add(t.mesh, FaceID(f), middle)
	}
	out := make([]Measures, len(sum))
	for i := range sum {
		out[i] = sum[i].measures(t.mesh, middle, t.shells[i].Closed)
	}
	return out
}

// middle returns the middle of the bounding box. Sums are taken about it: about
// a far origin the cones of opposite facets would cancel to nothing but
// rounding.
func (m *Mesh) middle() r3.Vec {
	return r3.Scale(0.5, r3.Add(m.bounds.Min, m.bounds.Max))
}

// cone returns six times the signed volume of the tetrahedron from middle to a
// facet, and the sum of the facet's corners relative to middle.
func (m *Mesh) cone(f FaceID, middle r3.Vec) (six float64, corners r3.Vec) {
	a, b, c := m.Corners(f)
	a, b, c = r3.Sub(a, middle), r3.Sub(b, middle), r3.Sub(c, middle)
	return r3.Dot(a, r3.Cross(b, c)), r3.Add(r3.Add(a, b), c)
}

// sums gathers what Measures are made of.
type sums struct {
	area, six        float64
	byArea, byVolume r3.Vec // corner sums weighted by area and by cone
}

func (s *sums) add(m *Mesh, f FaceID, middle r3.Vec) {
	six, corners := m.cone(f, middle)
	s.area += m.areas[f]
	s.six += six
	s.byArea = r3.Add(s.byArea, r3.Scale(m.areas[f], corners))
	s.byVolume = r3.Add(s.byVolume, r3.Scale(six, corners))
}

func (s *sums) measures(m *Mesh, middle r3.Vec, closed bool) Measures {
	out := Measures{Area: s.area, Centre: middle}
	if closed && math.Abs(s.six/6) > flatVolume*s.area*m.Diagonal() {
		out.Solid = true
		out.Volume = s.six / 6
		// A tetrahedron's centre is a quarter of its four corners, one of
		// which is middle.
		out.Centre = r3.Add(middle, r3.Scale(1/(4*s.six), s.byVolume))
	} else if s.area > 0 {
		out.Centre = r3.Add(middle, r3.Scale(1/(3*s.area), s.byArea))
	}
	return out
}
