package orient_test

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"sync"
	"sync/atomic"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/orient"
	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

// crooked are five shapes without any symmetry, none of them lying along the
// axes.
func crooked() map[string]*mesh.Mesh {
	turned := func(m *mesh.Mesh, x, y, z float64) *mesh.Mesh {
		d, err := mesh.NewDirection(r3.Vec{X: x, Y: y, Z: z})
		if err != nil {
			panic(err)
		}
		return m.Moved(mesh.Pose{Frame: mesh.Upright(d).Spun(0.4)})
	}
	return map[string]*mesh.Mesh{
		"bracket with a foot": turned(solid.Together(
			solid.LBracket(60, 40, 5, 20), solid.At(solid.Pyramid(14, 9), 12, 3, 0)), 1, 2, 3),
		"stool with a lean-to": turned(solid.Together(
			solid.Table(30, 22, 25, 6), solid.At(solid.Box(9, 14, 17), -4, 2, 31), solid.At(turned(solid.Box(4, 7, 40), 1, 0.4, 2), 9, 1, 10)), 2, -1, 1),
		"boulder":      boulder(7, 10),
		"shard":        turned(boulder(3, 2), -1, 1, 2),
		"hook of bars": turned(solid.Together(solid.Box(50, 8, 6), solid.At(solid.Box(7, 8, 33), 20, 0, 5), solid.At(solid.Box(21, 5, 9), 9, 1, 31)), 1, 1, -4),
	}
}

// boulder is a ball pushed in and out by a few random waves.
func boulder(seed uint64, n int) *mesh.Mesh {
	rng := rand.New(rand.NewPCG(seed, 1))
	ball := solid.Sphere(20, n)
	waves := make([]r3.Vec, 5)
	for i := range waves {
		waves[i] = r3.Scale(0.09, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
	}
	points := make([]r3.Vec, ball.NumVertices())
	for i, v := range ball.Vertices() {
		v.Z -= 20
		k := 1.0
		for j, w := range waves {
			k += 0.12 * math.Sin(r3.Dot(w, v)+float64(j))
		}
		points[i] = r3.Scale(k, r3.Vec{X: 1.3 * v.X, Y: v.Y, Z: 0.8 * v.Z})
	}
	m, err := mesh.New(points, ball.Faces())
	if err != nil {
		panic(err)
	}
	return m
}

// fourAtATime is a Runner.
func fourAtATime(n int, f func(int)) { parallel(4, n, f) }

// parallel does f(0) … f(n−1) on some goroutines that take work as it comes.
func parallel(goroutines, n int, f func(int)) {
	var next atomic.Int64
	var all sync.WaitGroup
	for range goroutines {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				f(i)
			}
		})
	}
	all.Wait()
}

// With one price and nothing else the chosen orientation comes within 2 % of
// the least value over a dense sweep of 5,000 directions, measured exactly.
func TestSearchFindsTheLeastOfEachFigure(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: a dense sweep takes a minute; run without -short")
	}
	const directions = 5000
	s := settings()
	s.Support.Ledge, s.Support.Bridge = 0, 0
	figures := []struct {
		name    string
		weights orient.Weights
		of      func(support.Measures) float64
	}{
		{"overhang", orient.Weights{Overhang: 1}, func(m support.Measures) float64 { return m.Overhang }},
		{"support", orient.Weights{Support: 1}, func(m support.Measures) float64 { return m.Support }},
		{"layers", orient.Weights{Layer: 1}, func(m support.Measures) float64 { return float64(m.Layers) }},
		{"footprint", orient.Weights{Footprint: 1}, func(m support.Measures) float64 { return m.Footprint }},
	}
	for name, m := range crooked() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			body := support.NewBody(m, nil)
			sweep := make([]support.Measures, directions)
			for i, up := range orient.Sphere(directions) {
				standing, _ := body.Stand(up)
				sweep[i] = support.Measure(standing, s.Support)
			}
			for _, f := range figures {
				least := math.Inf(1)
				for _, x := range sweep {
					least = min(least, f.of(x))
				}
				s := s
				s.Weights = f.weights
				if got := f.of(search(t, body, s).Options[0].Measures); got > 1.02*least+1e-9 {
					t.Errorf("%s of %s = %.6g, a sweep finds %.6g", f.name, name, got, least)
				}
			}
		})
	}
}

func search(t testing.TB, b support.Body, s orient.Settings) orient.Answer {
	t.Helper()
	out, err := orient.Search(context.Background(), b, s, orient.Serial)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestRunnerDoesNotChangeTheAnswer(t *testing.T) {
	for _, name := range []string{"bracket with a foot", "boulder"} {
		body := support.NewBody(crooked()[name], nil)
		one := search(t, body, settings())
		many, err := orient.Search(context.Background(), body, settings(), fourAtATime)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(one, many) {
			t.Errorf("%s: %+v in a row, %+v in parallel", name, one, many)
		}
	}
}

func TestChoiceSet(t *testing.T) {
	s := settings()
	s.Keep = 5
	for name, m := range crooked() {
		if testing.Short() && name != "boulder" {
			continue // the race detector makes five shapes a matter of minutes
		}
		options := search(t, support.NewBody(m, nil), s).Options
		if len(options) < 3 || len(options) > 5 {
			t.Errorf("%s: %d options, want 3 to 5", name, len(options))
		}
		for i, o := range options {
			if i > 0 && o.Score < options[i-1].Score-1e-6 {
				t.Errorf("%s: option %d scores %v, the one before %v", name, i, o.Score, options[i-1].Score)
			}
			for _, p := range options[:i] {
				if orient.Between(o.Up, p.Up) < 4*plane.Degree {
					t.Errorf("%s: two options %.1f° apart", name, orient.Between(o.Up, p.Up).Degrees())
				}
			}
		}
	}
}

func TestSearchStopsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := orient.Search(ctx, support.NewBody(boulder(1, 4), nil), settings(), orient.Serial); err != context.Canceled {
		t.Errorf("error = %v, want %v", err, context.Canceled)
	}
}

// A block that can stand on its end, and would by its footprint, is laid down
// when standing so is sure to fail.
func TestTipLaysABarDown(t *testing.T) {
	bar := support.NewBody(solid.Box(8, 10, 120), nil)
	s := settings()
	s.Weights.Footprint = 0.005
	for _, c := range []struct {
		safe   plane.Angle
		height float64
	}{{0, 120}, {25 * plane.Degree, 10}} {
		s.Risk.Safe, s.Risk.Tip = c.safe, 1
		if got := search(t, bar, s).Options[0].Measures.Height; math.Abs(got-c.height) > 2.01 {
			t.Errorf("height where %v° is safe = %v, want about %v", c.safe.Degrees(), got, c.height)
		}
	}
}

// The largest hole of the sphere of directions bounds how far any orientation
// is from a candidate.
func TestSphereIsNearlyEven(t *testing.T) {
	const n = 600
	all := orient.Sphere(n)
	rng := rand.New(rand.NewPCG(8, 8))
	for range 2000 {
		d, err := mesh.NewDirection(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		if err != nil {
			t.Fatal(err)
		}
		least := plane.Angle(math.Pi)
		for _, o := range all {
			least = min(least, orient.Between(d, o))
		}
		if float64(least) > 2.7/math.Sqrt(n) {
			t.Fatalf("nearest of %d directions is %.1f° away", n, least.Degrees())
		}
	}
}
