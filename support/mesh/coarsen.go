package mesh

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Coarsened does quickly what Decimated does well: it takes out corners where
// the surface is smooth, and returns what is left and, for each facet, the
// facet of m that it comes from. Corners that stay do not move. It is meant to
// bring a very fine mesh down to what Decimated is worth its time on; Weights
// are not looked at.
//
// A corner goes onto one next to it if what is around it lies between two planes
// no more than twice Deviation apart; if nothing folds over or gets slim; and
// if it and every corner gone so far stay within Deviation of the surface.
// Corners on a rim or on the border of a group stay, and so do those on a crease
// that rises more than that.
//
// Laws: (1) and (2) of Decimated.
// Cost: O(n) for n facets, about a tenth of what Decimated takes.
// Source: W. J. Schroeder, J. A. Zarge & W. E. Lorensen, "Decimation of
// triangle meshes", SIGGRAPH 1992, for corners told by their distance to a
// mean plane; taking out many corners that are not next to each other at a
// time, after D. Kirkpatrick, "Optimal search in planar subdivisions", SIAM J.
// Comput. 12(1), 1983.
func (m *Mesh) Coarsened(limit Decimation) (*Mesh, []FaceID) {
	if n := len(limit.Groups); limit.Groups != nil && n != m.NumFaces() {
		panic(fmt.Sprintf("mesh: %d groups for %d facets", n, m.NumFaces()))
	}
	if limit.Deviation <= 0 || m.NumFaces() <= limit.Facets {
		return m, allFaces(m.NumFaces())
	}
	c := newCoarsener(m, limit)
	c.slab = limit.Deviation / coarseSteps
	for c.live > limit.Facets && c.slab <= coarseSlab*limit.Deviation {
		before := c.live
		c.round()
		if float64(before-c.live) < coarseGain*float64(before) {
			c.slab *= 2
		}
	}
	return c.result()
}

const (
	// coarseSteps is how many times thinner than Deviation the slab is that
	// the first corners to go lie in: the flatter goes first.
	coarseSteps = 16
	// coarseSlab is how many times thicker than Deviation the slab may get.
	coarseSlab = 2
	// coarseGain is the share of the facets that a round must take out for
	// another to follow before the slab is widened.
	coarseGain = 0.1
	// coarseRing bounds the number of facets around a corner that goes.
	coarseRing = 10
	// coarseLean is the cosine of the most that facets around a corner may
	// lean against each other's mean, 60°.
	coarseLean = 0.5
	// coarseSlim is twice the area over the squared longest side, below which
	// no facet may come to be.
	coarseSlim = 0.15
	// coarseTries is how many of the nearest corners one may go onto.
	coarseTries = 3
)

// coarsener is a mesh while it is being coarsened, round by round. Corners
// that go in one round are not next to each other, so that lists of the facets
// around corners are made once a round.
type coarsener struct {
	m     *Mesh
	limit Decimation
	slab  float64
	faces [][3]VertexID
	alive []FaceID
	live  int

	start   []int32 // where a corner's facets begin in around
	around  []FaceID
	marks   []uint32
	epoch   uint32
	touched []uint32 // the last round that changed a corner's facets
	stays   []bool   // for good
	rounds  uint32

	stands []int32 // the first corner gone that stands on a facet, or −1
	next   []int32 // and the ones after it

	fan fan
}

// fan is the facets around a corner, in turn: facet i joins it, ring i and
// ring i+1. Behind the last of the ring the first stands once more.
type fan struct {
	n      int
	facets [coarseRing]FaceID
	ring   [coarseRing + 1]VertexID
	arms   [coarseRing + 1]r3.Vec // from the corner to the ring
	up     r3.Vec                 // unit mean normal
	left   []leftFacet            // what stands in for the fan once the corner is gone
	moved  []leaver
}

// leftFacet is a facet of a fan after its corner has gone.
type leftFacet struct {
	facet FaceID
	place flatPiece
	first int32 // of the corners gone that stand on it, or −1
}

// leaver is a corner gone, and where in the fan it is to stand.
type leaver struct{ corner, on int32 }

func newCoarsener(m *Mesh, limit Decimation) *coarsener {
	n := m.NumVertices()
	c := &coarsener{
		m:       m,
		limit:   limit,
		faces:   slices.Clone(m.faces),
		alive:   make([]FaceID, 0, m.NumFaces()),
		start:   make([]int32, n+2),
		marks:   make([]uint32, n),
		touched: make([]uint32, n),
		stays:   make([]bool, n),
		stands:  make([]int32, m.NumFaces()),
		next:    make([]int32, n),
	}
	for i, f := range m.faces {
		c.stands[i] = -1
		if f[0] == f[1] || f[1] == f[2] || f[2] == f[0] {
			c.faces[i][0] = dead
			continue
		}
		c.alive = append(c.alive, FaceID(i))
	}
	c.live = len(c.alive)
	c.around = make([]FaceID, 3*c.live)
	return c
}

