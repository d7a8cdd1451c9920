package partfile

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
)

// star is a regular star polygon that goes round turns times.
func star(points, turns int, radius float64) []r3.Vec {
	out := make([]r3.Vec, points)
	for i := range out {
		angle := 2 * math.Pi * float64(i*turns) / float64(points)
		out[i] = r3.Vec{X: radius * math.Cos(angle), Y: radius * math.Sin(angle)}
	}
	return out
}

// starShaped is a random simple polygon: one corner on each ray around zero, in
// order, so that it winds once and cannot cross itself.
func starShaped(random *rand.Rand, n int) []r3.Vec {
	out := make([]r3.Vec, n)
	for i := range out {
		angle := 2 * math.Pi * (float64(i) + 0.8*random.Float64()) / float64(n)
		radius := 1 + 9*random.Float64()
		out[i] = r3.Vec{X: radius * math.Cos(angle), Y: radius * math.Sin(angle)}
	}
	return out
}

// shoelace is the polygon's area by the formula of the same name.
func shoelace(ring []r3.Vec) float64 {
	sum := 0.0
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		sum += p.X*q.Y - p.Y*q.X
	}
	return sum / 2
}

// checkCut checks a cut of a simple polygon that lies level: n − 2 facets, none
// of them turned over, areas that add up to the polygon's. Facets that are all
// the right way up and add up cannot overlap or stick out.
func checkCut(t *testing.T, ring []r3.Vec, facets [][3]int, tol float64) {
	t.Helper()
	if got, want := len(facets), len(ring)-2; got != want {
		t.Fatalf("facets = %d, want %d", got, want)
	}
	signed, absolute := 0.0, 0.0
	for _, f := range facets {
		a := shoelace([]r3.Vec{ring[f[0]], ring[f[1]], ring[f[2]]})
		signed += a
		absolute += math.Abs(a)
	}
	want := shoelace(ring)
	if !near(signed, want, tol) || !near(absolute, want, tol) {
		t.Errorf("area = %v, without signs %v, want %v", signed, absolute, want)
	}
}

// checkNoneFlat makes sure that straight corners were not clipped off.
func checkNoneFlat(t *testing.T, ring []r3.Vec, facets [][3]int) {
	t.Helper()
	for _, f := range facets {
		if a := shoelace([]r3.Vec{ring[f[0]], ring[f[1]], ring[f[2]]}); a <= 0 {
			t.Errorf("facet %v has area %v", f, a)
		}
	}
}

func TestEarsOfRandomPolygons(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var clip clipper
	for range 500 {
		ring := starShaped(random, 3+random.IntN(60))
		facets, clean := clip.cut(ring)
		if !clean {
			t.Errorf("polygon of %d corners is not clean", len(ring))
		}
		checkCut(t, ring, facets, 1e-10*shoelace(ring))
	}
}

// TestEarsOfEverySimpleLatticePolygon tries polygons on a grid of 4 × 4 points,
// most of which have straight corners, and keeps those that are simple.
func TestEarsOfEverySimpleLatticePolygon(t *testing.T) {
	random := rand.New(rand.NewPCG(17, 18))
	var clip clipper
	found := 0
	for range 60_000 {
		ring := make([]r3.Vec, 4+random.IntN(6))
		for i := range ring {
			ring[i] = r3.Vec{X: float64(random.IntN(4)), Y: float64(random.IntN(4))}
		}
		if !isSimple(ring) {
			continue
		}
		found++
		facets, clean := clip.cut(ring)
		if !clean {
			t.Errorf("polygon %v is not clean", ring)
		}
		checkCut(t, ring, facets, 1e-12)
		checkNoneFlat(t, ring, facets)
	}
	if found < 1000 {
		t.Errorf("polygons tried = %d, want a thousand", found)
	}
}

// isSimple compares every edge with every other, exactly for whole numbers.
func isSimple(ring []r3.Vec) bool {
	side := func(a, b, p r3.Vec) float64 { return (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X) }
	on := func(a, b, p r3.Vec) bool {
		return side(a, b, p) == 0 && min(a.X, b.X) <= p.X && p.X <= max(a.X, b.X) && min(a.Y, b.Y) <= p.Y && p.Y <= max(a.Y, b.Y)
	}
	n := len(ring)
	for i := range n {
		a, b := ring[i], ring[(i+1)%n]
		if a == b {
			return false
		}
		for j := i + 1; j < n; j++ {
			c, d := ring[j], ring[(j+1)%n]
			next, last := j == i+1, i == 0 && j == n-1 // neighbours share one end
			if next && (on(a, b, d) || on(c, d, a)) || last && (on(a, b, c) || on(c, d, b)) {
				return false
			}
			if next || last {
				continue
			}
			if on(a, b, c) || on(a, b, d) || on(c, d, a) || on(c, d, b) ||
				side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0 {
				return false
			}
		}
	}
	return shoelace(ring) > 0
}

// TestEarsAreTheSameHoweverThePolygonLies turns polygons at random: the area of
// the cut must stay, which it would not if ears were judged in another plane.
func TestEarsAreTheSameHoweverThePolygonLies(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	var clip clipper
	for range 300 {
		ring := starShaped(random, 4+random.IntN(30))
		up, err := mesh.NewDirection(r3.Vec{X: random.NormFloat64(), Y: random.NormFloat64(), Z: random.NormFloat64()})
		if err != nil {
			t.Fatal(err)
		}
		pose := mesh.Pose{
			Frame: mesh.Upright(up).Spun(plane.Angle(random.Float64())),
			Shift: r3.Vec{X: 100 * random.NormFloat64(), Y: 100, Z: -50},
		}
		turned := make([]r3.Vec, len(ring))
		for i, p := range ring {
			turned[i] = pose.Apply(p)
		}
		facets, clean := clip.cut(turned)
		if !clean {
			t.Error("not clean")
		}
		checkCut(t, ring, facets, 1e-9*shoelace(ring))
	}
}

