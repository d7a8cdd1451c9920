package lantern

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// corner is a corner of tetrahedra with its side of each surface: on it, below
// it (inside), else above it; or not known yet.
type corner struct {
	place            r3.Vec
	known, on, below mask
	depth            float64 // distance to the fish's skin, NaN until asked for
}

// tet is a tetrahedron: its corners, turning the same way for all, and whether
// it is inside the part made so far.
type tet struct {
	corners [4]int32
	in      bool
}

// cutter cuts tetrahedra along the surfaces of a recipe.
//
// No decision is made twice: on which side of a surface a corner lies is
// worked out once and kept, and a corner put on a surface is on it by decree.
// So rounding bends the result a little and does not tear it.
type cutter struct {
	recipe  *recipe
	corners []corner
	tets    []tet
	size    float64 // no tetrahedron is larger, mm

	splits  map[uint64]int32 // edge to the corner that splits it
	touched []uint32         // round in which a corner became the end of a split edge
	round   uint32
}

// cut makes the tetrahedra of a part.
//
// Flat surfaces are cut first: where a curved one meets them later, the crease
// is found along edges that lie in the flat one, and no corner has to move.
func cut(r *recipe, spacing float64) *cutter {
	c := &cutter{recipe: r, size: math.Sqrt(3) * spacing}
	newLattice(r.window, spacing).fill(c)
	for _, s := range slices.Concat(r.steps, r.seats) {
		c.carve(s, true)
	}
	c.carve(step{box: r.window, faces: []faceID{r.skin}}, false)
	for _, s := range r.steps {
		for _, t := range c.carve(s, false) {
			if c.within(t, s) {
				c.tets[t].in = s.add
			}
		}
	}
	for _, s := range r.seats {
		c.carve(s, false)
	}
	return c
}

// within reports whether a tetrahedron is inside a step's solid.
func (c *cutter) within(t int32, s step) bool {
	return c.overlaps(t, s.box, c.slack()) && c.inside(t, s.faces)
}

func (c *cutter) addCorner(p r3.Vec) int32 {
	c.corners = append(c.corners, corner{place: p, depth: math.NaN()})
	c.touched = append(c.touched, 0)
	return int32(len(c.corners) - 1)
}

// carve cuts along the flat or the curved faces of a step, and returns the
// tetrahedra in and around its box.
func (c *cutter) carve(s step, flat bool) []int32 {
	// Tetrahedra that share an edge with one in the box are cut with it, and so
	// belong to the list too.
	list := c.touching(s.box, c.slack()+1.01*c.size)
	if s.grain > 0 && !flat {
		list = c.refine(s, list)
	}
	for i, f := range s.faces {
		if c.recipe.surfaces[f].flat != flat {
			continue
		}
		list = c.slice(f, s.box, s.faces[:i], list)
	}
	return list
}

// slack is how far a corner of a curved crease may have been moved out of the
// box of a step that it belongs to.
func (c *cutter) slack() float64 { return c.size / 4 }

// touching lists the tetrahedra whose bounding box reaches into a box.
func (c *cutter) touching(box r3.Box, margin float64) []int32 {
	var out []int32
	for t := range c.tets {
		if c.overlaps(int32(t), box, margin) {
			out = append(out, int32(t))
		}
	}
	return out
}

func (c *cutter) overlaps(t int32, box r3.Box, margin float64) bool {
	p := &c.tets[t].corners
	a, b, d, e := c.corners[p[0]].place, c.corners[p[1]].place, c.corners[p[2]].place, c.corners[p[3]].place
	return max(a.X, b.X, d.X, e.X) > box.Min.X-margin && min(a.X, b.X, d.X, e.X) < box.Max.X+margin &&
		max(a.Y, b.Y, d.Y, e.Y) > box.Min.Y-margin && min(a.Y, b.Y, d.Y, e.Y) < box.Max.Y+margin &&
		max(a.Z, b.Z, d.Z, e.Z) > box.Min.Z-margin && min(a.Z, b.Z, d.Z, e.Z) < box.Max.Z+margin
}

// inside reports whether a tetrahedron is below all faces.
func (c *cutter) inside(t int32, faces []faceID) bool {
	for _, f := range faces {
		if c.side(t, f) >= 0 {
			return false
		}
	}
	return true
}

