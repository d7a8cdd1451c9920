package plane

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

var seed = flag.Uint64("seed", 1, "seed of the property tests")

func TestMain(m *testing.M) {
	flag.Parse()
	code := m.Run()
	if code != 0 {
		fmt.Println("seed", *seed)
	}
	os.Exit(code)
}

// cases runs a property 150 times, each with its own generator.
func cases(t *testing.T, property func(t *testing.T, rnd *rand.Rand)) {
	t.Helper()
	for i := range uint64(150) {
		t.Run(fmt.Sprint(i), func(t *testing.T) { property(t, rand.New(rand.NewPCG(*seed, i))) })
	}
}

func randomPoint(rnd *rand.Rand, size float64) r2.Vec {
	return r2.Vec{X: size * (rnd.Float64() - 0.5), Y: size * (rnd.Float64() - 0.5)}
}

// star returns a counter-clockwise ring of n corners seen whole from centre,
// at distances between near and far.
func star(rnd *rand.Rand, n int, centre r2.Vec, near, far float64) Ring {
	out := make(Ring, n)
	for i := range out {
		turn := 2 * math.Pi * (float64(i) + 0.8*rnd.Float64()) / float64(n)
		radius := near + (far-near)*rnd.Float64()
		out[i] = r2.Vec{X: centre.X + radius*math.Cos(turn), Y: centre.Y + radius*math.Sin(turn)}
	}
	return out
}

// randomOutline returns a star of up to 60 corners, sometimes with a hole and
// an island in the hole. With 12 corners or more an edge spans at most 54° and
// stays clear of the ring inside: 0.6·cos 27° > 0.45, 0.3·cos 27° > 0.2.
func randomOutline(rnd *rand.Rand) Outline {
	centre := randomPoint(rnd, 60)
	size := 5 + 30*rnd.Float64()
	out := Outline{star(rnd, 12+rnd.IntN(48), centre, 0.6*size, size)}
	if rnd.IntN(2) == 0 {
		out = append(out, star(rnd, 12+rnd.IntN(13), centre, 0.3*size, 0.45*size).Reversed())
		if rnd.IntN(2) == 0 {
			out = append(out, star(rnd, 5+rnd.IntN(10), centre, 0.1*size, 0.2*size))
		}
	}
	return out
}

// rectangle is an upright oblong.
func rectangle(x0, y0, x1, y1 float64) Ring {
	return Ring{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// circle is a regular ring of n corners.
func circle(x, y, radius float64, n int) Ring {
	out := make(Ring, n)
	for i := range out {
		turn := 2 * math.Pi * float64(i) / float64(n)
		out[i] = r2.Vec{X: x + radius*math.Cos(turn), Y: y + radius*math.Sin(turn)}
	}
	return out
}

// The rest is the slow and obvious checker. It shares no code with the
// package: distances by trying all pairs of edges, insides by counting how
// many edges a ray crosses.

func slowInside(o Outline, p r2.Vec) bool {
	inside := false
	for _, ring := range o {
		for i := range ring {
			a, b := ring[i], ring[(i+1)%len(ring)]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				inside = !inside
			}
		}
	}
	return inside
}

func slowPointToSegment(p, a, b r2.Vec) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if dx != 0 || dy != 0 {
		t = ((p.X-a.X)*dx + (p.Y-a.Y)*dy) / (dx*dx + dy*dy)
	}
	t = math.Min(1, math.Max(0, t))
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}

// slowCut reports whether two segments cross, both well inside.
func slowCut(a, b, c, d r2.Vec) bool {
	det := (b.X-a.X)*(d.Y-c.Y) - (b.Y-a.Y)*(d.X-c.X)
	if det == 0 {
		return false
	}
	s := ((c.X-a.X)*(d.Y-c.Y) - (c.Y-a.Y)*(d.X-c.X)) / det
	t := ((c.X-a.X)*(b.Y-a.Y) - (c.Y-a.Y)*(b.X-a.X)) / det
	return s > 0 && s < 1 && t > 0 && t < 1
}

func slowPointDistance(o Outline, p r2.Vec) float64 {
	if slowInside(o, p) {
		return 0
	}
	best := math.Inf(1)
	for _, ring := range o {
		for i := range ring {
			best = math.Min(best, slowPointToSegment(p, ring[i], ring[(i+1)%len(ring)]))
		}
	}
	return best
}

func slowDistance(a, b Outline) float64 {
	best := math.Inf(1)
	for _, pair := range [][2]Outline{{a, b}, {b, a}} {
		for _, ring := range pair[0] {
			for i := range ring {
				best = math.Min(best, slowPointDistance(pair[1], ring[i]))
				for _, other := range pair[1] {
					for j := range other {
						if slowCut(ring[i], ring[(i+1)%len(ring)], other[j], other[(j+1)%len(other)]) {
							return 0
						}
					}
				}
			}
		}
	}
	return best
}
