package orient

import (
	"cmp"
	"math"
	"slices"

	"platewright/support"
	"platewright/support/plane"
)

// optionsApart keeps near twins of a better option out of the choice set.
const optionsApart = 5 * plane.Degree

// worthwhile bounds how many times the best's hours an option may cost, to be
// kept for what else it has to offer.
const worthwhile = 3

// counts are what an option may be better at than another: hours of each
// machine, bench hours, scar on show, height, footprint, and how far it is from
// standing safely. Less is better.
func (s Settings) counts(l look) []float64 {
	out := make([]float64, 0, len(l.on)+5)
	bench := math.Inf(1)
	for _, on := range l.on {
		h := on.Terms.Machine
		if !on.Fits {
			h = math.Inf(1)
		}
		out = append(out, h)
		bench = min(bench, on.Terms.Scar+on.Terms.Sanding)
	}
	return append(out, bench, l.seen.Scar[support.Show], l.seen.Height, l.seen.Footprint, max(0, float64(s.Risk.Safe-l.seen.Held)))
}

// choose returns the looks of the choice set: the best; the flattest and the
// slimmest that stands safely; then, of those that no other beats on all
// counts, always the one that is least like those chosen; then others until
// there are leastOptions.
func (sk *searcher) choose() []look {
	order := slices.SortedFunc(slices.Values(sk.looks), compareLooks)
	if len(order) == 0 {
		return nil
	}
	s := sk.settings
	keep := s.Keep
	out := order[:1:1]
	add := func(l look) {
		if len(out) < keep && !slices.ContainsFunc(out, func(o look) bool { return Between(o.up, l.up) < optionsApart }) {
			out = append(out, l)
		}
	}
	add(slices.MinFunc(order, by(func(l look) float64 { return l.seen.Height })))
	add(slices.MinFunc(order, by(func(l look) float64 { return slimness(l.seen, s.Risk.Safe) })))
	front := sk.front(order)
	for len(out) < keep {
		next, ok := s.leastAlike(front, out)
		if !ok {
			break
		}
		out = append(out, next)
	}
	keep = min(keep, leastOptions)
	for _, l := range order {
		add(l)
	}
	return out
}

// leastOptions is how many options a choice set has at least, if there are as
// many orientations.
const leastOptions = 3

func by(of func(look) float64) func(a, b look) int {
	return func(a, b look) int {
		return cmp.Or(compareBool(b.fits, a.fits), cmp.Compare(steps(of(a)), steps(of(b))), compareLooks(a, b))
	}
}

// slimness orders by footprint, what stands safely first.
func slimness(m support.Measures, safe plane.Angle) float64 {
	const unsafe = 1e12 // mm²
	if m.Held < safe {
		return unsafe + m.Footprint
	}
	return m.Footprint
}

// alike is within how much of the least two options count as equally flat or
// slim; of those the better one is taken.
const alike = 0.01

// flattest returns the index of the option of least height that fits, the
// first of equals.
func flattest(all []Option) int {
	return leastOption(all, func(m support.Measures) float64 { return m.Height })
}

// slimmest returns that of the least footprint of those that stand safely.
func slimmest(all []Option, safe plane.Angle) int {
	return leastOption(all, func(m support.Measures) float64 { return slimness(m, safe) })
}

func leastOption(all []Option, of func(support.Measures) float64) int {
	best := 0
	for i, o := range all {
		switch here := all[best]; {
		case o.Fits() && !here.Fits():
			best = i
		case o.Fits() == here.Fits() && of(o.Measures) < of(here.Measures)*(1-alike):
			best = i
		}
	}
	return best
}

// front returns, of looks best first, those that fit as the first does, cost
// no more than worthwhile times as much, and are beaten by none on all counts.
func (sk *searcher) front(order []look) []look {
	counts := make([][]float64, len(order))
	for i, l := range order {
		counts[i] = sk.settings.counts(l)
	}
	var out []look
	for i, l := range order {
		if l.fits == order[0].fits && l.score <= worthwhile*order[0].score && !beaten(counts[i], counts) {
			out = append(out, l)
		}
	}
	return out
}

// beaten reports whether something is as good on all counts and better on one.
func beaten(c []float64, all [][]float64) bool {
	return slices.ContainsFunc(all, func(o []float64) bool {
		asGood, betterOnce := true, false
		for i := range o {
			asGood = asGood && o[i] <= c[i]
			betterOnce = betterOnce || o[i] < c[i]
		}
		return asGood && betterOnce
	})
}

// leastAlike returns the look of the front that differs most from all chosen,
// in counts as shares of their spread over the front; false when each is a near
// twin of one chosen.
func (s Settings) leastAlike(front, chosen []look) (next look, ok bool) {
	low, high := slices.Clone(s.counts(front[0])), slices.Clone(s.counts(front[0]))
	for _, l := range front {
		for i, c := range s.counts(l) {
			if !math.IsInf(c, 1) {
				low[i], high[i] = min(low[i], c), max(high[i], c)
			}
		}
	}
	best := 0.0
	for _, l := range front {
		if slices.ContainsFunc(chosen, func(o look) bool { return Between(o.up, l.up) < optionsApart }) {
			continue
		}
		nearest := math.Inf(1)
		for _, o := range chosen {
			nearest = min(nearest, unlike(s.counts(l), s.counts(o), low, high))
		}
		if steps(nearest) > steps(best) {
			best, next, ok = nearest, l, true
		}
	}
	return next, ok
}

// unlike is the distance of two sets of counts.
func unlike(a, b, low, high []float64) float64 {
	sum := 0.0
	for i := range a {
		switch {
		case math.IsInf(a[i], 1) != math.IsInf(b[i], 1):
			sum++
		case math.IsInf(a[i], 1) || high[i] <= low[i] || math.IsInf(high[i], 1):
		default:
			d := (a[i] - b[i]) / (high[i] - low[i])
			sum += d * d
		}
	}
	return math.Sqrt(sum)
}
