package role

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// scattered returns loose facets of about the given size.
func scattered(t testing.TB, n int, size float64, seed uint64) *mesh.Mesh {
	random := rand.New(rand.NewPCG(seed, 0))
	in := func(s float64) r3.Vec {
		return r3.Vec{X: s * random.NormFloat64(), Y: s * random.NormFloat64(), Z: s * random.NormFloat64()}
	}
	var corners []r3.Vec
	for range n {
		c := in(10)
		corners = append(corners, r3.Add(c, in(size)), r3.Add(c, in(size)), r3.Add(c, in(size)))
	}
	return triangleMesh(t, corners...)
}

func TestEachNearFindsAllPairs(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 60)
		s := scattered(t, n.Draw(rt, "facets"), 1, rapid.Uint64().Draw(rt, "seed"))
		o := scattered(t, n.Draw(rt, "others"), 2, rapid.Uint64().Draw(rt, "seed"))
		reach := rapid.Float64Range(0, 5).Draw(rt, "reach")
		got := map[[2]mesh.FaceID]int{}
		eachNear(newTree(s), newTree(o), reach, func(a, b mesh.FaceID) { got[[2]mesh.FaceID{a, b}]++ })
		for f := range s.NumFaces() {
			for g := range o.NumFaces() {
				pair := [2]mesh.FaceID{mesh.FaceID(f), mesh.FaceID(g)}
				want := 0
				if boxGap(s, pair[0], o, pair[1]) <= reach {
					want = 1
				}
				if got[pair] != want {
					rt.Fatalf("pair %v visited %d times, want %d", pair, got[pair], want)
				}
			}
		}
	})
}

// boxGap is the largest gap along an axis between the boxes of two facets.
func boxGap(m *mesh.Mesh, f mesh.FaceID, o *mesh.Mesh, g mesh.FaceID) float64 {
	gap := math.Inf(-1)
	for _, axis := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		lo, hi := alongAxis(m, f, axis)
		low, high := alongAxis(o, g, axis)
		gap = max(gap, low-hi, lo-high)
	}
	return gap
}

func alongAxis(m *mesh.Mesh, f mesh.FaceID, axis r3.Vec) (lo, hi float64) {
	a, b, c := m.Corners(f)
	list := []float64{r3.Dot(a, axis), r3.Dot(b, axis), r3.Dot(c, axis)}
	return slices.Min(list), slices.Max(list)
}

func TestThroughFindsAllFacets(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := scattered(t, rapid.IntRange(1, 100).Draw(rt, "facets"), 3, rapid.Uint64().Draw(rt, "seed"))
		in := rapid.Float64Range(-10, 10)
		p := r3.Vec{X: in.Draw(rt, "x"), Y: in.Draw(rt, "y"), Z: in.Draw(rt, "z")}
		way := r3.Unit(r3.Vec{X: in.Draw(rt, "dx"), Y: in.Draw(rt, "dy"), Z: in.Draw(rt, "dz") + 11})
		far := rapid.Float64Range(0, 30).Draw(rt, "far")
		got := map[mesh.FaceID]bool{}
		newTree(m).through(p, way, far, func(f mesh.FaceID, at float64) float64 {
			got[f] = true
			return far
		})
		half := r3.Scale(far/2, way) // planeHit looks to both sides
		for f := range m.NumFaces() {
			a, b, c := m.Corners(mesh.FaceID(f))
			if want := planeHit(a, b, c, r3.Add(p, half), way, far/2); got[mesh.FaceID(f)] != want {
				rt.Fatalf("facet %d met: %v, want %v", f, got[mesh.FaceID(f)], want)
			}
		}
	})
}

func TestThroughAlongAnAxis(t *testing.T) {
	box := newTree(solid.Box(10, 10, 10))
	for _, way := range []r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}} {
		met := 0
		box.through(r3.Vec{X: 1, Y: 2, Z: 4.5}, way, math.Inf(1), func(mesh.FaceID, float64) float64 {
			met++
			return math.Inf(1)
		})
		if met != 1 {
			t.Errorf("along %v from inside: %d facets met, want 1", way, met)
		}
	}
}

func TestHolds(t *testing.T) {
	shell := newTree(solid.HemisphericalShell(10, 8, 12))
	for _, tt := range []struct {
		name string
		p    r3.Vec
		want bool
	}{
		{"in the wall", r3.Vec{X: 1, Z: 9}, true},
		{"in the hollow", r3.Vec{X: 1, Z: 5}, false},
		{"outside, in the box", r3.Vec{X: 8, Y: 8, Z: 1}, false},
		{"far outside", r3.Vec{X: 80}, false},
	} {
		if got := shell.holds(tt.p); got != tt.want {
			t.Errorf("%s: holds = %v, want %v", tt.name, got, tt.want)
		}
	}
}
