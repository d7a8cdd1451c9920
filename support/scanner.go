package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Scanner measures one part in many orientations, fast: overhang, contact and
// cusp facet by facet, height exactly, support, scars and footprint along
// columns; ledges and bridges as well as columns that far apart show them. It
// keeps its memory between calls and is not safe for concurrent use; give each
// goroutine its own.
type Scanner struct {
	mesh     *mesh.Mesh
	roles    []Role
	settings Settings
	step     float64
	lean     float64 // vertical normal part below which a facet hangs
	centre   r3.Vec  // of mass, file frame
	middle   r3.Vec  // of the bounding box, file frame
	reach    float64 // of the farthest corner from it, mm

	vertices []r3.Vec // the mesh's, stray ones put on another
	frame    mesh.Frame
	relief   relief
	columns  columns
	sparing  sparing
	slabs    slabs
	soles    []mesh.FaceID // that look down and reach into the first layer
	sole     []r3.Vec      // of one of them
	feet     []r2.Vec
	props    latticeHull
}

// NewScanner returns a Scanner whose columns are step mm apart, and its slabs
// half as thick; see SetSlab.
func NewScanner(b Body, s Settings, step float64) *Scanner {
	m := b.Mesh
	centre, _ := m.Centroid()
	out := &Scanner{
		mesh: m, roles: b.Roles, settings: s, step: step, centre: centre,
		lean:     -s.Limit.Sin() - leanSlack,
		middle:   r3.Scale(0.5, r3.Add(m.Bounds().Min, m.Bounds().Max)),
		vertices: withoutStrays(m),
	}
	for _, p := range out.vertices {
		out.reach = max(out.reach, r3.Norm(r3.Sub(p, out.middle)))
	}
	out.sparing.settings = s
	out.relief = relief{
		corners: make([]corner, len(out.vertices)),
		faces:   m.Faces(),
		hangs:   out.hangs,
		lattice: latticeFor(2 * out.reach / step),
		unit:    max(out.reach, step) / (1 << 29),
		above:   float32(s.FirstLayer * (1 + layerSlack)),
		touch:   float32(touchShare * m.Diagonal()),
	}
	out.SetSlab(step / 2)
	return out
}

// withoutStrays returns a mesh's corners, those that no facet uses in the place
// of one that is used.
func withoutStrays(m *mesh.Mesh) []r3.Vec {
	used := make([]bool, m.NumVertices())
	n := 0
	for _, f := range m.Faces() {
		for _, v := range f {
			if !used[v] {
				used[v] = true
				n++
			}
		}
	}
	if n == len(used) {
		return m.Vertices()
	}
	out := append([]r3.Vec(nil), m.Vertices()...)
	for v := range out {
		if !used[v] {
			out[v] = m.Vertex(m.Face(0)[0])
		}
	}
	return out
}

// hangs reports whether a facet leans out further than the limit.
func (s *Scanner) hangs(f mesh.FaceID) bool { return s.upright(f) < s.lean }

// upright returns the vertical normal part of a facet.
func (s *Scanner) upright(f mesh.FaceID) float64 { return r3.Dot(s.frame.Z, s.mesh.Normal(f)) }

// Scan measures the part with up pointing up, as Measure does but for what the
// columns miss, and for Tip: that is the finished part's, which on the way
// there may be less, but rarely is.
//
// Cost: O(facets + crossings of columns); see BenchmarkScore for what that is
// in passes over the corners.
func (s *Scanner) Scan(up mesh.Direction) Measures {
	s.frame = mesh.Upright(up)
	low, high := s.turn()
	out := Measures{Height: high - low}
	out.Layers = s.settings.NumLayers(out.Height)
	s.slabs.reset(out.Height)
	s.facets(&out)
	s.columns.step = s.step
	s.columns.fill(&s.relief)
	s.spare()
	s.sum(&out)
	s.stand(&out, low)
	return out
}

