package support

import (
	"math"

	"platewright/support/mesh"
)

// Layer is one layer of a part: what a print of it takes depends on these
// figures alone.
type Layer struct {
	Bottom, Thickness float64 // mm
	Solid             float64 // area of the body at the layer's middle, mm²
	Wall              float64 // length of its outlines, mm
	Islands           int     // pieces that hang together
	Down, Up          float64 // shadow of the surface within the layer that looks down and up, mm²
}

// Profile is the layers of a standing part from the plate up.
type Profile []Layer

// Volume returns the volume of the body, as the layers fill it. Unit: mm³.
func (p Profile) Volume() float64 {
	sum := 0.0
	for _, l := range p {
		sum += l.Solid * l.Thickness
	}
	return sum
}

// Layers cuts a standing body into layers. The last layer is as thick as the
// printer makes it, though the part may fill less of it.
//
// Touching and overlapping shells count as one body where scan lines half a
// millimetre apart tell the union; a mesh of one shell, or of shells that keep
// apart, is exact.
//
// Laws: (1) the Down areas add up to the shadow of all facets that look down,
// the Up areas likewise; (2) for a prism, Volume is exact.
// Cost: O(facets + cuts through facets).
func (s Settings) Layers(b Body) Profile {
	return s.layers(b, func(int, []chord) {})
}

// layers is Layers, which lends each layer's chords, sorted by where they
// start, to look as well.
func (s Settings) layers(b Body, look func(k int, sorted []chord)) Profile {
	m := b.Mesh
	height := m.Bounds().Max.Z
	out := make(Profile, s.NumLayers(height))
	for k := range out {
		out[k].Bottom = s.Bottom(k)
		out[k].Thickness = s.Bottom(k+1) - out[k].Bottom
	}
	eachSlice(m, s.middles(height), func(k int, slice []chord) {
		out[k].Solid, out[k].Wall, out[k].Islands = outlinesOf(slice)
		look(k, slice)
		if b.Shells > 1 {
			out[k].unite(slice)
		}
		// Where a surface is open an outline has a gap, and what it seems to
		// bound may be less than nothing.
		out[k].Solid = max(out[k].Solid, 0)
	})
	s.skins(m, out)
	return out
}

// skins spreads the shadow of each facet over the layers that it reaches
// through.
func (s Settings) skins(m *mesh.Mesh, out Profile) {
	for i, n := range m.Normals() {
		shadow := math.Abs(n.Z) * m.FaceArea(mesh.FaceID(i))
		if shadow == 0 {
			continue
		}
		a, b, c := m.Corners(mesh.FaceID(i))
		z := sorted3(a.Z, b.Z, c.Z)
		first, last := s.layerAt(z[0], len(out)), s.layerAt(z[2], len(out))
		done := 0.0
		for k := first; k <= last; k++ {
			share := 1.0
			if k < last {
				share = shareBelow(z, s.Bottom(k+1))
			}
			if n.Z < 0 {
				out[k].Down += shadow * (share - done)
			} else {
				out[k].Up += shadow * (share - done)
			}
			done = share
		}
	}
}

// layerAt returns the layer that a height lies in. A surface exactly between
// two layers belongs to the layer below: it is that layer's top.
func (s Settings) layerAt(z float64, layers int) int {
	k := int(math.Ceil((z-s.FirstLayer)/s.Layer - layerSlack))
	return min(max(k, 0), layers-1)
}

// shareBelow returns the share of a triangle's area below height h, its
// corners' heights sorted.
func shareBelow(z [3]float64, h float64) float64 {
	switch {
	case h <= z[0]:
		return 0
	case h >= z[2]:
		return 1
	case h <= z[1]:
		return (h - z[0]) * (h - z[0]) / ((z[2] - z[0]) * (z[1] - z[0]))
	}
	return 1 - (z[2]-h)*(z[2]-h)/((z[2]-z[0])*(z[2]-z[1]))
}

func sorted3(a, b, c float64) [3]float64 {
	low, high := min(a, b, c), max(a, b, c)
	return [3]float64{low, max(min(a, b), min(max(a, b), c)), high}
}