// round looks at every corner once.
func (c *coarsener) round() {
	c.rounds++
	c.listAround()
	for v := range c.stays {
		if !c.stays[v] && c.touched[v] != c.rounds && c.live > c.limit.Facets {
			c.try(VertexID(v))
		}
	}
	c.alive = slices.DeleteFunc(c.alive, func(f FaceID) bool { return c.faces[f][0] == dead })
}

// listAround lists the facets around each corner.
func (c *coarsener) listAround() {
	clear(c.start)
	for _, f := range c.alive {
		for _, v := range c.faces[f] {
			c.start[v+2]++
		}
	}
	for i := 2; i < len(c.start); i++ {
		c.start[i] += c.start[i-1]
	}
	for _, f := range c.alive {
		for _, v := range c.faces[f] {
			c.around[c.start[v+1]] = f
			c.start[v+1]++
		}
	}
}

func (c *coarsener) of(v VertexID) []FaceID { return c.around[c.start[v]:c.start[v+1]] }

// try takes out a corner if it may go, onto one of the nearest.
func (c *coarsener) try(v VertexID) {
	if !c.spread(v) || !c.smooth() {
		return
	}
	var order [coarseRing]int
	for i := range c.fan.n {
		order[i] = i
	}
	for tried := range coarseTries {
		for i := tried + 1; i < c.fan.n; i++ {
			if r3.Norm2(c.fan.arms[order[i]]) < r3.Norm2(c.fan.arms[order[tried]]) {
				order[tried], order[i] = order[i], order[tried]
			}
		}
		onto := order[tried]
		if c.touched[c.fan.ring[onto]] != c.rounds && c.fan.shapely(onto) && c.linked(onto) && c.carries(v, onto) {
			c.take(v, onto)
			return
		}
	}
}

// spread lays out the fan around a corner; false if it has too few or too many
// facets, is not closed or of several groups.
func (c *coarsener) spread(v VertexID) bool {
	facets := c.of(v)
	if len(facets) < 4 || len(facets) > coarseRing {
		return false
	}
	if !c.sameGroup(facets) || !c.fan.turnAround(v, facets, c.faces) {
		c.stays[v] = true
		return false
	}
	f := &c.fan
	for i, x := range f.ring[:f.n+1] {
		f.arms[i] = r3.Sub(c.m.vertices[x], c.m.vertices[v])
	}
	return true
}

func (c *coarsener) sameGroup(facets []FaceID) bool {
	if c.limit.Groups == nil {
		return true
	}
	for _, f := range facets[1:] {
		if c.limit.Groups[f] != c.limit.Groups[facets[0]] {
			return false
		}
	}
	return true
}

// turnAround lists the facets around a corner in turn, and the ring; false if
// they do not make one full turn.
func (f *fan) turnAround(v VertexID, facets []FaceID, faces [][3]VertexID) bool {
	f.n = len(facets)
	var ends [coarseRing]VertexID
	for i, facet := range facets {
		f.facets[i] = facet
		switch t := faces[facet]; v {
		case t[0]:
			f.ring[i], ends[i] = t[1], t[2]
		case t[1]:
			f.ring[i], ends[i] = t[2], t[0]
		default:
			f.ring[i], ends[i] = t[0], t[1]
		}
	}
	f.ring[f.n] = f.ring[0]
	for i := range f.n - 1 {
		on := 0
		for k := i + 1; k < f.n; k++ {
			if f.ring[k] == ends[i] {
				if on > 0 {
					return false // an edge of more than two facets
				}
				on = k
			}
		}
		if on == 0 || ends[i] == f.ring[0] {
			return false
		}
		f.facets[i+1], f.facets[on] = f.facets[on], f.facets[i+1]
		f.ring[i+1], f.ring[on] = f.ring[on], f.ring[i+1]
		ends[i+1], ends[on] = ends[on], ends[i+1]
	}
	return ends[f.n-1] == f.ring[0]
}

// smooth reports whether the fan lies between two planes a slab apart and no
// facet of it leans far.
func (c *coarsener) smooth() bool {
	f := &c.fan
	var crosses [coarseRing]r3.Vec
	var sum r3.Vec
	for i := range f.n {
		crosses[i] = r3.Cross(f.arms[i], f.arms[i+1])
		sum = r3.Add(sum, crosses[i])
	}
	length2 := r3.Norm2(sum)
	if length2 == 0 {
		return false
	}
	f.up = r3.Scale(1/math.Sqrt(length2), sum)
	low, high := 0.0, 0.0
	for i := range f.n {
		h := r3.Dot(f.up, f.arms[i])
		if h < low {
			low = h
		}
		if h > high {
			high = h
		}
		if !f.faces(crosses[i]) {
			return false
		}
	}
	return high-low <= c.slab
}

