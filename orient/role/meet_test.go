package role

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

func treesOf(meshes ...*mesh.Mesh) []*tree {
	var out []*tree
	for _, m := range meshes {
		out = append(out, newTree(m))
	}
	return out
}

// pegAndSocket is a plate with a square peg below it and the block it goes
// into, with 0.25 mm of air around and under the peg.
func pegAndSocket(t testing.TB) (peg, socket *mesh.Mesh) {
	peg = carved(t, []block{at(-10, -10, 0, 20, 20, 4), at(-3, -3, -8, 6, 6, 8)}, nil)
	socket = carved(t, []block{at(-10, -10, -20, 20, 20, 20)}, []block{at(-3.25, -3.25, -8.25, 6.5, 6.5, 8.25)})
	return peg, socket
}

func TestMeetingAreasAreExact(t *testing.T) {
	peg, socket := pegAndSocket(t)
	box := solid.Box(10, 10, 10)
	tests := []struct {
		name string
		a, b *mesh.Mesh
		want float64
	}{
		{"face to face", box, solid.At(box, 0, 0, 10), 100},
		{"shifted", box, solid.At(box, 4, 3, 10), 42},
		{"a clearance apart", box, solid.At(box, 0, 0, 10.5), 100},
		{"pressed in", box, solid.At(box, 0, 0, 9.7), 100},
		{"too far apart", box, solid.At(box, 0, 0, 10.7), 0},
		{"edge to edge", box, solid.At(box, 10, 10, 0), 0},
		{"side by side", box, solid.At(box, 10, 0, 0), 100},
		{"small on large", solid.Box(4, 5, 6), solid.At(solid.Box(100, 100, 3), 3, 2, -3), 20},
		// The plate's underside, four sides and the end of the peg. Both sides
		// are the same, as air shows on neither.
		{"peg in socket", peg, socket, 400 - 6.5*6.5 + 4*6*8 + 6*6},
		{"apart", box, solid.At(box, 50, 0, 0), 0},
	}
	turned := mesh.Pose{Frame: mesh.Upright(mesh.Direction{}).Spun(40 * plane.Degree), Shift: r3.Vec{X: 31, Y: -7, Z: 3}}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, pair := range [][2]*mesh.Mesh{{tt.a, tt.b}, {tt.b, tt.a}, {tt.a.Moved(turned), tt.b.Moved(turned)}} {
				_, meetings, _ := meet(treesOf(pair[0], pair[1]), 0.6)
				got := 0.0
				for _, m := range meetings {
					got += m.Area
				}
				if math.Abs(got-tt.want) > 1e-6 || len(meetings) == 1 != (tt.want > 0) {
					t.Errorf("area = %v in %d meetings, want %v", got, len(meetings), tt.want)
				}
			}
		})
	}
}

// Facets of both sides may be cut in any way.
func TestMeetingAreaOfCurvedFaces(t *testing.T) {
	const r, h, gap = 5.0, 20.0, 0.3
	pin := solid.Cylinder(r, h, 180)
	tube := tubeOf(t, r+gap, r+gap+4, h, 77)
	_, meetings, _ := meet(treesOf(pin, tube), 0.6)
	if len(meetings) != 1 {
		t.Fatalf("%d meetings, want 1", len(meetings))
	}
	// The mean of the pin's side and of the bore, both all covered.
	if got, want := meetings[0].Area, 2*math.Pi*(r+gap/2)*h; math.Abs(got-want) > 0.02*want {
		t.Errorf("area = %.1f, want %.1f", got, want)
	}
}

// tubeOf returns a tube of n flat strips that stands on the plate.
func tubeOf(t testing.TB, ri, ro, h float64, n int) *mesh.Mesh {
	return revolved(t, [][2]float64{{ri, 0}, {ro, 0}, {ro, h}, {ri, h}}, n)
}

// revolved turns a closed profile, radius and height counter-clockwise, about
// the Z axis in n steps.
func revolved(t testing.TB, profile [][2]float64, n int) *mesh.Mesh {
	t.Helper()
	var places []r3.Vec
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		for _, p := range profile {
			places = append(places, r3.Vec{X: p[0] * cos, Y: p[0] * sin, Z: p[1]})
		}
	}
	var faces [][3]mesh.VertexID
	corner := func(i, k int) mesh.VertexID {
		return mesh.VertexID(i%n*len(profile) + k%len(profile))
	}
	for i := range n {
		for k := range profile {
			a, b, c, d := corner(i, k), corner(i+1, k), corner(i+1, k+1), corner(i, k+1)
			faces = append(faces, [3]mesh.VertexID{a, b, c}, [3]mesh.VertexID{a, c, d})
		}
	}
	m, err := mesh.New(places, faces)
	if err != nil {
		t.Fatal(err)
	}
	if m.Volume() <= 0 {
		t.Fatal("profile runs clockwise")
	}
	return m
}

func TestClashIsNoMeeting(t *testing.T) {
	box := solid.Box(40, 40, 40)
	tests := []struct {
		name               string
		other              *mesh.Mesh
		meeting, clash     bool
		buriedLo, buriedHi float64 // of the other, in the box
	}{
		{"in contact", solid.At(box, 0, 0, 40), true, false, 0, 0},
		{"half inside", solid.At(box, 20, 0, 0.3), false, true, 0.14, 0.18},
		{"the same place", box, false, false, 0, 0}, // no facet is deeper than another
		{"wholly inside", solid.At(solid.Box(10, 10, 10), 0, 0, 15), false, true, 1, 1},
		{"apart", solid.At(box, 90, 0, 0), false, false, 0, 0},
		// A tenon that its mortice was forgotten for: far more inside than in
		// contact.
		{"sunk in", solid.At(solid.Box(10, 10, 60), 0, 0, 20), false, true, 0.3, 0.4},
		{"sunk in up to a narrow collar", carved(t, []block{at(-10, -10, 5, 20, 20, 60), at(-11, -10, 40, 22, 20, 10)}, nil), false, true, 0.4, 0.6},
		{"sunk in a little, below a wide collar", carved(t, []block{at(-10, -10, 39, 20, 20, 30), at(-19, -19, 40, 38, 38, 10)}, nil), true, false, 0, 0.2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			trees := treesOf(box, tt.other)
			_, meetings, clashes := meet(trees, 0.6)
			if got := len(meetings) > 0; got != tt.meeting {
				t.Errorf("meets: %v, want %v", got, tt.meeting)
			}
			if got := len(clashes) > 0; got != tt.clash {
				t.Errorf("clashes: %v, want %v", got, tt.clash)
			}
			if got := buried(trees[1], trees[0], 0.6); got < tt.buriedLo || got > tt.buriedHi {
				t.Errorf("buried = %v, want %v to %v", got, tt.buriedLo, tt.buriedHi)
			}
		})
	}
}

func TestSpreadFacesFollowsArea(t *testing.T) {
	m := solid.Together(solid.Box(30, 30, 30), solid.Box(10, 10, 10))
	small := 0
	for _, f := range spreadFaces(m, 1000) {
		if f >= 12 {
			small++
		}
	}
	if small != 100 {
		t.Errorf("%d of 1000 on a tenth of the area", small)
	}
	if got := spreadFaces(triangleMesh(t, r3.Vec{}, r3.Vec{}, r3.Vec{}), 10); len(got) != 0 {
		t.Errorf("%d facets of a mesh without area", len(got))
	}
}
