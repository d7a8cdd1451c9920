package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
)

// Measures is what one part costs in one orientation. Lengths mm, areas mm²,
// volumes mm³.
type Measures struct {
	Height float64
	Layers int

	// OverhangRaw is the area of the facets that lean out further than the
	// limit and reach above the first layer, each facet for itself.
	OverhangRaw float64
	// Overhang leaves out of it what lies inside the body, ledges and bridges.
	Overhang float64

	// SupportRaw is the volume between each such facet and the next surface
	// below it, of the part or the plate. Inside the body there is none.
	SupportRaw float64
	// Support leaves out of it what is under ledges and bridges.
	Support float64

	// Scar is the surface that support touches, from below and from above.
	Scar ByRole

	// Footprint is the area of the shadow on the plate.
	Footprint float64
	// Contact is the area that rests on the plate: the shadow of the
	// down-facing surface within the first layer.
	Contact float64

	// Cusp is the volume between the surface and the steps that the layers
	// leave of it, over surfaces that are neither level nor supported.
	Cusp ByRole

	// Tip is the least angle, over the progress of the print, by which what is
	// printed could be tilted before it falls; 0 when it would fall as it is.
	Tip plane.Angle
	// Held is Tip with the places on the plate where support stands counted as
	// feet: support keeps a part from falling over it.
	Held plane.Angle
}

// levelCosine is the |n_z| above which a facet is level: it shows no steps.
// 1e-6 in the cosine is 0.08°, below what any file of flat faces is off by.
const levelCosine = 1 - 1e-6

// Measure returns the exact measures of a standing body.
//
// Laws: (1) turning the mesh about z changes nothing; (2) scaling mesh, layers,
// ledge and bridge by k scales lengths by k, areas by k², volumes by k³.
// Cost: O(facets · facets near them in the shadow); about ten microseconds a
// down-facing facet.
// Source: definitions after MEASURES in DEVELOPERS.md; cusp after A. Dolenc &
// I. Mäkelä, "Slicing procedures for layered manufacturing techniques",
// Computer-Aided Design 26(2), 1994.
func Measure(b Body, s Settings) Measures {
	out := Measures{Height: b.Mesh.Bounds().Max.Z}
	out.Layers = s.NumLayers(out.Height)
	u := newUnderside(b, s.overhangs(b.Mesh))
	spared := s.sparedShare(b.Mesh, u)
	u.sum(&out, spared)
	out.Footprint = shadowArea(b)
	out.Contact = s.contact(b.Mesh)
	out.Cusp = s.cusp(u, spared)
	out.Tip, out.Held = s.TipOn(b.Mesh, u.feet(spared))
	return out
}

// overhangs lists the facets that lean out further than the limit and whose
// top is above the first layer.
func (s Settings) overhangs(m *mesh.Mesh) []mesh.FaceID {
	var out []mesh.FaceID
	for i, n := range m.Normals() {
		if !s.leans(n.Z) {
			continue
		}
		a, b, c := m.Corners(mesh.FaceID(i))
		if max(a.Z, b.Z, c.Z) > s.FirstLayer*(1+layerSlack) {
			out = append(out, mesh.FaceID(i))
		}
	}
	return out
}

// patch is a part of an overhanging facet that needs support.
type patch struct {
	face   mesh.FaceID
	under  mesh.FaceID // where the support stands, or plate
	feet   [2]int32    // on the plate: its corners in underside.corners, from and to
	shadow float64     // mm²
	volume float64     // mm³
}

// underside is the overhanging surface of a standing mesh and what lies below.
type underside struct {
	Body
	hanging []mesh.FaceID
	patches []patch
	corners []r2.Vec // of the patches that have nothing but the plate below
}

func newUnderside(b Body, hanging []mesh.FaceID) *underside {
	u := &underside{Body: b, hanging: hanging}
	m := b.Mesh
	if len(hanging) == 0 {
		return u
	}
	cut := newCutter(m, b.Closed, func(mesh.FaceID) bool { return true })
	for _, f := range hanging {
		corner, _, _ := m.Corners(f)
		over := slopeThrough(corner, m.Normal(f))
		for _, p := range cut.pieces(f) {
			if !p.open(m) {
				continue
			}
			area, centre := areaAndCentre(p.polygon)
			gap := over.at(centre)
			if p.under != plate {
				gap -= cut.planeOf(p.under).at(centre)
			}
			from := len(u.corners)
			if p.under == plate {
				u.corners = append(u.corners, p.polygon...)
			}
			u.patches = append(u.patches, patch{f, p.under, [2]int32{int32(from), int32(len(u.corners))}, area, area * gap})
		}
	}
	return u
}

