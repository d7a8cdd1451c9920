package orient

import (
	"context"
	"sync"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

// Runner calls f(0) … f(n−1), each once, in any order and on any goroutines,
// and returns when all have returned.
type Runner func(n int, f func(i int))

// Serial is the Runner that does everything in a row.
func Serial(n int, f func(i int)) {
	for i := range n {
		f(i)
	}
}

// Settings steer a search. The zero value of each field means its default.
type Settings struct {
	Support    support.Settings // limits; zero: support.Defaults
	Weights    Weights          // zero: DefaultWeights
	Directions int              // directions over the sphere; 0: 600
	Keep       int              // most options in a choice set; 0: 8
	// LeastTip asks for orientations that stand at least this safely, as long
	// as there is one.
	LeastTip plane.Angle
}

func (s Settings) withDefaults() Settings {
	if s.Support == (support.Settings{}) {
		s.Support = support.Defaults()
	}
	if s.Weights == (Weights{}) {
		s.Weights = DefaultWeights()
	}
	if s.Directions == 0 {
		s.Directions = 600
	}
	if s.Keep == 0 {
		s.Keep = 8
	}
	return s
}

// Option is one orientation of a part and what it costs.
type Option struct {
	Up       mesh.Direction
	Measures support.Measures
	// Score is the weighted sum of the four figures, each divided by its least
	// over the candidates: smaller is better, and only comparable within one
	// part.
	Score float64
}

// Search returns a part's choice set, best first: at least three options when
// the part has that many distinct ones, at most Settings.Keep.
//
// Laws: (1) the Runner does not change the answer; (2) of the options that stand
// safely, if any do, the first has the least score.
// Errors: that of ctx, when it ends before the search does.
// Cost: some 1,500 scans, 40 fine ones, and an exact measurement an option.
func Search(ctx context.Context, b support.Body, s Settings, run Runner) ([]Option, error) {
	s = s.withDefaults()
	m := b.Mesh
	sk := newSketcher(ctx, b, s, run)
	sk.rests = rests(m)
	pool := sk.estimate(candidates(m, sk.rests, s.Directions))
	sk.setLeast(pool)
	pool = append(pool, sk.refine(sk.starts(pool))...)
	chosen := choose(sk.lookCloser(b, sk.finalists(pool)), s, sk.floor)
	options := make([]Option, len(chosen))
	run(len(chosen), func(i int) {
		if ctx.Err() == nil {
			options[i] = Evaluate(b, chosen[i], s.Support)
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return scored(options, s, sk.floor), nil
}

// Evaluate measures one orientation exactly; its Score is left zero.
func Evaluate(b support.Body, up mesh.Direction, s support.Settings) Option {
	standing, _ := b.Stand(up)
	return Option{Up: up, Measures: support.Measure(standing, s)}
}

// sketch is an orientation and what a scan saw of it.
type sketch struct {
	up   mesh.Direction
	seen support.Measures
}

// sketcher estimates orientations of one part.
type sketcher struct {
	ctx      context.Context
	settings Settings
	run      Runner
	scanners sync.Pool
	rests    []mesh.Direction // faces of the hull that the part can rest on, up
	least    figures
	floor    figures
}

// Above so many facets the estimates are made on a thinned mesh.
const fineFacets = 40_000

func newSketcher(ctx context.Context, b support.Body, s Settings, run Runner) *sketcher {
	coarse := b
	m, step := b.Mesh, columnStep(b.Mesh)
	if m.NumFaces() > fineFacets {
		// A tenth of a column off: far below what the columns themselves miss.
		thin, from := m.Decimated(mesh.Decimation{Facets: fineFacets / 2, Deviation: step / 10})
		coarse.Mesh = thin
		if b.Roles != nil {
			coarse.Roles = make([]support.Role, len(from))
			for i, f := range from {
				coarse.Roles[i] = b.Roles[f]
			}
		}
	}
	sk := &sketcher{ctx: ctx, settings: s, run: run, floor: floors(m)}
	sk.scanners.New = func() any { return support.NewScanner(coarse, s.Support, step) }
	return sk
}

// columnStep returns the column spacing for estimates: 2 mm for a part of
// 250 mm, in proportion for smaller ones.
func columnStep(m *mesh.Mesh) float64 {
	b := m.Bounds()
	size := max(b.Max.X-b.Min.X, b.Max.Y-b.Min.Y, b.Max.Z-b.Min.Z)
	return min(2, max(size/125, 0.05))
}

// estimate scans every direction.
func (sk *sketcher) estimate(ups []mesh.Direction) []sketch {
	out := make([]sketch, len(ups))
	sk.run(len(ups), func(i int) { out[i] = sk.sketch(ups[i]) })
	return out
}

// sketch scans one direction; after the context has ended it returns an empty
// sketch, which nobody looks at.
func (sk *sketcher) sketch(up mesh.Direction) sketch {
	if sk.ctx.Err() != nil {
		return sketch{up: up}
	}
	scanner := sk.scanners.Get().(*support.Scanner)
	defer sk.scanners.Put(scanner)
	return sketch{up, scanner.Scan(up)}
}
