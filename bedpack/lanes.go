package bedpack

import (
	"math/bits"

	"gonum.org/v1/gonum/spatial/r2"
)

// laneCount is into how many columns, and rows, a room is divided.
const laneCount = 32

// lanes tell which boxes may meet a box: each column and row of the room has
// a bit for each box that reaches into it.
type lanes struct {
	words      int
	scaleX     float64 // columns a millimetre
	scaleY     float64
	cols, rows [laneCount][]uint64
	ranges     [][4]int // by box: first and last column, first and last row
	found      []uint64
}

func newLanes(n int) *lanes {
	l := &lanes{words: (n + 63) / 64}
	for k := range laneCount {
		l.cols[k], l.rows[k] = make([]uint64, l.words), make([]uint64, l.words)
	}
	l.ranges = make([][4]int, n)
	for i := range l.ranges {
		l.ranges[i] = [4]int{0, -1, 0, -1}
	}
	l.found = make([]uint64, l.words)
	return l
}

// resize divides a room of another size; all boxes have to be set again.
func (l *lanes) resize(width, depth float64) {
	l.scaleX, l.scaleY = laneCount/width, laneCount/depth
}

func (l *lanes) rangeOf(b r2.Box) [4]int {
	lane := func(x float64) int { return min(max(int(x), 0), laneCount-1) }
	return [4]int{lane(b.Min.X * l.scaleX), lane(b.Max.X * l.scaleX), lane(b.Min.Y * l.scaleY), lane(b.Max.Y * l.scaleY)}
}

// set puts box i in its lanes.
func (l *lanes) set(i int, b r2.Box) {
	was, is := l.ranges[i], l.rangeOf(b)
	if was == is {
		return
	}
	w, bit := i>>6, uint64(1)<<(i&63)
	for k := was[0]; k <= was[1]; k++ {
		l.cols[k][w] &^= bit
	}
	for k := was[2]; k <= was[3]; k++ {
		l.rows[k][w] &^= bit
	}
	for k := is[0]; k <= is[1]; k++ {
		l.cols[k][w] |= bit
	}
	for k := is[2]; k <= is[3]; k++ {
		l.rows[k][w] |= bit
	}
	l.ranges[i] = is
}

// near returns the set of boxes that share a column and a row with b. It is
// good until the next call.
func (l *lanes) near(b r2.Box) []uint64 {
	r := l.rangeOf(b)
	for w := range l.found {
		var c, d uint64
		for k := r[0]; k <= r[1]; k++ {
			c |= l.cols[k][w]
		}
		for k := r[2]; k <= r[3]; k++ {
			d |= l.rows[k][w]
		}
		l.found[w] = c & d
	}
	return l.found
}

// take removes the first member of word w of a set and returns it.
func take(set []uint64, w int) int {
	j := w<<6 + bits.TrailingZeros64(set[w])
	set[w] &= set[w] - 1
	return j
}
