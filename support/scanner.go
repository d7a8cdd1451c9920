package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
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
	surface  surface
	columns  columns
	sparing  sparing
	centre   r3.Vec // of mass, file frame
	feet     []r2.Vec
}

// NewScanner returns a Scanner whose columns are step mm apart.
func NewScanner(b Body, s Settings, step float64) *Scanner {
	m := b.Mesh
	centre, _ := m.Centroid()
	return &Scanner{
		mesh: m, roles: b.Roles, settings: s, step: step, centre: centre,
		surface: surface{
			corners: make([]r3.Vec, m.NumVertices()),
			faces:   m.Faces(),
			nz:      make([]float64, m.NumFaces()),
		},
	}
}

// Scan measures the part with up pointing up, as Measure does but for what the
// columns miss, and for Tip: that is the finished part's, which on the way
// there may be less, but rarely is.
//
// Cost: O(facets + crossings of columns); see BenchmarkScore for what that is
// in passes over the corners.
func (s *Scanner) Scan(up mesh.Direction) Measures {
	frame := mesh.Upright(up)
	drop := s.turn(frame)
	out := Measures{Height: s.surface.high.Z}
	out.Layers = s.settings.NumLayers(out.Height)
	s.facets(&out)
	s.columns.sample(s.surface, s.step)
	s.sum(&out)
	centre := frame.Turn(s.centre)
	out.Tip, out.Held = s.tips(r3.Vec{X: centre.X, Y: centre.Y, Z: centre.Z - drop})
	return out
}

// turn fills the surface with the part turned, its lowest corner at z = 0, and
// returns by how much it had to be lowered.
func (s *Scanner) turn(f mesh.Frame) (drop float64) {
	inf := math.Inf(1)
	low, high := r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}
	for i, p := range s.mesh.Vertices() {
		q := f.Turn(p)
		s.surface.corners[i] = q
		low = r3.Vec{X: min(low.X, q.X), Y: min(low.Y, q.Y), Z: min(low.Z, q.Z)}
		high = r3.Vec{X: max(high.X, q.X), Y: max(high.Y, q.Y), Z: max(high.Z, q.Z)}
	}
	for i := range s.surface.corners {
		s.surface.corners[i].Z -= low.Z
	}
	for i, n := range s.mesh.Normals() {
		s.surface.nz[i] = r3.Dot(f.Z, n)
	}
	drop = low.Z
	high.Z -= drop
	low.Z = 0
	s.surface.low, s.surface.high = low, high
	return drop
}

// tips returns how far the part can be tilted with its mass centre in the given
// place before it falls, on its own feet and with those of its support.
func (s *Scanner) tips(centre r3.Vec) (bare, held plane.Angle) {
	s.feet = s.feet[:0]
	for _, p := range s.surface.corners {
		if p.Z <= s.settings.FirstLayer {
			s.feet = append(s.feet, flat(p))
		}
	}
	foot := HullOf(s.feet)
	c := &s.columns
	for i := range c.nx * c.ny {
		if first := c.start[i]; first < c.start[i+1] && s.sparing.cells[first].face >= 0 && !s.sparing.cells[first].spare {
			s.feet = append(s.feet, c.at(i%c.nx, i/c.nx))
		}
	}
	wide := HullOf(s.feet)
	return plane.Angle(lean(foot, flat(centre), centre.Z)), plane.Angle(lean(wide, flat(centre), centre.Z))
}

// facets adds up what each facet gives for itself.
func (s *Scanner) facets(out *Measures) {
	lean, first := -s.settings.Limit.Sin()-leanSlack, s.settings.FirstLayer*(1+layerSlack)
	areas := s.mesh.FaceAreas()
	for i, nz := range s.surface.nz {
		if abs := math.Abs(nz); abs < levelCosine {
			out.Cusp[roleOf(s.roles, i)] += s.settings.Layer * abs * areas[i]
		}
		if nz >= lean {
			continue
		}
		t := s.surface.faces[i]
		if max(s.surface.corners[t[0]].Z, s.surface.corners[t[1]].Z, s.surface.corners[t[2]].Z) > first {
			out.OverhangRaw += areas[i]
		} else {
			out.Contact -= nz * areas[i]
		}
	}
}

// scanDirections is the number of directions in which a scan looks for ledges
// and bridges.
const scanDirections = 8

// sum adds up what the columns give.
func (s *Scanner) sum(out *Measures) {
	s.spare()
	held := 0.0 // surface that hangs and is not spared
	square := s.step * s.step
	for i := range s.columns.nx * s.columns.ny {
		first, end := s.columns.start[i], s.columns.start[i+1]
		if first < end {
			out.Footprint += square
		}
		for k := first; k < end; k++ {
			c := &s.sparing.cells[k]
			if c.face < 0 {
				continue
			}
			below := plate
			gap := float64(c.z)
			if k > first {
				below = s.columns.spans[k-1].out
				gap -= float64(s.columns.spans[k-1].top)
			}
			lean := -s.surface.nz[c.face]
			out.SupportRaw += square * gap
			if c.spare {
				continue
			}
			held += square / lean
			out.Support += square * gap
			out.Scar[roleOf(s.roles, int(c.face))] += square / lean
			if below != plate {
				out.Scar[roleOf(s.roles, int(below))] += square / max(math.Abs(s.surface.nz[below]), steepScar)
			}
			if lean < levelCosine {
				out.Cusp[roleOf(s.roles, int(c.face))] -= s.settings.Layer * square
			}
		}
	}
	out.Overhang = min(held, out.OverhangRaw)
}

// steepScar bounds how much surface one column can stand for: a nearly upright
// facet that a single column happens to hit would otherwise count for all.
const steepScar = 0.01

// spare marks the cells that hang, and those of them that are ledges or
// bridges.
func (s *Scanner) spare() {
	lean := -s.settings.Limit.Sin() - leanSlack
	first := float32(s.settings.FirstLayer * (1 + layerSlack))
	s.sparing.settings, s.sparing.columns = s.settings, &s.columns
	hanging := false
	s.sparing.reset(func(x span) bool {
		hangs := s.surface.nz[x.in] < lean && x.bottom > first
		hanging = hanging || hangs
		return hangs
	})
	if !hanging || (s.settings.Ledge <= 0 && s.settings.Bridge <= 0) {
		return
	}
	for k := range scanDirections {
		s.sparing.sweep(math.Pi * float64(k) / scanDirections)
	}
}
