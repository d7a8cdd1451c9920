package bedpack

import (
	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// mover is a piece that looks for a better place beside the one the raster
// gave it. A raster wastes up to a cell and a half between two parts.
type mover struct {
	pile *pile
	spin plane.Angle
	hull plane.Ring  // turned
	tree *plane.Tree // of the turned outline
}

func newMover(p *pile, w piece, spin plane.Angle) *mover {
	return &mover{p, spin, w.Hull.Placed(spin, r2.Vec{}), plane.NewTree(w.Outline.Placed(spin, r2.Vec{}))}
}

// slid moves the piece forward and left by ever smaller steps for as long as
// that is allowed. Each step is tried where it ends, so it may well pass
// through another part.
func (m *mover) slid(shift r2.Vec) r2.Vec {
	directions := []r2.Vec{{Y: -1}, {X: -1}}
	for step := 2 * m.pile.bed.cell; step > m.pile.bed.cell/32; step /= 2 {
		for moved := true; moved; {
			moved = false
			for _, d := range directions {
				if to := r2.Add(shift, r2.Scale(step, d)); m.free(to) {
					shift, moved = to, true
				}
			}
		}
	}
	return shift
}

// free reports whether the piece may lie at a shift, with a rounding error to
// spare.
func (m *mover) free(shift r2.Vec) bool {
	b := m.pile.bed
	if !b.Bed.Holds(m.hull.Placed(0, shift), b.Margin, 0) {
		return false
	}
	for _, k := range b.keep {
		if k.Nearer(m.tree, shift, 2*b.slack) {
			return false
		}
	}
	for _, other := range m.pile.placed {
		if other.tree.Nearer(m.tree, shift, b.Gap+2*b.slack) {
			return false
		}
	}
	return true
}
