package bedpack

import (
	"cmp"
	"math"
	"slices"
)

// share gives each piece a bed: choices holds, for each piece, a shape for
// each bed or nil, at least one not nil. It returns the index of the bed of
// each piece.
//
// The largest sum of hours over the beds is to be small; of equal sharings,
// to a thousandth of an hour, the one with fewer hours in all, then the one
// that leaves more of the large beds free, then the one with the larger parts
// on the larger beds.
//
// How: longest piece first, each where it does least harm, large parts to the
// large beds; then moves of one or two pieces for as long as one helps. Again
// with the piece first that has the most to lose, and the better of the two.
// Not proven least: see the test for how near it comes.
//
// Cost: O(n²·b³) for each round of moves over b beds, a few rounds.
func share(choices [][]*shape, beds []*bed) []int {
	var best *sharing
	for _, urgency := range []func([]*shape) float64{length, loss} {
		s := newSharing(choices, beds)
		middle := s.middleArea()
		for _, i := range s.order(urgency) {
			s.settle(i, s.area(i) >= middle)
		}
		for s.improve() {
		}
		if best == nil || less(s.score(), best.score()) {
			best = s
		}
	}
	return best.bedOf
}

// length is the least hours that a piece takes anywhere.
func length(shapes []*shape) float64 { return hoursRising(shapes)[0] }

// loss is what a piece loses if it cannot have its fastest bed; a piece
// that has one bed only loses without end.
func loss(shapes []*shape) float64 {
	hours := append(hoursRising(shapes), math.Inf(1))
	return hours[1] - hours[0]
}

func hoursRising(shapes []*shape) []float64 {
	var out []float64
	for _, c := range shapes {
		if c != nil {
			out = append(out, c.hours)
		}
	}
	slices.Sort(out)
	return out
}

// sharing is the state of share.
type sharing struct {
	choices [][]*shape
	beds    []*bed
	bedOf   []int // -1 until settled
	load    []float64
	weight  worth // of all settled pieces
}

// worth is what sharings are compared by beside their loads.
type worth struct {
	bedArea float64 // Σ area of the bed of each piece
	product float64 // Σ area of the piece · area of its bed
}

func newSharing(choices [][]*shape, beds []*bed) *sharing {
	s := &sharing{choices: choices, beds: beds, bedOf: make([]int, len(choices)), load: make([]float64, len(beds))}
	for i := range s.bedOf {
		s.bedOf[i] = -1
	}
	return s
}

// order returns the pieces: those with one bed to choose first, then the most
// urgent first.
func (s *sharing) order(urgency func([]*shape) float64) []int {
	order := make([]int, len(s.choices))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		v, w := s.choices[i], s.choices[j]
		return cmp.Or(cmp.Compare(min(len(hoursRising(v)), 2), min(len(hoursRising(w)), 2)), cmp.Compare(urgency(w), urgency(v)))
	})
	return order
}

// area returns the area of a piece on the first bed that can take it.
func (s *sharing) area(i int) float64 {
	for _, c := range s.choices[i] {
		if c != nil {
			return c.area
		}
	}
	return 0
}

// middleArea returns the area that half of the pieces reach.
func (s *sharing) middleArea() float64 {
	var all []float64
	for i := range s.choices {
		all = append(all, s.area(i))
	}
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return all[len(all)/2]
}

// put moves a piece onto a bed, or off all beds when b is -1.
func (s *sharing) put(i, b int) {
	for _, at := range []struct {
		bed  int
		sign float64
	}{{s.bedOf[i], -1}, {b, 1}} {
		if at.bed < 0 {
			continue
		}
		area := s.beds[at.bed].Bed.Area()
		s.load[at.bed] += at.sign * s.choices[i][at.bed].hours
		s.weight.bedArea += at.sign * area
		s.weight.product += at.sign * area * s.choices[i][at.bed].area
	}
	s.bedOf[i] = b
}

// score is what the sharing is worth; the least is best, first entry first.
func (s *sharing) score() [4]float64 {
	most, sum := 0.0, 0.0
	for _, l := range s.load {
		most, sum = max(most, l), sum+l
	}
	return [4]float64{math.Round(most * 1000), math.Round(sum * 1000), math.Round(s.weight.bedArea), -math.Round(s.weight.product)}
}

func less(a, b [4]float64) bool { return slices.Compare(a[:], b[:]) < 0 }

// settle puts a piece onto the bed where it does least harm. Of beds that are
// alike in hours a large part takes the larger: a long print that is put onto
// the small bed first would keep the short ones off it.
func (s *sharing) settle(i int, large bool) {
	best := -1
	var least [4]float64
	for b, c := range s.choices[i] {
		if c == nil {
			continue
		}
		s.put(i, b)
		score := s.score()
		if large {
			score[2] = -score[2]
		}
		if best < 0 || less(score, least) {
			best, least = b, score
		}
	}
	s.put(i, best)
}

// improve makes the first change found that helps: one piece goes to another
// bed, or two do.
func (s *sharing) improve() bool {
	before := s.score()
	return s.move(0, 2, before)
}

// move tries to better the score by moving up to n pieces, none before first.
func (s *sharing) move(first, n int, before [4]float64) bool {
	for i := first; i < len(s.choices); i++ {
		from := s.bedOf[i]
		for b, c := range s.choices[i] {
			if c == nil || b == from {
				continue
			}
			s.put(i, b)
			if less(s.score(), before) || (n > 1 && s.move(i+1, n-1, before)) {
				return true
			}
		}
		s.put(i, from)
	}
	return false
}
