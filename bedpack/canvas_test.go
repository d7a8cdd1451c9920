package bedpack

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

func (c *canvas) taken(x, y int) bool {
	if x < c.left || x >= c.left+c.cols || y < c.low || y >= c.low+c.rows {
		return false
	}
	k := x - c.left
	return c.row(y)[k>>6]>>(k&63)&1 == 1
}

// cellDistance is how far a cell is from a region, by the slow checker.
func cellDistance(shape []loop, x, y int, cell float64) float64 {
	x0, y0 := float64(x)*cell, float64(y)*cell
	square := loop{{X: x0, Y: y0}, {X: x0 + cell, Y: y0}, {X: x0 + cell, Y: y0 + cell}, {X: x0, Y: y0 + cell}}
	d, _ := apart(shape, []loop{square})
	return d
}

// Every cell that a grown region touches is taken, and no other: a missed one
// would let parts come too near, a needless one wastes the bed.
func TestDrawTakesTheCellsTouched(t *testing.T) {
	cases(t, 100, func(t *testing.T, rnd *rand.Rand) {
		o := randomOutline(rnd, 10).Placed(plane.Angle(7*rnd.Float64()), r2.Vec{X: 9 * rnd.Float64(), Y: -9 * rnd.Float64()})
		r := 0.0
		if rnd.IntN(3) > 0 {
			r = 2 * rnd.Float64()
		}
		cell := 0.4 + rnd.Float64()
		c := newCanvas(-30, -30, 90, 90, 0)
		c.draw(o, cell, r)
		var shape []loop
		for _, ring := range o {
			shape = append(shape, loop(ring))
		}
		for y := -30; y < 60; y += 1 + rnd.IntN(3) {
			for x := -30; x < 60; x++ {
				d := cellDistance(shape, x, y, cell)
				if c.taken(x, y) != (d <= r) && math.Abs(d-r) > 1e-9 {
					t.Fatalf("cell (%d, %d) is %v from the region, grown by %v; taken %v", x, y, d, r, c.taken(x, y))
				}
			}
		}
	})
}

// An edge exactly on a line between cells touches the cells on both sides.
func TestDrawTakesBothSidesOfALine(t *testing.T) {
	c := newCanvas(0, 0, 10, 10, 0)
	c.draw(plane.Outline{rectangle(3, 3, 6, 6)}, 1, 0)
	for y := range 10 {
		for x := range 10 {
			if want := x >= 2 && x <= 6 && y >= 2 && y <= 6; c.taken(x, y) != want {
				t.Errorf("cell (%d, %d) taken %v, want %v", x, y, c.taken(x, y), want)
			}
		}
	}
}

func TestDrawLeavesOutWhatIsOffTheCanvas(t *testing.T) {
	c := newCanvas(0, 0, 70, 5, 0)
	c.draw(plane.Outline{rectangle(-100, -100, 100, 100)}, 1, 3)
	for y := range 5 {
		for x := range 70 {
			if !c.taken(x, y) {
				t.Fatalf("cell (%d, %d) is free", x, y)
			}
		}
	}
	away := newCanvas(0, 0, 70, 5, 0)
	away.draw(plane.Outline{rectangle(200, 1, 210, 3), rectangle(0, 100, 9, 110)}, 1, 3)
	if runs := away.runs(); len(runs) > 0 {
		t.Errorf("cells %v are taken", runs)
	}
}

// Runs are the taken cells again.
func TestRunsGiveTheCanvasBack(t *testing.T) {
	cases(t, 100, func(t *testing.T, rnd *rand.Rand) {
		c := newCanvas(-70, -2, 60+rnd.IntN(90), 4, 0)
		for range rnd.IntN(12) {
			from := c.left + rnd.IntN(c.cols)
			c.take(-2+rnd.IntN(4), from, from+rnd.IntN(70))
		}
		again := newCanvas(c.left, c.low, c.cols, c.rows, 0)
		for _, r := range c.runs() {
			if r.length <= 0 || again.taken(r.from, r.y) || again.taken(r.from-1, r.y) || again.taken(r.from+r.length, r.y) {
				t.Errorf("run %v is empty or joins another", r)
			}
			again.take(r.y, r.from, r.from+r.length-1)
		}
		for i, w := range c.bits {
			if again.bits[i] != w {
				t.Fatalf("word %d is %x, want %x", i, again.bits[i], w)
			}
		}
	})
}

// A place is blocked when some cell of some run is taken there.
func TestBlocksAgainstCellByCell(t *testing.T) {
	cases(t, 100, func(t *testing.T, rnd *rand.Rand) {
		table := newTable(-3, -3, 30+rnd.IntN(150), 12)
		for range rnd.IntN(9) {
			from := -3 + rnd.IntN(table.cols)
			table.take(-3+rnd.IntN(12), from, from+rnd.IntN(6))
		}
		table.renew()
		runs := make([]run, 1+rnd.IntN(6))
		for k := range runs {
			runs[k] = run{y: -3 + rnd.IntN(6), from: rnd.IntN(5) - 3, length: 1 + rnd.IntN(20)}
		}
		row, first, n := rnd.IntN(8)-1, rnd.IntN(9), 1+rnd.IntN(table.cols-20)
		places := make([]uint64, (n+63)/64)
		table.blocks(places, runs, row, first)
		all := true
		for k := range 64 * len(places) {
			want := false
			for _, r := range runs {
				for x := range r.length {
					want = want || table.taken(first+k+r.from+x, row+r.y)
				}
			}
			got := places[k>>6]>>(k&63)&1 == 1
			all = all && got
			if got && !want || want && !got && !all {
				t.Fatalf("place %d blocked %v, want %v", first+k, got, want)
			}
		}
	})
}
