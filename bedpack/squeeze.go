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
		victim := emptiest(crowd)
		others := slices.DeleteFunc(crowd, func(p *pile) bool { return p == victim })
		if q := newSqueezer(b, others, victim, s); q.hopeful() && q.run(s.effort()) {
			piles = append(q.piles(), rest...)
			continue
		}
		return piles
	}
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

func newSqueezer(b *bed, others []*pile, victim *pile, s Settings) *squeezer {
	q := &squeezer{bed: b, rule: victim}
	var members []member
	var bk book
	gap := b.Gap + clearance*max(b.Bed.Width, b.Bed.Depth)
	forms := map[*shape]*form{}
	var hours []float64
	area, reach := 0.0, 0.0
	for _, p := range append(slices.Clone(others), victim) {
		for _, at := range p.placed {
			f := forms[at.shape]
			if f == nil {
				f = newForm(at.searched(), at.Hull, b.Gap > 0)
				forms[at.shape] = f
			}
			m := newMember(f, nil)
			m.likely = at.spins
			members, hours = append(members, m), append(hours, at.hours)
			q.placed = append(q.placed, at)
			area += f.area + b.Gap/2*at.Hull.Perimeter()
			reach = max(reach, at.reach)
		}
	}
	movers := len(members)
	r := b.bays(len(others), reach)
	q.filled = area / (float64(len(others)) * r.area())
	for range len(others) {
		for _, k := range b.keep {
			members = append(members, newMember(newForm(k.Outline(), plane.Hull(k.Outline().Points()), false), nil))
		}
	}
	q.crowd = newCrowd(r, gap, members, movers, &bk, rand.New(rand.NewPCG(uint64(movers), uint64(len(others)))))
	q.wallGap = gap - b.Gap
	q.quota = newQuota(s, hours, len(others))
	q.begin(others)
	return q
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
			q.seat(i, q.toBay(at, bay))
			i++
		}
	}
	for ; i < q.movers; i++ {
		q.seat(i, q.anywhere(i))
	}
	for k := i; k < len(q.members); k++ {
		bay := (k - i) / len(q.bed.keep)
		s := &q.seats[k]
		s.x, s.y = float64(bay)*q.pitch-q.bed.Margin, -q.bed.Margin
	}
	q.settleAll()
}

// toBay returns the berth of a part in place on a plate.
func (q *squeezer) toBay(at placed, bay int) berth {
	return berth{spin: at.spin, x: at.shift.X - q.bed.Margin + float64(bay)*q.pitch, y: at.shift.Y - q.bed.Margin}
}

// anywhere returns a random berth in a bay that admits the part, or in any if
// none does.
func (q *squeezer) anywhere(i int) berth {
	var bays []int
	for k := range q.bays {
		if q.admits(i, k) {
			bays = append(bays, k)
		}
	}
	bay := q.rnd.IntN(q.bays)
	if len(bays) > 0 {
		bay = bays[q.rnd.IntN(len(bays))]
	}
	return berth{spin: q.placed[i].spin, x: float64(bay)*q.pitch + q.rnd.Float64()*q.width, y: q.rnd.Float64() * q.depth}
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
