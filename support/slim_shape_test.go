package support_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

// built returns a mesh that a test draws itself.
func built(t testing.TB, corners []r3.Vec, faces [][3]mesh.VertexID) *mesh.Mesh {
	t.Helper()
	m, err := mesh.New(corners, faces)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// turned spins a closed profile of radius and height, counter-clockwise with the
// radius to the right, about the Z axis: one shell of n corners around.
func turned(t testing.TB, n int, profile ...r2.Vec) *mesh.Mesh {
	t.Helper()
	var corners []r3.Vec
	var faces [][3]mesh.VertexID
	k := len(profile)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		for _, p := range profile {
			corners = append(corners, r3.Vec{X: p.X * cos, Y: p.X * sin, Z: p.Y})
		}
	}
	at := func(i, j int) mesh.VertexID { return mesh.VertexID(i%n*k + j%k) }
	for i := range n {
		for j := range k {
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			faces = append(faces, [3]mesh.VertexID{a, b, c}, [3]mesh.VertexID{a, c, d})
		}
	}
	return weld(t, corners, faces)
}

// weld makes one corner of those on the axis and drops facets without area.
func weld(t testing.TB, corners []r3.Vec, faces [][3]mesh.VertexID) *mesh.Mesh {
	t.Helper()
	first := map[r3.Vec]mesh.VertexID{}
	id := make([]mesh.VertexID, len(corners))
	for i, c := range corners {
		c = r3.Add(c, r3.Vec{}) // no negative zeros
		if _, ok := first[c]; !ok {
			first[c] = mesh.VertexID(i)
		}
		id[i] = first[c]
	}
	var kept [][3]mesh.VertexID
	for _, f := range faces {
		f = [3]mesh.VertexID{id[f[0]], id[f[1]], id[f[2]]}
		if f[0] != f[1] && f[1] != f[2] && f[2] != f[0] {
			kept = append(kept, f)
		}
	}
	return built(t, corners, kept)
}

// sheared moves every corner sideways by x and y for each mm of height.
func sheared(t testing.TB, m *mesh.Mesh, x, y float64) *mesh.Mesh {
	t.Helper()
	corners := make([]r3.Vec, m.NumVertices())
	for i, v := range m.Vertices() {
		corners[i] = r3.Add(v, r3.Vec{X: x * v.Z, Y: y * v.Z})
	}
	return built(t, corners, m.Faces())
}

// spun turns a mesh about the Z axis.
func spun(m *mesh.Mesh, deg float64) *mesh.Mesh {
	return m.Moved(mesh.Pose{Frame: mesh.Identity().Spun(plane.Angle(deg) * plane.Degree)})
}

// leaningPeg is a peg of radius 2.5 and the given length, leaning by deg, that
// comes out of a block of 40 × 40 × 10 with its middle line at the block's.
func leaningPeg(t *testing.T, deg, length float64) *mesh.Mesh {
	t.Helper()
	d, err := mesh.NewDirection(tilted(deg))
	if err != nil {
		t.Fatal(err)
	}
	// Sunk by 4 mm along its middle line, so that its lower end stays inside.
	peg := solid.At(solid.Cylinder(2.5, length, 48), 0, 0, -4).Moved(mesh.Pose{Frame: mesh.Upright(d)})
	return solid.Together(solid.Box(40, 40, 10), solid.At(peg, 0, 0, 10))
}

// frame is a window of 60 × 40 with bars of 4 × 5 around a hole of 50 × 30.
func frame() *mesh.Mesh {
	return solid.Together(solid.Box(60, 4, 5), solid.At(solid.Box(60, 4, 5), 0, 0, 35),
		solid.At(solid.Box(5, 4, 30), -27.5, 0, 5), solid.At(solid.Box(5, 4, 30), 27.5, 0, 5))
}

// comb is a bar of 62 × 5 × 6 with six teeth of 3 × 3 × 20.
func comb() *mesh.Mesh {
	parts := []*mesh.Mesh{solid.Box(62, 5, 6)}
	for i := range 6 {
		parts = append(parts, solid.At(solid.Box(3, 3, 20), -25+10*float64(i), 0, 6))
	}
	return solid.Together(parts...)
}

// fourLegged is a slab of 60 × 40 × 5 on legs of 5 × 6 × 30.
func fourLegged() *mesh.Mesh {
	parts := []*mesh.Mesh{solid.At(solid.Box(60, 40, 5), 0, 0, 30)}
	for _, at := range [][2]float64{{-20, -15}, {20, -15}, {-20, 15}, {20, 15}} {
		parts = append(parts, solid.At(solid.Box(5, 6, 30), at[0], at[1], 0))
	}
	return solid.Together(parts...)
}
