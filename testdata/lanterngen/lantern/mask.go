package lantern

import "math/bits"

// maxSurfaces is the number of surfaces that a recipe may have.
const maxSurfaces = 128

// mask is a set of surfaces.
type mask [maxSurfaces / 64]uint64

func (m mask) has(f faceID) bool { return m[f/64]>>(f%64)&1 != 0 }

func (m *mask) set(f faceID) { m[f/64] |= 1 << (f % 64) }

func (m mask) and(o mask) mask { return mask{m[0] & o[0], m[1] & o[1]} }

func (m mask) or(o mask) mask { return mask{m[0] | o[0], m[1] | o[1]} }

func (m mask) without(o mask) mask { return mask{m[0] &^ o[0], m[1] &^ o[1]} }

func (m mask) empty() bool { return m == mask{} }

// each calls visit for every surface in the set, in order, until it says stop.
func (m mask) each(visit func(faceID) (more bool)) {
	for i, word := range m {
		for ; word != 0; word &= word - 1 {
			if !visit(faceID(64*i + bits.TrailingZeros64(word))) {
				return
			}
		}
	}
}
