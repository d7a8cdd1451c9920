package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// contact tells how two facets lie to each other.
type contact uint8

const (
	apart     contact = iota
	touching          // within the tolerance of each other, neither passes through
	crossing          // one passes through the other, by more than the tolerance
	unsettled         // not crossing; the gap between them decides
)

// facetContact compares two facets. Facets without area touch nothing: what
// they touch, their neighbours do.
//
// Two facets cross when each has corners on both sides of the other's plane
// and the stretches of the planes' common line that they cover overlap, all by
// more than the tolerance. So facets of bodies that meet in a face, along an
// edge or in a corner touch, however their coordinates are rounded.
//
// Source: T. Möller, "A fast triangle-triangle intersection test", Journal of
// Graphics Tools 2(2), 1997; the tolerances are our own.
func (m *Mesh) facetContact(f, g FaceID, tolerance float64) contact {
	c := m.planeContact(f, g, tolerance)
	if c == unsettled {
		if m.facetGap(f, g, tolerance) {
			return touching
		}
		return apart
	}
	return c
}

// planeContact is facetContact as far as the planes of the facets tell: it
// finds all crossings, and leaves touching to be settled by the gap.
func (m *Mesh) planeContact(f, g FaceID, tolerance float64) contact {
	if m.areas[f] == 0 || m.areas[g] == 0 {
		return apart
	}
	df := m.heights(f, g)
	sideF := sideOf(df, tolerance)
	if sideF == beside {
		return apart
	}
	dg := m.heights(g, f)
	sideG := sideOf(dg, tolerance)
	if sideG == beside {
		return apart
	}
	if sideF != across || sideG != across {
		return unsettled
	}
	line := r3.Cross(m.normals[f], m.normals[g])
	sine := r3.Norm(line)
	// Corners off by the tolerance tilt a slim facet by more than this.
	if sine*min(m.slimness(f), m.slimness(g)) <= 2*tolerance {
		return unsettled
	}
	line = r3.Scale(1/sine, line)
	f0, f1 := m.stretch(f, df, line)
	g0, g1 := m.stretch(g, dg, line)
	switch overlap := min(f1, g1) - max(f0, g0); {
	case overlap > tolerance:
		return crossing
	case overlap < -tolerance:
		return apart
	}
	return touching
}

// heights returns the heights of f's corners above the plane of g.
func (m *Mesh) heights(f, g FaceID) [3]float64 {
	base, n := m.vertices[m.faces[g][0]], m.normals[g]
	var h [3]float64
	for k, v := range m.faces[f] {
		h[k] = r3.Dot(n, r3.Sub(m.vertices[v], base))
	}
	return h
}

// slimness returns the least height of a facet. Unit: mm.
func (m *Mesh) slimness(f FaceID) float64 {
	a, b, c := m.Corners(f)
	longest := math.Sqrt(max(r3.Norm2(r3.Sub(b, a)), r3.Norm2(r3.Sub(c, b)), r3.Norm2(r3.Sub(a, c))))
	return 2 * m.areas[f] / longest
}

type side uint8

const (
	beside side = iota // all corners on one side, beyond the tolerance
	across             // corners on both sides, beyond the tolerance
	upon               // neither: some within the tolerance
)

func sideOf(h [3]float64, tolerance float64) side {
	low, high := min(h[0], h[1], h[2]), max(h[0], h[1], h[2])
	switch {
	case low > tolerance || high < -tolerance:
		return beside
	case low < -tolerance && high > tolerance:
		return across
	}
	return upon
}

// stretch returns the part of the line that a facet covers, which its corners'
// heights h say lies across it.
func (m *Mesh) stretch(f FaceID, h [3]float64, line r3.Vec) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for k := range 3 {
		a, b := h[k], h[(k+1)%3]
		if (a < 0) == (b < 0) {
			continue
		}
		p, q := m.vertices[m.faces[f][k]], m.vertices[m.faces[f][(k+1)%3]]
		at := r3.Dot(line, r3.Add(p, r3.Scale(a/(a-b), r3.Sub(q, p))))
		from, to = min(from, at), max(to, at)
	}
	return from, to
}

// facetGap says whether two facets that do not cross come within reach.
// The nearest places are then a corner and a facet, or two edges.
func (m *Mesh) facetGap(f, g FaceID, reach float64) bool {
	a, b, c := m.Corners(f)
	d, e, h := m.Corners(g)
	s, t := Triangle{a, b, c}, Triangle{d, e, h}
	for k := range 3 {
		if cornerGap2(s[k], t) <= reach*reach || cornerGap2(t[k], s) <= reach*reach {
			return true
		}
	}
	for i := range 3 {
		for j := range 3 {
			if edgeGap2(s[i], s[(i+1)%3], t[j], t[(j+1)%3]) <= reach*reach {
				return true
			}
		}
	}
	return false
}
