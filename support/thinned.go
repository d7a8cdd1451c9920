package support

import "platewright/support/mesh"

// coarseDeviation is the share of the deviation that the quick way of thinning
// may use up, which comes first.
const coarseDeviation = 0.25

// Thinned returns the body with so many facets, or more where fewer would take
// a corner of its surface off by more than deviation mm; 0 is no such bound.
// Roles are carried over, and borders between roles keep their place. A body
// of no more facets than that is returned as it is.
//
// It is meant for scans: see mesh.Decimation for what is not looked at, walls
// thinner than deviation first of all.
//
// Cost: O(n log n) for n facets; 1 to 4 µs a facet.
func (b Body) Thinned(facets int, deviation float64) Body {
	quick := coarseDeviation * deviation
	b = b.remeshed(b.Mesh.Coarsened(mesh.Decimation{Facets: facets, Deviation: quick, Groups: b.groups()}))
	return b.remeshed(b.Mesh.Decimated(mesh.Decimation{Facets: facets, Deviation: deviation - quick, Groups: b.groups()}))
}

// groups returns the facets' roles as groups, or nil.
func (b Body) groups() []uint16 {
	if b.Roles == nil {
		return nil
	}
	out := make([]uint16, len(b.Roles))
	for i, r := range b.Roles {
		out[i] = uint16(r)
	}
	return out
}

// remeshed returns the body with another mesh, each facet of which takes the
// role of the facet that it comes from.
func (b Body) remeshed(m *mesh.Mesh, from []mesh.FaceID) Body {
	if m.NumFaces() == 0 {
		return b // nothing but facets that name a corner twice
	}
	if b.Roles != nil {
		roles := make([]Role, len(from))
		for i, f := range from {
			roles[i] = b.Roles[f]
		}
		b.Roles = roles
	}
	b.Mesh = m
	return b
}
