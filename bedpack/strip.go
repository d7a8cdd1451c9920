package bedpack

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// StripItem is a part to be put into a strip.
type StripItem struct {
	Outline plane.Outline
	Spins   []plane.Angle // that it may have; nil: any
}

// Strip is a strip of fixed height, along Y, and open length, along X, with
// what it has to take.
type Strip struct {
	Height float64
	Items  []StripItem // copies cost least when they share the slices
}

// Budget is what a search may spend.
type Budget struct {
	Seed uint64

	// Spent returns which share of the budget is gone; at 1 the search ends.
	// It is asked after each round over the parts that overlap. With
	// Rounds(n) the result depends on nothing but input, seed and n.
	Spent func() float64
}

// Rounds returns a Budget's Spent that allows n rounds. Not safe for
// concurrent use.
func Rounds(n int) func() float64 {
	done := 0
	return func() float64 {
		done++
		return float64(done) / float64(n)
	}
}

// StripPlace is where an item lies: turned by Spin about its origin, then
// shifted.
type StripPlace struct {
	Spin  plane.Angle
	Shift r2.Vec
}

// StripLayout is a filled strip.
type StripLayout struct {
	Length float64
	Places []StripPlace // by item
}

// touch is how far, relative to the strip's height, parts may reach into
// each other in a strip: parts of whole millimetres have to go side by side
// whatever rounding does.
const touch = 1e-7

// PackStrip puts all items into as short a strip as it finds.
//
// It never returns parts that overlap by more than touch; how short the strip
// gets depends on the budget. Items of which one fits the height at none of
// its spins give an empty layout; so does no item at all.
//
// How: from a loose layout the strip is shortened again and again, a little
// each time, and the parts are separated (separate.go). Where they cannot be,
// one of the better failures is upset by a swap of two large parts, and
// separated again. The last fifth of the budget goes into shortening the best
// layout by ever smaller steps. Source: Gardeyn et al. 2025, see separate.
func PackStrip(s Strip, b Budget) StripLayout {
	if len(s.Items) == 0 {
		return StripLayout{}
	}
	p := newStripper(s, b)
	if p == nil || !p.begin() {
		return StripLayout{}
	}
	p.explore(exploring)
	p.compress(exploring)
	return p.layout()
}

// exploring is the share of the budget after which the strip is only
// shortened.
const exploring = 0.8

// stripper is the state of PackStrip.
type stripper struct {
	*crowd
	budget Budget
	spent  float64
	best   []berth // of the shortest layout without overlaps
	length float64 // of it
}

func newStripper(s Strip, b Budget) *stripper {
	var members []member
	var book book
	gap := -touch * s.Height
	for _, it := range s.Items {
		members = append(members, book.member(it.Outline, it.Spins, gap))
	}
	r := room{width: math.Inf(1), depth: s.Height, bays: 1}
	for i, m := range members {
		members[i].spins = slices.DeleteFunc(slices.Clone(m.spins), func(s *stance) bool {
			_, _, ok := r.span(s, 0)
			return !ok
		})
		if m.spins != nil && len(members[i].spins) == 0 {
			return nil
		}
	}
	rnd := rand.New(rand.NewPCG(b.Seed, uint64(len(members))))
	return &stripper{crowd: newCrowd(r, gap, members, len(members), &book, rnd), budget: b}
}

// stop asks the budget.
func (p *stripper) stop(at float64) func() bool {
	return func() bool {
		p.spent = p.budget.Spent()
		return p.spent >= at
	}
}

// loosest is the share of the strip that parts fill at first, and tightest
// how many times it may be lengthened before it is given up.
const (
	loosest  = 0.7
	lengthen = 1.1
)

// begin finds a first layout, or returns false when the budget is gone.
func (p *stripper) begin() bool {
	area, longest := 0.0, 0.0
	for _, m := range p.members {
		area += m.form.area
		least := 2 * m.form.reach
		for _, s := range m.spins {
			least = min(least, s.box.Size().X)
		}
		longest = max(longest, least)
	}
	p.width = max(area/(loosest*p.depth), longest)
	p.scatterAll()
	for ; ; p.width *= lengthen {
		p.forget()
		if p.separate(patience{50, 1}, p.stop(1)) {
			p.record()
			return true
		}
		if p.spent >= 1 {
			return p.stack()
		}
	}
}

