package bedpack

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/spatial/r2"
)

// extent is how far to the right and to the back parts reach from the front
// left corner of the bed's room, in sixteenths of a cell: coarse enough that
// builds which round differently choose alike.
type extent struct{ right, back int }

func (e extent) and(o extent) extent { return extent{max(e.right, o.right), max(e.back, o.back)} }

// extent returns how far a piece in place reaches.
func (b *bed) extent(at placed) extent {
	return b.reaches(at.Hull.Placed(at.spin, r2.Sub(at.shift, b.origin)).Bounds().Max)
}

// reaches measures a point of the raster's frame, in mm.
func (b *bed) reaches(p r2.Vec) extent {
	base := 0.0
	if b.Bed.Round() {
		base = b.radius()
	}
	return extent{sixteenths((p.X + base) / b.cell), sixteenths((p.Y + base) / b.cell)}
}

func sixteenths(cells float64) int { return int(math.Ceil(16*cells - 1e-3)) }

// rule scores a place by how far the part would reach there, given how far
// the others do; the least score wins. It never falls when the part reaches
// farther either way.
type rule func(part, used extent) int

// corner keeps parts near the front left corner.
func corner(part, _ extent) int { return part.right + part.back }

// lowest keeps the front strip of the bed that is used narrow.
func lowest(part, _ extent) int { return part.back<<20 + part.right }

// compact keeps the oblong that is used small.
func compact(part, used extent) int {
	all := part.and(used)
	return (all.right*all.back)<<16 + part.right + part.back
}

// spot is a place on the raster.
type spot struct {
	stamp *stamp
	shift r2.Vec // into the printer frame
	score int
}

// best returns the spot with the least score over all stamps, of equal ones
// the first; its stamp is nil when no stamp has a place.
func (p *pile) best(stamps []stamp) spot {
	found := spot{score: math.MaxInt}
	var places []uint64
	for i := range stamps {
		places = p.search(&stamps[i], &found, places)
	}
	return found
}

// search looks for a spot of one stamp that scores less than the one found.
// In each row the leftmost free place is the best. places is room to work in.
func (p *pile) search(s *stamp, found *spot, places []uint64) []uint64 {
	reach := p.bed.reaches(s.box.Max)
	score := func(x, y int) int {
		return p.rule(extent{reach.right + 16*x, reach.back + 16*y}, p.used)
	}
	low, high := p.bed.rows(s)
	for row := low; row <= high; row++ {
		from, to := p.bed.columns(s, row)
		if from > to || score(from, row) >= found.score {
			continue
		}
		places = p.places(s, row, from, to, places[:0])
		x, ok := firstFree(places, from)
		if !ok {
			continue
		}
		if sc := score(x, row); sc < found.score {
			cells := r2.Vec{X: float64(x), Y: float64(row)}
			*found = spot{s, r2.Add(p.bed.origin, r2.Sub(r2.Scale(p.bed.cell, cells), s.anchor)), sc}
		}
	}
	return places
}

// places appends words in which bit k tells that the place from+k of a row is
// not free.
func (p *pile) places(s *stamp, row, from, to int, words []uint64) []uint64 {
	n := to - from + 1
	for range (n + 63) / 64 {
		words = append(words, 0)
	}
	if n&63 != 0 {
		words[len(words)-1] = ^uint64(0) << (n & 63)
	}
	if p.kept != nil {
		p.kept.blocks(words, s.bare, row, from)
	}
	p.taken.blocks(words, s.grown, row, from)
	return words
}

// firstFree returns the first place that is not blocked.
func firstFree(words []uint64, from int) (int, bool) {
	for w, word := range words {
		if word != ^uint64(0) {
			return from + 64*w + bits.TrailingZeros64(^word), true
		}
	}
	return 0, false
}
