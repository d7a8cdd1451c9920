package bedpack

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// fullest is how full plates, gaps counted in, may have to become for an
// attempt to do without one of them. The fullest that published packers reach
// on irregular parts is about nine tenths.
const fullest = 0.92

// squeeze saves plates: the parts of the emptiest are put onto the others of
// the bed, overlapping, and all are moved until they are apart. It gives up
// when the effort is spent without success. Plates with a part that wants to
// be alone are left as they are.
func squeeze(b *bed, piles []*pile, s Settings) []*pile {
	for {
		var rest []*pile
		var crowd []*pile
		for _, p := range piles {
			if p.placed[0].alone {
				rest = append(rest, p)
			} else {
				crowd = append(crowd, p)
			}
		}
		if len(crowd) < 2 || s.effort() == 0 {
			return piles
		}
		next := without(b, crowd, s)
		if next == nil {
			return piles
		}
		piles = append(next, rest...)
	}
}

// without returns the parts of some plates on one plate less, nil when no way
// was found: first with parts at quarter turns, which is quicker and suits
// parts with square corners, then at any spin.
func without(b *bed, piles []*pile, s Settings) []*pile {
	victim := emptiest(piles)
	others := slices.DeleteFunc(piles, func(p *pile) bool { return p == victim })
	for _, turning := range []bool{false, true} {
		q := newSqueezer(b, others, victim, s, turning)
		if !q.hopeful() {
			return nil
		}
		if q.run(s.effort()) {
			return q.piles()
		}
	}
	return nil
}

// squeezer is the state of squeeze for one plate.
type squeezer struct {
	*crowd
	bed    *bed
	placed []placed // by mover
	rule   *pile    // one that was filled as they all were
	filled float64  // share of the bays
}

// clearance is what the search keeps beyond the gap, relative to the bed's
// side, so that rounding cannot turn sound into too near.
const clearance = 1e-9

func newSqueezer(b *bed, others []*pile, victim *pile, s Settings, turning bool) *squeezer {
	q := &squeezer{bed: b, rule: victim}
	cast := casting{bed: b, turning: turning, forms: map[*shape]*form{}, quarters: map[*shape][]*stance{}}
	var hours []float64
	area, reach := 0.0, 0.0
	for _, p := range append(slices.Clone(others), victim) {
		for _, at := range p.placed {
			cast.add(at)
			q.placed = append(q.placed, at)
			hours = append(hours, at.hours)
			area += at.area + b.Gap/2*at.Hull.Perimeter()
			reach = max(reach, at.reach)
		}
	}
	r := b.bays(len(others), reach)
	q.filled = area / (float64(len(others)) * r.area())
	members := cast.members
	for range others {
		for _, k := range b.keep {
			members = append(members, newMember(newForm(k.Outline(), plane.Hull(k.Outline().Points()), false), nil))
		}
	}
	gap := b.Gap + clearance*max(b.Bed.Width, b.Bed.Depth)
	rnd := rand.New(rand.NewPCG(uint64(len(q.placed)), uint64(len(others))))
	q.crowd = newCrowd(r, gap, members, len(q.placed), &cast.book, rnd)
	q.wallGap = gap - b.Gap
	q.quota = newQuota(s, hours, len(others))
	q.begin(others)
	return q
}

// casting makes members of parts in place; copies share what they can.
type casting struct {
	book
	bed      *bed
	turning  bool // to any spin
	forms    map[*shape]*form
	quarters map[*shape][]*stance // at which the part fits the bed
	members  []member
}

func (c *casting) add(at placed) {
	f := c.forms[at.shape]
	if f == nil {
		f = newForm(at.searched(), at.Hull, c.bed.Gap > 0)
		c.forms[at.shape] = f
	}
	m := newMember(f, nil)
	m.likely = at.spins
	if !c.turning {
		own := c.enter(f, []plane.Angle{at.spin})
		m.spins = append(own, c.quartersOf(at.shape, f)...)
	}
	c.members = append(c.members, m)
}

// quartersOf returns the quarter turns at which a part fits the bed.
func (c *casting) quartersOf(s *shape, f *form) []*stance {
	if all, ok := c.quarters[s]; ok {
		return all
	}
	var fit []plane.Angle
	for k := range 4 {
		spin := plane.Angle(k) * 90 * plane.Degree
		if c.bed.fits(s.Hull.Placed(spin, r2.Vec{})) {
			fit = append(fit, spin)
		}
	}
	c.quarters[s] = c.enter(f, fit)
	return c.quarters[s]
}

