package support_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

// raw returns settings under which nothing is spared, with layers thin enough
// that a curved underside starts to count right above the plate.
func raw(limit float64) support.Settings {
	return support.Settings{Limit: plane.Angle(limit) * plane.Degree, Layer: 0.2, FirstLayer: 1e-6}
}

// standing turns m so that up points up and measures it.
func standing(t *testing.T, m *mesh.Mesh, up r3.Vec) *mesh.Mesh {
	t.Helper()
	d, err := mesh.NewDirection(up)
	if err != nil {
		t.Fatal(err)
	}
	out, _ := support.NewBody(m, nil).Stand(d)
	return out.Mesh
}

// tilted returns the up vector that leans a part by deg about the X axis.
func tilted(deg float64) r3.Vec {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return r3.Vec{Y: sin, Z: cos}
}

// curved and flatTol are the tolerances that the definitions ask for: half a
// per cent for curved solids on fine meshes, 1e-6 for flat-faced ones.
const (
	curved  = 5e-3
	flatTol = 1e-6
)

type closedForm struct {
	name  string
	mesh  *mesh.Mesh
	up    r3.Vec
	limit float64 // degrees from the vertical
	tol   float64 // relative
	want  map[string]float64
}

var lyingUp = r3.Vec{X: 1}

// Formulas: elementary integrals over the surface, written out in each row and
// derived in DEVELOPERS.md; checked once by numerical integration elsewhere.
func closedForms() []closedForm {
	sphere := func(alpha float64) map[string]float64 {
		// Volume πR³[cos²α − (2/3)(1 − sin³α)], area 2πR²(1 − sin α).
		sin, cos := math.Sincos(alpha * math.Pi / 180)
		const r = 10.0
		return map[string]float64{
			"support":   math.Pi * r * r * r * (cos*cos - 2.0/3*(1-sin*sin*sin)),
			"overhang":  2 * math.Pi * r * r * (1 - sin),
			"height":    2 * r,
			"footprint": math.Pi * r * r,
		}
	}
	cylinder := func(alpha float64) map[string]float64 {
		// Lying on its side: volume LR²[2cos α − sin α cos α − (π/2 − α)], area
		// LR(π − 2α).
		a := alpha * math.Pi / 180
		sin, cos := math.Sincos(a)
		const r, l = 10.0, 50.0
		return map[string]float64{
			"support":   l * r * r * (2*cos - sin*cos - (math.Pi/2 - a)),
			"overhang":  l * r * (math.Pi - 2*a),
			"height":    2 * r,
			"footprint": 2 * r * l,
		}
	}
	cube := func(theta float64, faces float64) map[string]float64 {
		// Turned by θ about an edge: each of the two faces that look down
		// covers s³ sin 2θ / 4; height s(sin θ + cos θ).
		sin, cos := math.Sincos(theta * math.Pi / 180)
		const s = 20.0
		return map[string]float64{
			"support":   faces * s * s * s * math.Sin(2*theta*math.Pi/180) / 4,
			"overhang":  faces * s * s,
			"height":    s * (sin + cos),
			"footprint": s * s * (sin + cos),
		}
	}
	dome := func(r, alpha float64) map[string]float64 {
		// Half sphere from inside, over its rim: (2π/3)r³(1 − sin³α).
		sin := math.Sin(alpha * math.Pi / 180)
		return map[string]float64{
			"support":  2 * math.Pi / 3 * r * r * r * (1 - sin*sin*sin),
			"overhang": 2 * math.Pi * r * r * (1 - sin),
			"height":   100,
			"contact":  math.Pi * (100*100 - 97*97),
		}
	}
	bowl := func(r, alpha float64) map[string]float64 {
		sin, cos := math.Sincos(alpha * math.Pi / 180)
		return map[string]float64{
			"support":  math.Pi * r * r * r * (cos*cos - 2.0/3*(1-sin*sin*sin)),
			"overhang": 2 * math.Pi * r * r * (1 - sin),
			"height":   100,
		}
	}
	up, down := r3.Vec{Z: 1}, r3.Vec{Z: -1}
	edgeUp := r3.Vec{Y: -math.Sqrt(2.0 / 3), Z: -math.Sqrt(1.0 / 3)}
	cases := []closedForm{
		// Cone, apex down, leaning 60°: (2/3)πR²H.
		{"cone apex down", solid.Cone(10, 10*math.Tan(math.Pi/6), 720), down, 45, curved, map[string]float64{
			"support": 2.0 / 3 * math.Pi * 100 * 10 * math.Tan(math.Pi/6)}},
		{"steep cone apex down", solid.Cone(10, 20, 720), down, 45, curved, map[string]float64{"support": 0, "overhang": 0}},
		// Pyramid, apex down, faces leaning 56.31°: (2/3)a²H.
		{"pyramid apex down", solid.Pyramid(30, 10), down, 45, flatTol, map[string]float64{
			"support": 2.0 / 3 * 30 * 30 * 10, "footprint": 900}},
		{"pyramid apex up", solid.Pyramid(30, 10), up, 45, flatTol, map[string]float64{
			"support": 0, "overhang": 0, "contact": 900}},
		{"cube on its corner, all down faces", solid.Box(20, 20, 20), r3.Vec{X: 1, Y: 1, Z: 1}, 0, flatTol, map[string]float64{
			"support": 8000, "height": 20 * math.Sqrt(3), "footprint": 400 * math.Sqrt(3)}},
		{"cube on its corner", solid.Box(20, 20, 20), r3.Vec{X: 1, Y: 1, Z: 1}, 45, flatTol, map[string]float64{
			"support": 0, "overhang": 0, "height": 20 * math.Sqrt(3)}},
		{"tetrahedron on a face", solid.Tetrahedron(30), up, 45, flatTol, map[string]float64{
			"height": 30 * math.Sqrt(2.0/3), "support": 0}},
		// Its own volume a³/(6√2).
		{"tetrahedron on an edge", solid.Tetrahedron(30), edgeUp, 0, flatTol, map[string]float64{
			"height": 30 / math.Sqrt2, "support": 27000 / (6 * math.Sqrt2)}},
		// Bracket: the arm's underside is (A−t)w at the height B−t.
		{"bracket, arm at the top", solid.LBracket(60, 40, 5, 20), up, 45, flatTol, map[string]float64{
			"support": 55 * 20 * 35, "overhang": 55 * 20, "height": 40, "contact": 100}},
		{"bracket, arm on the plate", solid.LBracket(60, 40, 5, 20), down, 45, flatTol, map[string]float64{
			"support": 0, "height": 40, "footprint": 60 * 20, "contact": 60 * 20}},
		{"bracket, profile flat", solid.LBracket(60, 40, 5, 20), r3.Vec{Y: 1}, 45, flatTol, map[string]float64{
			"support": 0, "height": 20, "contact": 5 * (60 + 40 - 5), "footprint": 475}},
		{"table", solid.Table(40, 20, 30, 5), up, 45, flatTol, map[string]float64{
			"support": 24000, "footprint": 50 * 20}},
	}
	for _, a := range []float64{0, 30, 45, 60} {
		cases = append(cases,
			closedForm{"sphere", solid.Sphere(10, 180), up, a, curved, sphere(a)},
			closedForm{"lying cylinder", solid.Cylinder(10, 50, 1440), lyingUp, a, curved, cylinder(a)},
			closedForm{"shell rim down", solid.HemisphericalShell(100, 97, 100), up, a, curved, dome(97, a)},
			closedForm{"shell rim up", solid.HemisphericalShell(100, 97, 100), down, a, curved, bowl(100, a)})
	}
	for _, theta := range []float64{15, 30, 45} {
		cases = append(cases, closedForm{"cube over an edge, all down faces", solid.Box(20, 20, 20), tilted(theta), 0, flatTol, cube(theta, 2)})
	}
	cases = append(cases,
		closedForm{"cube over an edge by 15", solid.Box(20, 20, 20), tilted(15), 45, flatTol, cube(15, 1)},
		closedForm{"cube over an edge by 30", solid.Box(20, 20, 20), tilted(30), 45, flatTol, cube(30, 1)},
		closedForm{"cube over an edge by 45", solid.Box(20, 20, 20), tilted(45), 45, flatTol, cube(45, 0)},
		// 30° and 60° tell a limit from the vertical from one from the plate.
		closedForm{"cube over an edge by 40, limit 60", solid.Box(20, 20, 20), tilted(40), 60, flatTol, cube(40, 0)},
		closedForm{"cube over an edge by 40, limit 30", solid.Box(20, 20, 20), tilted(40), 30, flatTol, cube(40, 2)},
		closedForm{"cube over an edge by 20, limit 30", solid.Box(20, 20, 20), tilted(20), 30, flatTol, cube(20, 1)})
	return cases
}

func TestClosedForms(t *testing.T) {
	for _, c := range closedForms() {
		t.Run(c.name, func(t *testing.T) {
			got := support.Measure(support.NewBody(standing(t, c.mesh, c.up), nil), raw(c.limit))
			figures := map[string]float64{
				"support": got.SupportRaw, "overhang": got.OverhangRaw, "height": got.Height,
				"footprint": got.Footprint, "contact": got.Contact,
			}
			for name, want := range c.want {
				if have := figures[name]; math.Abs(have-want) > c.tol*math.Max(math.Abs(want), 1) {
					t.Errorf("%s of %s at %v° = %.6f, want %.6f", name, c.name, c.limit, have, want)
				}
			}
			if got.Support != got.SupportRaw {
				t.Errorf("support %v differs from raw %v though nothing may be spared", got.Support, got.SupportRaw)
			}
		})
	}
}
