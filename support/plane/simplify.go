package plane

import (
	"cmp"
	"container/heap"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Simplified returns a region with fewer corners, or as many, that contains
// o: bays are bridged, convex ends of edges are drawn out to a point, holes
// small enough are filled. Rings never come to cross or touch each other or
// themselves where they did not before. Rings that bound nothing (fewer than
// three corners) are kept as they are.
//
// Laws: 1. Every point of o lies in the result. 2. Every point of the result
// is at most tol from o. 3. Simplified(o, 0) has the area of o. 4. The area
// never falls. Law 1 and 3 are exact for the coordinates as given, law 2
// holds up to rounding.
//
// Cost: O(n²) in the worst case; 300 corners take about a millisecond.
//
// How: holes narrow enough are dropped; then the cheapest of two local moves
// is made until none is cheap enough. A move's cost bounds the distance from the new pieces of ring to the region
// as it was given, since each edge carries the bound of what it replaced.
// Source of the moves: outward simplification by vertex removal and edge
// extension is folklore; the safety arguments stand beside the code.
func Simplified(o Outline, tol float64) Outline {
	s := newSimplifier(o, tol)
	for s.moves.Len() > 0 {
		m := heap.Pop(&s.moves).(move)
		if m.stamp == s.corners[m.at].stamp && s.allowed(m) {
			s.apply(m)
		}
	}
	return s.outline()
}

// corner is a corner of a ring under work, in a doubly linked ring.
type corner struct {
	at         r2.Vec
	prev, next int
	off        float64 // bound on the distance of the edge to next from the region given
	stamp      int     // counts the changes near the corner: older moves are void
	gone       bool
}

// kind is what a move does.
type kind int

const (
	cut  kind = iota // leave out a corner that is straight or turns inward
	join             // draw the edges beside the edge from this corner out to where they meet
)

// move is a change at a corner: of the edges before and after it, or of the
// three edges around the one that leaves it.
type move struct {
	cost  float64
	at    int
	kind  kind
	stamp int
	tip   r2.Vec // of a join
}

// moveHeap gives the cheapest move first, then the lowest corner.
type moveHeap []move

func (h moveHeap) Len() int { return len(h) }
func (h moveHeap) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(h[i].cost, h[j].cost), cmp.Compare(h[i].at, h[j].at), cmp.Compare(h[i].kind, h[j].kind)) < 0
}
func (h moveHeap) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *moveHeap) Push(m any)   { *h = append(*h, m.(move)) }
func (h *moveHeap) Pop() any {
	last := len(*h) - 1
	m := (*h)[last]
	*h = (*h)[:last]
	return m
}

// simplifier holds the corners of all rings; a join adds one at the end.
type simplifier struct {
	tol     float64
	given   Outline
	corners []corner
	first   []int // a corner of each ring, -1 when it bounds nothing
	ring    []int // ring of each corner
	moves   moveHeap
}

func newSimplifier(o Outline, tol float64) *simplifier {
	o = o.filled(tol)
	s := &simplifier{tol: tol, given: o, first: make([]int, len(o))}
	for k, r := range o {
		s.first[k] = -1
		if len(r) < 3 {
			continue
		}
		base := len(s.corners)
		s.first[k] = base
		for i, p := range r {
			s.corners = append(s.corners, corner{at: p, prev: base + (i+len(r)-1)%len(r), next: base + (i+1)%len(r)})
			s.ring = append(s.ring, k)
		}
	}
	for i := range s.corners {
		s.propose(i)
	}
	return s
}

// propose puts the moves at corner i on the heap.
func (s *simplifier) propose(i int) {
	for _, m := range []move{s.cutAt(i), s.joinAt(i)} {
		if m.cost <= s.tol {
			m.at, m.stamp = i, s.corners[i].stamp
			heap.Push(&s.moves, m)
		}
	}
}

// triangular reports whether the ring of corner i has only three corners.
func (s *simplifier) triangular(i int) bool {
	return s.corners[s.corners[i].next].next == s.corners[i].prev
}