// side returns −1 for a tetrahedron below a surface and +1 for one above it.
func (c *cutter) side(t int32, f faceID) int {
	sides := 0
	for _, v := range c.tets[t].corners {
		sides |= 1 << (c.cornerSide(v, f) + 1)
	}
	const below, above = 1, 4
	switch sides & (below | above) {
	case below:
		return -1
	case above:
		return 1
	}
	// The surface was not cut here, or all four corners are on it: the middle
	// decides.
	var middle r3.Vec
	for _, v := range c.tets[t].corners {
		middle = r3.Add(middle, r3.Scale(0.25, c.corners[v].place))
	}
	s := c.recipe.surfaces[f]
	if s.value(s.at(middle)) < 0 {
		return -1
	}
	return 1
}

// onSurface is the value of a field that counts as zero, mm.
const onSurface = 1e-9

// cornerSide returns −1, 0 or +1 for a corner below, on or above a surface.
func (c *cutter) cornerSide(v int32, f faceID) int {
	k := &c.corners[v]
	if !k.known.has(f) {
		k.known.set(f)
		switch value := c.value(v, f); {
		case math.Abs(value) <= onSurface:
			k.on.set(f)
		case value < 0:
			k.below.set(f)
		}
	}
	switch {
	case k.on.has(f):
		return 0
	case k.below.has(f):
		return -1
	}
	return 1
}

func (c *cutter) value(v int32, f faceID) float64 {
	s := &c.recipe.surfaces[f]
	k := &c.corners[v]
	if !s.body {
		return s.value(s.at(k.place))
	}
	if math.IsNaN(k.depth) {
		k.depth = s.at(k.place)
	}
	return s.value(k.depth)
}

// slice cuts the tetrahedra in the box along surface f, save those that are
// above one of the earlier faces and so cannot be inside all. It returns the
// list with the new tetrahedra appended.
func (c *cutter) slice(f faceID, box r3.Box, earlier []faceID, list []int32) []int32 {
	c.newRound()
	for _, t := range list {
		if c.overlaps(t, box, c.slack()) && c.open(t, earlier) {
			c.splitEdges(t, f)
		}
	}
	return c.divideAll(list)
}

func (c *cutter) newRound() {
	c.round++
	c.splits = map[uint64]int32{}
}

func (c *cutter) divideAll(list []int32) []int32 {
	if len(c.splits) == 0 {
		return list
	}
	for i, n := 0, len(list); i < n; i++ {
		list = c.divide(list[i], list)
	}
	return list
}

func (c *cutter) split(a, b, at int32) {
	c.splits[edgeKey(a, b)] = at
	c.touched[a], c.touched[b] = c.round, c.round
}

// open reports whether a tetrahedron is not above any of the faces.
func (c *cutter) open(t int32, faces []faceID) bool {
	for _, f := range faces {
		below := false
		for _, v := range c.tets[t].corners {
			below = below || c.cornerSide(v, f) < 0
		}
		if !below {
			return false
		}
	}
	return true
}

var edges = [6][2]int{{0, 1}, {0, 2}, {0, 3}, {1, 2}, {1, 3}, {2, 3}}

func edgeKey(a, b int32) uint64 { return uint64(min(a, b))<<32 | uint64(max(a, b)) }

// splitEdges gives each edge of t that crosses surface f the corner where it
// does.
func (c *cutter) splitEdges(t int32, f faceID) {
	p := c.tets[t].corners
	var sides [4]int
	for i, v := range p {
		sides[i] = c.cornerSide(v, f)
	}
	for _, e := range edges {
		if sides[e[0]]*sides[e[1]] >= 0 {
			continue
		}
		a, b := min(p[e[0]], p[e[1]]), max(p[e[0]], p[e[1]])
		if _, ok := c.splits[edgeKey(a, b)]; !ok {
			c.split(a, b, c.crossing(a, b, f))
		}
	}
}

// divide splits a tetrahedron along its split edges, one after the other in
// the order of the corners that split them. Two tetrahedra cut a common face
// the same way because the order is the same.
func (c *cutter) divide(t int32, list []int32) []int32 {
	first, ends := int32(math.MaxInt32), 0
	p := c.tets[t].corners
	for _, v := range p {
		if c.touched[v] == c.round {
			ends++
		}
	}
	if ends < 2 {
		return list
	}
	var at [2]int
	for _, e := range edges {
		a, b := p[e[0]], p[e[1]]
		if c.touched[a] != c.round || c.touched[b] != c.round {
			continue
		}
		if m, ok := c.splits[edgeKey(a, b)]; ok && m < first {
			first, at = m, e
		}
	}
	if first == math.MaxInt32 {
		return list
	}
	other := c.tets[t]
	c.tets[t].corners[at[0]] = first
	other.corners[at[1]] = first
	fresh := int32(len(c.tets))
	c.tets = append(c.tets, other)
	list = append(list, fresh)
	list = c.divide(t, list)
	return c.divide(fresh, list)
}
