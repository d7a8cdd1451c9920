package bedpack

import (
	"slices"

	"platewright/support/plane"
)

// mostSums is for how many pairs of lobes of two stances the sums are kept.
const mostSums = 400

// book keeps the forms of parts and, for parts with a few spins, their
// stances, so that copies share them.
type book struct {
	outlines []plane.Outline
	spins    [][]plane.Angle
	forms    []*form
	stances  [][]*stance
	all      []*stance
}

// member returns a part as a member of a crowd.
func (b *book) member(o plane.Outline, spins []plane.Angle, gap float64) member {
	for k, p := range b.outlines {
		if len(p) == len(o) && &p[0] == &o[0] && slices.Equal(spins, b.spins[k]) {
			return newMember(b.forms[k], b.stances[k])
		}
	}
	f := newForm(o, gap > 0)
	var stances []*stance
	for _, spin := range spins {
		s := f.turned(spin)
		s.index = len(b.all)
		b.all = append(b.all, s)
		stances = append(stances, s)
	}
	b.outlines, b.spins = append(b.outlines, o), append(b.spins, spins)
	b.forms, b.stances = append(b.forms, f), append(b.stances, stances)
	return newMember(f, stances)
}

// sums returns the sums of all pairs of stances, nil for those with too many
// lobes.
func (b *book) sums(gap float64) [][]sum {
	out := make([][]sum, 0, len(b.all)*len(b.all))
	for _, s := range b.all {
		for _, t := range b.all {
			var sums []sum
			if len(s.lobes)*len(t.lobes) <= mostSums {
				sums = newSums(s, t, gap)
			}
			out = append(out, sums)
		}
	}
	return out
}
