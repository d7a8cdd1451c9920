package support_test

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
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
		near(t, "contact", got.Contact, want.Contact, 1e-6*(1+want.Contact))
		if got.Layers != want.Layers {
			t.Errorf("layers = %d, want %d", got.Layers, want.Layers)
		}
	}
	// Less what the bound on one column holds back.
	near(t, "scar over all draws", scar, wantScar, 0.02*wantScar)
}

// Ledges and bridges, on columns that are fine enough for them. A measurement
// looks straight across the borders besides, which a scan does not: up to a
// sixteenth of what hangs is spared by the one and not by the other.
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
		near(t, "overhang", got.Overhang, want.Overhang, want.OverhangRaw/16)
		near(t, "support", got.Support, want.Support, want.SupportRaw/16)
	}
}

// Same input, same bits, whatever was scanned before.
func TestScanForgets(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	b := support.NewBody(lumpy(), nil)
	used := support.NewScanner(b, support.Defaults(), 0.8)
	for range 50 {
		d, err := mesh.NewDirection(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		if err != nil {
			t.Fatal(err)
		}
		fresh := support.NewScanner(b, support.Defaults(), 0.8)
		if got, want := used.Scan(d), fresh.Scan(d); got != want || !slices.Equal(used.Slabs(), fresh.Slabs()) {
			t.Fatalf("%v up: %+v, by a fresh scanner %+v", d.Vec(), got, want)
		}
	}
}

// Where a part lies in its file, and corners that no facet uses, make no
// difference beyond rounding.
func TestScanLooksAtFacetsOnly(t *testing.T) {
	m := lumpy()
	stray := append(append([]r3.Vec{{X: 500, Y: 40, Z: -900}}, m.Vertices()...), r3.Vec{X: 1})
	faces := slices.Clone(m.Faces())
	for i := range faces {
		for k := range faces[i] {
			faces[i][k]++
		}
	}
	littered, err := mesh.New(stray, faces)
	if err != nil {
		t.Fatal(err)
	}
	s := support.Defaults()
	plain := support.NewScanner(support.NewBody(m, nil), s, 0.5)
	for _, other := range []*mesh.Mesh{littered, solid.At(m, 1234.5, -321, 77)} {
		scanner := support.NewScanner(support.NewBody(other, nil), s, 0.5)
		for _, v := range []r3.Vec{{Z: 1}, {X: 0.3, Y: 0.5, Z: -0.8}} {
			d, _ := mesh.NewDirection(v)
			got, want := scanner.Scan(d), plain.Scan(d)
			near(t, "height", got.Height, want.Height, 1e-9)
			near(t, "support", got.Support, want.Support, 1e-3*want.Support)
			near(t, "footprint", got.Footprint, want.Footprint, 1e-3*want.Footprint)
			near(t, "overhang", got.OverhangRaw, want.OverhangRaw, 1e-9*want.OverhangRaw)
			near(t, "tip", float64(got.Tip), float64(want.Tip), 1e-6)
			near(t, "held", float64(got.Held), float64(want.Held), 1e-6)
		}
	}
}

// On a foot that tapers, and on feet with support around them.
func TestScanTipsAsMeasureDoes(t *testing.T) {
	s := support.Defaults()
	for name, m := range map[string]*mesh.Mesh{
		"box":     solid.Box(10, 20, 60),
		"table":   solid.Table(60, 20, 30, 5),
		"bracket": solid.LBracket(60, 40, 5, 20),
		"shell":   solid.HemisphericalShell(40, 37, 20),
	} {
		b := support.NewBody(m, nil)
		for _, v := range []r3.Vec{{Z: 1}, {X: 1}, {Z: -1}, {X: 0.3, Y: 0.5, Z: -0.8}} {
			d, _ := mesh.NewDirection(v)
			standing, _ := b.Stand(d)
			got, want := support.NewScanner(b, s, 0.25).Scan(d), support.Measure(standing, s)
			// A scan looks at the finished part alone: never less.
			if got.Tip < want.Tip-0.1*plane.Degree || got.Held < want.Held-0.5*plane.Degree {
				t.Errorf("%s, %v up: tips at %.2f° and held %.2f°, measured %.2f° and %.2f°", name, v,
					got.Tip.Degrees(), got.Held.Degrees(), want.Tip.Degrees(), want.Held.Degrees())
			}
			if got.Held < got.Tip {
				t.Errorf("%s, %v up: support makes it fall", name, v)
			}
		}
	}
}

// searchScans is how many scans of a search share one thinning.
const searchScans = 600

// searchFacets is what a search thins to, and above one and a half times which
// it does.
const searchFacets = 4000

// BenchmarkScore holds one score of a search against the least that turning a
// part can cost: one pass over its corners that turns and bounds them. A score
// is a scan, slabs included, of the part thinned as a search does, to 4000
// facets and a tenth of a column off, and its share of the thinning. The full
// metric is a scan of the part as it is.
func BenchmarkScore(b *testing.B) {
	for _, size := range []struct {
		name string
		n    int
	}{{"tris=10k", 36}, {"tris=100k", 112}, {"tris=1M", 354}} {
		const step = 2
		m := solid.HemisphericalShell(125, 121, size.n)
		up, _ := mesh.NewDirection(r3.Vec{X: 0.3, Y: 0.2, Z: -0.9})
		body := support.NewBody(m, nil)
		var thin support.Body
		thinning := timed(func() { thin = body.Thinned(searchFacets, step/10.0) })
		scanner, full := support.NewScanner(thin, support.Defaults(), step), support.NewScanner(body, support.Defaults(), step)
		b.Run(size.name, func(b *testing.B) {
			b.ReportAllocs()
			var score, whole, bare int64
			for b.Loop() {
				score += timed(func() { sink += scanner.Scan(up).Support + scanner.Slabs()[0].Solid })
				whole += timed(func() { sink += full.Scan(up).Support })
				bare += timed(func() { sink += rotateAndBound(m, up) })
			}
			share := float64(thinning) / searchScans * float64(b.N)
			b.ReportMetric((float64(score)+share)/float64(bare), "passes")
			b.ReportMetric(share/float64(bare), "thinning-passes")
			b.ReportMetric(float64(whole)/float64(bare), "full-passes")
			b.ReportMetric(float64(thin.Mesh.NumFaces()), "facets")
		})
	}
}

// BenchmarkScannerMemory reports what a scanner holds on to.
func BenchmarkScannerMemory(b *testing.B) {
	m := solid.HemisphericalShell(125, 121, 354)
	body := support.NewBody(m, nil)
	up, _ := mesh.NewDirection(r3.Vec{X: 0.3, Y: 0.2, Z: -0.9})
	var held uint64
	for b.Loop() {
		before := heap()
		scanner := support.NewScanner(body, support.Defaults(), 2)
		sink += scanner.Scan(up).Support
		held = heap() - before
		runtime.KeepAlive(scanner)
	}
	b.ReportMetric(float64(held)/float64(m.NumFaces()), "B/tri")
}

// heap returns the bytes in use after a collection.
func heap() uint64 {
	runtime.GC()
	var s runtime.MemStats
	runtime.ReadMemStats(&s)
	return s.HeapAlloc
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
