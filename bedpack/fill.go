package bedpack

import (
	"cmp"
	"math"
	"slices"
)

// rules are the ways of choosing a place that are tried in turn. Measured on
// the 20 bin instances of the nesting data (86 plates at the optimum): of eight
// rules tried none beats the first alone (118 plates, others up to 140); four
// tries in turn give 117, sixteen 116.
func rules() []rule { return []rule{corner, compact, lowest} }

// boost is how much larger than it is a piece counts, after each try in which
// it ended up on the emptiest plate.
const boost = 2

// fill puts the pieces of one bed onto few plates and returns the plates in
// the order they were begun, and the pieces that went nowhere. The pieces
// come by name and copy.
//
// How: the largest piece first, each onto the first plate with a place. Then
// again with those that ended up on the emptiest plate moved forward, and
// another rule for places; the best try counts. Source: D. Joslin and D.
// Clements, "Squeaky wheel optimization", JAIR 10, 1999.
func fill(b *bed, pieces []piece, s Settings) ([]*pile, []piece) {
	reach, weight := 0.0, make(map[int]float64)
	for _, w := range pieces {
		reach = max(reach, w.reach)
		weight[w.item] = w.area
	}
	pieces = slices.Clone(pieces)
	var best []*pile
	var over []piece
	for try := range s.tries() {
		slices.SortStableFunc(pieces, func(p, q piece) int {
			return cmp.Compare(math.Round(weight[q.item]), math.Round(weight[p.item]))
		})
		piles, left := fillBy(b, pieces, reach, rules()[try%len(rules())], s)
		if try == 0 || better(piles, best) {
			best, over = piles, left
		}
		if len(best) <= 1 {
			break
		}
		for _, at := range emptiest(piles).placed {
			weight[at.item] *= boost
		}
	}
	return squeeze(b, best, s), over
}

// fillBy makes one try.
func fillBy(b *bed, pieces []piece, reach float64, r rule, s Settings) (piles []*pile, left []piece) {
	for _, w := range pieces {
		takes := func(p *pile) bool { return p.mayTake(w, s) && p.add(w) }
		if slices.ContainsFunc(piles, takes) {
			continue
		}
		if fresh := newPile(b, reach, r); fresh.add(w) {
			piles = append(piles, fresh)
		} else {
			left = append(left, w)
		}
	}
	return piles, left
}

// mayTake reports whether the limits of a plate leave room for a piece.
func (p *pile) mayTake(w piece, s Settings) bool {
	switch {
	case len(p.placed) == 0:
		return true
	case w.alone || p.placed[0].alone:
		return false
	case s.PlateParts > 0 && len(p.placed) >= s.PlateParts:
		return false
	}
	return s.PlateHours <= 0 || p.hours+w.hours <= s.PlateHours
}

// better compares by number of plates, then by the area on the emptiest one,
// which is then nearer to not being needed.
func better(a, b []*pile) bool {
	if len(a) != len(b) {
		return len(a) < len(b)
	}
	return math.Round(emptiest(a).area()) < math.Round(emptiest(b).area())
}

// emptiest returns the plate with the least area of parts, of equal ones the
// last.
func emptiest(piles []*pile) *pile {
	best := piles[0]
	for _, p := range piles[1:] {
		if math.Round(p.area()) <= math.Round(best.area()) {
			best = p
		}
	}
	return best
}

// area returns the area of the parts on the plate, mm².
func (p *pile) area() float64 {
	sum := 0.0
	for _, at := range p.placed {
		sum += at.area
	}
	return sum
}