// cutAt costs the removal of corner i. The new edge runs through what the two
// old ones embraced; going straight up from it one meets them no farther off
// than the corner.
func (s *simplifier) cutAt(i int) move {
	c := s.corners[i]
	a, b := s.corners[c.prev], s.corners[c.next]
	turn := side(a.at, c.at, b.at)
	if turn > 0 || s.triangular(i) || a.at == b.at {
		return move{cost: math.Inf(1)}
	}
	height := 0.0
	if turn < 0 {
		height = math.Sqrt(edge{a.at, b.at}.distance2(c.at))
	} else if !(edge{a.at, b.at}).holds(c.at) {
		return move{cost: math.Inf(1)} // the tip of a spike
	}
	return move{kind: cut, cost: height + max(a.off, c.off)}
}

// joinAt costs replacing corner i and the next one by the point where the
// edges before and after them meet. Both must turn outward, together by less
// than half a turn.
func (s *simplifier) joinAt(i int) move {
	none := move{cost: math.Inf(1)}
	c := s.corners[i]
	a, b := s.corners[c.prev], s.corners[c.next]
	d := s.corners[b.next]
	if s.triangular(i) || side(a.at, c.at, b.at) <= 0 || side(c.at, b.at, d.at) <= 0 {
		return none
	}
	tip, ok := tipOf(a.at, c.at, b.at, d.at)
	if !ok {
		return none
	}
	height := math.Sqrt(edge{c.at, b.at}.distance2(tip))
	return move{kind: join, tip: tip, cost: max(a.off, b.off, height+c.off)}
}

// tipOf returns where the line from a through c meets the line from d through
// b, or a point a rounding error farther out, so that c lies exactly left of
// or on the way from a to it, and b left of or on the way from it to d.
func tipOf(a, c, b, d r2.Vec) (r2.Vec, bool) {
	in, out := r2.Sub(c, a), r2.Sub(d, b)
	turn := r2.Cross(in, out)
	if turn <= 0 {
		return r2.Vec{}, false
	}
	tip := r2.Add(c, r2.Scale(r2.Cross(r2.Sub(b, c), out)/turn, in))
	outward := r2.Unit(r2.Vec{X: b.Y - c.Y, Y: c.X - b.X})
	size := max(math.Abs(tip.X), math.Abs(tip.Y), r2.Norm(in), r2.Norm(out))
	for push := pushOut * size; push < 1e6*pushOut*size; push *= 10 {
		tip = r2.Add(tip, r2.Scale(push, outward))
		if side(a, tip, c) >= 0 && side(tip, d, b) >= 0 {
			return tip, side(c, b, tip) < 0
		}
	}
	return r2.Vec{}, false
}

// pushOut is how far, relative to the coordinates, the tip of a join is moved
// outward at first. It is some 60 rounding errors: with less, nearly every tip
// would have to be settled with rational numbers, which takes ten times as
// long; and a plate of 1000 mm is blurred by no more than 1e-11 mm.
const pushOut = 0x1p-47

// filled leaves out the holes in which no point is farther than tol from the
// region and which hold no island. Half the width of a hole's least oblong
// bounds how far its points are from its rim.
func (o Outline) filled(tol float64) Outline {
	var out Outline
	for _, r := range o {
		if len(r) >= 3 && r.SignedArea() < 0 && o.narrowHole(r, tol) {
			continue
		}
		out = append(out, r)
	}
	return out
}

func (o Outline) narrowHole(hole Ring, tol float64) bool {
	around := LeastRectangle(Hull(hole))
	if min(around.Width, around.Depth)/2 > tol {
		return false
	}
	for _, r := range o {
		for _, p := range r {
			if &r[0] != &hole[0] && hole.winding(p) != 0 {
				return false
			}
		}
	}
	return true
}

