package mesh

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func randomPlace(r *rand.Rand, size float64) r3.Vec {
	return r3.Vec{X: size * r.NormFloat64(), Y: size * r.NormFloat64(), Z: size * r.NormFloat64()}
}

func TestQuadricIsSumOfSquaredDistances(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	var q quadric
	type plane struct {
		n, p   r3.Vec
		weight float64
	}
	var planes []plane
	for range 20 {
		a := plane{r3.Unit(randomPlace(random, 1)), randomPlace(random, 10), random.Float64()}
		planes = append(planes, a)
		q = q.plus(planeQuadric(a.n, a.p, a.weight))
	}
	for range 100 {
		p := randomPlace(random, 10)
		want := 0.0
		for _, a := range planes {
			d := r3.Dot(a.n, r3.Sub(p, a.p))
			want += a.weight * d * d
		}
		if got := q.at(p); math.Abs(got-want) > 1e-12*want {
			t.Fatalf("at(%v) = %v, want %v", p, got, want)
		}
	}
}

func TestQuadricLeast(t *testing.T) {
	x, y, z := r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	corner := r3.Vec{X: 3, Y: 4, Z: 5}
	near := r3.Vec{X: 2.5, Y: 4.5, Z: 4}
	tests := []struct {
		name    string
		normals []r3.Vec
		want    r3.Vec
	}{
		{"no plane leaves it", nil, near},
		{"one plane: the foot on it", []r3.Vec{x}, r3.Vec{X: 3, Y: 4.5, Z: 4}},
		{"two planes: the foot on their edge", []r3.Vec{x, y}, r3.Vec{X: 3, Y: 4, Z: 4}},
		{"three planes: their corner", []r3.Vec{x, y, z}, corner},
		{"the same plane twice", []r3.Vec{z, z}, r3.Vec{X: 2.5, Y: 4.5, Z: 5}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var q quadric
			for _, n := range tt.normals {
				q = q.plus(planeQuadric(n, corner, 2))
			}
			// The pull towards near shifts the answer by pull times the way.
			if got := q.least(near); r3.Norm(r3.Sub(got, tt.want)) > 4*pull {
				t.Errorf("least = %v, want %v", got, tt.want)
			}
		})
	}
}

func TestCollapseQueueGivesCheapestFirst(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 2))
	var q collapseQueue
	var want []collapse
	for range 1000 {
		a := VertexID(random.IntN(30))
		e := collapse{cost: float64(random.IntN(50)), a: a, b: a + 1 + VertexID(random.IntN(30))}
		q.push(e)
		want = append(want, e)
		if random.IntN(3) == 0 {
			best := slices.MinFunc(want, compareCollapses)
			if got := q.pop(); compareCollapses(got, best) != 0 {
				t.Fatalf("pop = %v, want %v", got, best)
			}
			i := slices.Index(want, best)
			want = slices.Delete(want, i, i+1)
		}
	}
	slices.SortFunc(want, compareCollapses)
	for _, e := range want {
		if got := q.pop(); compareCollapses(got, e) != 0 {
			t.Fatalf("pop = %v, want %v", got, e)
		}
	}
	if len(q) != 0 {
		t.Errorf("%d left", len(q))
	}
}

func compareCollapses(a, b collapse) int {
	switch {
	case a.before(b):
		return -1
	case b.before(a):
		return 1
	}
	return 0
}

// Against the distance to 20,000 points of the triangle: never more, and less
// by no more than the spacing of the points.
func TestGapToFlatPiece(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 3))
	const steps = 200
	for range 50 {
		c := Triangle{randomPlace(random, 1), randomPlace(random, 1), randomPlace(random, 1)}
		p := randomPlace(random, 1.5)
		scanned := math.Inf(1)
		for i := range steps + 1 {
			for j := range steps + 1 - i {
				u, v := float64(i)/steps, float64(j)/steps
				q := r3.Add(r3.Scale(u, c[0]), r3.Add(r3.Scale(v, c[1]), r3.Scale(1-u-v, c[2])))
				scanned = min(scanned, r3.Norm(r3.Sub(p, q)))
			}
		}
		piece := newFlatPiece(c)
		got := math.Sqrt(piece.gap2(p))
		spacing := 2 * piece.radius / steps
		if got > scanned+1e-12 || got < scanned-spacing {
			t.Errorf("gap of %v to %v = %v, want about %v", p, c, got, scanned)
		}
		if piece.beyond(p, got*(1+1e-12)) {
			t.Errorf("%v told beyond %v of %v", p, got, c)
		}
	}
}

