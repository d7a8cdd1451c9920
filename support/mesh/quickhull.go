package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// gridBits is the width of the whole-number coordinates in which the hull is
// found. With 29 bits the side of a plane on which a point lies is exact in
// 64-bit arithmetic, see above, so that the hull cannot come apart, however
// many points lie in one plane. A step is 2e-9 of the part's longest side,
// finer than a file of 24-bit floats can tell.
const gridBits = 29

// gridPoint is a point in steps of the grid, from 0 below 2^gridBits.
type gridPoint struct{ x, y, z int32 }

// compareGrid orders points by x, then y, then z.
func compareGrid(a, b gridPoint) int {
	return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y), cmp.Compare(a.z, b.z))
}

// hullFacet is a triangle of a hull in the making.
type hullFacet struct {
	corner     [3]int32 // points, counter-clockwise seen from outside
	across     [3]int32 // facets over the edges from corner k to the next
	nx, ny, nz int64    // normal, below 2^60
	points     int32    // first point waiting outside, −1 for none
	far        int32    // the farthest of them
	height     float64  // of far, in steps times the length of the normal
	gone       bool
	unseen     int32 // the last point that did not see it
}

// hullMaker finds a hull by adding the farthest point outside some facet until
// no point is outside any.
//
// Source: C. B. Barber, D. P. Dobkin & H. Huhdanpaa, "The quickhull algorithm
// for convex hulls", ACM TOMS 22(4), 1996; exact signs in place of thick
// facets.
type hullMaker struct {
	points []gridPoint
	next   []int32 // next point waiting outside the same facet, −1 for none
	facets []hullFacet
	free   []int32 // facets that are gone, to be used again
	queue  []int32 // facets that may have points outside
	from   []int32 // new facet at the horizon's edge from a point

	// For the point in hand: facets it sees, facets yet to look at, the edges
	// around what it sees as facet and edge number on the far side, and the
	// facets that replace it.
	visible, stack []int32
	horizon        [][2]int32
	fresh          []int32
}

// quickHull returns the corners and triangles of the hull of points in a box.
func quickHull(points []r3.Vec, box r3.Box) ([]r3.Vec, [][3]VertexID, error) {
	h := &hullMaker{points: make([]gridPoint, len(points))}
	size := r3.Sub(box.Max, box.Min)
	scale := (1<<gridBits - 1) / max(size.X, size.Y, size.Z)
	if math.IsInf(scale, 0) || math.IsNaN(scale) {
		return nil, nil, ErrFlat
	}
	for i, p := range points {
		d := r3.Scale(scale, r3.Sub(p, box.Min))
		h.points[i] = gridPoint{int32(math.Round(d.X)), int32(math.Round(d.Y)), int32(math.Round(d.Z))}
	}
	if !h.start(scale * flatHull * r3.Norm(size)) {
		return nil, nil, ErrFlat
	}
	for i := 0; i < len(h.queue); i++ {
		if f := &h.facets[h.queue[i]]; f.points >= 0 && !f.gone {
			h.add(h.queue[i])
		}
	}
	corners, triangles := h.result(points)
	return corners, triangles, nil
}

// height returns the height of p above a facet, in steps times the length of
// the facet's normal. Its sign is exact: a product of a normal's halves of 32
// bits with a difference of 30 bits stays below 2^61, three below 2^63.
func (h *hullMaker) height(f *hullFacet, p gridPoint) float64 {
	o := h.points[f.corner[0]]
	dx, dy, dz := int64(p.x-o.x), int64(p.y-o.y), int64(p.z-o.z)
	high := (f.nx>>32)*dx + (f.ny>>32)*dy + (f.nz>>32)*dz
	low := (f.nx&math.MaxUint32)*dx + (f.ny&math.MaxUint32)*dy + (f.nz&math.MaxUint32)*dz
	high += low >> 32
	low &= math.MaxUint32
	// high and low have no common bits now, so no sum can round to zero or
	// across it.
	return float64(float64(high)*(1<<32)) + float64(low)
}

