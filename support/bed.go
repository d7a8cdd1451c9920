package support

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
)

// BedFace is a connected part of what rests on the plate.
type BedFace struct {
	Area          float64 // its shadow, mm²
	Length, Width float64 // sides of the oblong of least area around it, the longer first, mm
	Middle        r2.Vec  // of area, on the plate
}

// BedFaces is what a part stands on.
type BedFaces struct {
	Height float64 // of the part, mm
	// Contact is Measures.Contact by role. The first layer is pressed wider
	// than the others by 0.1 to 0.2 mm, a published figure whose pages the notes
	// on the trade do not name: a joint face has to be cut back there to fit.
	Contact ByRole
	// Length and Width are the sides of the oblong of least area around all
	// that rests on the plate, the longer first. mm.
	Length, Width float64
	Faces         []BedFace // the largest first
}

// Slenderness returns how many times as high as its base is wide the part is:
// its height by the shorter side of the oblong around all it stands on. A part
// that stands on a point or an edge returns +Inf.
func (f BedFaces) Slenderness() float64 { return f.Height / f.Width }

// Bed returns what a standing body rests on: the surface that looks down within
// the first layer. Facets are of one face where they share an edge that reaches
// into that layer. Shells are never joined, and where they overlap both count.
//
// Laws: (1) the areas of the faces add up to the contact; (2) the contact adds
// up to Measures.Contact.
// Cost: O(facets), and O(n²) over the corners of hulls.
func (s Settings) Bed(b Body) BedFaces {
	m := b.Mesh
	out := BedFaces{Height: m.Bounds().Max.Z}
	feet := make(map[mesh.FaceID][]r2.Vec)
	for i := range m.NumFaces() {
		if foot := s.foot(m, mesh.FaceID(i)); foot != nil {
			feet[mesh.FaceID(i)] = foot
		}
	}
	if len(feet) == 0 {
		return out
	}
	var all []r2.Vec
	for _, group := range connected(m, func(f mesh.FaceID) bool { return feet[f] != nil }, s.reachesPlate) {
		var face BedFace
		var moment r2.Vec
		var corners []r2.Vec
		for _, f := range group {
			area, centre := areaAndCentre(feet[f])
			out.Contact[roleOf(b.Roles, int(f))] += area
			face.Area += area
			moment = r2.Add(moment, r2.Scale(area, centre))
			corners = append(corners, feet[f]...)
		}
		if face.Area == 0 {
			continue
		}
		face.Middle = r2.Scale(1/face.Area, moment)
		face.Length, face.Width = oblongAround(corners)
		out.Faces = append(out.Faces, face)
		all = append(all, corners...)
	}
	out.Length, out.Width = oblongAround(all)
	slices.SortStableFunc(out.Faces, func(a, b BedFace) int { return cmp.Compare(b.Area, a.Area) })
	return out
}

// foot returns the shadow of a facet's part within the first layer,
// counter-clockwise, or nil if it has none or does not look down.
func (s Settings) foot(m *mesh.Mesh, f mesh.FaceID) []r2.Vec {
	a, b, c := m.Corners(f)
	if m.Normal(f).Z >= -steepest || min(a.Z, b.Z, c.Z) >= s.FirstLayer {
		return nil
	}
	var out []r2.Vec
	for _, p := range below(nil, [3]r3.Vec{a, b, c}, s.FirstLayer) {
		out = append(out, flat(p))
	}
	if len(out) < 3 {
		return nil
	}
	slices.Reverse(out)
	return out
}

// reachesPlate reports whether an edge lies in the first layer, or in part.
func (s Settings) reachesPlate(p, q r3.Vec) bool { return min(p.Z, q.Z) < s.FirstLayer }

// oblongAround returns the sides of the oblong of least area around points, the
// longer first.
func oblongAround(points []r2.Vec) (length, width float64) {
	r := plane.LeastRectangle(HullOf(points))
	return max(r.Width, r.Depth), min(r.Width, r.Depth)
}

// connected groups the facets for which in holds: two are of one group where
// they share an edge for which over holds. Groups come in order of their lowest
// facet.
//
// Cost: O(facets).
func connected(m *mesh.Mesh, in func(mesh.FaceID) bool, over func(p, q r3.Vec) bool) [][]mesh.FaceID {
	t := mesh.NewTopology(m)
	seen := make([]bool, m.NumFaces())
	var out [][]mesh.FaceID
	for i := range m.NumFaces() {
		if seen[i] || !in(mesh.FaceID(i)) {
			continue
		}
		seen[i] = true
		group := []mesh.FaceID{mesh.FaceID(i)}
		for k := 0; k < len(group); k++ {
			corners := m.Face(group[k])
			for e := range corners {
				f, ok := t.Neighbour(group[k], e)
				if !ok || seen[f] || !in(f) || !over(m.Vertex(corners[e]), m.Vertex(corners[(e+1)%3])) {
					continue
				}
				seen[f] = true
				group = append(group, f)
			}
		}
		out = append(out, group)
	}
	return out
}
