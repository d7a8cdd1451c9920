package role

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
)

func triangleMesh(t testing.TB, corners ...r3.Vec) *mesh.Mesh {
	t.Helper()
	var faces [][3]mesh.VertexID
	for i := 0; i < len(corners); i += 3 {
		v := mesh.VertexID(i)
		faces = append(faces, [3]mesh.VertexID{v, v + 1, v + 2})
	}
	m, err := mesh.New(corners, faces)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestCoverOf(t *testing.T) {
	// The facet measured: right-angled, legs of 10 mm, area 50, facing up.
	facet := triangleMesh(t, r3.Vec{}, r3.Vec{X: 10}, r3.Vec{Y: 10})
	over := func(z float64, shift r3.Vec) *mesh.Mesh { // its own shape, facing down
		s := r3.Add(shift, r3.Vec{Z: z})
		return triangleMesh(t, s, r3.Add(s, r3.Vec{Y: 10}), r3.Add(s, r3.Vec{X: 10}))
	}
	tests := []struct {
		name  string
		other *mesh.Mesh
		want  float64
	}{
		{"in contact", over(0, r3.Vec{}), 50},
		{"a clearance apart", over(0.5, r3.Vec{}), 50},
		{"as deep inside", over(-0.5, r3.Vec{}), 50},
		{"too far apart", over(0.61, r3.Vec{}), 0},
		{"too deep inside", over(-0.61, r3.Vec{}), 0},
		{"shifted by half a leg", over(0.2, r3.Vec{X: 5}), 12.5},
		{"shifted past it", over(0.2, r3.Vec{X: 10}), 0},
		{"next to it along the long side", triangleMesh(t, r3.Vec{X: 10}, r3.Vec{Y: 10}, r3.Vec{X: 10, Y: 10}), 0},
		{"much larger", triangleMesh(t, r3.Vec{X: -100, Y: -100}, r3.Vec{Y: 300}, r3.Vec{X: 300}), 50},
		// At 0.12 mm a millimetre it is within 0.6 mm from x = 0 to 5.
		{"leaning away", triangleMesh(t, r3.Vec{X: 0, Y: -10}, r3.Vec{X: 0, Y: 30}, r3.Vec{X: 30, Y: -10, Z: 3.6}), 37.5},
		{"without area", triangleMesh(t, r3.Vec{}, r3.Vec{X: 5}, r3.Vec{X: 10}), 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := coverOf(facet, 0, tt.other, 0, 0.6); math.Abs(got-tt.want) > 1e-9 {
				t.Errorf("coverOf = %v, want %v", got, tt.want)
			}
		})
	}
}

// Against points thrown on the facet and lines along its normal.
func TestCoverOfAgreesWithThrownPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.Float64Range(-10, 10)
		flat := rapid.Float64Range(-0.8, 0.8)
		corner := func() r3.Vec { return r3.Vec{X: in.Draw(t, "x"), Y: in.Draw(t, "y"), Z: flat.Draw(t, "z")} }
		v := []r3.Vec{corner(), corner(), corner(), corner(), corner(), corner()}
		m, err := mesh.New(v, [][3]mesh.VertexID{{0, 1, 2}, {3, 4, 5}})
		if err != nil {
			t.Fatal(err)
		}
		const reach, n = 0.5, 4000
		if m.FaceArea(0) < 1 || r3.Dot(m.Normal(0), m.Normal(1)) >= 0 {
			t.Skip("not opposed")
		}
		random := rand.New(rand.NewPCG(1, 2))
		hits := 0
		for range n {
			a, b := random.Float64(), random.Float64()
			if a+b > 1 {
				a, b = 1-a, 1-b
			}
			p := r3.Add(v[0], r3.Add(r3.Scale(a, r3.Sub(v[1], v[0])), r3.Scale(b, r3.Sub(v[2], v[0]))))
			if planeHit(v[3], v[4], v[5], p, m.Normal(0), reach) {
				hits++
			}
		}
		want := float64(hits) / n
		got := coverOf(m, 0, m, 1, reach) / m.FaceArea(0)
		// Five standard deviations of the throw.
		if tol := 5*math.Sqrt(want*(1-want)/n) + 2e-3; math.Abs(got-want) > tol {
			t.Errorf("share covered = %v, thrown %v", got, want)
		}
	})
}

// planeHit reports whether the line through p along n, to both sides as far as
// reach, passes through a triangle: by the plane and the sides of its edges.
func planeHit(a, b, c, p, n r3.Vec, reach float64) bool {
	normal := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	at := r3.Dot(normal, r3.Sub(a, p)) / r3.Dot(normal, n)
	q := r3.Add(p, r3.Scale(at, n))
	inside := true
	for _, e := range [3][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
		inside = inside && r3.Dot(normal, r3.Cross(r3.Sub(e[1], e[0]), r3.Sub(q, e[0]))) >= 0
	}
	return inside && math.Abs(at) <= reach
}