// stack lays the parts one beside the other.
func (p *stripper) stack() bool {
	x := 0.0
	for i, m := range p.members {
		s := p.seats[i].stance
		if m.spins != nil {
			s = m.spins[0]
		}
		p.width = x + s.box.Size().X
		b := berth{nil, s.spin, x - s.box.Min.X, -s.box.Min.Y}
		if m.spins != nil {
			b.stance = s
		} else if s.box.Size().Y > p.depth {
			return false
		}
		p.seat(i, b)
		x = p.width
	}
	p.settleAll()
	p.record()
	return true
}

// mostSpins is how many random spins are tried to find one that fits. A part
// that then still sticks out goes on turning while parts are separated.
const mostSpins = 1000

// scatterAll puts every part anywhere.
func (p *stripper) scatterAll() {
	for i, m := range p.members {
		s := p.seats[i].stance
		for range mostSpins {
			if m.spins != nil {
				s = m.spins[p.rnd.IntN(len(m.spins))]
			} else {
				m.form.turnInto(s, plane.Angle(2*math.Pi*p.rnd.Float64()))
			}
			if _, _, ok := p.span(s, 0); ok {
				break
			}
		}
		b := berth{spin: s.spin, x: p.rnd.Float64() * p.width, y: p.rnd.Float64() * p.depth}
		if m.spins != nil {
			b.stance = s
		}
		p.seat(i, b)
	}
	p.settleAll()
}

// record keeps the present layout, no longer than it has to be.
func (p *stripper) record() {
	left, right := math.Inf(1), math.Inf(-1)
	for i := range p.seats {
		left, right = min(left, p.seats[i].box.Min.X), max(right, p.seats[i].box.Max.X)
	}
	if p.best != nil && right-left >= p.length {
		return
	}
	p.length = right - left
	p.best = p.berths(p.best)
	for i := range p.best {
		p.best[i].x -= left
	}
}

// shorten takes up the best layout in a strip shorter by a share: what lies
// right of a random cut moves left.
func (p *stripper) shorten(by float64) {
	p.width = p.length
	p.restore(p.best)
	delta := by * p.length
	cut := p.rnd.Float64() * p.length
	next := p.berths(nil)
	for i := range next {
		if p.seats[i].box.Min.X > cut {
			next[i].x -= delta
		}
	}
	p.width -= delta
	p.restore(next)
}

// Steps by which the strip is shortened while exploring, relative.
const (
	longestStep  = 0.02
	shortestStep = 0.001
)

// explore shortens the strip and upsets what cannot be separated, until a
// share of the budget is gone.
func (p *stripper) explore(until float64) {
	stop := p.stop(until)
	step := longestStep
	var failed []failure
	p.shorten(step)
	for !stop() {
		p.forget()
		if p.separate(patience{200, 3}, stop) {
			p.record()
			p.shorten(step)
			failed = failed[:0]
			continue
		}
		if step > shortestStep {
			step = max(step/4, shortestStep)
			p.shorten(step)
			continue
		}
		failed = file(failed, failure{p.berths(nil), p.total()})
		p.restore(failed[p.pick(len(failed))].berths)
		p.upset()
	}
}

// failure is a layout that could not be separated.
type failure struct {
	berths []berth
	loss   float64
}

// file inserts a failure, rising by loss.
func file(all []failure, f failure) []failure {
	k := 0
	for k < len(all) && all[k].loss <= f.loss {
		k++
	}
	return slices.Insert(all, k, f)
}

// pick returns an index below n, small ones more often.
func (p *stripper) pick(n int) int {
	return min(int(math.Abs(p.rnd.NormFloat64())*0.25*float64(n)), n-1)
}

// Steps by which the strip is shortened in the end, relative.
const (
	firstCompress = 0.0005
	lastCompress  = 0.00001
)

// compress shortens the best layout until the budget is gone.
func (p *stripper) compress(from float64) {
	stop := p.stop(1)
	for !stop() {
		share := (p.spent - from) / (1 - from)
		p.shorten(firstCompress + (lastCompress-firstCompress)*share)
		p.forget()
		if p.separate(patience{100, 1}, stop) {
			p.record()
		}
	}
}

func (p *stripper) layout() StripLayout {
	out := StripLayout{Length: p.length}
	for _, b := range p.best {
		out.Places = append(out.Places, StripPlace{b.spin, r2.Vec{X: b.x, Y: b.y}})
	}
	return out
}
