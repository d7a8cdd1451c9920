package plane

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r2"
)

// cell is the unit square with its lower left corner at a whole point. Sets
// of cells give regions that touch in every degenerate way, with a truth that
// needs no geometry: two sets share area when they share a cell.
type cell struct{ x, y int }

// randomCells returns a set of cells in a square of side n.
func randomCells(rnd *rand.Rand, n int, share float64) map[cell]bool {
	set := map[cell]bool{}
	for x := range n {
		for y := range n {
			if rnd.Float64() < share {
				set[cell{x, y}] = true
			}
		}
	}
	return set
}

// cellOutline traces the border of a set of cells, sheared so that edges do
// not lie along the axes: (x, y) goes to (x + p·y, q·x + (1+p·q)·y). At a
// point where two cells touch by a corner it turns left, so that each ring
// keeps to one cell there.
func cellOutline(set map[cell]bool, n int, p, q float64) Outline {
	next := map[cell][]cell{} // from a corner to where border edges lead, cells on their left
	for x := -1; x <= n; x++ {
		for y := -1; y <= n; y++ {
			if !set[cell{x, y}] {
				continue
			}
			for _, e := range [4][4]int{{0, 0, 1, 0}, {1, 0, 1, 1}, {1, 1, 0, 1}, {0, 1, 0, 0}} {
				outside := cell{x + (e[3] - e[1]), y - (e[2] - e[0])}
				if !set[outside] {
					from := cell{x + e[0], y + e[1]}
					next[from] = append(next[from], cell{x + e[2], y + e[3]})
				}
			}
		}
	}
	var out Outline
	for x := -1; x <= n+1; x++ {
		for y := -1; y <= n+1; y++ {
			for len(next[cell{x, y}]) > 0 {
				out = append(out, traceCells(next, cell{x, y}, p, q))
			}
		}
	}
	return out
}

func traceCells(next map[cell][]cell, start cell, p, q float64) Ring {
	var ring Ring
	at, from := start, start
	for {
		ways := next[at]
		pick := 0
		for k, to := range ways {
			if (at.x-from.x)*(to.y-at.y)-(at.y-from.y)*(to.x-at.x) > 0 { // turns left
				pick = k
			}
		}
		to := ways[pick]
		next[at] = append(append([]cell{}, ways[:pick]...), ways[pick+1:]...)
		x, y := float64(at.x), float64(at.y)
		ring = append(ring, r2.Vec{X: x + p*y, Y: q*x + (1+p*q)*y})
		from, at = at, to
		if at == start {
			return ring
		}
	}
}

// cellDistance is the distance between two sets of cells, from cell to cell.
func cellDistance(a, b map[cell]bool) float64 {
	best := math.Inf(1)
	for c := range a {
		for d := range b {
			dx := math.Max(0, math.Abs(float64(c.x-d.x))-1)
			dy := math.Max(0, math.Abs(float64(c.y-d.y))-1)
			best = math.Min(best, math.Hypot(dx, dy))
		}
	}
	return best
}

func shareCell(a, b map[cell]bool) bool {
	for c := range a {
		if b[c] {
			return true
		}
	}
	return false
}
