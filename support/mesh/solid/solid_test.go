package solid

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// volumeOf is the sum of signed tetrahedra, kept apart from the measures of
// package mesh, which are tested with these solids.
func volumeOf(m *mesh.Mesh) float64 {
	sum := 0.0
	for _, t := range m.Triangles() {
		sum += r3.Dot(t[0], r3.Cross(t[1], t[2])) / 6
	}
	return sum
}

func areaOf(m *mesh.Mesh) float64 {
	sum := 0.0
	for _, a := range m.FaceAreas() {
		sum += a
	}
	return sum
}

// openEdges counts directed edges whose opposite is missing or double.
func openEdges(m *mesh.Mesh) int {
	seen := map[[2]mesh.VertexID]int{}
	for _, f := range m.Faces() {
		for k := range 3 {
			seen[[2]mesh.VertexID{f[k], f[(k+1)%3]}]++
		}
	}
	bad := 0
	for e, n := range seen {
		if n != 1 || seen[[2]mesh.VertexID{e[1], e[0]}] != 1 {
			bad++
		}
	}
	return bad
}

// cut is the area of a regular polygon of n corners in a circle of radius r.
func cut(r float64, n int) float64 {
	return float64(n) / 2 * r * r * math.Sin(2*math.Pi/float64(n))
}

func TestClosedForms(t *testing.T) {
	const unknown = -1.0
	tests := []struct {
		name         string
		m            *mesh.Mesh
		volume, area float64
		faces        int
	}{
		{"box", Box(2, 3, 5), 30, 62, 12},
		{"hollow box", HollowBox(10, 8, 6, 1), 480 - 8*6*4, 376 + 208, 24},
		{"pyramid", Pyramid(30, 10), 3000, 900 + 30*math.Sqrt(900+400), 6},
		{"tetrahedron", Tetrahedron(30), 27000 / (6 * math.Sqrt2), math.Sqrt(3) * 900, 4},
		{"bracket", LBracket(60, 40, 5, 20), 5 * 20 * 95, 2*475 + 20*(60+40+55+35+5+5), 20},
		{"table", Table(40, 20, 30, 5), 20 * (5*50 + 2*5*30), 2*550 + 20*(50+35+35+5+5+30+30+40), 28},
		{"cylinder", Cylinder(10, 50, 12), cut(10, 12) * 50, 2*cut(10, 12) + 12*20*math.Sin(math.Pi/12)*50, 48},
		{"cone", Cone(10, 20, 12), cut(10, 12) * 20 / 3, unknown, 24},
		{"torus", Torus(20, 5, 12, 8), 12 * math.Sin(math.Pi/6) * 20 * cut(5, 8), unknown, 192},
		{"octahedron", Sphere(1, 1), 4.0 / 3, 8 * math.Sqrt(3) / 2, 8},
		{"half octahedron shell", HemisphericalShell(2, 1, 1), 2.0 / 3 * (8 - 1), unknown, 16},
		{"inside out", InsideOut(Box(2, 3, 5)), -30, 62, 12},
		{"two", Together(Box(1, 1, 1), At(Box(2, 3, 5), 9, 0, 0)), 31, 68, 24},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if n := openEdges(tt.m); n != 0 {
				t.Errorf("%d directed edges are not matched once", n)
			}
			if got := volumeOf(tt.m); math.Abs(got-tt.volume) > 1e-12*math.Abs(tt.volume) {
				t.Errorf("volume = %v, want %v", got, tt.volume)
			}
			if got := areaOf(tt.m); tt.area != unknown && math.Abs(got-tt.area) > 1e-12*tt.area {
				t.Errorf("area = %v, want %v", got, tt.area)
			}
			if tt.m.NumFaces() != tt.faces {
				t.Errorf("facets = %d, want %d", tt.m.NumFaces(), tt.faces)
			}
			for f := range tt.m.NumFaces() {
				if tt.m.FaceArea(mesh.FaceID(f)) == 0 {
					t.Errorf("facet %d has no area", f)
				}
			}
		})
	}
}

func TestStandsOnThePlateAboutTheAxis(t *testing.T) {
	solids := map[string]*mesh.Mesh{
		"box": Box(2, 3, 5), "hollow box": HollowBox(10, 8, 6, 1), "pyramid": Pyramid(3, 4),
		"tetrahedron": Tetrahedron(3), "bracket": LBracket(60, 40, 5, 20), "table": Table(40, 20, 30, 5),
		"cylinder": Cylinder(3, 4, 8), "cone": Cone(3, 4, 8), "sphere": Sphere(3, 4),
		"shell": HemisphericalShell(3, 2, 4), "torus": Torus(3, 1, 8, 8),
	}
	for name, m := range solids {
		b := m.Bounds()
		if math.Abs(b.Min.Z) > 1e-12 || math.Abs(b.Min.X+b.Max.X) > 1e-12 || math.Abs(b.Min.Y+b.Max.Y) > 1e-12 {
			t.Errorf("%s: bounds %v are not on z = 0 about the Z axis", name, b)
		}
	}
}

func TestSphereFills(t *testing.T) {
	for _, n := range []int{2, 4, 8, 16, 32} {
		m := Sphere(10, n)
		if m.NumVertices() != 4*n*n+2 || m.NumFaces() != 8*n*n || openEdges(m) != 0 {
			t.Errorf("Sphere(10, %d) has %d corners, %d facets, %d bad edges", n, m.NumVertices(), m.NumFaces(), openEdges(m))
		}
		for _, v := range m.Vertices() {
			if d := r3.Norm(r3.Sub(v, r3.Vec{Z: 10})); math.Abs(d-10) > 1e-13*10 {
				t.Fatalf("corner %v lies %v from the centre", v, d)
			}
		}
		ball := 4.0 / 3 * math.Pi * 1000
		short := (1 - volumeOf(m)/ball) * float64(n*n)
		if short < 1.0 || short > 1.6 {
			t.Errorf("Sphere(10, %d) is short of the ball by %v/n²", n, short)
		}
		shell := HemisphericalShell(10, 9, n)
		if want := (volumeOf(m) - volumeOf(Sphere(9, n))) / 2; math.Abs(volumeOf(shell)-want) > 1e-9 {
			t.Errorf("shell volume = %v, want %v", volumeOf(shell), want)
		}
		if openEdges(shell) != 0 || shell.NumFaces() != 8*n*n+8*n {
			t.Errorf("shell: %d facets, %d bad edges", shell.NumFaces(), openEdges(shell))
		}
	}
}

func TestUnsoundArgumentsPanic(t *testing.T) {
	for name, build := range map[string]func(){
		"no height":            func() { Box(1, 1, 0) },
		"NaN":                  func() { Box(1, 1, math.NaN()) },
		"two corners around":   func() { Cylinder(1, 1, 2) },
		"thicker than outside": func() { HemisphericalShell(1, 1, 3) },
		"wall too thick":       func() { HollowBox(2, 9, 9, 1) },
		"tube meets itself":    func() { Torus(1, 1, 8, 8) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			build()
		}()
	}
}
