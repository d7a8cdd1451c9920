package orient

import (
	"context"
	"slices"
	"sync"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

// Answer is what a search found out about a part.
type Answer struct {
	// Options is the choice set, best first: at least three when the part has
	// that many distinct orientations, at most Settings.Keep.
	Options []Option
	// Bound is what no orientation costs less than, in weighted hours on the
	// best machine: Options[0].Score − Bound is how much better any could be.
	Bound float64
	// Flat and Upright are indices of Options: the least height, and the least
	// footprint of those that stand safely, or of all if none does.
	Flat, Upright int
}

// Search returns a part's choice set and how much better an orientation could
// still be.
//
// It works from rough to fine. Candidates (see candidates) are first told by
// the image of the surface and the hull alone, and left there when no support
// at all would make them good; then scanned along columns on a thinned mesh and
// timed by a clock fitted to a few orientations of this very part; the best are
// refined, looked at on the full mesh and timed layer by layer, and refined
// again. The choice set is then measured exactly.
//
// Laws: (1) the Runner does not change the answer; (2) the first option has the
// least score; (3) no orientation scores below Bound.
// Errors: that of ctx, when it ends before the search does.
// Cost: some 600 scans of a thinned mesh, 100 full looks, and an exact
// measurement an option.
func Search(ctx context.Context, b support.Body, s Settings, run Runner) (Answer, error) {
	sk := newSearcher(ctx, b, s.withDefaults(), run)
	sk.find()
	options := sk.measure(sk.choose())
	if err := ctx.Err(); err != nil {
		return Answer{}, err
	}
	slices.SortFunc(options, func(a, b Option) int { return before(a.Fits(), b.Fits(), a.Score, b.Score, a.Up, b.Up) })
	out := Answer{Options: options, Bound: sk.relaxation.least()}
	out.Flat, out.Upright = flattest(options), slimmest(options, s.Risk.Safe)
	return out, nil
}

// searcher looks for the best orientations of one part.
type searcher struct {
	ctx        context.Context
	settings   Settings
	run        Runner
	whole      support.Body   // as it is
	body       support.Body   // thinned, if it is a fine one
	hull       *mesh.HullMesh // nil: the part is flat
	image      image
	volume     float64
	step       float64 // of columns, mm
	rests      []mesh.Direction
	coarse     sync.Pool // of *support.Scanner, on the thinned mesh
	fine       sync.Pool // of *support.Scanner, on the body
	relaxation relaxation
	clocks     []clock
	looks      []look
	measured   []Option // exactly, as many as there were a need for
}

// Above so many facets the sketches, and the looks, are made on a thinned mesh.
const (
	sketchFacets = 4_000
	lookFacets   = 40_000
)

func newSearcher(ctx context.Context, b support.Body, s Settings, run Runner) *searcher {
	m := b.Mesh
	sk := &searcher{ctx: ctx, settings: s, run: run, whole: b, step: columnStep(m), volume: max(m.Volume(), 0)}
	if hull, err := mesh.Hull(m); err == nil {
		sk.hull = hull
		sk.rests = rests(m, hull)
	}
	sk.image = newImage(m, b.Roles)
	// A slim part stands on a foot of few columns, and by how many tells how
	// easily it falls over.
	if width := sk.width(); width > 0 {
		sk.step = min(sk.step, max(width/slimColumns, 0.05))
	}
	// A tenth of a column off for sketches, a fortieth for looks: far below what
	// the columns themselves miss.
	sk.body = b.Thinned(lookFacets, sk.step/40)
	thin := b.Thinned(sketchFacets, sk.step/10)
	sk.coarse.New = func() any { return sk.scanner(thin) }
	sk.fine.New = func() any { return sk.scanner(sk.body) }
	return sk
}

// slimColumns is how many columns there are at least across the narrowest way
// through a part.
const slimColumns = 12

// width returns the least height of the part on a face that it can rest on; 0
// where there is none.
func (sk *searcher) width() float64 {
	least := 0.0
	for i, up := range sk.rests {
		if h := sk.hull.Height(up); i == 0 || h < least {
			least = h
		}
	}
	return least
}

// scanner returns a scanner of a body whose slabs are half as thick as its
// columns are apart: 1 mm for a part of 250 mm.
func (sk *searcher) scanner(b support.Body) *support.Scanner {
	s := support.NewScanner(b, sk.settings.Support, sk.step)
	s.SetSlab(sk.step / 2)
	return s
}

// columnStep returns the column spacing of scans: 2 mm for a part of 250 mm, in
// proportion for smaller ones.
func columnStep(m *mesh.Mesh) float64 {
	b := m.Bounds()
	size := max(b.Max.X-b.Min.X, b.Max.Y-b.Min.Y, b.Max.Z-b.Min.Z)
	return min(2, max(size/125, 0.05))
}

// How many orientations a search looks at in full, to learn how long the part
// takes and as its finalists.
const (
	lookFirst  = 14 // to fit the clocks
	lookFinal  = 14 // best by sketch
	lookAgain  = 8  // best by sketch once the clocks have seen the finalists
	lookSingle = 2  // best by each figure that a choice set is spread over
	lookRefine = 1  // the best looks, refined by looking around each
	lookSure   = 5  // the best looks, measured exactly to tell which is the best
)

// find fills in the looks.
func (sk *searcher) find() {
	all := candidates(sk.image, sk.rests, sk.settings.Directions)
	sk.lookAt(spreadOver(all, len(sk.rests), lookFirst))
	sk.setClocks()
	pool := sk.sketchAll(all)
	pool = append(pool, sk.refine(apart(pool, startsApart, refineStarts))...)
	sk.lookAt(sk.finalists(pool))
	sk.setClocks()
	sk.time(pool)
	sk.lookAt(ups(apart(sk.unseen(pool), finalApart, lookAgain)))
	sk.refineLooks()
	sk.confirm()
}

// spreadOver picks n of the candidates: the first axes, the first few rests,
// and others evenly over the rest of the list.
func spreadOver(all []mesh.Direction, rests, n int) []mesh.Direction {
	const known = 6 // the axes come first
	out := slices.Clone(all[:min(known, len(all))])
	out = append(out, all[len(out):min(len(out)+min(rests, 3), len(all))]...)
	for i, left := 0, n-len(out); i < left; i++ {
		out = append(out, all[len(out)+(len(all)-len(out))*i/left])
	}
	return distinct(out, sameUp)
}

// setClocks fits the clocks, and the bound that rests on them, to all looks.
func (sk *searcher) setClocks() {
	if sk.ctx.Err() != nil {
		return
	}
	sk.clocks = sk.clocks[:0]
	for k, m := range sk.settings.Machines {
		seen := make([]timed, len(sk.looks))
		for i, l := range sk.looks {
			parts := l.on[k].Parts
			seen[i] = timed{l.figures[k], parts.Sum() - parts.HeatUp, parts.Walls + parts.Skins + parts.Infill}
		}
		sk.clocks = append(sk.clocks, newClock(m, sk.volume, seen))
	}
	sk.relaxation = newRelaxation(sk.settings, sk.image, sk.hull, sk.volume, sk.clocks)
}

// tipSafe reports whether an orientation stands safely.
func (s Settings) tipSafe(tip plane.Angle) bool { return tip >= s.Risk.Safe }
