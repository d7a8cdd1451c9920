package mesh_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
)

func TestPoseBack(t *testing.T) {
	up, err := mesh.NewDirection(r3.Vec{X: 1})
	if err != nil {
		t.Fatal(err)
	}
	// What stood along X stands up; 10 up on the plate is 10 along X, less the
	// shift.
	p := mesh.Pose{Frame: mesh.Upright(up), Shift: r3.Vec{Z: 4}}
	if got := p.Back(r3.Vec{Z: 14}); r3.Norm(r3.Sub(got, r3.Vec{X: 10})) > 1e-12 {
		t.Errorf("Back = %v, want 10 along X", got)
	}
	rng := rand.New(rand.NewPCG(17, 18))
	draw := func() r3.Vec { return r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()} }
	for range 100 {
		d, err := mesh.NewDirection(draw())
		if err != nil {
			t.Fatal(err)
		}
		p := mesh.Pose{Frame: mesh.Upright(d).Spun(plane.Angle(2 * math.Pi * rng.Float64())), Shift: r3.Scale(100, draw())}
		v := r3.Scale(100, draw())
		if got := p.Back(p.Apply(v)); r3.Norm(r3.Sub(got, v)) > 1e-11 {
			t.Errorf("Back(Apply(%v)) = %v", v, got)
		}
	}
}