// sum adds the patches up; spared has, for each facet, the share of it that
// needs no support after all, or is nil.
func (u *underside) sum(out *Measures, spared []float64) {
	for _, f := range u.hanging {
		out.OverhangRaw += u.Mesh.FaceArea(f)
	}
	for _, p := range u.patches {
		held := 1.0
		if spared != nil {
			held -= spared[p.face]
		}
		area := held * p.shadow / -u.Mesh.Normal(p.face).Z
		out.SupportRaw += p.volume
		out.Support += held * p.volume
		out.Overhang += area
		out.Scar[roleOf(u.Roles, int(p.face))] += area
		if p.under != plate {
			out.Scar[roleOf(u.Roles, int(p.under))] += held * p.shadow / math.Abs(u.Mesh.Normal(p.under).Z)
		}
	}
}

// feet returns where on the plate support stands.
func (u *underside) feet(spared []float64) []r2.Vec {
	var out []r2.Vec
	for _, p := range u.patches {
		if p.under == plate && (spared == nil || spared[p.face] < 1) {
			out = append(out, u.corners[p.feet[0]:p.feet[1]]...)
		}
	}
	return out
}

// shadowArea returns the area of the union of all shadows: of every facet that
// looks down, what has nothing below it.
func shadowArea(b Body) float64 {
	m := b.Mesh
	// In a closed mesh the lowest surface of a column looks down; otherwise
	// any facet may be the lowest.
	casts := func(f mesh.FaceID) bool { return !b.Closed || m.Normal(f).Z < 0 }
	cut := newCutter(m, true, casts)
	cut.lowest = true
	sum := 0.0
	for i := range m.NumFaces() {
		f := mesh.FaceID(i)
		if nz := m.Normal(f).Z; math.Abs(nz) <= steepest || !casts(f) {
			continue
		}
		for _, p := range cut.pieces(f) {
			area, _ := areaAndCentre(p.polygon)
			sum += area
		}
	}
	return sum
}

// contact returns the shadow of the down-facing surface within the first
// layer. The shadow rather than the surface, so that the foot of a wall that
// leans out a little does not count as standing area.
func (s Settings) contact(m *mesh.Mesh) float64 {
	sum := 0.0
	s.eachFoot(m, func(polygon []r3.Vec) {
		twice := 0.0
		o := polygon[0]
		for i := 1; i+1 < len(polygon); i++ {
			p, q := r3.Sub(polygon[i], o), r3.Sub(polygon[i+1], o)
			twice += q.X*p.Y - p.X*q.Y
		}
		sum += twice / 2
	})
	return sum
}

// eachFoot calls do with the part within the first layer of each facet that
// looks down.
func (s Settings) eachFoot(m *mesh.Mesh, do func([]r3.Vec)) {
	var buf []r3.Vec
	for i, n := range m.Normals() {
		if n.Z >= -steepest {
			continue
		}
		a, b, c := m.Corners(mesh.FaceID(i))
		if min(a.Z, b.Z, c.Z) >= s.FirstLayer {
			continue
		}
		buf = below(buf[:0], [3]r3.Vec{a, b, c}, s.FirstLayer)
		if len(buf) >= 3 {
			do(buf)
		}
	}
}

// below appends the part of a triangle at or under height h.
func below(buf []r3.Vec, t [3]r3.Vec, h float64) []r3.Vec {
	last := t[2]
	for _, p := range t {
		if (last.Z > h) != (p.Z > h) {
			k := (h - last.Z) / (p.Z - last.Z)
			buf = append(buf, r3.Add(last, r3.Scale(k, r3.Sub(p, last))))
		}
		if p.Z <= h {
			buf = append(buf, p)
		}
		last = p
	}
	return buf
}

// cusp adds up layer·|n_z| over the surface that is neither level nor
// supported.
func (s Settings) cusp(u *underside, spared []float64) ByRole {
	var out ByRole
	for i, n := range u.Mesh.Normals() {
		if nz := math.Abs(n.Z); nz < levelCosine {
			out[roleOf(u.Roles, i)] += s.Layer * nz * u.Mesh.FaceArea(mesh.FaceID(i))
		}
	}
	for _, p := range u.patches {
		nz := -u.Mesh.Normal(p.face).Z
		if nz >= levelCosine {
			continue
		}
		held := 1.0
		if spared != nil {
			held -= spared[p.face]
		}
		out[roleOf(u.Roles, int(p.face))] -= s.Layer * held * p.shadow
	}
	return out
}

// flat drops the height of a point.
func flat(p r3.Vec) r2.Vec { return r2.Vec{X: p.X, Y: p.Y} }
