package support

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/plane"
)

// reach is a slender part of a pile.
type reach struct {
	pile, group  int32 // group: a reach nearer the first of its feature, or itself
	from, to     int   // first and last section
	below, above int32 // piles that it is joined to, or none
	foot, head   End
	shadow       plane.Ring // hull of its islands; of the first reach of a feature, of all
}

// features lists what is slender in the piles.
func (p *piles) features() []Slim {
	reaches, of := p.reaches()
	for i := range reaches {
		for _, pile := range [2]int32{reaches[i].below, reaches[i].above} {
			if pile == none {
				continue
			}
			for j := of[pile]; j < of[pile+1]; j++ {
				p.merge(reaches, int32(i), j)
			}
		}
	}
	members := make([][]reach, len(reaches))
	for i, r := range reaches {
		first := firstOf(reaches, int32(i))
		members[first] = append(members[first], r)
	}
	var out []Slim
	for _, m := range members {
		if len(m) == 0 {
			continue
		}
		if f := p.feature(m); !isWall(f) {
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b Slim) int { return cmp.Compare(a.Bottom, b.Bottom) })
	return out
}

// isWall reports whether a feature is joined below and above and is broader than
// high. An end on the plate is free once the part is taken off.
func isWall(f Slim) bool { return f.Below == Joined && f.Above == Joined && f.Breadth > f.Height() }

// reaches returns the slender parts of all piles, pile by pile, and where those
// of a pile begin; one more entry gives the end.
func (p *piles) reaches() (out []reach, of []int32) {
	for i := range p.piles {
		of = append(of, int32(len(out)))
		s := &p.piles[i]
		p.tieEnds(s)
		found := p.slender(*s)
		for k, f := range found {
			r := reach{
				pile: int32(i), group: int32(len(out)), from: s.first + f.from, to: s.first + f.to,
				below: none, above: none, foot: Joined, head: Joined,
			}
			if k == 0 {
				r.foot, r.below = s.from, s.below
			}
			if k == len(found)-1 {
				r.head, r.above = s.to, s.above
			}
			var corners []r2.Vec
			for n := f.from; n <= f.to; n++ {
				corners = append(corners, p.at(*s, n).hull...)
			}
			r.shadow = HullOf(corners)
			out = append(out, r)
		}
	}
	return out, append(of, int32(len(out)))
}

// merge makes one feature of two reaches that go over into each other and stand
// in one plane: the sides of a hole in a fin, the teeth of a comb.
func (p *piles) merge(reaches []reach, i, j int32) {
	a, b := firstOf(reaches, i), firstOf(reaches, j)
	if a == b || reaches[i].from > reaches[j].to+1 || reaches[j].from > reaches[i].to+1 {
		return
	}
	shadow := HullOf(slices.Concat(reaches[a].shadow, reaches[b].shadow))
	if width, _ := leastWidth(shadow); !p.worries.isSlim(width) {
		return
	}
	a, b = min(a, b), max(a, b)
	reaches[b].group, reaches[a].shadow = a, shadow
}

func firstOf(reaches []reach, i int32) int32 {
	for reaches[i].group != i {
		i = reaches[i].group
	}
	return i
}

// feature describes what reaches, at least one, make up.
func (p *piles) feature(members []reach) Slim {
	low := slices.MinFunc(members, func(a, b reach) int { return cmp.Compare(a.from, b.from) })
	high := slices.MaxFunc(members, func(a, b reach) int { return cmp.Compare(a.to, b.to) })
	f := Slim{
		Bottom: float64(low.from) * p.step, Top: float64(high.to+1) * p.step,
		Below: low.foot, Above: high.head,
	}
	k := (low.from + high.to) / 2
	var moment r2.Vec
	var corners []r2.Vec
	for _, r := range members {
		if k < r.from || k > r.to {
			continue
		}
		s := p.piles[r.pile]
		is := p.at(s, k-s.first)
		f.Area += is.area
		f.Hollow = f.Hollow || is.hollow
		moment = r2.Add(moment, r2.Scale(is.area, is.centre))
		corners = append(corners, is.hull...)
	}
	f.Thickness, f.Breadth = leastWidth(HullOf(corners))
	centre := r2.Scale(1/f.Area, moment)
	f.Middle = r3.Vec{X: centre.X, Y: centre.Y, Z: (float64(k) + 0.5) * p.step}
	return f
}
