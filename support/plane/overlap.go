package plane

import (
	"cmp"
	"math/big"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Overlap reports whether two regions share area. Regions that only touch,
// at corners or along edges, do not overlap; a region in the hole of another
// does not either. The answer is exact for the coordinates as given.
//
// Laws: 1. Overlap(a, b) = Overlap(b, a). 2. Overlap(a, a) when a has area.
// 3. Overlap(a, b) implies Distance(a, b) = 0.
//
// Cost: as Distance; each contact of edges adds O(n) exact arithmetic.
func Overlap(a, b Outline) bool { return NewTree(a).Overlaps(NewTree(b)) }

// Overlaps is Overlap on prepared outlines.
//
// Why it suffices to look where edges touch: when the regions share area,
// the edge of the shared part consists of pieces of rings that run inside the
// other region, or of pieces of both rings with their insides on the same
// side. Such a piece either ends at a contact, or belongs to a ring without
// any contact.
func (t *Tree) Overlaps(u *Tree) bool {
	onT, onU, crossed := t.contacts(u)
	return crossed || t.entered(u, onT) || u.entered(t, onU)
}

// contacts finds where edges of t and u touch. For each edge that touches
// the other outline it returns the points of contact inside or at the ends of
// it; crossed means that two edges cut each other, which settles the matter.
func (t *Tree) contacts(u *Tree) (onT, onU map[int][]r2.Vec, crossed bool) {
	onT, onU = map[int][]r2.Vec{}, map[int][]r2.Vec{}
	w := walk{t: t, u: u}
	w.visit = func(i, j int) float64 {
		e, f := t.edges[i], u.edges[j]
		if e.crosses(f) {
			crossed = true
			return stop
		}
		for _, p := range []r2.Vec{e.a, e.b, f.a, f.b} {
			if e.on(p) && f.on(p) {
				onT[i] = append(onT[i], p)
				onU[j] = append(onU[j], p)
			}
		}
		return 0
	}
	w.run()
	return onT, onU, crossed
}

// entered reports whether a piece of a ring of t runs inside u, or along an
// edge of u with both insides on the same side.
func (t *Tree) entered(u *Tree, contacts map[int][]r2.Vec) bool {
	first := 0
	for _, r := range t.outline {
		touched := false
		for i := first; i < first+len(r); i++ {
			if points, ok := contacts[i]; ok {
				touched = true
				if t.edges[i].entered(u, points) {
					return true
				}
			}
		}
		if !touched && len(r) > 0 && u.holds(r[0]) {
			return true
		}
		first += len(r)
	}
	return false
}

// entered cuts e at the points and asks of each piece whether it runs in u.
func (e edge) entered(u *Tree, points []r2.Vec) bool {
	points = append(points, e.a, e.b)
	slices.SortFunc(points, func(p, q r2.Vec) int {
		return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y))
	})
	points = slices.Compact(points)
	for i := 1; i < len(points); i++ {
		if (edge{points[i-1], points[i]}).runsIn(u, r2.Sub(e.b, e.a)) {
			return true
		}
	}
	return false
}

// runsIn reports whether the piece e, which no edge of u crosses, runs inside
// u, or along an edge of u in the direction of along.
func (e edge) runsIn(u *Tree, along r2.Vec) bool {
	m := middle(exactly(e.a), exactly(e.b))
	box := e.box()
	turns, onRing := 0, false
	for _, f := range u.edges {
		if fb := f.box(); fb.Max.Y < box.Min.Y || fb.Min.Y > box.Max.Y || fb.Max.X < box.Min.X {
			continue // neither holds m nor is met by the ray from m to the right
		}
		a, b := exactly(f.a), exactly(f.b)
		s := exactSide(a, b, m)
		if s == 0 && between(a.x, m.x, b.x) && between(a.y, m.y, b.y) {
			if r2.Dot(r2.Sub(f.b, f.a), along) > 0 {
				return true
			}
			onRing = true
		}
		if low, high := a.y.Cmp(m.y) <= 0, b.y.Cmp(m.y) <= 0; low != high {
			if low && s > 0 {
				turns++
			} else if high && s < 0 {
				turns--
			}
		}
	}
	return !onRing && turns > 0
}

// between reports whether m lies in the closed range from a to b.
func between(a, m, b *big.Rat) bool { return a.Cmp(m)*m.Cmp(b) >= 0 }
