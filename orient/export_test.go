package orient

import (
	"context"

	"platewright/support"
	"platewright/support/mesh"
)

// Looker returns what a search looks at an orientation with, which is also what
// a sweep does at each of its directions: the score on the mesh as it is.
func Looker(b support.Body, s Settings) func(mesh.Direction) float64 {
	sk := newSearcher(context.Background(), b, s.withDefaults(), Serial)
	return func(up mesh.Direction) float64 { return sk.look(up).score }
}

// Finder returns the search without the exact measurement at its end: the best
// look, how many there were, and the bound.
func Finder(b support.Body, s Settings) (up mesh.Direction, score float64, looks int, bound float64) {
	sk := newSearcher(context.Background(), b, s.withDefaults(), Serial)
	sk.find()
	best := sk.best(1)[0]
	return best.up, best.score, len(sk.looks), sk.relaxation.least()
}
