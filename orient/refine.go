package orient

import (
	"platewright/support/mesh"
	"platewright/support/plane"
)

// How a search refines: from so many starts, at least so far apart, with steps
// from the widest down to the narrowest. A score over the sphere has many
// local minima: P. Morgan et al., "Part orientation optimisation for the
// additive layer manufacture of metal components", Int. J. Adv. Manuf.
// Technol. 86, 2016, found a third of gradient searches caught in one.
const (
	refineStarts   = 8
	startsApart    = 8 * plane.Degree
	widestStep     = 4 * plane.Degree
	narrowestStep  = 0.5 * plane.Degree
	refineBearings = 6
)

// refine improves each start by a pattern search: look around in a ring, step
// to the best there, halve the ring when there is none. It asks for no
// derivative, which the score does not have: facets pass the limit at a stroke.
func (sk *searcher) refine(starts []sketch) []sketch {
	out := make([]sketch, len(starts))
	sk.run(len(starts), func(i int) {
		best := starts[i]
		for step := widestStep; step >= narrowestStep && sk.ctx.Err() == nil; {
			next := best
			for k := range refineBearings {
				up := leaned(best.up, step, plane.Angle(k)*360*plane.Degree/refineBearings)
				lower := sk.relaxation.over(up, 0)
				if lower >= next.hours {
					continue
				}
				if s := sk.sketch(up, lower); compareSketches(s, next) < 0 {
					next = s
				}
			}
			if next.up == best.up {
				step /= 2
			}
			best = next
		}
		out[i] = best
	})
	return out
}

// refineLooks looks around the best looks in narrowing rings.
func (sk *searcher) refineLooks() {
	for step := 2 * plane.Degree; step >= narrowestStep && sk.ctx.Err() == nil; step /= 2 {
		var around []mesh.Direction
		for _, l := range sk.best(lookRefine) {
			for k := range refineBearings {
				up := leaned(l.up, step, plane.Angle(k)*360*plane.Degree/refineBearings)
				if sk.relaxation.over(up, 0) < sk.best(1)[0].score {
					around = append(around, up)
				}
			}
		}
		sk.lookAt(around)
	}
}
