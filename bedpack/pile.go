package bedpack

import (
	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// piece is an item that has been given a bed.
type piece struct {
	item  int // index into the items
	alone bool
	*shape
}

// pile is a plate being filled.
type pile struct {
	bed       *bed
	reach     float64 // how far a part may extend beyond its hull, mm
	rule      rule
	kept      *table // cells that touch keep-out areas; nil when there are none
	taken     *table // cells that touch a part grown by half the gap
	placed    []placed
	hours     float64
	used      extent
	exhausted map[*shape]bool // shapes for which there is no place any more
}

// placed is a piece in place.
type placed struct {
	piece
	spin  plane.Angle
	shift r2.Vec
	tree  *plane.Tree // of the true outline in place
}

func newPile(b *bed, reach float64, r rule) *pile {
	p := &pile{bed: b, reach: reach, rule: r, taken: b.table(reach), exhausted: map[*shape]bool{}}
	if len(b.keep) > 0 {
		p.kept = b.table(reach)
		for _, k := range b.keep {
			p.kept.draw(b.onRaster(k.Outline()), b.cell, b.slack)
		}
		p.kept.renew()
	}
	return p
}

// table returns a free table that spans the bed and, around it, what parts
// may reach beyond their hulls when grown by half the gap.
func (b *bed) table(reach float64) *table {
	pad := int((reach+b.Gap/2)/b.cell) + 3
	if b.Bed.Round() {
		n := int(b.radius()/b.cell) + 1 + pad
		return newTable(-n, -n, 2*n+1, 2*n+1)
	}
	width, depth := b.room()
	return newTable(-pad, -pad, int(width/b.cell)+1+2*pad, int(depth/b.cell)+1+2*pad)
}

// onRaster returns a region of the printer frame in the frame of the raster.
func (b *bed) onRaster(o plane.Outline) plane.Outline {
	return o.Placed(0, r2.Scale(-1, b.origin))
}

// add puts a piece onto the pile if there is a place for it.
func (p *pile) add(w piece) bool {
	if p.exhausted[w.shape] {
		return false
	}
	at, ok := p.find(w)
	if !ok {
		p.exhausted[w.shape] = true // a plate only gets fuller
		return false
	}
	p.placed = append(p.placed, at)
	p.hours += w.hours
	p.used = p.used.and(p.bed.extent(at))
	p.taken.draw(p.bed.onRaster(w.rough.Placed(at.spin, at.shift)), p.bed.cell, p.bed.Gap/2+p.bed.slack)
	p.taken.renew()
	return true
}

// find returns the best place of the raster for a piece, slid to where it all
// but touches the gap.
func (p *pile) find(w piece) (placed, bool) {
	s := p.best(w.drawn())
	if s.stamp == nil && len(p.placed) == 0 && p.kept != nil {
		// Between keep-out areas a finer raster may find what this one cannot.
		s = newPile(p.bed.finer(), p.reach, p.rule).best(w.drawnFine())
	}
	if s.stamp == nil {
		return placed{}, false
	}
	m := newMover(p, w, s.stamp.spin)
	for _, shift := range []r2.Vec{m.slid(s.shift), s.shift} {
		at := placed{piece: w, spin: m.spin, shift: shift, tree: plane.NewTree(w.Outline.Placed(m.spin, shift))}
		if p.allows(at) {
			return at, true
		}
	}
	return placed{}, false
}

// allows reports whether a piece may be where it is: decided on the true
// outlines, so it holds whatever the raster says.
func (p *pile) allows(at placed) bool {
	if !p.bed.Bed.Holds(at.Hull.Placed(at.spin, at.shift), p.bed.Margin, p.bed.slack) {
		return false
	}
	for _, k := range p.bed.keep {
		if k.Distance(at.tree) <= 0 {
			return false
		}
	}
	for _, other := range p.placed {
		if tooNear(other.tree, at.tree, p.bed.Gap) {
			return false
		}
	}
	return true
}

// tooNear reports whether two outlines are nearer than gap, or overlap.
func tooNear(a, b *plane.Tree, gap float64) bool {
	if gap > 0 {
		return a.Nearer(b, r2.Vec{}, gap)
	}
	return a.Overlaps(b)
}
