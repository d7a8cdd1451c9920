package role

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

// hook is a solid of which no turn makes its mirror image.
func hook(t testing.TB) *mesh.Mesh {
	return carved(t, []block{at(0, 0, 0, 40, 8, 6), at(0, 0, 6, 8, 8, 20), at(32, 8, 0, 8, 15, 6)}, nil)
}

// mirrored returns the mirror image in x = 0.
func mirrored(m *mesh.Mesh) *mesh.Mesh {
	places := make([]r3.Vec, m.NumVertices())
	for i, v := range m.Vertices() {
		places[i] = r3.Vec{X: -v.X, Y: v.Y, Z: v.Z}
	}
	out, err := mesh.New(places, m.Faces())
	if err != nil {
		panic(err)
	}
	return solid.InsideOut(out)
}

func TestTwins(t *testing.T) {
	h := hook(t)
	far := func(m *mesh.Mesh, x float64) *mesh.Mesh { return solid.At(m, x, 0, 0) }
	notched := carved(t, []block{at(0, 0, 0, 40, 8, 6), at(0, 0, 6, 8, 8, 20), at(32, 8, 0, 8, 15, 6)}, []block{at(20, 0, 4, 4, 8, 2)})
	tests := []struct {
		name   string
		meshes []*mesh.Mesh
		want   []Twin
	}{
		{"mirrored", []*mesh.Mesh{h, far(mirrored(h), -9)}, []Twin{{0, 1, false}}},
		{"the same", []*mesh.Mesh{h, far(h, 90)}, nil},
		{"two boxes", []*mesh.Mesh{solid.Box(10, 20, 30), far(solid.Box(10, 20, 30), 90)}, []Twin{{0, 1, true}}},
		{"two balls", []*mesh.Mesh{solid.Sphere(10, 6), far(solid.Sphere(10, 6), 90)}, []Twin{{0, 1, true}}},
		{"ball cut otherwise", []*mesh.Mesh{solid.Sphere(10, 40), far(solid.Sphere(10, 41), 90)}, []Twin{{0, 1, true}}},
		{"a little larger", []*mesh.Mesh{h, scaled(t, mirrored(h), 1.01)}, nil},
		{"one notched", []*mesh.Mesh{h, mirrored(notched)}, nil},
		{"inside out", []*mesh.Mesh{h, solid.InsideOut(mirrored(h))}, nil},
		{"each has one partner", []*mesh.Mesh{h, mirrored(h), far(mirrored(h), 200), far(h, 300)}, []Twin{{0, 1, false}, {2, 3, false}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if d := cmp.Diff(tt.want, twins(partsOf(tt.meshes...))); d != "" {
				t.Errorf("twins (-want +got):\n%s", d)
			}
		})
	}
}

func TestNamesChooseAmongTwins(t *testing.T) {
	h := hook(t)
	parts := partsOf(h, mirrored(h), mirrored(h))
	parts[0].Name, parts[1].Name, parts[2].Name = "arm_left.stl", "spare.stl", "arm_right.stl"
	if d := cmp.Diff([]Twin{{0, 2, false}}, twins(parts)); d != "" {
		t.Errorf("twins (-want +got):\n%s", d)
	}
}

// Wherever the twin lies and whichever way it is turned.
func TestTurnedTwins(t *testing.T) {
	h := hook(t)
	rapid.Check(t, func(rt *rapid.T) {
		pose := drawPose(rt)
		if got := twins(partsOf(h, mirrored(h).Moved(pose))); len(got) != 1 || got[0].Alike {
			rt.Errorf("mirrored and turned: %v", got)
		}
		if got := twins(partsOf(h, h.Moved(pose))); len(got) != 0 {
			rt.Errorf("turned only: %v", got)
		}
	})
}

// drawPose draws a rigid transform.
func drawPose(t *rapid.T) mesh.Pose {
	in := rapid.Float64Range(-1, 1)
	d, err := mesh.NewDirection(r3.Vec{X: in.Draw(t, "up x"), Y: in.Draw(t, "up y"), Z: in.Draw(t, "up z")})
	if err != nil {
		t.Skip("no direction")
	}
	return mesh.Pose{
		Frame: mesh.Upright(d).Spun(plane.Angle(rapid.Float64Range(-3, 3).Draw(t, "spin"))),
		Shift: r3.Vec{X: 90 * in.Draw(t, "x"), Y: 90 * in.Draw(t, "y"), Z: 90 * in.Draw(t, "z")},
	}
}

func TestUnpaired(t *testing.T) {
	h, box := hook(t), solid.Box(10, 10, 10)
	named := func(name string, m *mesh.Mesh, count int) Part { return Part{Name: name, Mesh: m, Count: count} }
	left, right := named("arm-left", solid.At(h, 20, 0, 0), 1), named("arm-right", mirrored(solid.At(h, 20, 0, 0)), 1)
	tests := []struct {
		name  string
		parts []Part
		want  []Unpaired
	}{
		{"both there", []Part{left, right}, nil},
		{"one missing", []Part{left, named("body", box, 1)}, []Unpaired{{0, true}}},
		{"the other is not its mirror image", []Part{left, named("arm-right", box, 1)}, nil},
		{"needed twice", []Part{named("arm-left", h, 2)}, nil},
		{"one side only", []Part{left, right, named("badge", solid.At(box, 40, 0, 0), 1)}, []Unpaired{{2, false}}},
		{"in the middle", []Part{left, right, named("badge", box, 1)}, nil},
		{"on one side, needed twice", []Part{left, right, named("badge", solid.At(box, 40, 0, 0), 2)}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := unpaired(tt.parts, make([]bool, len(tt.parts)), twins(tt.parts))
			if d := cmp.Diff(tt.want, got); d != "" {
				t.Errorf("unpaired (-want +got):\n%s", d)
			}
		})
	}
}