func TestEarsOfAwkwardPolygons(t *testing.T) {
	level := func(xy ...float64) []r3.Vec {
		var out []r3.Vec
		for i := 0; i < len(xy); i += 2 {
			out = append(out, r3.Vec{X: xy[i], Y: xy[i+1], Z: 7})
		}
		return out
	}
	tests := map[string][]r3.Vec{
		"square":                  level(0, 0, 2, 0, 2, 2, 0, 2),
		"corners on the edges":    level(0, 0, 1, 0, 2, 0, 2, 1, 2, 2, 1, 2, 0, 2, 0, 1),
		"triangle with many":      level(0, 0, 1, 0, 2, 0, 3, 0, 4, 0, 0, 4),
		"arrowhead":               level(0, 0, 4, -2, 1, 0, 4, 2),
		"comb":                    level(0, 0, 7, 0, 7, 3, 6, 3, 6, 1, 5, 1, 5, 3, 4, 3, 4, 1, 3, 1, 3, 3, 2, 3, 2, 1, 1, 1, 1, 3, 0, 3),
		"hole reached by a slit":  level(0, 0, 6, 0, 6, 6, 0, 6, 0, 0, 2, 2, 2, 4, 4, 4, 4, 2, 2, 2),
		"corner touching an edge": level(0, 0, 4, 0, 4, 4, 2, 0, 0, 4),
	}
	for name, ring := range tests {
		t.Run(name, func(t *testing.T) {
			for first := range ring {
				var clip clipper
				turned := append(append([]r3.Vec{}, ring[first:]...), ring[:first]...)
				facets, clean := clip.cut(turned)
				if !clean {
					t.Errorf("from corner %d: not clean", first)
				}
				checkCut(t, turned, facets, 1e-12)
				if name != "corner touching an edge" { // it pinches off two triangles; the third is flat
					checkNoneFlat(t, turned, facets)
				}
			}
		})
	}
}

// TestEarsKeepEveryEdge makes sure that straight corners are not skipped: each
// edge of the outline is an edge of exactly one facet.
func TestEarsKeepEveryEdge(t *testing.T) {
	ring := []r3.Vec{{}, {X: 1}, {X: 2}, {X: 2, Y: 1}, {X: 2, Y: 2}, {Y: 2}, {Y: 1}}
	var clip clipper
	facets, _ := clip.cut(ring)
	uses := map[[2]int]int{}
	for _, f := range facets {
		for k := range 3 {
			uses[[2]int{f[k], f[(k+1)%3]}]++
		}
	}
	for i := range ring {
		if edge := [2]int{i, (i + 1) % len(ring)}; uses[edge] != 1 {
			t.Errorf("edge %v is in %d facets, want 1", edge, uses[edge])
		}
	}
}

// TestEarsOfLargePolygonsAreQuick cuts polygons of the largest allowed size,
// one convex and one that turns inwards at every other corner.
func TestEarsOfLargePolygonsAreQuick(t *testing.T) {
	gear := star(4096, 1, 10)
	for i := 0; i < len(gear); i += 2 {
		gear[i] = r3.Scale(0.5, gear[i])
	}
	for name, ring := range map[string][]r3.Vec{"convex": star(4096, 1, 10), "gear": gear} {
		t.Run(name, func(t *testing.T) {
			var clip clipper
			start := time.Now()
			facets, clean := clip.cut(ring)
			t.Logf("%d corners: %v, %d looked at", len(ring), time.Since(start), clip.work)
			if !clean || clip.work > 100_000_000 {
				t.Errorf("clean = %v, corners looked at = %d, want true, below 100M", clean, clip.work)
			}
			checkCut(t, ring, facets, 1e-9)
		})
	}
}

// TestEarsMakeNoFan: a fan would put one corner into all facets. Every round
// clips every other corner, so none should be in more than two facets a round,
// of which there are log₂ 1024 = 10.
func TestEarsMakeNoFan(t *testing.T) {
	var clip clipper
	facets, _ := clip.cut(star(1024, 1, 10))
	uses := map[int]int{}
	for _, f := range facets {
		for _, corner := range f {
			uses[corner]++
		}
	}
	for corner, n := range uses {
		if n > 20 {
			t.Errorf("corner %d is in %d facets", corner, n)
		}
	}
}

// TestStarsAreNotClean cuts star polygons that go round two times or more.
func TestStarsAreNotClean(t *testing.T) {
	var clip clipper
	for points := 5; points < 30; points += 2 {
		for turns := 2; turns <= points/2; turns++ {
			facets, clean := clip.cut(star(points, turns, 10))
			if clean || len(facets) != points-2 {
				t.Errorf("star of %d points, %d turns: clean = %v, %d facets", points, turns, clean, len(facets))
			}
		}
	}
}

func TestEarsStopWhenTheWorkIsSpent(t *testing.T) {
	clip := clipper{work: clipWork}
	ring := starShaped(rand.New(rand.NewPCG(5, 6)), 100)
	facets, _ := clip.cut(ring)
	if got, want := len(facets), 98; got != want || clip.work <= clipWork || clip.work > clipWork+100 {
		t.Errorf("facets, work = %d, %d, want %d and work just past the limit", got, clip.work, want)
	}
}
