package orient

import (
	"slices"

	"platewright/support/mesh"
	"platewright/support/plane"
)

// How a search refines: from so many starts, at least so far apart, with steps
// from the widest down to the narrowest. A score over the sphere has many
// local minima: P. Morgan et al., "Part orientation optimisation for the
// additive layer manufacture of metal components", Int. J. Adv. Manuf.
// Technol. 86, 2016, found a third of gradient searches caught in one.
const (
	refineStarts   = 16
	startsApart    = 8 * plane.Degree
	widestStep     = 4 * plane.Degree
	narrowestStep  = 0.25 * plane.Degree
	refineBearings = 6
)

// setLeast fixes the figures that scores divide by.
func (sk *sketcher) setLeast(pool []sketch) {
	all := make([]figures, len(pool))
	for i, p := range pool {
		all[i] = figuresOf(p.seen)
	}
	sk.least = leastOf(all, sk.floor)
}

// ranked returns the pool best first under the given weights.
func (sk *sketcher) ranked(pool []sketch, w Weights) []ranked {
	all := make([]ranked, len(pool))
	for i, p := range pool {
		all[i] = ranked{p.up, figuresOf(p.seen), i}
	}
	return rank(all, w, sk.least)
}

// safe returns the sketches that stand safely; all of them where none does.
func (sk *sketcher) safe(pool []sketch) []sketch {
	out := slices.DeleteFunc(slices.Clone(pool), func(s sketch) bool { return s.seen.Tip < sk.settings.LeastTip })
	if len(out) == 0 {
		return pool
	}
	return out
}

// starts picks the orientations to refine: the best by the score and, for
// every figure that counts, the best by that alone.
func (sk *sketcher) starts(pool []sketch) []sketch {
	safe := sk.safe(pool)
	var ups []mesh.Direction
	var out []sketch
	take := func(order []ranked, n int) {
		for _, r := range order {
			if n == 0 {
				return
			}
			if !slices.ContainsFunc(ups, func(u mesh.Direction) bool { return Between(u, r.up) < startsApart }) {
				ups = append(ups, r.up)
				out = append(out, safe[r.index])
				n--
			}
		}
	}
	take(sk.ranked(safe, sk.settings.Weights), refineStarts)
	for i, weight := range sk.settings.Weights.array() {
		if weight > 0 {
			take(sk.ranked(safe, single(i)), 2)
		}
	}
	return out
}

// single returns the weights that count figure i alone.
func single(i int) Weights {
	var f figures
	f[i] = 1
	return Weights{f[0], f[1], f[2], f[3]}
}

// refine improves each start by a pattern search: look around in a ring, step
// to the best there, halve the ring when there is none. It asks for no
// derivative, which the score does not have: facets pass the limit at a stroke.
func (sk *sketcher) refine(starts []sketch) []sketch {
	out := make([]sketch, len(starts))
	sk.run(len(starts), func(i int) {
		best := starts[i]
		for step := widestStep; step >= narrowestStep && sk.ctx.Err() == nil; {
			next := best
			for k := range refineBearings {
				bearing := plane.Angle(k) * 360 * plane.Degree / refineBearings
				s := sk.sketch(leaned(best.up, step, bearing))
				if sk.value(s) < sk.value(next) {
					next = s
				}
			}
			if next == best {
				step /= 2
			}
			best = next
		}
		out[i] = best
	})
	return out
}

// value is the score of a sketch in whole steps; of one that does not stand
// safely, worse than any that does.
func (sk *sketcher) value(s sketch) float64 {
	value := steps(sk.settings.Weights.score(figuresOf(s.seen), sk.least))
	if s.seen.Tip < sk.settings.LeastTip {
		value += 1e15
	}
	return value
}