// newFacet adds a facet with no neighbours.
func (h *hullMaker) newFacet(a, b, c int32) int32 {
	p, q, r := h.points[a], h.points[b], h.points[c]
	ux, uy, uz := int64(q.x-p.x), int64(q.y-p.y), int64(q.z-p.z)
	vx, vy, vz := int64(r.x-p.x), int64(r.y-p.y), int64(r.z-p.z)
	f := hullFacet{
		corner: [3]int32{a, b, c},
		nx:     uy*vz - uz*vy, ny: uz*vx - ux*vz, nz: ux*vy - uy*vx,
		points: -1, unseen: -1,
	}
	if n := len(h.free); n > 0 {
		id := h.free[n-1]
		h.free = h.free[:n-1]
		h.facets[id] = f
		return id
	}
	h.facets = append(h.facets, f)
	return int32(len(h.facets) - 1)
}

// start makes a tetrahedron of four far points and hands out the others. It
// fails when they are no more than thin steps thick.
//
// The plane of the first three bounds the thickness: a and b are at least
// 1/√3 of the diagonal apart and c is farthest from their line, so any point is
// a + s(b−a) + r(c−a) with |s| ≤ 2√3 and |r| ≤ 1, off the plane by its height.
// If heights above some other plane differ by no more than e, those above this
// one are at most (1 + |1−s−r| + |s| + |r|)·e < 12·e.
func (h *hullMaker) start(thin float64) bool {
	a, b := h.farApart()
	c := h.farthest(func(p gridPoint) float64 { return h.offLine(a, b, p) })
	base := h.newFacet(a, b, c)
	f := h.facets[base]
	d := h.farthest(func(p gridPoint) float64 { return math.Abs(h.height(&f, p)) })
	height := h.height(&f, h.points[d])
	normal := r3.Norm(r3.Vec{X: float64(f.nx), Y: float64(f.ny), Z: float64(f.nz)})
	if !(math.Abs(height) > thin*normal) || height == 0 {
		return false
	}
	if height > 0 {
		b, c = c, b
	}
	h.facets = h.facets[:0]
	for _, t := range [4][3]int32{{a, b, c}, {a, d, b}, {b, d, c}, {c, d, a}} {
		h.fresh = append(h.fresh, h.newFacet(t[0], t[1], t[2]))
	}
	for f, across := range [4][3]int32{{1, 2, 3}, {3, 2, 0}, {1, 3, 0}, {2, 1, 0}} {
		h.facets[f].across = across
	}
	h.next = make([]int32, len(h.points))
	h.from = make([]int32, len(h.points))
	for p := range h.points {
		h.place(int32(p))
	}
	h.queue = append(h.queue, h.fresh...)
	return true
}

// farApart returns the two points farthest apart of the extremes along the
// axes.
func (h *hullMaker) farApart() (a, b int32) {
	var ends [6]int32
	for k, along := range [6]func(gridPoint) int32{
		func(p gridPoint) int32 { return -p.x }, func(p gridPoint) int32 { return p.x },
		func(p gridPoint) int32 { return -p.y }, func(p gridPoint) int32 { return p.y },
		func(p gridPoint) int32 { return -p.z }, func(p gridPoint) int32 { return p.z },
	} {
		ends[k] = h.farthest(func(p gridPoint) float64 { return float64(along(p)) })
	}
	best := -1.0
	for i := range ends {
		for j := range i {
			p, q := h.points[ends[j]], h.points[ends[i]]
			dx, dy, dz := float64(q.x-p.x), float64(q.y-p.y), float64(q.z-p.z)
			if d := dx*dx + dy*dy + dz*dz; d > best {
				a, b, best = ends[j], ends[i], d
			}
		}
	}
	return a, b
}

// farthest returns the point of greatest measure, of equals the least.
func (h *hullMaker) farthest(measure func(gridPoint) float64) int32 {
	best, most := int32(0), math.Inf(-1)
	for i, p := range h.points {
		if m := measure(p); m > most || (m == most && compareGrid(p, h.points[best]) < 0) {
			best, most = int32(i), m
		}
	}
	return best
}

