package lantern

import (
	"cmp"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// panel is a face of a tetrahedron that lies on some surface, seen from it.
type panel struct {
	sorted  [3]int32
	outward [3]int32
	tet     int32
}

// outwardFaces lists the faces of a tetrahedron, counter-clockwise from outside.
var outwardFaces = [4][3]int{{1, 2, 3}, {0, 3, 2}, {0, 1, 3}, {0, 2, 1}}

// skin returns the surface between inside and outside, and for each facet the
// group it is of: twice the surface that cut it, plus 1 below the fish's skin,
// or on the skin in a seat. Crumbs are left out.
func (c *cutter) skin() (*mesh.Mesh, []uint16, error) {
	facets, groups := c.facets()
	crumb := c.crumbs(facets)
	var faces [][3]mesh.VertexID
	var kept []uint16
	number := map[int32]mesh.VertexID{}
	var places []r3.Vec
	for i, f := range facets {
		if crumb[i] {
			continue
		}
		var face [3]mesh.VertexID
		for k, v := range f {
			id, ok := number[v]
			if !ok {
				id = mesh.VertexID(len(places))
				number[v] = id
				places = append(places, c.corners[v].place)
			}
			face[k] = id
		}
		faces = append(faces, face)
		kept = append(kept, groups[i])
	}
	m, err := mesh.New(places, faces)
	if err != nil {
		return nil, nil, fmt.Errorf("skin of %s: %w", c.recipe.name, err)
	}
	return m, kept, nil
}

// facets lists the panels that have the inside on one side only.
func (c *cutter) facets() (facets [][3]int32, groups []uint16) {
	panels := c.panels()
	for len(panels) > 0 {
		n := 1
		for n < len(panels) && panels[n].sorted == panels[0].sorted {
			n++
		}
		// A panel without another side is at the edge of the lattice: both
		// sides are inside or both outside there.
		if n == 2 && c.tets[panels[0].tet].in != c.tets[panels[1].tet].in {
			in, out := panels[0], panels[1]
			if !c.tets[in.tet].in {
				in, out = out, in
			}
			facets = append(facets, in.outward)
			groups = append(groups, c.group(in, out))
		}
		panels = panels[n:]
	}
	return facets, groups
}

// crumbs marks the facets of pieces no larger than a few tetrahedra: specks of
// solid or of hollow that the lattice makes where curved surfaces nearly touch.
func (c *cutter) crumbs(facets [][3]int32) []bool {
	parent := make([]int32, len(c.corners))
	for i := range parent {
		parent[i] = int32(i)
	}
	find := func(v int32) int32 {
		for parent[v] != v {
			parent[v] = parent[parent[v]]
			v = parent[v]
		}
		return v
	}
	for _, f := range facets {
		parent[find(f[0])] = find(f[1])
		parent[find(f[1])] = find(f[2])
	}
	far := map[int32]float64{} // of a piece's corners from one of them
	for _, f := range facets {
		root := find(f[0])
		for _, v := range f {
			far[root] = max(far[root], length(r3.Sub(c.corners[v].place, c.corners[root].place)))
		}
	}
	out := make([]bool, len(facets))
	for i, f := range facets {
		out[i] = far[find(f[0])] < 2*c.size
	}
	return out
}

// panels lists all faces that lie on a surface, both sides of each together.
func (c *cutter) panels() []panel {
	var out []panel
	for t := range c.tets {
		p := c.tets[t].corners
		for _, f := range outwardFaces {
			a, b, d := p[f[0]], p[f[1]], p[f[2]]
			if c.corners[a].on.and(c.corners[b].on).and(c.corners[d].on).empty() {
				continue
			}
			w := panel{sorted: [3]int32{a, b, d}, outward: [3]int32{a, b, d}, tet: int32(t)}
			slices.Sort(w.sorted[:])
			out = append(out, w)
		}
	}
	slices.SortFunc(out, func(a, b panel) int {
		for i := range 3 {
			if d := cmp.Compare(a.sorted[i], b.sorted[i]); d != 0 {
				return d
			}
		}
		return cmp.Compare(a.tet, b.tet)
	})
	return out
}

// group tells which surface parts in from out.
func (c *cutter) group(in, out panel) uint16 {
	s := in.sorted
	on := c.corners[s[0]].on.and(c.corners[s[1]].on).and(c.corners[s[2]].on)
	best, found := faceID(0), false
	on.each(func(f faceID) bool {
		parts := c.side(in.tet, f) != c.side(out.tet, f)
		if !found || parts {
			best, found = f, true
		}
		return !parts
	})
	if best == c.recipe.skin {
		return 2*uint16(best) + c.seated(in.tet)
	}
	if c.side(in.tet, c.recipe.skin) < 0 {
		return 2*uint16(best) + 1
	}
	return 2 * uint16(best)
}

// seated returns 1 if a tetrahedron is in a seat.
func (c *cutter) seated(t int32) uint16 {
	for _, s := range c.recipe.seats {
		if c.within(t, s) {
			return 1
		}
	}
	return 0
}

// role returns the role of a group's facets.
func (r *recipe) role(group uint16) Role {
	s := r.surfaces[group/2]
	if group%2 == 1 {
		return s.tucked
	}
	return s.role
}