// allowed reports whether nothing stands in the area that a move would add.
// A cut adds a triangle with one new side, so whatever else is in it has a
// corner there. A join adds a tip with two new sides; an edge can cut across
// it without ending in it.
func (s *simplifier) allowed(m move) bool {
	c := s.corners[m.at]
	if m.kind != join {
		return s.empty(c.prev, m.at, c.next)
	}
	b := s.corners[c.next]
	a, d := s.corners[c.prev].at, s.corners[b.next].at
	return s.emptyBut([3]r2.Vec{a, m.tip, c.at}, c.prev, m.at) &&
		s.emptyBut([3]r2.Vec{c.at, m.tip, b.at}, m.at, c.next) &&
		s.emptyBut([3]r2.Vec{b.at, m.tip, d}, c.next, b.next) &&
		s.uncut(edge{a, m.tip}, c.prev, m.at) && s.uncut(edge{m.tip, d}, c.next, b.next)
}

func (s *simplifier) empty(i, j, k int) bool {
	return s.emptyBut([3]r2.Vec{s.corners[i].at, s.corners[j].at, s.corners[k].at}, i, j, k)
}

// emptyBut reports whether the closed triangle holds no corner but those.
func (s *simplifier) emptyBut(tri [3]r2.Vec, but ...int) bool {
	box := Ring(tri[:]).Bounds()
	for i, c := range s.corners {
		if c.gone || c.at.X < box.Min.X || c.at.X > box.Max.X || c.at.Y < box.Min.Y || c.at.Y > box.Max.Y {
			continue
		}
		if !isOneOf(i, but) && inTriangle(tri, c.at) {
			return false
		}
	}
	return true
}

// uncut reports whether no edge meets e, but for the edges that begin or end
// at the corners i and j, which e takes over or continues.
func (s *simplifier) uncut(e edge, i, j int) bool {
	box := e.box()
	for k, c := range s.corners {
		if c.gone || k == i || k == j || c.next == i || c.next == j {
			continue
		}
		f := edge{c.at, s.corners[c.next].at}
		if boxDistance2(box, f.box()) == 0 && e.meets(f) {
			return false
		}
	}
	return true
}

func isOneOf(i int, list []int) bool {
	for _, k := range list {
		if i == k {
			return true
		}
	}
	return false
}

// inTriangle reports whether p lies in the closed triangle, either way round.
func inTriangle(tri [3]r2.Vec, p r2.Vec) bool {
	a, b, c := side(tri[0], tri[1], p), side(tri[1], tri[2], p), side(tri[2], tri[0], p)
	return (a >= 0 && b >= 0 && c >= 0) || (a <= 0 && b <= 0 && c <= 0)
}

// apply carries out an allowed move and proposes what it made possible.
func (s *simplifier) apply(m move) {
	c := s.corners[m.at]
	k := s.ring[m.at]
	switch m.kind {
	case cut:
		s.corners[m.at].gone = true
		s.link(c.prev, c.next, m.cost)
	case join:
		b := s.corners[c.next]
		s.corners[m.at].gone, s.corners[c.next].gone = true, true
		tip := len(s.corners)
		s.corners = append(s.corners, corner{at: m.tip})
		s.ring = append(s.ring, k)
		s.link(c.prev, tip, m.cost)
		s.link(tip, b.next, m.cost)
	}
	s.first[k] = c.prev
	s.renew(c.prev)
}

// link makes an edge from corner i to corner j with a bound on its distance.
func (s *simplifier) link(i, j int, off float64) {
	s.corners[i].next, s.corners[i].off = j, off
	s.corners[j].prev = i
}

// renew voids the moves of the corners whose moves can have changed and
// proposes new ones: a join looks at one corner before and two after it.
func (s *simplifier) renew(from int) {
	i := s.corners[s.corners[from].prev].prev
	for range 6 {
		s.corners[i].stamp++
		s.propose(i)
		i = s.corners[i].next
	}
}

// outline gathers the rings that are left.
func (s *simplifier) outline() Outline {
	var out Outline
	for k, first := range s.first {
		if first < 0 {
			if len(s.given[k]) < 3 {
				out = append(out, s.given[k])
			}
			continue
		}
		var r Ring
		for i := first; ; {
			r = append(r, s.corners[i].at)
			if i = s.corners[i].next; i == first {
				break
			}
		}
		out = append(out, r)
	}
	return out
}
