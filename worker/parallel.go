package worker

import (
	"github.com/sourcegraph/conc/iter"

	"platewright/orient"
)

// runner returns a Runner that spreads work over n goroutines. A panic in one
// piece of work comes up again in the caller once the others have returned.
func runner(n int) orient.Runner {
	return func(count int, f func(int)) {
		work := make([]struct{}, count)
		iter.Iterator[struct{}]{MaxGoroutines: n}.ForEachIdx(work, func(i int, _ *struct{}) { f(i) })
	}
}
