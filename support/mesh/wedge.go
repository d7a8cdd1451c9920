package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// sharedEdge is an edge of more than two facets.
type sharedEdge struct {
	low, high VertexID
	halves    []int32
	kind      edgeKind
}

func newSharedEdge(m *Mesh, low, high VertexID, uses []halfUse) sharedEdge {
	e := sharedEdge{low: low, high: high, kind: edgeBalanced}
	balance := 0
	for _, u := range uses {
		e.halves = append(e.halves, u.half())
		if m.start(u.half()) == low {
			balance++
		} else {
			balance--
		}
	}
	if balance != 0 {
		e.kind = edgeUnbalanced
	}
	return e
}

// leaf is a facet at an edge, seen along the edge like a page along the spine
// of a book.
type leaf struct {
	half  int32
	patch int32   // the facets connected with it over edges of two
	angle float64 // about the edge, from the first facet on
	reach float64 // mm, distance of the third corner from the edge
	opens bool    // the solid lies beyond it, in the sense of growing angles
}

// lyingOn says whether two leaves lie on each other, as far as their corners
// can tell.
func (l leaf) lyingOn(o leaf, tolerance float64) bool {
	return math.Abs(l.angle-o.angle)*min(l.reach, o.reach) <= tolerance
}

// wedges pairs the half-edges at shared edges across the wedges of solid
// between them. Where that cannot be told, because the edge is not balanced or
// a facet has no direction, it chains all half-edges of the edge up. The sets
// hold the facets connected over edges of two.
func wedges(m *Mesh, edges []sharedEdge, patches sets) (pairs [][2]int32) {
	for _, e := range edges {
		leaves, ok := m.leaves(e, patches)
		if e.kind == edgeBalanced && ok {
			pairs = append(pairs, matchBrackets(leaves)...)
			continue
		}
		for i := 1; i < len(e.halves); i++ {
			pairs = append(pairs, [2]int32{e.halves[i-1], e.halves[i]})
		}
	}
	return pairs
}

// matchBrackets pairs what opens with what closes on the circle of angles, as
// brackets in a text. Reading starts behind the deepest closing one, so that
// every one that closes finds its other.
func matchBrackets(leaves []leaf) [][2]int32 {
	depth, deepest, from := 0, 0, 0
	for i, l := range leaves {
		if l.opens {
			depth++
		} else {
			depth--
		}
		if depth < deepest {
			deepest, from = depth, i+1
		}
	}
	var pairs [][2]int32
	var open []int32
	for i := range leaves {
		l := leaves[(from+i)%len(leaves)]
		if l.opens {
			open = append(open, l.half)
			continue
		}
		pairs = append(pairs, [2]int32{open[len(open)-1], l.half})
		open = open[:len(open)-1]
	}
	return pairs
}

// leaves returns the facets at an edge by growing angle about it. It fails when
// the third corner of one lies on the edge's line, as far as can be told.
func (m *Mesh) leaves(e sharedEdge, patches sets) ([]leaf, bool) {
	tolerance := WeldTolerance * m.Diagonal()
	base := m.vertices[e.low]
	axis := r3.Unit(r3.Sub(m.vertices[e.high], base))
	var x, y r3.Vec
	out := make([]leaf, len(e.halves))
	for i, h := range e.halves {
		arm := r3.Sub(m.vertices[m.faces[h/3][(h+2)%3]], base)
		arm = r3.Sub(arm, r3.Scale(r3.Dot(arm, axis), axis))
		reach := r3.Norm(arm)
		if !(reach > tolerance) { // also when the edge itself has no length
			return nil, false
		}
		if i == 0 {
			x = r3.Unit(arm)
			y = r3.Cross(axis, x)
		}
		angle := math.Atan2(r3.Dot(arm, y), r3.Dot(arm, x))
		if angle*reach < -tolerance { // else it lies on the first facet
			angle += 2 * math.Pi
		}
		// A facet that runs from low to high has its outside on the side of
		// growing angles, so it closes a wedge.
		out[i] = leaf{h, patches.root(h / 3), angle, reach, m.start(h) != e.low}
	}
	sortLeaves(out, tolerance)
	return out, true
}

// sortLeaves sorts by angle. Of leaves that lie on each other those that close
// a wedge come first, or bodies that touch with whole faces would be paired
// across no wedge at all. Of several that close, or open, one in place of the
// other would do; but it must be the same one at every edge around them, from
// whichever end the edge is seen, or the bodies get entangled: hence the patch,
// forwards for those that close and backwards for those that open.
func sortLeaves(leaves []leaf, tolerance float64) {
	slices.SortStableFunc(leaves, func(a, b leaf) int { return cmp.Compare(a.angle, b.angle) })
	for i := 0; i < len(leaves); {
		j := i + 1
		for j < len(leaves) && leaves[j].lyingOn(leaves[j-1], tolerance) {
			j++
		}
		slices.SortStableFunc(leaves[i:j], func(a, b leaf) int {
			switch {
			case a.opens && b.opens:
				return cmp.Compare(b.patch, a.patch)
			case a.opens:
				return 1
			case b.opens:
				return -1
			}
			return cmp.Compare(a.patch, b.patch)
		})
		i = j
	}
}