// faces reports whether a normal of any length is near the mean.
func (f *fan) faces(normal r3.Vec) bool {
	along := r3.Dot(f.up, normal)
	return along >= 0 && along*along >= coarseLean*coarseLean*r3.Norm2(normal)
}

// shapely reports whether no facet folds over or gets slim when the corner goes
// onto one of the ring.
func (f *fan) shapely(onto int) bool {
	tip := f.arms[onto]
	for i := range f.n {
		if f.dies(i, onto) {
			continue
		}
		p, q := r3.Sub(f.arms[i], tip), r3.Sub(f.arms[i+1], tip)
		normal := r3.Cross(p, q)
		longest := r3.Norm2(p)
		if l := r3.Norm2(q); l > longest {
			longest = l
		}
		if l := r3.Norm2(r3.Sub(q, p)); l > longest {
			longest = l
		}
		if !f.faces(normal) || r3.Norm2(normal) < coarseSlim*coarseSlim*longest*longest {
			return false
		}
	}
	return true
}

// dies reports whether facet i goes when the corner goes onto one of the ring.
func (f *fan) dies(i, onto int) bool { return i == onto || i+1 == onto || (onto == 0 && i+1 == f.n) }

// linked reports whether the corner and the one it goes onto have no more than
// two others next to both.
func (c *coarsener) linked(onto int) bool {
	f := &c.fan
	c.epoch += 2
	for i := range f.n {
		if i != onto {
			c.marks[f.ring[i]] = c.epoch
		}
	}
	n := 0
	for _, g := range c.of(f.ring[onto]) {
		for _, x := range c.faces[g] {
			if c.marks[x] == c.epoch {
				c.marks[x]++
				n++
			}
		}
	}
	return n == 2
}

// carries reports whether the corner and all corners gone that stand on the fan
// are near what stands in for it, and if so puts them there.
func (c *coarsener) carries(v VertexID, onto int) bool {
	f := &c.fan
	f.left, f.moved = f.left[:0], append(f.moved[:0], leaver{corner: int32(v)})
	tip := c.m.vertices[f.ring[onto]]
	for i, g := range f.facets[:f.n] {
		for p := c.stands[g]; p >= 0; p = c.next[p] {
			f.moved = append(f.moved, leaver{corner: p})
		}
		if !f.dies(i, onto) {
			p, q := c.m.vertices[f.ring[i]], c.m.vertices[f.ring[i+1]]
			piece := flatPiece{corners: Triangle{tip, p, q}, ab: r3.Sub(p, tip), ac: r3.Sub(q, tip)}
			f.left = append(f.left, leftFacet{g, piece, -1})
		}
	}
	for k := range f.moved {
		p := c.m.vertices[f.moved[k].corner]
		near := math.Inf(1)
		for i := range f.left {
			if gap := f.left[i].place.gap2(p); gap < near {
				near, f.moved[k].on = gap, int32(i)
			}
		}
		if near > c.limit.Deviation*c.limit.Deviation {
			return false
		}
	}
	for _, l := range f.moved {
		c.next[l.corner], f.left[l.on].first = f.left[l.on].first, l.corner
	}
	for _, l := range f.left {
		c.stands[l.facet] = l.first
	}
	return true
}

// take moves the corner onto one of the ring.
func (c *coarsener) take(v VertexID, onto int) {
	f := &c.fan
	for i, g := range f.facets[:f.n] {
		if f.dies(i, onto) {
			c.faces[g][0] = dead
			c.live--
		} else {
			for k, x := range c.faces[g] {
				if x == v {
					c.faces[g][k] = f.ring[onto]
				}
			}
		}
		c.touched[f.ring[i]] = c.rounds
	}
	c.stays[v] = true
}

// result renumbers what is left, corners and facets in their old order.
func (c *coarsener) result() (*Mesh, []FaceID) {
	number := make([]VertexID, c.m.NumVertices())
	for _, f := range c.alive {
		for _, v := range c.faces[f] {
			number[v] = 1
		}
	}
	var places []r3.Vec
	for v, used := range number {
		if used == 1 {
			number[v] = VertexID(len(places))
			places = append(places, c.m.vertices[v])
		}
	}
	faces := make([][3]VertexID, len(c.alive))
	for i, f := range c.alive {
		for k, v := range c.faces[f] {
			faces[i][k] = number[v]
		}
	}
	out, err := New(places, faces)
	if err != nil {
		return &Mesh{}, nil // a mesh of nothing but facets that name a corner twice
	}
	return out, c.alive
}