// turn fills the relief with the part turned and returns its lowest and highest
// z, in the turned frame.
func (s *Scanner) turn() (low, high float64) {
	// The middle of the box goes to the middle of the whole numbers.
	perStep := 1 / (s.relief.scale * s.step)
	x, y, z := r3.Scale(perStep, s.frame.X), r3.Scale(perStep, s.frame.Y), r3.Scale(1/s.relief.unit, s.frame.Z)
	side := perStep * (math.Ceil(s.reach/s.step) + 1 + offGrid) * s.step
	x0, y0, z0 := side-r3.Dot(x, s.middle), side-r3.Dot(y, s.middle), 1<<29+1-r3.Dot(z, s.middle)
	least, most := corner{math.MaxInt32, math.MaxInt32, math.MaxInt32}, corner{}
	low, high = math.Inf(1), math.Inf(-1)
	for i := range s.vertices {
		p := &s.vertices[i]
		h := p.X*z.X + p.Y*z.Y + p.Z*z.Z + z0
		if h < low {
			low = h
		}
		if h > high {
			high = h
		}
		q := corner{
			int32(p.X*x.X + p.Y*x.Y + p.Z*x.Z + x0),
			int32(p.X*y.X + p.Y*y.Y + p.Z*y.Z + y0),
			int32(h),
		}
		s.relief.corners[i] = q
		least.x, most.x = min(least.x, q.x), max(most.x, q.x)
		least.y, most.y = min(least.y, q.y), max(most.y, q.y)
	}
	least.z, most.z = int32(low), int32(high)
	s.relief.low, s.relief.high = least, most
	s.columns.x0 = (float64(least.x>>s.relief.fraction<<s.relief.fraction) - x0) / perStep
	s.columns.y0 = (float64(least.y>>s.relief.fraction<<s.relief.fraction) - y0) / perStep
	return (low - z0) * s.relief.unit, (high - z0) * s.relief.unit
}

// facets adds up what each facet gives for itself, and its share in the slabs.
func (s *Scanner) facets(out *Measures) {
	first := int32(s.settings.FirstLayer * (1 + layerSlack) / s.relief.unit)
	areas, normals := s.mesh.FaceAreas(), s.mesh.Normals()
	up, base := s.frame.Z, s.relief.low.z
	s.soles = s.soles[:0]
	for i := range s.relief.faces {
		t, n := &s.relief.faces[i], &normals[i]
		a, b, c := s.relief.corners[t[0]].z-base, s.relief.corners[t[1]].z-base, s.relief.corners[t[2]].z-base
		area, nz := areas[i], n.X*up.X+n.Y*up.Y+n.Z*up.Z
		abs := math.Abs(nz)
		if abs < levelCosine {
			out.Cusp[roleOf(s.roles, i)] += abs * area
		}
		s.slabs.addFacet(a, b, c, area, abs)
		if min(a, b, c) < first && nz < -steepest {
			s.soles = append(s.soles, mesh.FaceID(i))
		}
		if nz < s.lean && max(a, b, c) > first {
			out.OverhangRaw += area
		}
	}
	for role := range out.Cusp {
		out.Cusp[role] *= s.settings.Layer
	}
}

// scanDirections is the number of directions in which a scan looks for ledges
// and bridges, as many as a measurement that leaves borders out; with 8 the
// support of a leaning ring came out a fifth too large.
const scanDirections = 16

// sum adds up what the columns give.
func (s *Scanner) sum(out *Measures) {
	square := s.step * s.step
	out.Footprint = square * float64(s.columns.filled)
	held := 0.0 // surface that hangs and is not spared
	for k := range s.columns.hanging {
		c := &s.columns.hanging[k]
		gap := square * float64(c.z-c.floor)
		out.SupportRaw += gap
		if c.spare {
			continue
		}
		lean := -s.upright(c.face)
		area := square / lean
		held += area
		out.Support += gap
		s.slabs.addSupport(c.floor, c.z)
		role := roleOf(s.roles, int(c.face))
		out.Scar[role] += area
		if lean < levelCosine {
			out.Cusp[role] -= s.settings.Layer * square
		}
		if c.below != plate {
			out.Scar[roleOf(s.roles, int(c.below))] += square / max(math.Abs(s.upright(c.below)), steepScar)
		}
	}
	out.Overhang = min(held, out.OverhangRaw)
	s.slabs.addSolid(s.columns.spans)
	s.slabs.finish(square)
}

// steepScar bounds how much surface one column can stand for: a nearly upright
// facet that a single column happens to hit would otherwise count for all.
const steepScar = 0.01

// spare marks the cells that are ledges or bridges.
func (s *Scanner) spare() {
	if len(s.columns.hanging) == 0 || (s.settings.Ledge <= 0 && s.settings.Bridge <= 0) {
		return
	}
	s.sparing.reset(&s.columns)
	for k := range scanDirections {
		s.sparing.sweep(math.Pi * float64(k) / scanDirections)
	}
}
