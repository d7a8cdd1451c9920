package partfile

import (
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// flat is a corner in the polygon's own plane.
type flat struct{ x, y float64 }

// clipWork is how many corners may be looked at for one file, about ten
// seconds' worth. Polygons made to be slow would otherwise hold up a build.
const clipWork = 4_000_000_000

// clipper cuts polygons into triangles by ear clipping; it keeps its working
// memory from one polygon to the next.
type clipper struct {
	at     []flat
	ring   []int  // corners not yet clipped
	gone   []bool // corners clipped
	inner  []int  // corners that turn inwards or not at all
	facets [][3]int
	work   int64 // corners looked at so far, over all polygons
}

// cut returns n − 2 triangles, by number of corner, that together cover the
// polygon and keep its winding. Corners that lie straight between their
// neighbours stay corners, so that faces on the other side still fit. The
// result is valid until the next call.
//
// A polygon that is found to cross itself, or has no area, is cut as well as
// can be and reported as not clean.
//
// Cost: O(n) for convex polygons; else O(n·inward corners) for each ear tried.
// Source: G. H. Meisters, "Polygons have ears", American Mathematical Monthly
// 82(6), 1975: every simple polygon has at least two. Only corners that turn
// inwards can lie in the triangle at another corner.
func (c *clipper) cut(corners []r3.Vec) (facets [][3]int, clean bool) {
	c.facets = c.facets[:0]
	if len(corners) == 3 {
		// No choice to make, and a facet without area is mesh's to report.
		c.facets = append(c.facets, [3]int{0, 1, 2})
		return c.facets, true
	}
	clean = c.flatten(corners)
	c.start()
	for from := 0; len(c.ring) > 3; {
		i, found := c.nextEar(from)
		clean = clean && found
		c.clip(i)
		// Going on one corner further, not at the neighbour of the one clipped,
		// keeps one corner from ending up in all facets, as slivers of a fan.
		from = i + 1
	}
	clean = clean && c.turn(1) >= 0
	c.clip(1)
	return c.facets, clean
}

// start puts all corners into the ring.
func (c *clipper) start() {
	c.ring, c.gone, c.inner = c.ring[:0], c.gone[:0], c.inner[:0]
	for i := range c.at {
		c.ring = append(c.ring, i)
		c.gone = append(c.gone, false)
	}
	for i := range c.ring {
		if c.turn(i) <= 0 {
			c.inner = append(c.inner, i)
		}
	}
}

// flatten projects the corners along the polygon's normal, and returns false
// if it has none. The normal is Newell's: Σ pᵢ × pᵢ₊₁, twice the area.
func (c *clipper) flatten(corners []r3.Vec) bool {
	var normal r3.Vec
	origin := corners[0] // keeps far-away polygons from losing digits
	for i, p := range corners {
		q := corners[(i+1)%len(corners)]
		normal = r3.Add(normal, r3.Cross(r3.Sub(p, origin), r3.Sub(q, origin)))
	}
	direction, err := mesh.NewDirection(normal)
	frame := mesh.Upright(direction)
	c.at = c.at[:0]
	for _, p := range corners {
		v := frame.Turn(r3.Sub(p, origin))
		c.at = append(c.at, flat{v.X, v.Y})
	}
	return err == nil
}

// nextEar returns the place in the ring of the first corner at or after from
// that can be cut off. If none can, which no simple polygon allows, it settles
// for the one at from.
func (c *clipper) nextEar(from int) (place int, found bool) {
	n := len(c.ring)
	for k := range n {
		if i := (from + k) % n; c.turn(i) > 0 && !c.covers(i) {
			return i, true
		}
	}
	return from % n, false
}

func (c *clipper) around(i int) (before, here, after int) {
	n := len(c.ring)
	return c.ring[(i+n-1)%n], c.ring[i], c.ring[(i+1)%n]
}

// turn is twice the signed area of the triangle at a corner.
func (c *clipper) turn(i int) float64 {
	before, here, after := c.around(i)
	return cross(c.at[before], c.at[here], c.at[after])
}

// covers tells whether another corner lies in the triangle at corner i or on
// its edge. Corners in the same place as the triangle's own do not count: a
// polygon whose hole is reached by a slit has such pairs.
func (c *clipper) covers(i int) bool {
	before, here, after := c.around(i)
	p, q, r := c.at[before], c.at[here], c.at[after]
	if c.work > clipWork {
		return false
	}
	c.work += int64(len(c.inner))
	for _, k := range c.inner {
		v := c.at[k]
		if c.gone[k] || v == p || v == q || v == r {
			continue
		}
		if cross(p, q, v) >= 0 && cross(q, r, v) >= 0 && cross(r, p, v) >= 0 {
			return true
		}
	}
	return false
}

func (c *clipper) clip(i int) {
	before, here, after := c.around(i)
	c.facets = append(c.facets, [3]int{before, here, after})
	c.gone[here] = true
	c.ring = append(c.ring[:i], c.ring[i+1:]...)
}

// cross is twice the signed area of the triangle a, b, p: positive if p lies
// to the left of a→b. The products are rounded one by one, since fused ones
// would make a straight corner turn on some processors and not on others.
func cross(a, b, p flat) float64 {
	return float64((b.x-a.x)*(p.y-a.y)) - float64((b.y-a.y)*(p.x-a.x))
}
