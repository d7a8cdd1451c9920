package solid

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// builder gathers corners and facets.
type builder struct {
	vertices []r3.Vec
	faces    [][3]mesh.VertexID
}

// point adds a corner and returns its number.
func (b *builder) point(x, y, z float64) mesh.VertexID {
	b.vertices = append(b.vertices, r3.Vec{X: x, Y: y, Z: z})
	return mesh.VertexID(len(b.vertices) - 1)
}

func (b *builder) triangle(i, j, k mesh.VertexID) {
	b.faces = append(b.faces, [3]mesh.VertexID{i, j, k})
}

// quad adds the flat four-sided facet i, j, k, l as two triangles.
func (b *builder) quad(i, j, k, l mesh.VertexID) {
	b.triangle(i, j, k)
	b.triangle(i, k, l)
}

// turnOut reverses the facets from number first on.
func (b *builder) turnOut(first int) {
	for i := first; i < len(b.faces); i++ {
		f := &b.faces[i]
		f[1], f[2] = f[2], f[1]
	}
}

func (b *builder) mesh() *mesh.Mesh {
	m, err := mesh.New(b.vertices, b.faces)
	if err != nil {
		panic("solid: " + err.Error())
	}
	return m
}

// prism draws a profile in x and z, counter-clockwise seen along +Y, out to a
// width along Y. The triangles fill the profile, in the same sense.
func prism(profile []r2.Vec, triangles [][3]int, width float64) *mesh.Mesh {
	n := len(profile)
	b := &builder{}
	for _, y := range []float64{-width / 2, width / 2} {
		for _, p := range profile {
			b.point(p.X, y, p.Y)
		}
	}
	front := func(i int) mesh.VertexID { return mesh.VertexID(i % n) }
	back := func(i int) mesh.VertexID { return mesh.VertexID(n + i%n) }
	for _, t := range triangles {
		b.triangle(front(t[0]), front(t[1]), front(t[2]))
		b.triangle(back(t[2]), back(t[1]), back(t[0]))
	}
	for i := range n {
		b.quad(front(i), back(i), back(i+1), front(i+1))
	}
	return b.mesh()
}

// needLengths panics unless all lengths are positive.
func needLengths(lengths ...float64) {
	for _, l := range lengths {
		if !(l > 0) {
			panic(fmt.Sprintf("solid: length %v is not positive", l))
		}
	}
}

// needCorners panics unless a round solid has at least least corners around.
func needCorners(n, least int) {
	if n < least {
		panic(fmt.Sprintf("solid: %d corners, at least %d needed", n, least))
	}
}
