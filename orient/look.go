package orient

import (
	"cmp"
	"slices"

	"platewright/orient/printer"
	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

// look is an orientation seen in full: scanned on the mesh as it is, and timed
// by its layers on every machine.
type look struct {
	up      mesh.Direction
	seen    support.Measures
	figures []figures // one a machine
	on      []On
	score   float64
	fits    bool
}

// lookLayer is the layer height that looks are timed by: that of the columns, 2
// mm for a part of 250 mm.
func (sk *searcher) lookLayer() float64 { return sk.step }

// lookAt looks at directions not looked at yet.
func (sk *searcher) lookAt(ups []mesh.Direction) {
	fresh := slices.DeleteFunc(slices.Clone(ups), func(u mesh.Direction) bool {
		return slices.ContainsFunc(sk.looks, func(l look) bool { return Between(l.up, u) < sameUp })
	})
	out := make([]look, len(fresh))
	sk.run(len(fresh), func(i int) {
		if sk.ctx.Err() == nil {
			out[i] = sk.look(fresh[i])
		}
	})
	if sk.ctx.Err() == nil {
		sk.looks = append(sk.looks, out...)
	}
}

// look looks at one direction.
func (sk *searcher) look(up mesh.Direction) look {
	scanner := sk.fine.Get().(*support.Scanner)
	defer sk.fine.Put(scanner)
	out := look{up: up, seen: scanner.Scan(up)}
	out.figures = sk.reading(up, out.seen, scanner.Slabs())
	standing, _ := sk.body.Stand(up)
	coarse := sk.settings.Support
	coarse.Layer = max(coarse.Layer, sk.lookLayer())
	out.seen.Tip, out.seen.Held = coarse.TipOn(standing.Mesh, scanner.Feet())
	// Columns twice as far apart tell well enough how the support is shaped; how
	// much there is of it is known.
	out.on = sk.settings.time(standing, out.seen, coarse, 2*sk.step)
	for k, room := range sk.room(up, out.seen.Height) {
		out.on[k].Fits = room
	}
	out.score, out.fits = least(out.on, sk.settings.Weights)
	return out
}

// time returns what a standing body costs on each machine, from its layers by
// the given settings and its support along columns; Fits is left false.
func (s Settings) time(standing support.Body, m support.Measures, by support.Settings, step float64) []On {
	work := by.Work(standing, step)
	support.HoldTo(work, m.Support)
	out := make([]On, len(s.Machines))
	for k, machine := range s.Machines {
		out[k].Cost = printer.Time(machine.Printer, machine.Material, work)
		out[k].Terms = s.terms(k, m, out[k].Hours)
	}
	return out
}

// Evaluate measures one orientation exactly and times it by its layers.
func Evaluate(b support.Body, up mesh.Direction, s Settings) Option {
	s = s.withDefaults()
	standing, _ := b.Stand(up)
	out := Option{Up: up, Measures: support.Measure(standing, s.Support)}
	out.On = s.time(standing, out.Measures, s.Support, columnStep(b.Mesh)/2)
	var hull plane.Ring
	if s.Room != nil {
		hull = shadowHull(b.Mesh, up)
	}
	for k, room := range s.rooms(out.Measures.Height, hull) {
		out.On[k].Fits = room
	}
	out.Score, _ = least(out.On, s.Weights)
	return out
}

// confirm measures the best looks exactly and has them judged by that: how
// easily a slim part falls over, columns tell but roughly.
func (sk *searcher) confirm() {
	best := sk.best(lookSure)
	for i, o := range sk.measure(best) {
		at := slices.IndexFunc(sk.looks, func(l look) bool { return l.up == best[i].up })
		l := &sk.looks[at]
		l.score, l.fits, l.on, l.seen = o.Score, o.Fits(), o.On, o.Measures
	}
}

// measure measures looks exactly, each once only.
func (sk *searcher) measure(looks []look) []Option {
	known := func(up mesh.Direction) int {
		return slices.IndexFunc(sk.measured, func(o Option) bool { return o.Up == up })
	}
	fresh := slices.DeleteFunc(slices.Clone(looks), func(l look) bool { return known(l.up) >= 0 })
	out := make([]Option, len(fresh))
	sk.run(len(fresh), func(i int) {
		if sk.ctx.Err() == nil {
			out[i] = Evaluate(sk.whole, fresh[i].up, sk.settings)
		}
	})
	if sk.ctx.Err() != nil {
		return nil
	}
	sk.measured = append(sk.measured, out...)
	all := make([]Option, len(looks))
	for i, l := range looks {
		all[i] = sk.measured[known(l.up)]
	}
	return all
}

func compareLooks(a, b look) int { return before(a.fits, b.fits, a.score, b.score, a.up, b.up) }

// best returns the n best looks, some degrees apart.
func (sk *searcher) best(n int) []look {
	var out []look
	for _, l := range slices.SortedFunc(slices.Values(sk.looks), compareLooks) {
		if len(out) < n && !slices.ContainsFunc(out, func(o look) bool { return Between(o.up, l.up) < finalApart }) {
			out = append(out, l)
		}
	}
	return out
}

// finalApart keeps near twins from being looked at both.
const finalApart = 1.5 * plane.Degree

// unseen returns the sketches of a pool that no look is near to.
func (sk *searcher) unseen(pool []sketch) []sketch {
	return slices.DeleteFunc(slices.Clone(pool), func(s sketch) bool {
		return slices.ContainsFunc(sk.looks, func(l look) bool { return Between(l.up, s.up) < finalApart })
	})
}

// finalists picks the sketches worth a look: the best by hours, and the best by
// each figure that a choice set is spread over.
func (sk *searcher) finalists(pool []sketch) []mesh.Direction {
	out := pick(nil, pool, finalApart, lookFinal, compareSketches)
	safe := slices.DeleteFunc(slices.Clone(pool), func(s sketch) bool { return !sk.settings.tipSafe(s.seen.Held) })
	by := func(of func(support.Measures) float64) func(a, b sketch) int {
		return func(a, b sketch) int {
			return cmp.Or(compareBool(b.fits, a.fits), cmp.Compare(steps(of(a.seen)), steps(of(b.seen))), compareSketches(a, b))
		}
	}
	for _, order := range []func(a, b sketch) int{
		by(func(m support.Measures) float64 { return m.Height }),
		by(func(m support.Measures) float64 { return m.Scar[support.Show] }),
		by(func(m support.Measures) float64 { return m.Support }),
		by(func(m support.Measures) float64 { return m.Overhang }),
	} {
		out = pick(out, pool, finalApart, lookSingle, order)
	}
	slim := by(func(m support.Measures) float64 { return m.Footprint })
	out = pick(out, safe, finalApart, lookSingle, slim)
	out = pick(out, pool, finalApart, lookSingle, slim)
	return ups(out)
}
