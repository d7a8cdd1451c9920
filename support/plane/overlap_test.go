package plane

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestOverlapOfTouchingRegions(t *testing.T) {
	square := Outline{rectangle(0, 0, 4, 4)}
	frame := Outline{rectangle(0, 0, 9, 9), rectangle(3, 3, 6, 6).Reversed()}
	tri := Outline{{{X: 0, Y: 0}, {X: 3, Y: 1}, {X: 1, Y: 3}}}
	for _, c := range []struct {
		name string
		a, b Outline
		want bool
	}{
		{"itself", square, square, true},
		{"a slanted one itself", tri, tri, true},
		{"sharing an edge", square, Outline{rectangle(4, 0, 8, 4)}, false},
		{"sharing part of an edge", square, Outline{rectangle(4, 1, 8, 9)}, false},
		{"sharing a corner", square, Outline{rectangle(4, 4, 8, 8)}, false},
		{"corner on an edge from outside", square, Outline{{{X: 4, Y: 2}, {X: 6, Y: 1}, {X: 6, Y: 3}}}, false},
		{"corner on an edge from inside", square, Outline{{{X: 4, Y: 2}, {X: 2, Y: 3}, {X: 2, Y: 1}}}, true},
		{"inside, along an edge", square, Outline{rectangle(1, 0, 2, 2)}, true},
		{"a cross with no corner inside", Outline{rectangle(0, 2, 9, 3)}, Outline{rectangle(2, 0, 3, 9)}, true},
		{"all corners on the other's edges", Outline{rectangle(0, 0, 2, 2)}, Outline{{{X: 1, Y: 0}, {X: 2, Y: 1}, {X: 1, Y: 2}, {X: 0, Y: 1}}}, true},
		{"filling a hole", frame, Outline{rectangle(3, 3, 6, 6)}, false},
		{"in a hole, touching one side", frame, Outline{rectangle(3, 4, 5, 5)}, false},
		{"out of a hole by a hair", frame, Outline{rectangle(3-1e-12, 4, 5, 5)}, true},
		{"wholly inside", frame, Outline{rectangle(1, 1, 2, 2)}, true},
		{"two halves across a diagonal", Outline{{{X: 0, Y: 0}, {X: 3, Y: 1}, {X: 0, Y: 1}}}, Outline{{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 1}}}, false},
		{"same triangle with one corner cut in", tri, Outline{{{X: 0, Y: 0}, {X: 3, Y: 1}, {X: 1.25, Y: 1.25}, {X: 1, Y: 3}}}, true},
		{"with nothing", square, nil, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Overlap(c.a, c.b); got != c.want {
				t.Errorf("Overlap = %v, want %v", got, c.want)
			}
			if got := Overlap(c.b, c.a); got != c.want {
				t.Errorf("Overlap the other way = %v, want %v", got, c.want)
			}
		})
	}
}

// Sets of cells touch in every way; they overlap when they share a cell.
func TestOverlapOfCellSets(t *testing.T) {
	both := map[bool]int{}
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		const n = 5
		a := randomCells(rnd, n, 0.4)
		b := randomCells(rnd, n, 0.4)
		if rnd.IntN(2) == 0 { // cut a out of b, so that they touch all over
			for c := range a {
				delete(b, c)
			}
		}
		p, q := float64(rnd.IntN(3)), float64(rnd.IntN(3))
		oa, ob := cellOutline(a, n, p, q), cellOutline(b, n, p, q)
		if got := oa.Area(); got != float64(len(a)) {
			t.Fatalf("the traced outline has area %v, want %d", got, len(a))
		}
		want := shareCell(a, b)
		both[want]++
		if got := Overlap(oa, ob); got != want {
			t.Errorf("Overlap = %v, want %v\n%v\n%v", got, want, oa, ob)
		}
		if got := Overlap(ob, oa); got != want {
			t.Errorf("Overlap the other way = %v, want %v", got, want)
		}
	})
	if both[true] < 30 || both[false] < 30 {
		t.Errorf("too one-sided: %v", both)
	}
}

func TestDistanceOfCellSets(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		const n = 9
		a, b := randomCells(rnd, n, 0.06), randomCells(rnd, n, 0.06)
		got := Distance(cellOutline(a, n, 0, 0), cellOutline(b, n, 0, 0))
		if want := cellDistance(a, b); got != want && !near(got, want, 1e-12) { // +Inf equals itself
			t.Errorf("Distance = %v, want %v", got, want)
		}
	})
}

func TestOverlapAgainstAllPairs(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		a, b := randomOutline(rnd), randomOutline(rnd)
		if got, want := Overlap(a, b), slowDistance(a, b) == 0; got != want {
			t.Errorf("Overlap = %v, want %v", got, want)
		}
		if !Overlap(a, a) {
			t.Error("a region does not overlap itself")
		}
	})
}

// Half a hair is enough: a corner that reaches one unit in the last place
// over an edge overlaps, one that stays on it does not.
func TestOverlapIsExact(t *testing.T) {
	cases(t, func(t *testing.T, rnd *rand.Rand) {
		// The slanted edge runs through points (3k, k)·2^-k, all exact.
		slope := Outline{{{X: 0, Y: 0}, {X: 96, Y: 32}, {X: 0, Y: 32}}}
		k := float64(1+rnd.IntN(1<<20)) / (1 << 16)
		tip := r2.Vec{X: 3 * k, Y: k}
		below := Outline{{tip, {X: 40, Y: -50}, {X: 60, Y: -50}}}.Placed(0, r2.Vec{})
		below[0] = Ring{below[0][1], below[0][2], below[0][0]}
		if Overlap(slope, below) {
			t.Error("a corner on the edge overlaps")
		}
		below[0][2].Y += 1e-14 * (1 + tip.Y)
		if !Overlap(slope, below) {
			t.Error("a corner over the edge does not overlap")
		}
	})
}
