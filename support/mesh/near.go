package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// cellsPerReach is the side of a grid cell in joining distances. A wide cell
// makes it rare that the reach of a corner touches more than one cell.
const cellsPerReach = 8

// joinNear makes the corners on open edges that lie within reach of each other
// one, in place in the facets. It returns how many edges were open and how many
// corners were joined to another.
func joinNear(vertices []r3.Vec, faces [][3]VertexID, reach float64) (openEdges, joins int) {
	open, openEdges := openCorners(len(vertices), faces)
	if len(open) == 0 || reach == 0 {
		return openEdges, 0
	}
	grid := newCornerGrid(vertices, len(open), reach)
	joined := map[VertexID]VertexID{}
	for _, v := range open {
		if first, ok := grid.nearest(v); ok {
			joined[v] = first
		} else {
			grid.add(v)
		}
	}
	if len(joined) == 0 {
		return openEdges, 0
	}
	for i := range faces {
		for k, v := range faces[i] {
			if first, ok := joined[v]; ok {
				faces[i][k] = first
			}
		}
	}
	return openEdges, len(joined)
}

// openCorners returns, in order, the corners of edges that one facet alone
// uses, and the number of these edges.
func openCorners(corners int, faces [][3]VertexID) (open []VertexID, edges int) {
	eachEdge(corners, faces, func(low, high VertexID, uses []halfUse) {
		if len(uses) == 1 {
			open = append(open, low, high)
			edges++
		}
	})
	slices.Sort(open)
	return slices.Compact(open), edges
}

// cornerGrid finds near corners: a hash of the occupied cells of a grid, with
// the corners of cells of equal hash in a chain.
type cornerGrid struct {
	vertices []r3.Vec
	origin   r3.Vec
	reach    float64
	heads    []int32    // link + 1 by hash, 0 for none; len a power of two
	shift    uint       // 64 − log₂ len(heads)
	ids      []VertexID // by link
	next     []int32    // link + 1 by link
}

func newCornerGrid(vertices []r3.Vec, n int, reach float64) *cornerGrid {
	bits := uint(4)
	for 1<<bits < n {
		bits++
	}
	origin := vertices[0]
	for _, v := range vertices {
		origin = r3.Vec{X: min(origin.X, v.X), Y: min(origin.Y, v.Y), Z: min(origin.Z, v.Z)}
	}
	return &cornerGrid{
		vertices: vertices,
		origin:   origin,
		reach:    reach,
		heads:    make([]int32, 1<<bits),
		shift:    64 - bits,
	}
}

func (g *cornerGrid) cell(v r3.Vec) [3]int64 {
	side := cellsPerReach * g.reach
	d := r3.Sub(v, g.origin)
	return [3]int64{
		int64(math.Floor(d.X / side)), int64(math.Floor(d.Y / side)), int64(math.Floor(d.Z / side)),
	}
}

func (g *cornerGrid) slot(x, y, z int64) uint64 {
	return hashInts(uint64(x), uint64(y), uint64(z)) >> g.shift
}

func (g *cornerGrid) add(v VertexID) {
	c := g.cell(g.vertices[v])
	s := g.slot(c[0], c[1], c[2])
	g.ids = append(g.ids, v)
	g.next = append(g.next, g.heads[s])
	g.heads[s] = int32(len(g.ids))
}

// nearest returns the corner in the grid nearest to v within reach; of equally
// near ones the first added.
func (g *cornerGrid) nearest(v VertexID) (VertexID, bool) {
	p := g.vertices[v]
	arm := r3.Vec{X: g.reach, Y: g.reach, Z: g.reach}
	low, high := g.cell(r3.Sub(p, arm)), g.cell(r3.Add(p, arm))
	best, bestD2 := VertexID(-1), g.reach*g.reach
	for x := low[0]; x <= high[0]; x++ {
		for y := low[1]; y <= high[1]; y++ {
			for z := low[2]; z <= high[2]; z++ {
				for l := g.heads[g.slot(x, y, z)]; l != 0; l = g.next[l-1] {
					id := g.ids[l-1]
					d2 := r3.Norm2(r3.Sub(g.vertices[id], p))
					if d2 < bestD2 || (d2 == bestD2 && (best < 0 || id < best)) {
						best, bestD2 = id, d2
					}
				}
			}
		}
	}
	return best, best >= 0
}
