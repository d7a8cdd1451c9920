package role

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func TestPartAtAnotherScale(t *testing.T) {
	front, back := openBin(t)
	lid := solid.At(solid.Box(100, 100, 5), 0, 0, 80)
	loose := solid.At(solid.Box(30, 30, 30), 0, 400, 0)
	with := func(m *mesh.Mesh, k float64) []*mesh.Mesh { return []*mesh.Mesh{front, back, scaled(t, m, 1/k)} }
	tests := []struct {
		name   string
		meshes []*mesh.Mesh
		want   []Odd
	}{
		{"none", with(lid, 1), nil},
		{"in metres", with(lid, 1000), []Odd{{2, 1000, true}}},
		{"in inches", with(lid, 25.4), []Odd{{2, 25.4, true}}},
		{"in centimetres", with(lid, 10), []Odd{{2, 10, true}}},
		{"micrometres", with(lid, 1.0/1000), []Odd{{2, 1.0 / 1000, true}}},
		{"meets nothing, in metres", with(loose, 1000), []Odd{{2, 1000, false}}},
		// A 1 mm part may well be meant.
		{"meets nothing, in inches", with(loose, 25.4), nil},
		{"meets nothing", with(loose, 1), nil},
		// A tenth of it would lie on the bin, but it is no odder than that.
		{"as large as the others", with(solid.At(solid.Box(200, 200, 20), 0, 0, 800), 1), nil},
		{"all the same small scale", []*mesh.Mesh{scaled(t, front, 1e-3), scaled(t, back, 1e-3), scaled(t, lid, 1e-3)}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a := Classify(partsOf(tt.meshes...), Settings{})
			if len(a.Odd) != len(tt.want) {
				t.Fatalf("odd = %+v, want %+v", a.Odd, tt.want)
			}
			for i, o := range a.Odd {
				if o.Part != tt.want[i].Part || o.Fits != tt.want[i].Fits || math.Abs(o.Factor/tt.want[i].Factor-1) > 1e-9 {
					t.Errorf("odd = %+v, want %+v", o, tt.want[i])
				}
			}
		})
	}
}

// A part a thousand times too large would be in all light.
func TestOddPartCastsNoShadow(t *testing.T) {
	front, back := openBin(t)
	huge := scaled(t, solid.At(solid.Box(100, 100, 5), 0, 0, 80), 1000)
	a := Classify(partsOf(front, back, huge), Settings{})
	checkAll(t, "outside", front, a.Roles[0], support.Show, 0, func(_, p r3.Vec) bool { return p.Y < -49.9 })
}