// searched returns the outline that is moved about: the true one if it has
// few corners, since a little of the bed is lost with a rough one.
func (s *shape) searched() plane.Outline {
	const few = 24
	if len(s.Outline.Points()) <= few {
		return s.Outline
	}
	return s.rough
}

// bays returns the room of n plates.
func (b *bed) bays(n int, reach float64) room {
	r := room{bays: n}
	r.width, r.depth = b.room()
	if b.Bed.Round() {
		r.radius = b.radius()
	}
	r.pitch = r.width + 2*reach + b.Gap + 1
	for _, k := range b.keep { // they may stick out
		r.pitch += max(0, -k.Bounds().Min.X) + max(0, k.Bounds().Max.X-b.Bed.Width)
	}
	return r
}

func (r *room) area() float64 {
	if r.radius > 0 {
		return math.Pi * r.radius * r.radius
	}
	return r.width * r.depth
}

// begin seats the parts of the other plates where they are, those of the
// victim anywhere, and the keep-out areas.
func (q *squeezer) begin(others []*pile) {
	i := 0
	for bay, p := range others {
		for _, at := range p.placed {
			q.seat(i, q.berth(i, bay, at.shift.X-q.bed.Margin, at.shift.Y-q.bed.Margin))
			i++
		}
	}
	for ; i < q.movers; i++ {
		q.seat(i, q.berth(i, q.anyBay(i), q.rnd.Float64()*q.width, q.rnd.Float64()*q.depth))
	}
	for k := i; k < len(q.members); k++ {
		bay := (k - i) / len(q.bed.keep)
		s := &q.seats[k]
		s.x, s.y = float64(bay)*q.pitch-q.bed.Margin, -q.bed.Margin
	}
	q.settleAll()
}

// berth returns a place of a part in a bay, at the spin it had on its plate.
func (q *squeezer) berth(i, bay int, x, y float64) berth {
	out := berth{spin: q.placed[i].spin, x: float64(bay)*q.pitch + x, y: y}
	if spins := q.members[i].spins; spins != nil {
		out.stance = spins[0]
	}
	return out
}

// anyBay returns a bay that admits the part, or any if none does.
func (q *squeezer) anyBay(i int) int {
	var bays []int
	for k := range q.bays {
		if q.admits(i, k) {
			bays = append(bays, k)
		}
	}
	if len(bays) == 0 {
		return q.rnd.IntN(q.bays)
	}
	return bays[q.rnd.IntN(len(bays))]
}

// hopeful reports whether an attempt can succeed.
func (q *squeezer) hopeful() bool { return q.filled <= fullest && q.kept() }

// kept reports whether no bay holds more than it may.
func (q *squeezer) kept() bool {
	for k := range q.parts {
		if q.mostParts > 0 && q.parts[k] > q.mostParts {
			return false
		}
		if q.mostHours > 0 && q.load[k] > q.mostHours {
			return false
		}
	}
	return true
}

// run separates the parts, upsetting them whenever that fails, for so many
// rounds, and reports whether it succeeded.
func (q *squeezer) run(rounds int) bool {
	stop := func() bool { rounds--; return rounds <= 0 }
	for rounds > 0 {
		if q.separate(patience{50, 2}, stop) {
			return q.sound()
		}
		q.upset()
		q.forget()
	}
	return false
}

// sound reports whether the plates may be as they are, decided on the true
// outlines.
func (q *squeezer) sound() bool {
	n := 0
	for _, p := range q.piles() {
		n += len(p.placed)
	}
	return n == q.movers
}

// piles returns the plates; parts that may not be where they are are left
// out.
func (q *squeezer) piles() []*pile {
	out := make([]*pile, q.bays)
	for k := range out {
		out[k] = &pile{bed: q.bed, reach: q.rule.reach, rule: q.rule.rule}
	}
	for i := range q.movers {
		s := &q.seats[i]
		bay := q.bayOf(s.stance, s.x)
		at := placed{piece: q.placed[i].piece, spin: s.stance.spin,
			shift: r2.Vec{X: s.x - float64(bay)*q.pitch + q.bed.Margin, Y: s.y + q.bed.Margin}}
		at.tree = plane.NewTree(at.Outline.Placed(at.spin, at.shift))
		if p := out[bay]; p.allows(at) {
			p.placed, p.hours = append(p.placed, at), p.hours+at.hours
		}
	}
	return slices.DeleteFunc(out, func(p *pile) bool { return len(p.placed) == 0 })
}
