package support

import (
	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/mesh"
)

// plate stands for the plate where a facet below is asked for.
const plate mesh.FaceID = -1

// piece is a convex part of a facet's shadow over which the same facets lie
// below the facet.
type piece struct {
	polygon []r2.Vec
	under   mesh.FaceID // the next facet below, or plate
	winding int         // shells that fill the space just below the facet
	through int         // shells that the column meets, exits taken off: 0 in a closed mesh
}

// open reports whether there is space, not body, just below the facet. Where
// the column's shells do not close, the winding number means nothing and the
// next facet below decides: it looks up out of a body or down into one.
func (p piece) open(m *mesh.Mesh) bool {
	if p.through != 0 {
		return p.under == plate || m.Normal(p.under).Z > 0
	}
	return p.winding <= 0
}

// cutter cuts the shadows of facets into pieces.
type cutter struct {
	mesh   *mesh.Mesh
	grid   *grid
	shadow []shadow // one a facet
	closed bool     // every column closes: facets above need not be looked at
	tiny   float64  // area below which a piece is rounding, mm²
	touch  float64  // distance below which two facets coincide, mm
	near   float64  // distance below which two corners are one, mm
	lowest bool     // only what has nothing below it is wanted
	points []r2.Vec
	now    []piece
	next   []piece
	done   []piece
	spread []mesh.FaceID // lists of facets near the pieces being divided
}

// Rounding in a file of 7-digit numbers moves a surface by 1e-7 of the part's
// size; turning it adds about as much. Ten times that counts as touching.
const touchShare = 1e-6

// steepest is the vertical normal part below which a facet is a wall: it casts
// no shadow that the arithmetic could measure.
const steepest = 1e-9

func newCutter(m *mesh.Mesh, closed bool, keep func(mesh.FaceID) bool) *cutter {
	d := m.Diagonal()
	return &cutter{
		mesh:   m,
		shadow: shadows(m),
		closed: closed,
		tiny:   1e-15 * d * d,
		touch:  touchShare * d,
		near:   1e-11 * d,
		grid: newGrid(m, func(f mesh.FaceID) bool {
			nz := m.Normal(f).Z
			return (nz > steepest || nz < -steepest) && keep(f)
		}),
	}
}

// pieces returns the shadow of f, a facet that is no wall, cut so that every
// piece has one answer to what lies below it. Pieces covered by an identical
// facet of lower number are left out: that facet answers for them. The result
// is overwritten by the next call.
func (c *cutter) pieces(f mesh.FaceID) []piece {
	c.points, c.done, c.spread = c.points[:0], c.done[:0], c.spread[:0]
	a, b, d := c.mesh.Corners(f)
	top := max(a.Z, b.Z, d.Z)
	c.grid.near(c.mesh, f, func(g mesh.FaceID) {
		p, q, r := c.mesh.Corners(g)
		if g != f && !(c.closed && min(p.Z, q.Z, r.Z) > top+c.touch) {
			c.spread = append(c.spread, g)
		}
	})
	whole := piece{polygon: c.shadow[f].corners[:], under: plate}
	c.divide(whole, f, slopeThrough(a, c.mesh.Normal(f)), c.spread, vainHalves)
	return c.done
}

// A large facet has thousands of small ones near it, of which any one place of
// it meets a few. So it is halved until a half has fewFacets near it, or
// halving does not part them.
const (
	fewFacets  = 12
	vainHalves = 3    // halvings in a row that may fail to part them
	parted     = 0.75 // share of the facets that a half may keep and count as parted
)

// divide cuts a piece of f by the facets near it and appends to done what is
// left of it.
func (c *cutter) divide(p piece, f mesh.FaceID, plane slope, near []mesh.FaceID, tries int) {
	box := plateBox(p.polygon)
	start := len(c.spread)
	for _, g := range near {
		t := &c.shadow[g]
		if box.meets(t.box) && !apart(t.corners[:], p.polygon) {
			c.spread = append(c.spread, g)
		}
	}
	here := c.spread[start:len(c.spread):len(c.spread)]
	defer func() { c.spread = c.spread[:start] }()
	if float64(len(here)) <= parted*float64(len(near)) {
		tries = vainHalves
	}
	if len(here) > fewFacets && tries > 0 {
		across := slope{1, 0, -(box.x0 + box.x1) / 2}
		if box.y1-box.y0 > box.x1-box.x0 {
			across = slope{0, 1, -(box.y0 + box.y1) / 2}
		}
		one, other := c.split(p, across)
		for _, half := range [2]piece{one, other} {
			if half.polygon != nil {
				c.divide(half, f, plane, here, tries-1)
			}
		}
		return
	}
	c.now = append(c.now[:0], p)
	for _, g := range here {
		if len(c.now) == 0 {
			return
		}
		c.cut(f, plane, g)
	}
	c.done = append(c.done, c.now...)
}

// box is an upright box on the plate.
type box struct{ x0, y0, x1, y1 float64 }

func plateBox(polygon []r2.Vec) box {
	b := box{polygon[0].X, polygon[0].Y, polygon[0].X, polygon[0].Y}
	for _, p := range polygon[1:] {
		b.x0, b.x1 = min(b.x0, p.X), max(b.x1, p.X)
		b.y0, b.y1 = min(b.y0, p.Y), max(b.y1, p.Y)
	}
	return b
}

