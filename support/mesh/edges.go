package mesh

import "slices"

// halfUse is one facet's use of an edge: the edge's higher corner in the upper
// 32 bits, the half-edge in the lower. Half-edge 3f+k runs from corner k of
// facet f to the next.
type halfUse uint64

// half returns the half-edge.
func (u halfUse) half() int32 { return int32(uint32(u)) }

// eachEdge calls visit once for every edge with all half-edges that run along
// it, either way, in facet order. Edges come in order of their lower, then
// higher corner. The slice is only lent.
//
// Cost: O(facets): half-edges are dealt into piles by their lower corner, and
// piles are short.
func eachEdge(corners int, faces [][3]VertexID, visit func(low, high VertexID, uses []halfUse)) {
	start := make([]int32, corners+2)
	for _, f := range faces {
		for k := range 3 {
			start[min(f[k], f[(k+1)%3])+2]++
		}
	}
	for i := 2; i < len(start); i++ {
		start[i] += start[i-1]
	}
	uses := make([]halfUse, 3*len(faces))
	for i, f := range faces {
		for k := range 3 {
			a, b := f[k], f[(k+1)%3]
			at := &start[min(a, b)+1]
			uses[*at] = halfUse(max(a, b))<<32 | halfUse(3*i+k)
			*at++
		}
	}
	for low := range corners {
		pile := uses[start[low]:start[low+1]]
		slices.Sort(pile)
		for len(pile) > 0 {
			n := 1
			for n < len(pile) && pile[n]>>32 == pile[0]>>32 {
				n++
			}
			visit(VertexID(low), VertexID(pile[0]>>32), pile[:n])
			pile = pile[n:]
		}
	}
}
