package support_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

// lumpy is a body with support on itself, shells through each other, shells
// that touch and a hollow.
func lumpy() *mesh.Mesh {
	return solid.Together(
		solid.Table(40, 20, 30, 5),
		solid.At(solid.Pyramid(12, 9), 3, 2, 0),
		solid.At(solid.Sphere(4, 6), -9, 1, 6),
		solid.At(solid.Torus(12, 3, 40, 12), 2, -4, 33),
		solid.At(solid.HollowBox(10, 12, 14, 2), 10, 3, 35))
}

// Exact measures and columns have nothing in common but the definitions.
func TestScannerAgreesWithMeasure(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	m := lumpy()
	s := support.Settings{Limit: 45 * plane.Degree, Layer: 0.2, FirstLayer: 0.2}
	scanner := support.NewScanner(support.NewBody(m, nil), s, 0.25)
	var scar, wantScar float64
	for range 60 {
		up := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		d, err := mesh.NewDirection(up)
		if err != nil {
			t.Fatal(err)
		}
		got := scanner.Scan(d)
		want := support.Measure(support.NewBody(standing(t, m, up), nil), s)
		near(t, "height", got.Height, want.Height, 1e-9)
		near(t, "overhang", got.OverhangRaw, want.OverhangRaw, 1e-6)
		near(t, "support", got.SupportRaw, want.SupportRaw, 0.01*want.SupportRaw+20)
		// A column that lands on a steep wall stands for much surface: single
		// draws scatter, their sum does not.
		near(t, "scar", got.Scar.Sum(), want.Scar.Sum(), 0.1*want.Scar.Sum()+5)
		scar, wantScar = scar+got.Scar.Sum(), wantScar+want.Scar.Sum()
		near(t, "cusp", got.Cusp.Sum(), want.Cusp.Sum(), 0.01*want.Cusp.Sum())
		near(t, "footprint", got.Footprint, want.Footprint, 0.005*want.Footprint)
		if got.Layers != want.Layers {
			t.Errorf("layers = %d, want %d", got.Layers, want.Layers)
		}
	}
	// Less what the bound on one column holds back.
	near(t, "scar over all draws", scar, wantScar, 0.02*wantScar)
}

// Ledges and bridges, on columns that are fine enough for them. A scan looks in
// 8 directions, a measurement in 16 and straight across the borders: up to a
// ninth of what hangs is spared by the one and not by the other.
func TestScannerSparesAsMeasureDoes(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 4))
	m := lumpy()
	s := support.Defaults()
	scanner := support.NewScanner(support.NewBody(m, nil), s, 0.25)
	for range 20 {
		d, err := mesh.NewDirection(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		if err != nil {
			t.Fatal(err)
		}
		got := scanner.Scan(d)
		standing, _ := support.NewBody(m, nil).Stand(d)
		want := support.Measure(standing, s)
		near(t, "overhang", got.Overhang, want.Overhang, want.OverhangRaw/9)
		near(t, "support", got.Support, want.Support, want.SupportRaw/9)
	}
}

// BenchmarkScore holds one score of a search against the least that turning a
// part can cost: one pass over its corners that turns and bounds them.
func BenchmarkScore(b *testing.B) {
	for _, size := range []struct {
		name string
		n    int
	}{{"tris=10k", 36}, {"tris=100k", 112}, {"tris=1M", 354}} {
		m := solid.HemisphericalShell(125, 121, size.n)
		s := support.Defaults()
		scanner := support.NewScanner(support.NewBody(m, nil), s, 2)
		up, _ := mesh.NewDirection(r3.Vec{X: 0.3, Y: 0.2, Z: -0.9})
		b.Run(size.name, func(b *testing.B) {
			b.ReportAllocs()
			var score, bare int64
			for b.Loop() {
				score += timed(func() { sink += scanner.Scan(up).Support })
				bare += timed(func() { sink += rotateAndBound(m, up) })
			}
			b.ReportMetric(float64(score)/float64(bare), "passes")
			b.ReportMetric(float64(m.NumFaces())*float64(b.N)/float64(score)*1e9, "tris/s")
		})
	}
}

var sink float64

// rotateAndBound turns every corner and returns the sum of the box's sides.
func rotateAndBound(m *mesh.Mesh, up mesh.Direction) float64 {
	f := mesh.Upright(up)
	inf := math.Inf(1)
	low, high := r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}
	for _, p := range m.Vertices() {
		q := f.Turn(p)
		low = r3.Vec{X: min(low.X, q.X), Y: min(low.Y, q.Y), Z: min(low.Z, q.Z)}
		high = r3.Vec{X: max(high.X, q.X), Y: max(high.Y, q.Y), Z: max(high.Z, q.Z)}
	}
	d := r3.Sub(high, low)
	return d.X + d.Y + d.Z
}
