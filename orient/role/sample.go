package role

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Measures of sampling.
const (
	sampleArea = 4.0     // of a facet that one sample stands for, mm²
	maxSamples = 500_000 // of all facets; beyond, each stands for more
	maxPerFace = 400     // plenty for a mean
)

// samples are points on the facets of a mesh, one a facet at least, those of a
// facet together.
type samples struct {
	mesh *mesh.Mesh
	face []mesh.FaceID
	at   [][3]float32
	open []float32 // light that has reached the sample
	full []float32 // light that would have with nothing in the way
}

// areaPerSample returns what area a sample stands for so that they do not get
// too many.
func areaPerSample(meshes []*mesh.Mesh) float64 {
	area := 0.0
	for _, m := range meshes {
		area += m.Area()
	}
	return max(sampleArea, area/maxSamples)
}

// sampled spreads samples over a mesh.
func sampled(m *mesh.Mesh, area float64) *samples {
	s := &samples{mesh: m}
	for f := range m.NumFaces() {
		id := mesh.FaceID(f)
		n := int(min(math.Ceil(m.FaceArea(id)/area), maxPerFace))
		if n <= 1 {
			s.add(id, middle(m, id))
			continue
		}
		for i := range n {
			s.add(id, spot(m, id, i))
		}
	}
	s.open, s.full = make([]float32, len(s.face)), make([]float32, len(s.face))
	return s
}

func (s *samples) add(f mesh.FaceID, p r3.Vec) {
	s.face = append(s.face, f)
	s.at = append(s.at, [3]float32{float32(p.X), float32(p.Y), float32(p.Z)})
}

func (s *samples) place(i int) r3.Vec {
	p := s.at[i]
	return r3.Vec{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])}
}

// spot returns the i-th point of an even spread over a facet.
//
// Source: M. Roberts, "The unreasonable effectiveness of quasirandom
// sequences", 2018, extremelearning.com.au: the sequence R2, here folded over
// the diagonal of the unit square.
func spot(m *mesh.Mesh, f mesh.FaceID, i int) r3.Vec {
	const plastic = 1.32471795724474602596
	_, u := math.Modf(0.5 + float64(i+1)/plastic)
	_, v := math.Modf(0.5 + float64(i+1)/(plastic*plastic))
	if u+v > 1 {
		u, v = 1-u, 1-v
	}
	a, b, c := m.Corners(f)
	return r3.Add(a, r3.Add(r3.Scale(u, r3.Sub(b, a)), r3.Scale(v, r3.Sub(c, a))))
}

// expose adds to all samples the light that a picture shows to reach them.
func (s *samples) expose(p *picture) {
	for i, f := range s.face {
		n := s.mesh.Normal(f)
		cosine := r3.Dot(n, p.frame.Z)
		if math.Abs(cosine) < grazing {
			continue
		}
		s.full[i] += float32(math.Abs(cosine))
		if p.sees(s.place(i), n, cosine) {
			s.open[i] += float32(math.Abs(cosine))
		}
	}
}

// eachFace calls visit for each facet with the range of its samples.
func (s *samples) eachFace(visit func(f mesh.FaceID, lo, hi int)) {
	for lo, hi := 0, 0; lo < len(s.face); lo = hi {
		for hi = lo; hi < len(s.face) && s.face[hi] == s.face[lo]; hi++ {
		}
		visit(s.face[lo], lo, hi)
	}
}

// openness returns the mean openness of each facet. One that no axis sees, or
// without area, is as open as can be.
func (s *samples) openness() []float32 {
	out := make([]float32, s.mesh.NumFaces())
	s.eachFace(func(f mesh.FaceID, lo, hi int) {
		var open, full float32
		for i := lo; i < hi; i++ {
			open, full = open+s.open[i], full+s.full[i]
		}
		out[f] = 1
		if full > 0 {
			out[f] = open / full
		}
	})
	return out
}
