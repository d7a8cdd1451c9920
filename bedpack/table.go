package bedpack

import "math/bits"

// table is a canvas of taken cells that answers, for many places at once,
// whether a run of cells is free. Its level k holds, for each cell, whether
// any of the 2^k cells from it rightward is taken; so a run of any length is
// two look-ups, and one look-up of a word answers for 64 places.
type table struct {
	canvas
	levels [][]uint64 // levels[0] is the canvas itself
	busy   []bool     // by row: some cell is taken
}

func newTable(left, low, cols, rows int) *table {
	t := &table{canvas: newCanvas(left, low, cols, rows, (cols+63)/64+1)}
	t.levels = [][]uint64{t.bits}
	for range bits.Len(uint(cols)) {
		t.levels = append(t.levels, make([]uint64, len(t.bits)))
	}
	t.busy = make([]bool, rows)
	return t
}

// renew brings the levels of all rows in step with the canvas.
func (t *table) renew() {
	for y := range t.rows {
		t.busy[y] = false
		for _, w := range t.row(t.low + y) {
			t.busy[y] = t.busy[y] || w != 0
		}
	}
	for k := 1; k < len(t.levels); k++ {
		half := 1 << (k - 1)
		for y := range t.rows {
			if !t.busy[y] {
				continue
			}
			from := t.levels[k-1][y*t.words : (y+1)*t.words]
			to := t.levels[k][y*t.words : (y+1)*t.words]
			copy(to, from)
			orShifted(to, from, half)
		}
	}
}

// orShifted ors from, moved left by shift columns, into to, as far as both
// reach.
func orShifted(to, from []uint64, shift int) {
	skip, rest := shift>>6, shift&63
	for w := range to {
		if w+skip >= len(from) {
			return
		}
		to[w] |= from[w+skip] >> rest
		if rest > 0 && w+skip+1 < len(from) {
			to[w] |= from[w+skip+1] << (64 - rest)
		}
	}
}

// run is a row of cells of a stamp, relative to its anchor.
type run struct {
	y, from, length int
}

// blocks ors into places, whose bit k is place first+k of a row of places,
// those at which some run meets a taken cell; it stops when all are blocked.
func (t *table) blocks(places []uint64, runs []run, row, first int) {
	for _, r := range runs {
		y := row + r.y - t.low
		if y < 0 || y >= t.rows || !t.busy[y] {
			continue
		}
		level := bits.Len(uint(r.length)) - 1
		cells := t.levels[level][y*t.words : (y+1)*t.words]
		at := first + r.from - t.left
		all := orWords(places, cells, at)
		if rest := r.length - 1<<level; rest > 0 {
			all = orWords(places, cells, at+rest)
		}
		if all == ^uint64(0) {
			return
		}
	}
}

// orWords ors the cells from column at on into places and returns what all
// words of places have in common.
func orWords(places, cells []uint64, at int) uint64 {
	skip, rest := at>>6, at&63
	all := ^uint64(0)
	if rest == 0 {
		for w := range places {
			places[w] |= cells[w+skip]
			all &= places[w]
		}
		return all
	}
	cells = cells[skip : skip+len(places)+1]
	for w := range places {
		places[w] |= cells[w]>>rest | cells[w+1]<<(64-rest)
		all &= places[w]
	}
	return all
}
