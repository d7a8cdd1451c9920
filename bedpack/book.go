package bedpack

import (
	"slices"

	"platewright/support/plane"
)

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
	f := newForm(o, plane.Hull(o.Points()), gap > 0)
	stances := b.enter(f, spins)
	b.outlines, b.spins = append(b.outlines, o), append(b.spins, spins)
	b.forms, b.stances = append(b.forms, f), append(b.stances, stances)
	return newMember(f, stances)
}

// enter returns the stances of a form at some spins, with places in the book.
func (b *book) enter(f *form, spins []plane.Angle) []*stance {
	var out []*stance
	for _, spin := range spins {
		s := f.turned(spin)
		s.index = len(b.all)
		b.all = append(b.all, s)
		out = append(out, s)
	}
	return out
}
