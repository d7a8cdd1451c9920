package orient

import (
	"slices"
	"sync"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

// How the orientations to measure exactly are picked from the estimates.
const (
	finalApart  = 1 * plane.Degree // nearer ones are much the same
	finalScore  = 14               // best by score
	finalSingle = 3                // best by each figure alone
	finalRests  = 6                // best of the faces that the part can rest on
	finalUnsafe = 4                // best by score, whether they stand or not
)

// finalists picks the orientations worth measuring exactly.
func (sk *sketcher) finalists(pool []sketch) []mesh.Direction {
	var out []mesh.Direction
	take := func(order []ranked, n int, keep func(mesh.Direction) bool) {
		for _, r := range order {
			if n == 0 {
				return
			}
			if keep(r.up) && !slices.ContainsFunc(out, func(o mesh.Direction) bool { return Between(o, r.up) < finalApart }) {
				out = append(out, r.up)
				n--
			}
		}
	}
	any := func(mesh.Direction) bool { return true }
	safe := sk.safe(pool)
	byScore := sk.ranked(safe, sk.settings.Weights)
	take(byScore, finalScore, any)
	for i := range len(figures{}) {
		take(sk.ranked(safe, single(i)), finalSingle, any)
	}
	take(sk.ranked(pool, sk.settings.Weights), finalUnsafe, any)
	take(byScore, finalRests, func(d mesh.Direction) bool {
		return slices.ContainsFunc(sk.rests, func(r mesh.Direction) bool { return Between(r, d) < sameUp })
	})
	return out
}

// fineness is how much closer the columns are for the finalists than for the
// search.
const fineness = 4

// finalist is an orientation seen more closely.
type finalist struct {
	ranked
	tip plane.Angle
}

// lookCloser scans the finalists with finer columns, on the mesh as it is, and
// sees how safely they stand.
func (sk *sketcher) lookCloser(b support.Body, ups []mesh.Direction) []finalist {
	scanners := sync.Pool{New: func() any { return support.NewScanner(b, sk.settings.Support, columnStep(b.Mesh)/fineness) }}
	out := make([]finalist, len(ups))
	sk.run(len(ups), func(i int) {
		if sk.ctx.Err() != nil {
			return
		}
		scanner := scanners.Get().(*support.Scanner)
		defer scanners.Put(scanner)
		standing, _ := b.Stand(ups[i])
		out[i] = finalist{
			ranked: ranked{ups[i], figuresOf(scanner.Scan(ups[i])), i},
			tip:    sk.settings.Support.Tip(standing.Mesh),
		}
	})
	return out
}

// optionsApart keeps near twins of a better option out of the choice set.
const optionsApart = 5 * plane.Degree

// leastOptions is how many options a choice set has at least, if there are as
// many orientations.
const leastOptions = 3

// choose returns the orientations of the choice set: of those that stand
// safely, if any do, the best, then the ones that no other beats on all four
// figures; then others until there are leastOptions.
func choose(all []finalist, s Settings, floor figures) []mesh.Direction {
	if len(all) == 0 {
		return nil
	}
	every, fig := make([]ranked, len(all)), make([]figures, len(all))
	for i, f := range all {
		every[i], fig[i] = f.ranked, f.figures
	}
	order := rank(every, s.Weights, leastOf(fig, floor))
	safe := slices.DeleteFunc(slices.Clone(order), func(r ranked) bool { return all[r.index].tip < s.LeastTip })
	if len(safe) == 0 {
		safe = order
	}
	out := []mesh.Direction{safe[0].up}
	fresh := func(r ranked) bool {
		return !slices.ContainsFunc(out, func(o mesh.Direction) bool { return Between(o, r.up) < optionsApart })
	}
	for _, r := range safe[1:] {
		if len(out) < s.Keep && fresh(r) && !beaten(r, safe) {
			out = append(out, r.up)
		}
	}
	for _, r := range slices.Concat(safe, order) {
		if len(out) < min(leastOptions, s.Keep) && fresh(r) {
			out = append(out, r.up)
		}
	}
	return out
}

// scored gives measured options their scores and puts them in order: those
// that stand safely first, the better ones first among them.
func scored(options []Option, s Settings, floor figures) []Option {
	every, fig := make([]ranked, len(options)), make([]figures, len(options))
	for i, o := range options {
		fig[i] = figuresOf(o.Measures)
		every[i] = ranked{o.Up, fig[i], i}
	}
	least := leastOf(fig, floor)
	var safe, unsafe []Option
	for _, r := range rank(every, s.Weights, least) {
		o := options[r.index]
		o.Score = s.Weights.score(r.figures, least)
		if o.Measures.Tip < s.LeastTip {
			unsafe = append(unsafe, o)
		} else {
			safe = append(safe, o)
		}
	}
	return append(safe, unsafe...)
}

// beaten reports whether some orientation is as good on all figures and better
// on one.
func beaten(r ranked, all []ranked) bool {
	return slices.ContainsFunc(all, func(o ranked) bool {
		asGood, betterOnce := true, false
		for i := range o.figures {
			asGood = asGood && o.figures[i] <= r.figures[i]
			betterOnce = betterOnce || o.figures[i] < r.figures[i]
		}
		return asGood && betterOnce
	})
}
