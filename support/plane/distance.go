package plane

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Distance returns the least distance between a point of a and a point of b:
// 0 when the regions touch or overlap, or one lies in the other. A region in
// the hole of another is at a distance from it. The distance to an empty
// region is +Inf. Unit: mm.
//
// Laws: 1. Distance(a, b) = Distance(b, a). 2. Distance(a, a) = 0.
// 3. Overlap(a, b) implies Distance(a, b) = 0. 4. Turning and shifting both
// alike leaves it as it is. 5. Scaling both by k scales it by k. 6. For c
// inside a, Distance(a, b) ≤ Distance(c, b). Law 1, 4 and 5 hold up to
// rounding; whether edges meet is decided exactly, so a distance of 0 is
// never a rounded one unless it is below 1e-154.
//
// Cost: O(n + m) to prepare, then about O(log n) for each edge that is near
// the other outline. Asked often, prepare a Tree.
func Distance(a, b Outline) float64 { return NewTree(a).Distance(NewTree(b)) }

// DistanceTo returns the distance of p from the region, 0 inside it and +Inf
// from an empty one. Unit: mm.
func (o Outline) DistanceTo(p r2.Vec) float64 { return NewTree(o).DistanceTo(p) }

// Distance is the function Distance on prepared outlines.
func (t *Tree) Distance(u *Tree) float64 {
	best := math.Inf(1)
	w := walk{t: t, u: u, reach: best}
	w.visit = func(i, j int) float64 {
		best = min(best, t.edges[i].gap2(u.edges[j]))
		if best == 0 {
			return stop
		}
		return best
	}
	w.run()
	if best == 0 || t.swallows(u, r2.Vec{}) {
		return 0
	}
	return math.Sqrt(best)
}

// Nearer reports whether u, moved by shift, comes nearer to t than d or lies
// in it. With d = 0 it never does unless it overlaps t without their edges
// meeting: use Overlaps for contact.
//
// Law: Nearer(u, 0, d) = (Distance(u) < d), for d > 0 and up to rounding.
//
// Cost: less than Distance, since it stops at the first edge that is nearer.
func (t *Tree) Nearer(u *Tree, shift r2.Vec, d float64) bool {
	limit := d * d
	found := false
	w := walk{t: t, u: u, shift: shift, reach: limit}
	w.visit = func(i, j int) float64 {
		if t.edges[i].gap2(u.edges[j].moved(shift)) < limit {
			found = true
			return stop
		}
		return limit
	}
	w.run()
	return found || t.swallows(u, shift)
}

// DistanceTo returns the distance of p from the region, 0 inside it and +Inf
// from an empty one. Unit: mm.
func (t *Tree) DistanceTo(p r2.Vec) float64 {
	if t.holds(p) {
		return 0
	}
	return math.Sqrt(t.nearest(p))
}

// swallows reports whether t and u, moved by shift, share area although
// their edges do not meet. Then some ring of one lies wholly in the other, so
// one corner of each ring tells.
func (t *Tree) swallows(u *Tree, shift r2.Vec) bool {
	for _, r := range u.outline {
		if len(r) > 0 && t.holds(r2.Add(r[0], shift)) {
			return true
		}
	}
	for _, r := range t.outline {
		if len(r) > 0 && u.holds(r2.Sub(r[0], shift)) {
			return true
		}
	}
	return false
}