func TestFindSeamsHolds(t *testing.T) {
	// A strip of two squares, each one group: corners 0–5, 0 1 2 below 3 4 5.
	places := []r3.Vec{{}, {X: 1}, {X: 2}, {Y: 1}, {X: 1, Y: 1}, {X: 2, Y: 1}}
	m, err := New(places, [][3]VertexID{{0, 1, 4}, {0, 4, 3}, {1, 2, 5}, {1, 5, 4}})
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name   string
		groups []uint16
		want   []hold
	}{
		{"one group: the rim is the seam", nil, []hold{onSeam, onSeam, onSeam, onSeam, onSeam, onSeam}},
		{"two groups: their seam ends at the rim", []uint16{0, 0, 1, 1}, []hold{onSeam, fixed, onSeam, onSeam, fixed, onSeam}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := newThinner(m, Decimation{Facets: 1, Groups: tt.groups}).holds
			if !slices.Equal(got, tt.want) {
				t.Errorf("holds = %v, want %v", got, tt.want)
			}
		})
	}
}

func TestShapelyRefusesFoldsAndSlivers(t *testing.T) {
	// A flat fan round corner 0 whose rim, corners 1–6, is dented at 2: seen
	// from corner 1, corner 3 is hidden behind it.
	places := []r3.Vec{{}, {X: 4, Y: -1}, {X: 1, Y: 0.2}, {X: 4, Y: 2}, {X: -1, Y: 3}, {X: -3}, {X: -1, Y: -3}}
	faces := [][3]VertexID{{0, 1, 2}, {0, 2, 3}, {0, 3, 4}, {0, 4, 5}, {0, 5, 6}, {0, 6, 1}}
	m, err := New(places, faces)
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name  string
		kept  VertexID
		place r3.Vec
		want  bool
	}{
		{"onto the dent", 2, places[2], true},
		{"onto a corner that does not see all others", 1, places[1], false},
		{"out of the plane a little", 2, r3.Vec{X: 1, Y: 0.2, Z: 0.3}, true},
		{"out of the plane too far", 2, r3.Vec{X: 1, Y: 0.2, Z: 20}, false},
		{"in line with a side", 5, r3.Vec{X: -1, Y: -2.9999}, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newThinner(m, Decimation{Facets: 1})
			way := move{gone: 0, kept: tt.kept, place: tt.place}
			s.gatherRing(way)
			if got := s.shapely(way); got != tt.want {
				t.Errorf("shapely = %v, want %v", got, tt.want)
			}
		})
	}
	s := newThinner(m, Decimation{Facets: 1})
	if s.try(0, 1); s.live != 6 {
		t.Errorf("facets after trying a fold = %d, want all 6", s.live)
	}
	if s.try(0, 2); s.live != 4 {
		t.Errorf("facets after a sound collapse = %d, want 4", s.live)
	}
}

func TestShapelySliver(t *testing.T) {
	places := []r3.Vec{{Y: 1}, {Y: 2}, {X: -10, Y: 0.0001}, {X: 10, Y: 0.0001}}
	m, err := New(places, [][3]VertexID{{0, 1, 2}, {1, 0, 3}, {2, 3, 0}})
	if err != nil {
		t.Fatal(err)
	}
	s := newThinner(m, Decimation{Facets: 1})
	for y, want := range map[float64]bool{1: true, 0.005: false} {
		way := move{gone: 1, kept: 0, place: r3.Vec{Y: y}}
		s.gatherRing(way)
		if got := s.shapely(way); got != want {
			t.Errorf("shapely to a height of %v over 20 = %v, want %v", y, got, want)
		}
	}
}
