package printer_test

import (
	"math"
	"testing"

	"platewright/orient/printer"
	"platewright/support"
	"platewright/support/mesh/solid"
)

// TestCoarseCutRanksAlike: a search may cut parts into layers of a millimetre
// and find support along columns of two. That costs accuracy, this much on
// parts of 40 mm; on larger ones less.
func TestCoarseCutRanksAlike(t *testing.T) {
	p, m := shop()
	fine, rough := settings(p), settings(p)
	rough.Layer = 1
	worst := 0.0
	parts := solids()
	if testing.Short() {
		parts = parts[:3]
	}
	for _, of := range parts {
		for _, up := range ups(t) {
			standing, _ := support.NewBody(of.mesh, nil).Stand(up)
			a := printer.Time(p, m, fine.Work(standing, columnStep)).Hours
			b := printer.Time(p, m, rough.Work(standing, 2)).Hours
			worst = max(worst, math.Abs(b/a-1))
			if math.Abs(b/a-1) > 0.03 {
				t.Errorf("%s, up %.1f: %.3f h in fine layers, %.3f in coarse ones", of.name, up.Vec(), a, b)
			}
		}
	}
	t.Logf("worst off by %.1f %%", 100*worst)
}

func BenchmarkTime(b *testing.B) {
	p, m := shop()
	work := settings(p).Work(support.NewBody(solid.Sphere(50, 64), nil), 2)
	b.ReportAllocs()
	for b.Loop() {
		printer.Time(p, m, work)
	}
	b.ReportMetric(float64(len(work))*float64(b.N)/b.Elapsed().Seconds(), "layers/s")
}
