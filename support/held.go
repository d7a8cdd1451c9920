package support

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// JointPatch is a connected part of a joint face that support touches, from
// below or standing on it: a socket to pick clean, a peg to file round.
type JointPatch struct {
	Area   float64 // mm²
	Middle r3.Vec  // of the facets touched, each for the area touched
}

// HeldJoints lists where support touches the joint faces of a standing body,
// the largest patch first. Facets are of one patch where they share an edge.
// Ledges and bridges are spared as Measure spares them.
//
// Laws: the areas add up to Measures.Scar[Joint].
// Cost: as Measure. Where Scar[Joint] is known to be nothing, the list is empty.
func (s Settings) HeldJoints(b Body) []JointPatch {
	if !slices.Contains(b.Roles, Joint) {
		return nil
	}
	touched := s.touched(b)
	var out []JointPatch
	joint := func(f mesh.FaceID) bool { return b.Roles[f] == Joint && touched[f] > 0 }
	for _, group := range connected(b.Mesh, joint, func(_, _ r3.Vec) bool { return true }) {
		var patch JointPatch
		var moment r3.Vec
		for _, f := range group {
			p, q, r := b.Mesh.Corners(f)
			patch.Area += touched[f]
			moment = r3.Add(moment, r3.Scale(touched[f]/3, r3.Add(p, r3.Add(q, r))))
		}
		patch.Middle = r3.Scale(1/patch.Area, moment)
		out = append(out, patch)
	}
	slices.SortStableFunc(out, func(a, b JointPatch) int { return cmp.Compare(b.Area, a.Area) })
	return out
}

// touched returns, for each facet, the area of it that support touches, by the
// sums that make up Measures.Scar.
func (s Settings) touched(b Body) []float64 {
	u := newUnderside(b, s.overhangs(b.Mesh))
	spared := s.sparedShare(b.Mesh, u)
	out := make([]float64, b.Mesh.NumFaces())
	for _, p := range u.patches {
		held := p.shadow
		if spared != nil {
			held *= 1 - spared[p.face]
		}
		out[p.face] += held / -b.Mesh.Normal(p.face).Z
		if p.under != plate {
			out[p.under] += held / math.Abs(b.Mesh.Normal(p.under).Z)
		}
	}
	return out
}
