package mesh_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

// drawPose draws a rigid transform with shifts up to reach.
func drawPose(t *rapid.T, reach float64) mesh.Pose {
	in := rapid.Float64Range(-1, 1)
	d, err := mesh.NewDirection(r3.Vec{X: in.Draw(t, "up x"), Y: in.Draw(t, "up y"), Z: in.Draw(t, "up z")})
	if err != nil {
		t.Skip("no direction")
	}
	spin := plane.Angle(rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "spin"))
	return mesh.Pose{
		Frame: mesh.Upright(d).Spun(spin),
		Shift: r3.Vec{X: reach * in.Draw(t, "shift x"), Y: reach * in.Draw(t, "shift y"), Z: reach * in.Draw(t, "shift z")},
	}
}

// sampleSolids are closed meshes of one or more shells.
func sampleSolids() map[string]*mesh.Mesh {
	return map[string]*mesh.Mesh{
		"box":         solid.Box(2, 3, 5),
		"bracket":     solid.LBracket(60, 40, 5, 20),
		"table":       solid.Table(40, 20, 30, 5),
		"sphere":      solid.Sphere(10, 6),
		"cone":        solid.Cone(4, 9, 11),
		"torus":       solid.Torus(20, 5, 16, 9),
		"half shell":  solid.HemisphericalShell(10, 9, 5),
		"hollow box":  solid.HollowBox(10, 8, 6, 1),
		"two spheres": solid.Together(solid.Sphere(5, 3), solid.At(solid.Sphere(4, 4), 20, 1, 2)),
	}
}

var sampleNames = []string{
	"box", "bracket", "table", "sphere", "cone", "torus", "half shell", "hollow box", "two spheres",
}

func drawSolid(t *rapid.T) *mesh.Mesh {
	return sampleSolids()[rapid.SampledFrom(sampleNames).Draw(t, "solid")]
}

// shuffledSoup returns the facets in random order, each begun at a random
// corner.
func shuffledSoup(m *mesh.Mesh, seed uint64) []mesh.Triangle {
	r := rand.New(rand.NewPCG(seed, 0))
	soup := m.Triangles()
	r.Shuffle(len(soup), func(i, j int) { soup[i], soup[j] = soup[j], soup[i] })
	for i, s := range soup {
		k := r.IntN(3)
		soup[i] = mesh.Triangle{s[k], s[(k+1)%3], s[(k+2)%3]}
	}
	return soup
}

// single rounds a soup to 24-bit floats, as a file of triangles does.
func single(soup []mesh.Triangle) []mesh.Triangle {
	out := make([]mesh.Triangle, len(soup))
	for i, s := range soup {
		for k, v := range s {
			out[i][k] = r3.Vec{X: float64(float32(v.X)), Y: float64(float32(v.Y)), Z: float64(float32(v.Z))}
		}
	}
	return out
}

// scaled returns the mesh k times as large.
func scaled(t testing.TB, m *mesh.Mesh, k float64) *mesh.Mesh {
	t.Helper()
	v := make([]r3.Vec, m.NumVertices())
	for i := range v {
		v[i] = r3.Scale(k, m.Vertex(mesh.VertexID(i)))
	}
	out, err := mesh.New(v, m.Faces())
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// weld welds with the standard tolerance, or fails the test.
func weld(t testing.TB, soup []mesh.Triangle) *mesh.Mesh {
	t.Helper()
	m, _, err := mesh.Weld(soup, mesh.WeldTolerance)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// build builds, or fails the test.
func build(t testing.TB, soup []mesh.Triangle) (*mesh.Mesh, mesh.Report) {
	t.Helper()
	m, r, err := mesh.Build(soup)
	if err != nil {
		t.Fatal(err)
	}
	return m, r
}

// closeTo compares with a tolerance relative to scale.
func closeTo(got, want, tolerance, scale float64) bool {
	return math.Abs(got-want) <= tolerance*scale
}

// flipped returns the facet the other way round.
func flipped(t mesh.Triangle) mesh.Triangle { return mesh.Triangle{t[0], t[2], t[1]} }