// offLine returns the distance of p from the line through a and b, times the
// distance of a and b, squared.
func (h *hullMaker) offLine(a, b int32, p gridPoint) float64 {
	o, e := h.points[a], h.points[b]
	u := r3.Vec{X: float64(e.x - o.x), Y: float64(e.y - o.y), Z: float64(e.z - o.z)}
	v := r3.Vec{X: float64(p.x - o.x), Y: float64(p.y - o.y), Z: float64(p.z - o.z)}
	return r3.Norm2(r3.Cross(u, v))
}

// place lets p wait outside the first fresh facet that it is above of; if there
// is none, p is inside.
func (h *hullMaker) place(p int32) {
	g := h.points[p]
	for _, i := range h.fresh {
		f := &h.facets[i]
		height := h.height(f, g)
		if height <= 0 {
			continue
		}
		if f.points < 0 || height > f.height || (height == f.height && compareGrid(g, h.points[f.far]) < 0) {
			f.far, f.height = p, height
		}
		h.next[p], f.points = f.points, p
		return
	}
}

// add makes the farthest point outside facet f a corner of the hull.
func (h *hullMaker) add(f int32) {
	p := h.facets[f].far
	h.look(f, p)
	h.bridge(p)
	for _, g := range h.visible {
		for q := h.facets[g].points; q >= 0; {
			following := h.next[q]
			if q != p {
				h.place(q)
			}
			q = following
		}
	}
	h.free = append(h.free, h.visible...)
	for _, n := range h.fresh {
		if h.facets[n].points >= 0 {
			h.queue = append(h.queue, n)
		}
	}
}

// bridge spans fresh facets from the horizon to p.
func (h *hullMaker) bridge(p int32) {
	h.fresh = h.fresh[:0]
	for _, e := range h.horizon {
		// The far facet runs the edge from u to v, the fresh one from v to u.
		u, v := h.facets[e[0]].corner[e[1]], h.facets[e[0]].corner[(e[1]+1)%3]
		n := h.newFacet(v, u, p)
		h.facets[n].across[0] = e[0]
		h.facets[e[0]].across[e[1]] = n
		h.from[v] = n
		h.fresh = append(h.fresh, n)
	}
	for _, n := range h.fresh {
		other := h.from[h.facets[n].corner[1]] // over the edge from u to p
		h.facets[n].across[1] = other
		h.facets[other].across[2] = n
	}
}

// look finds the facets that p sees, starting from one, and the horizon.
func (h *hullMaker) look(f, p int32) {
	h.visible, h.horizon, h.stack = h.visible[:0], h.horizon[:0], append(h.stack[:0], f)
	h.facets[f].gone = true
	for len(h.stack) > 0 {
		g := h.stack[len(h.stack)-1]
		h.stack = h.stack[:len(h.stack)-1]
		h.visible = append(h.visible, g)
		for k := range 3 {
			o := h.facets[g].across[k]
			other := &h.facets[o]
			if other.gone {
				continue
			}
			if other.unseen != p && h.height(other, h.points[p]) > 0 {
				other.gone = true
				h.stack = append(h.stack, o)
				continue
			}
			other.unseen = p
			for j := range int32(3) {
				if other.across[j] == g && other.corner[j] == h.facets[g].corner[(k+1)%3] {
					h.horizon = append(h.horizon, [2]int32{o, j})
				}
			}
		}
	}
}

// result returns the corners in use, sorted, and the facets.
func (h *hullMaker) result(points []r3.Vec) ([]r3.Vec, [][3]VertexID) {
	const unused = -1
	for i := range h.from {
		h.from[i] = unused
	}
	var used []int32
	for i := range h.facets {
		for _, p := range h.facets[i].corner {
			if !h.facets[i].gone && h.from[p] == unused {
				h.from[p] = 0
				used = append(used, p)
			}
		}
	}
	slices.SortFunc(used, func(a, b int32) int { return compareGrid(h.points[a], h.points[b]) })
	corners := make([]r3.Vec, len(used))
	for i, p := range used {
		corners[i] = points[p]
		h.from[p] = int32(i)
	}
	var triangles [][3]VertexID
	for _, f := range h.facets {
		if !f.gone {
			triangles = append(triangles, [3]VertexID{
				VertexID(h.from[f.corner[0]]), VertexID(h.from[f.corner[1]]), VertexID(h.from[f.corner[2]]),
			})
		}
	}
	return corners, triangles
}
