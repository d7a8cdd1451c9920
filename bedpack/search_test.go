package bedpack

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// crowded returns a pile with a few parts on it.
func crowded(rnd *rand.Rand, r rule) *pile {
	p := newPile(randomBed(rnd), 0, r)
	for range rnd.IntN(15) {
		o := option(randomOutline(rnd, 10+60*rnd.Float64()), 1)
		if s := newShape(p.bed, &o, 0, 30*plane.Degree); s != nil {
			p.add(piece{shape: s})
		}
	}
	return p
}

// The spot found is the best of all places of all stamps, tried cell by cell.
func TestBestAgainstTryingEveryPlace(t *testing.T) {
	none, some := 0, 0
	cases(t, 60, func(t *testing.T, rnd *rand.Rand) {
		r := rules()[rnd.IntN(len(rules()))]
		p := crowded(rnd, r)
		o := option(randomOutline(rnd, 30+80*rnd.Float64()), 1)
		s := newShape(p.bed, &o, 0, 60*plane.Degree)
		if s == nil {
			return
		}
		want := math.MaxInt
		for _, stamp := range s.drawn() {
			low, high := p.bed.rows(&stamp)
			for row := low; row <= high; row++ {
				from, to := p.bed.columns(&stamp, row)
				for x := from; x <= to; x++ {
					if free(p.taken, stamp.grown, x, row) {
						want = min(want, scoreAt(p, stamp, x, row))
					}
				}
			}
		}
		got := p.best(s.drawn())
		if got.score != want {
			t.Errorf("score %d, want %d", got.score, want)
		}
		if got.stamp == nil {
			none++
			return
		}
		some++
		at := r2.Add(r2.Sub(got.shift, p.bed.origin), got.stamp.anchor)
		x, y := int(math.Round(at.X/p.bed.cell)), int(math.Round(at.Y/p.bed.cell))
		if !free(p.taken, got.stamp.grown, x, y) || scoreAt(p, *got.stamp, x, y) != want {
			t.Errorf("place (%d, %d) is not free or does not score %d", x, y, want)
		}
	})
	if none < 3 || some < 25 {
		t.Errorf("%d without a place and %d with one: too one-sided", none, some)
	}
}

func free(t *table, runs []run, x, y int) bool {
	for _, r := range runs {
		for k := range r.length {
			if t.taken(x+r.from+k, y+r.y) {
				return false
			}
		}
	}
	return true
}

func scoreAt(p *pile, s stamp, x, y int) int {
	e := p.bed.reaches(s.box.Max)
	return p.rule(extent{e.right + 16*x, e.back + 16*y}, p.used)
}

// No rule falls when a part reaches farther, or what a search skips could be
// better than what it keeps.
func TestRulesNeverFall(t *testing.T) {
	cases(t, 100, func(t *testing.T, rnd *rand.Rand) {
		used := extent{rnd.IntN(5000), rnd.IntN(5000)}
		part := extent{rnd.IntN(5000), rnd.IntN(5000)}
		farther := extent{part.right + rnd.IntN(50), part.back + rnd.IntN(50)}
		for k, r := range rules() {
			if r(farther, used) < r(part, used) {
				t.Errorf("rule %d falls from %v to %v", k, part, farther)
			}
		}
	})
}

// A part that has slid is allowed where it is, and can neither be moved
// forward nor left by the least step.
func TestSlidAsFarAsItGoes(t *testing.T) {
	moved := 0
	cases(t, 60, func(t *testing.T, rnd *rand.Rand) {
		p := crowded(rnd, corner)
		o := option(randomOutline(rnd, 20+40*rnd.Float64()), 1)
		s := newShape(p.bed, &o, 0, 45*plane.Degree)
		if s == nil {
			return
		}
		spot := p.best(s.drawn())
		if spot.stamp == nil {
			return
		}
		m := newMover(p, piece{shape: s}, spot.stamp.spin)
		to := m.slid(spot.shift)
		if to.X > spot.shift.X || to.Y > spot.shift.Y {
			t.Errorf("slid from %v to %v, back or right", spot.shift, to)
		}
		if to != spot.shift {
			moved++
			if !m.free(to) {
				t.Error("slid to where it may not be")
			}
		}
		least := p.bed.cell / 16
		if m.free(r2.Vec{X: to.X - least, Y: to.Y}) || m.free(r2.Vec{X: to.X, Y: to.Y - least}) {
			t.Errorf("at %v it could slide on", to)
		}
	})
	if moved < 20 {
		t.Errorf("only %d parts slid", moved)
	}
}