// meets reports whether two boxes have more than a border in common.
func (b box) meets(o box) bool { return b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1 }

// cut brings facet g into all pieces of f.
func (c *cutter) cut(f mesh.FaceID, plane slope, g mesh.FaceID) {
	triangle, around := c.shadow[g].corners[:], c.shadow[g].box
	corner, _, _ := c.mesh.Corners(g)
	gap := plane.minus(slopeThrough(corner, c.mesh.Normal(g)))
	c.next = c.next[:0]
	for _, p := range c.now {
		if !around.meets(plateBox(p.polygon)) || apart(triangle, p.polygon) || apart(p.polygon, triangle) {
			c.next = append(c.next, p)
			continue
		}
		inside := p
		for i := range triangle {
			var rest piece
			inside, rest = c.split(inside, edge(triangle[i], triangle[(i+1)%3]))
			c.keep(rest)
			if inside.polygon == nil {
				break
			}
		}
		if inside.polygon != nil {
			c.meet(inside, f, g, gap)
		}
	}
	c.now, c.next = c.next, c.now
}

// meet enters g, which covers all of p's shadow, into p.
func (c *cutter) meet(p piece, f, g mesh.FaceID, gap slope) {
	low, high := gap.rangeOver(p.polygon)
	if low < -c.touch && high > c.touch {
		// g passes through f: overlapping shells.
		above, below := c.split(p, gap)
		for _, part := range [2]piece{above, below} {
			if part.polygon != nil {
				c.meetUncrossed(part, f, g, gap)
			}
		}
		return
	}
	c.meetUncrossed(p, f, g, gap)
}

func (c *cutter) meetUncrossed(p piece, f, g mesh.FaceID, gap slope) {
	_, centre := areaAndCentre(p.polygon)
	distance := gap.at(centre)
	up := c.mesh.Normal(g).Z > 0
	sign := 1
	if up {
		sign = -1
	}
	p.through += sign
	low, high := gap.rangeOver(p.polygon)
	if low > -c.touch && high < c.touch {
		// Coincident. A top that f rests on is still body just below f: its
		// exit is not counted. A second identical bottom is counted once.
		if up || g > f {
			c.keep(p)
		}
		return
	}
	if distance < 0 {
		c.keep(p)
		return
	}
	if c.lowest {
		return
	}
	p.winding += sign
	c.lower(p, g)
}

// lower keeps p with the higher of g and what was under it so far.
func (c *cutter) lower(p piece, g mesh.FaceID) {
	if p.under == plate {
		p.under = g
		c.keep(p)
		return
	}
	rise := c.planeOf(g).minus(c.planeOf(p.under))
	low, high := rise.rangeOver(p.polygon)
	if low < -c.touch && high > c.touch {
		above, below := c.split(p, rise)
		above.under = g
		c.keep(above)
		c.keep(below)
		return
	}
	// Of two that coincide the one that looks up is where support lands.
	if low+high > c.touch || (low+high > -c.touch && c.mesh.Normal(g).Z > 0) {
		p.under = g
	}
	c.keep(p)
}

func (c *cutter) planeOf(f mesh.FaceID) slope {
	a, _, _ := c.mesh.Corners(f)
	return slopeThrough(a, c.mesh.Normal(f))
}

// split cuts a piece along height zero of s; a side without area comes back
// with a nil polygon.
func (c *cutter) split(p piece, s slope) (above, below piece) {
	above, below = p, p
	above.polygon, below.polygon, c.points = split(p.polygon, s, c.points)
	for _, side := range [2]*piece{&above, &below} {
		side.polygon = tidy(side.polygon, c.near)
		if area, _ := areaAndCentre(side.polygon); area <= c.tiny {
			side.polygon = nil
		}
	}
	return above, below
}

func (c *cutter) keep(p piece) {
	if p.polygon != nil {
		c.next = append(c.next, p)
	}
}

// shadow is a facet seen from above: its corners, counter-clockwise, and the
// box around them.
type shadow struct {
	corners [3]r2.Vec
	box     box
}

func shadows(m *mesh.Mesh) []shadow {
	out := make([]shadow, m.NumFaces())
	for i := range out {
		a, b, c := m.Corners(mesh.FaceID(i))
		if m.Normal(mesh.FaceID(i)).Z < 0 {
			b, c = c, b
		}
		out[i].corners = [3]r2.Vec{flat(a), flat(b), flat(c)}
		out[i].box = plateBox(out[i].corners[:])
	}
	return out
}

// edge returns the function that is zero along the line from p to q and
// positive to its left.
func edge(p, q r2.Vec) slope {
	d := r2.Sub(q, p)
	return slope{-d.Y, d.X, d.Y*p.X - d.X*p.Y}
}

// apart reports whether a line along an edge of the convex ring a has all of b
// on its outer side.
func apart(a, b []r2.Vec) bool {
	for i, p := range a {
		q := a[(i+1)%len(a)]
		d := r2.Sub(q, p)
		out := true
		for _, v := range b {
			if r2.Cross(d, r2.Sub(v, p)) > 0 {
				out = false
				break
			}
		}
		if out {
			return true
		}
	}
	return false
}
