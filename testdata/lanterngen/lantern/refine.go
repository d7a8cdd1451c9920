package lantern

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// refine halves the longest edges near the step's solid until they are no
// longer than its grain, so that features thinner than the lattice do not slip
// through it.
func (c *cutter) refine(s step, list []int32) []int32 {
	for {
		c.newRound()
		for _, t := range list {
			if c.overlaps(t, s.box, 0) && c.nearSolid(t, s.faces) {
				c.halveLongest(t, s.grain)
			}
		}
		if len(c.splits) == 0 {
			return list
		}
		list = c.divideAll(list)
	}
}

// nearSolid reports whether the surface of the faces' common inside may pass
// through a tetrahedron.
func (c *cutter) nearSolid(t int32, faces []faceID) bool {
	p := c.tets[t].corners
	_, _, reach := c.longest(t)
	for _, v := range p {
		inside := math.Inf(-1)
		for _, f := range faces {
			inside = max(inside, c.value(v, f))
		}
		if math.Abs(inside) > reach {
			return false
		}
	}
	return true
}

// longest returns the longest edge of a tetrahedron.
func (c *cutter) longest(t int32) (a, b int32, size float64) {
	p := c.tets[t].corners
	for _, e := range edges {
		i, j := min(p[e[0]], p[e[1]]), max(p[e[0]], p[e[1]])
		if d := length(r3.Sub(c.corners[i].place, c.corners[j].place)); d > size {
			a, b, size = i, j, d
		}
	}
	return a, b, size
}

func (c *cutter) halveLongest(t int32, grain float64) {
	a, b, size := c.longest(t)
	if size <= grain {
		return
	}
	if _, ok := c.splits[edgeKey(a, b)]; !ok {
		c.split(a, b, c.halfway(a, b))
	}
}
