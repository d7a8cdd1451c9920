package bedpack

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// coverSlack is how much, relative, the area of lobes may differ from that of
// the outline they were cut from: rounding of some hundred cross products.
const coverSlack = 1e-9

// lobes returns convex rings, counter-clockwise, that together make up an
// outline. Where the outline cannot be cut (rings that cross or touch) it
// returns the hull: too large, never too small.
//
// Cost: O(n³) at worst; 300 corners take some milliseconds.
//
// Source: ears after G. H. Meisters, "Polygons have ears", American
// Mathematical Monthly 82, 1975; diagonals dropped after S. Hertel and K.
// Mehlhorn, "Fast triangulation of simple polygons", LNCS 158, 1983.
func lobes(o plane.Outline) []plane.Ring {
	var out []plane.Ring
	area := 0.0
	for _, ring := range bridged(o) {
		for _, l := range merged(ears(ring)) {
			out = append(out, l)
			area += l.SignedArea()
		}
	}
	if math.Abs(area-o.Area()) > coverSlack*o.Area() {
		return []plane.Ring{plane.Hull(o.Points())}
	}
	return out
}

// bridged joins each hole to the outer ring around it by a bridge run both
// ways, so that each ring bounds a region without holes.
func bridged(o plane.Outline) []plane.Ring {
	var outer, holes []plane.Ring
	for _, r := range o {
		switch area := r.SignedArea(); {
		case area > 0:
			outer = append(outer, slices.Clone(r))
		case area < 0:
			holes = append(holes, r)
		}
	}
	rightmost := func(r plane.Ring) r2.Vec {
		return slices.MaxFunc(r, func(a, b r2.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	}
	slices.SortStableFunc(holes, func(a, b plane.Ring) int { return cmp.Compare(rightmost(b).X, rightmost(a).X) })
	for k, h := range holes {
		from := slices.Index(h, rightmost(h))
		for i := range outer {
			if (plane.Outline{outer[i]}).Contains(h[from]) {
				outer[i] = bridge(outer[i], h, from, holes[k:])
				break
			}
		}
	}
	return outer
}

// bridge inserts a hole, begun at its corner from, into a ring at the nearest
// corner that sees it past the holes still to be joined.
func bridge(ring, hole plane.Ring, from int, holes []plane.Ring) plane.Ring {
	order := make([]int, len(ring))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(r2.Norm2(r2.Sub(ring[i], hole[from])), r2.Norm2(r2.Sub(ring[j], hole[from])))
	})
	walls := append([]plane.Ring{ring}, holes...)
	at := order[0]
	for _, i := range order {
		if within(ring, i, hole[from]) && sees(hole[from], ring[i], walls) {
			at = i
			break
		}
	}
	out := slices.Clone(ring[:at+1])
	out = append(out, hole[from:]...)
	out = append(out, hole[:from+1]...)
	return append(out, ring[at:]...)
}

// within reports whether the direction from corner i of a ring to p leads
// into the ring.
func within(ring plane.Ring, i int, p r2.Vec) bool {
	n := len(ring)
	before, at, after := ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
	if turn(before, at, after) >= 0 {
		return turn(before, at, p) > 0 && turn(at, after, p) > 0
	}
	return turn(before, at, p) > 0 || turn(at, after, p) > 0
}

// turn is twice the area of the triangle a, b, c: positive for a left turn.
func turn(a, b, c r2.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(c, a)) }

// sees reports whether no wall crosses or touches the segment pq between its
// ends.
func sees(p, q r2.Vec, walls []plane.Ring) bool {
	for _, r := range walls {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if a == p || a == q || b == p || b == q {
				continue
			}
			if turn(p, q, a)*turn(p, q, b) <= 0 && turn(a, b, p)*turn(a, b, q) <= 0 {
				return false
			}
		}
	}
	return true
}

// ears cuts a ring into triangles. It stops short when it finds no ear.
func ears(ring plane.Ring) []plane.Ring {
	var out []plane.Ring
	left := slices.Clone(ring)
	for len(left) >= 3 {
		i := ear(left)
		if i < 0 {
			return out
		}
		n := len(left)
		a, b, c := left[(i+n-1)%n], left[i], left[(i+1)%n]
		if turn(a, b, c) > 0 {
			out = append(out, plane.Ring{a, b, c})
		}
		left = slices.Delete(left, i, i+1)
	}
	return out
}

// ear returns a corner without area or, of the corners that can be cut off,
// the one whose triangle is least thin; -1 when there is none.
func ear(ring plane.Ring) int {
	n, best, most := len(ring), -1, 0.0
	for i, b := range ring {
		a, c := ring[(i+n-1)%n], ring[(i+1)%n]
		t := turn(a, b, c)
		if t == 0 {
			return i
		}
		sides := r2.Norm2(r2.Sub(a, b)) + r2.Norm2(r2.Sub(b, c)) + r2.Norm2(r2.Sub(c, a))
		if t/sides > most && clear(ring, a, b, c) {
			best, most = i, t/sides
		}
	}
	return best
}

// clear reports whether no corner of the ring lies in the triangle, corners
// in the same place as its own aside.
func clear(ring plane.Ring, a, b, c r2.Vec) bool {
	for _, p := range ring {
		if p != a && p != b && p != c && turn(a, b, p) >= 0 && turn(b, c, p) >= 0 && turn(c, a, p) >= 0 {
			return false
		}
	}
	return true
}

// merged joins convex rings along shared edges, the longest first, for as
// long as the results are convex.
func merged(rings []plane.Ring) []plane.Ring {
	type seam struct {
		from, to r2.Vec
		length   float64
	}
	var seams []seam
	owner := map[[2]r2.Vec]int{}
	for k, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			owner[[2]r2.Vec{a, b}] = k
			if _, ok := owner[[2]r2.Vec{b, a}]; ok {
				seams = append(seams, seam{a, b, r2.Norm2(r2.Sub(b, a))})
			}
		}
	}
	slices.SortStableFunc(seams, func(s, t seam) int { return cmp.Compare(t.length, s.length) })
	for _, s := range seams {
		i, j := owner[[2]r2.Vec{s.from, s.to}], owner[[2]r2.Vec{s.to, s.from}]
		if i == j {
			continue
		}
		both, ok := joined(rings[i], rings[j], s.from, s.to)
		if !ok {
			continue
		}
		rings[i], rings[j] = both, nil
		for k, a := range both {
			owner[[2]r2.Vec{a, both[(k+1)%len(both)]}] = i
		}
	}
	return slices.DeleteFunc(rings, func(r plane.Ring) bool { return r == nil })
}

// joined returns two rings as one, without the edge from–to of the first,
// which the second runs the other way; ok when it is convex.
func joined(r, s plane.Ring, from, to r2.Vec) (plane.Ring, bool) {
	i, j := slices.Index(r, to), slices.Index(s, from)
	var out plane.Ring
	for k := range r { // to … from
		out = append(out, r[(i+k)%len(r)])
	}
	for k := 1; k < len(s)-1; k++ { // past from, short of to
		out = append(out, s[(j+k)%len(s)])
	}
	for k, b := range out {
		n := len(out)
		if turn(out[(k+n-1)%n], b, out[(k+1)%n]) < 0 {
			return nil, false
		}
	}
	return out, true
}
