package role

import (
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
)

// bricks builds a solid out of the boxes between planes square to the axes, as
// far as filled says so. Every face between a filled box and an empty one makes
// two facets. Unit: mm.
func bricks(t testing.TB, xs, ys, zs []float64, filled func(p r3.Vec) bool) *mesh.Mesh {
	t.Helper()
	b := brickwork{planes: [3][]float64{xs, ys, zs}, filled: filled, number: map[[3]int]mesh.VertexID{}}
	for i := range len(xs) - 1 {
		for j := range len(ys) - 1 {
			for k := range len(zs) - 1 {
				b.lay([3]int{i, j, k})
			}
		}
	}
	m, err := mesh.New(b.places, b.faces)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

type brickwork struct {
	planes [3][]float64
	filled func(p r3.Vec) bool
	number map[[3]int]mesh.VertexID
	places []r3.Vec
	faces  [][3]mesh.VertexID
}

func (b *brickwork) is(c [3]int) bool {
	var p [3]float64
	for a, i := range c {
		if i < 0 || i+1 >= len(b.planes[a]) {
			return false
		}
		p[a] = (b.planes[a][i] + b.planes[a][i+1]) / 2
	}
	return b.filled(r3.Vec{X: p[0], Y: p[1], Z: p[2]})
}

// lay adds the outer faces of one box.
func (b *brickwork) lay(c [3]int) {
	if !b.is(c) {
		return
	}
	for a := range 3 {
		u, v := (a+1)%3, (a+2)%3
		for s := range 2 {
			next := c
			next[a] += 2*s - 1
			if b.is(next) {
				continue
			}
			at := func(du, dv int) mesh.VertexID {
				p := c
				p[a] += s
				p[u] += du
				p[v] += dv
				return b.corner(p)
			}
			p, q, r, w := at(0, 0), at(1, 0), at(1, 1), at(0, 1)
			if s == 0 {
				q, w = w, q
			}
			b.faces = append(b.faces, [3]mesh.VertexID{p, q, r}, [3]mesh.VertexID{p, r, w})
		}
	}
}

func (b *brickwork) corner(p [3]int) mesh.VertexID {
	id, ok := b.number[p]
	if !ok {
		id = mesh.VertexID(len(b.places))
		b.number[p] = id
		b.places = append(b.places, r3.Vec{X: b.planes[0][p[0]], Y: b.planes[1][p[1]], Z: b.planes[2][p[2]]})
	}
	return id
}

// block is a box between two corners.
type block struct{ lo, hi r3.Vec }

func (b block) holds(p r3.Vec) bool {
	return p.X > b.lo.X && p.X < b.hi.X && p.Y > b.lo.Y && p.Y < b.hi.Y && p.Z > b.lo.Z && p.Z < b.hi.Z
}

// carved builds the boxes of the first list without those of the second.
func carved(t testing.TB, add, take []block) *mesh.Mesh {
	t.Helper()
	var planes [3][]float64
	for _, b := range append(add[:len(add):len(add)], take...) {
		for _, p := range []r3.Vec{b.lo, b.hi} {
			planes[0], planes[1], planes[2] = append(planes[0], p.X), append(planes[1], p.Y), append(planes[2], p.Z)
		}
	}
	for a := range planes {
		planes[a] = ascending(planes[a])
	}
	return bricks(t, planes[0], planes[1], planes[2], func(p r3.Vec) bool {
		return anyHolds(add, p) && !anyHolds(take, p)
	})
}

func anyHolds(list []block, p r3.Vec) bool {
	for _, b := range list {
		if b.holds(p) {
			return true
		}
	}
	return false
}

// at returns a block by its corner and its size.
func at(x, y, z, dx, dy, dz float64) block {
	return block{r3.Vec{X: x, Y: y, Z: z}, r3.Vec{X: x + dx, Y: y + dy, Z: z + dz}}
}

// areas sums the area of each role over the facets that are wanted.
func areas(m *mesh.Mesh, roles []support.Role, wanted func(n, middle r3.Vec) bool) (by support.ByRole) {
	for f, r := range roles {
		if id := mesh.FaceID(f); wanted == nil || wanted(m.Normal(id), middle(m, id)) {
			by[r] += m.FaceArea(id)
		}
	}
	return by
}

func ascending(list []float64) []float64 {
	slices.Sort(list)
	return slices.Compact(list)
}
