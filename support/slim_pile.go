package support

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// none stands for an island or pile that there is not.
const none int32 = -1

// storey is an island in a section and what lies over and under it.
type storey struct {
	island
	slim         bool
	below, above int32 // of the next section, the island that it shares most with, or none
	pile         int32 // that it belongs to, or none
}

// pile is a stack of slim islands, one of each section from a first one on,
// each of which shares most with the next.
type pile struct {
	first        int
	islands      []int32
	below, above int32 // pile that it rests on and that rests on it, or none
	from, to     End
}

// piles builds piles section by section from the plate up.
type piles struct {
	worries  Worries
	step     float64
	sections [][]storey
	last     []lineRun
	piles    []pile
}

// add puts the islands of the next section on top.
func (p *piles) add(s islands) {
	now := make([]storey, len(s.pieces))
	for i, piece := range s.pieces {
		slim := p.worries.isSlim(piece.width)
		if !slim {
			piece.hull = nil // a part has many
		}
		now[i] = storey{island: piece, slim: slim, below: none, above: none, pile: none}
	}
	var under []storey
	if n := len(p.sections); n > 0 {
		under = p.sections[n-1]
	}
	p.sections = append(p.sections, now)
	favour(under, now, shared(p.last, s.runs))
	p.last = s.runs
	for i := range now {
		if now[i].slim {
			p.pileUp(under, now, int32(i))
		}
	}
}

// pileUp puts island i of the top section on the pile that it carries on, or
// begins one.
func (p *piles) pileUp(under, now []storey, i int32) {
	is := &now[i]
	if is.below != none {
		if u := under[is.below]; u.slim && u.above == i {
			is.pile = u.pile
			p.piles[u.pile].islands = append(p.piles[u.pile].islands, i)
			return
		}
	}
	is.pile = int32(len(p.piles))
	p.piles = append(p.piles, pile{first: len(p.sections) - 1, islands: []int32{i}})
}

// overlap is what island low of a section and island high of the next share.
type overlap struct {
	low, high int32
	length    float64 // of lines, mm
}

// shared returns what islands of two sections share, pair by pair in order.
func shared(low, high []lineRun) []overlap {
	var all []overlap
	for i, j := 0, 0; i < len(low) && j < len(high); {
		a, b := low[i], high[j]
		if a.line == b.line {
			if length := min(a.to, b.to) - max(a.from, b.from); length > 0 {
				all = append(all, overlap{a.of, b.of, length})
			}
		}
		if cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.to, b.to)) <= 0 {
			i++
		} else {
			j++
		}
	}
	slices.SortStableFunc(all, func(a, b overlap) int {
		return cmp.Or(cmp.Compare(a.low, b.low), cmp.Compare(a.high, b.high))
	})
	out := all[:0]
	for _, o := range all {
		if n := len(out); n > 0 && out[n-1].low == o.low && out[n-1].high == o.high {
			out[n-1].length += o.length
		} else {
			out = append(out, o)
		}
	}
	return out
}

// favour notes which island each shares most with, the first of equal ones.
func favour(low, high []storey, shared []overlap) {
	up, down := make([]float64, len(low)), make([]float64, len(high))
	for _, o := range shared {
		if o.length > up[o.low] {
			up[o.low], low[o.low].above = o.length, o.high
		}
		if o.length > down[o.high] {
			down[o.high], high[o.high].below = o.length, o.low
		}
	}
	// What tapers to a tip slips between the lines in the end.
	for i := range low {
		if is := &low[i]; is.above == none && is.slim {
			is.above = holding(high, is.centre)
		}
	}
	for i := range high {
		if is := &high[i]; is.below == none && is.slim {
			is.below = holding(low, is.centre)
		}
	}
}

// holding returns the first slim island whose hull holds a point, or none.
func holding(islands []storey, p r2.Vec) int32 {
	for i, is := range islands {
		if is.slim && len(is.hull) >= 3 && depth(is.hull, p) >= 0 {
			return int32(i)
		}
	}
	return none
}

// at returns the islands of a pile, from its lowest up.
func (p *piles) at(s pile, k int) *storey { return &p.sections[s.first+k][s.islands[k]] }

// tieEnds finds out how a pile ends.
func (p *piles) tieEnds(s *pile) {
	s.below, s.above = none, none
	first, last := p.at(*s, 0), p.at(*s, len(s.islands)-1)
	switch {
	case s.first == 0:
		s.from = OnPlate
	case first.below != none:
		s.from, s.below = Joined, p.sections[s.first-1][first.below].pile
	}
	if last.above != none {
		s.to, s.above = Joined, p.sections[s.first+len(s.islands)][last.above].pile
	}
}
