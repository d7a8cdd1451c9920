package mesh_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
	"platewright/support/plane"
)

func TestNewDirection(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	tests := []struct {
		name string
		in   r3.Vec
		want r3.Vec
		err  error
	}{
		{"unit", r3.Vec{Y: 1}, r3.Vec{Y: 1}, nil},
		{"to be scaled", r3.Vec{X: 3, Z: 4}, r3.Vec{X: 0.6, Z: 0.8}, nil},
		{"square overflows", r3.Vec{X: 3e200, Z: 4e200}, r3.Vec{X: 0.6, Z: 0.8}, nil},
		{"square underflows", r3.Vec{X: 3e-200, Z: 4e-200}, r3.Vec{X: 0.6, Z: 0.8}, nil},
		{"zero", r3.Vec{}, r3.Vec{}, mesh.ErrNoDirection},
		{"NaN", r3.Vec{X: 1, Y: nan}, r3.Vec{}, mesh.ErrNoDirection},
		{"infinite", r3.Vec{X: inf}, r3.Vec{}, mesh.ErrNoDirection},
	}
	for _, tt := range tests {
		got, err := mesh.NewDirection(tt.in)
		if !errors.Is(err, tt.err) {
			t.Errorf("%s: error %v, want %v", tt.name, err, tt.err)
		}
		if err == nil && r3.Norm(r3.Sub(got.Vec(), tt.want)) > 1e-15 {
			t.Errorf("%s: NewDirection = %v, want %v", tt.name, got.Vec(), tt.want)
		}
	}
	if got := (mesh.Direction{}).Vec(); got != (r3.Vec{Z: 1}) {
		t.Errorf("the zero Direction is %v", got)
	}
}

// offRotation is how far the axes are from square, right-handed and of unit
// length.
func offRotation(f mesh.Frame) float64 {
	return max(math.Abs(r3.Norm(f.X)-1), math.Abs(r3.Norm(f.Y)-1), math.Abs(r3.Norm(f.Z)-1),
		math.Abs(r3.Dot(f.X, f.Y)), math.Abs(r3.Dot(f.Y, f.Z)), math.Abs(r3.Dot(f.Z, f.X)),
		r3.Norm(r3.Sub(r3.Cross(f.X, f.Y), f.Z)))
}

func TestUprightIsARotationEverywhere(t *testing.T) {
	check := func(v r3.Vec) {
		t.Helper()
		up, err := mesh.NewDirection(v)
		if err != nil {
			t.Fatal(err)
		}
		f := mesh.Upright(up)
		if off := offRotation(f); off > 1e-14 {
			t.Errorf("Upright(%v) is off a rotation by %v", v, off)
		}
		if off := r3.Norm(r3.Sub(f.Turn(up.Vec()), r3.Vec{Z: 1})); off > 1e-14 {
			t.Errorf("Upright(%v) turns it %v off +Z", v, off)
		}
	}
	// Ever nearer to −Z, where the plain formula divides by zero.
	for e := 0; e > -320; e-- {
		tilt := math.Pow(10, float64(e))
		check(r3.Vec{X: tilt, Z: -1})
		check(r3.Vec{Y: -tilt, Z: -1})
		check(r3.Vec{X: 0.6 * tilt, Y: 0.8 * tilt, Z: -1})
		check(r3.Vec{X: tilt, Y: tilt * tilt, Z: 1})
	}
	if f := mesh.Upright(mesh.Direction{}); f != mesh.Identity() {
		t.Errorf("Upright(+Z) = %v", f)
	}
}

func TestUprightTakesTheShortestTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawPose(t, 0).Frame
		up, err := mesh.NewDirection(f.Z)
		if err != nil {
			t.Fatal(err)
		}
		// A turn about an axis square to Z and up leaves the axis where it is.
		axis := r3.Cross(r3.Vec{Z: 1}, up.Vec())
		if got := mesh.Upright(up).Turn(axis); r3.Norm(r3.Sub(got, axis)) > 1e-14 {
			t.Errorf("axis %v went to %v", axis, got)
		}
	})
}

func TestSpunTurnsCounterClockwise(t *testing.T) {
	quarter := mesh.Identity().Spun(90 * plane.Degree)
	if got := quarter.Turn(r3.Vec{X: 1}); r3.Norm(r3.Sub(got, r3.Vec{Y: 1})) > 1e-15 {
		t.Errorf("a quarter turn takes +X to %v, want +Y", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		f := drawPose(t, 0).Frame
		a := plane.Angle(rapid.Float64Range(-7, 7).Draw(t, "a"))
		if off := offRotation(f.Spun(a)); off > 1e-14 {
			t.Errorf("Spun(%v) is off a rotation by %v", a, off)
		}
		back := f.Spun(a).Spun(-a)
		if r3.Norm(r3.Sub(back.X, f.X))+r3.Norm(r3.Sub(back.Y, f.Y)) > 1e-14 {
			t.Errorf("there and back is %v, not %v", back, f)
		}
	})
}

func TestPoseMatrixDoesWhatApplyDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pose := drawPose(t, 10)
		v := drawPose(t, 10).Shift
		m, want := pose.Matrix(), pose.Apply(v)
		in := [4]float64{v.X, v.Y, v.Z, 1}
		var got [4]float64
		for i := range 4 {
			for j := range 4 {
				got[i] += m[4*i+j] * in[j]
			}
		}
		if r3.Norm(r3.Sub(r3.Vec{X: got[0], Y: got[1], Z: got[2]}, want)) > 1e-13 || got[3] != 1 {
			t.Errorf("matrix gives %v, Apply %v", got, want)
		}
	})
}

func TestMovedKeepsFacetsAndNormals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawSolid(t)
		pose := drawPose(t, 50)
		got := m.Moved(pose)
		// What New makes of the moved corners must be what Moved says.
		fresh, err := mesh.New(got.Vertices(), got.Faces())
		if err != nil {
			t.Fatal(err)
		}
		if got.Bounds() != fresh.Bounds() {
			t.Errorf("Bounds = %v, want %v", got.Bounds(), fresh.Bounds())
		}
		for f := range m.NumFaces() {
			id := mesh.FaceID(f)
			if got.Face(id) != m.Face(id) || r3.Norm(r3.Sub(got.Normal(id), fresh.Normal(id))) > 1e-11 ||
				!closeTo(got.FaceArea(id), fresh.FaceArea(id), 1e-11, fresh.FaceArea(id)) {
				t.Fatalf("facet %d has changed", f)
			}
		}
		if got := solid.At(m, 1, 2, 3).Bounds().Min; r3.Norm(r3.Sub(got, r3.Add(m.Bounds().Min, r3.Vec{X: 1, Y: 2, Z: 3}))) > 1e-12 {
			t.Errorf("shifted to %v", got)
		}
	})
}

func TestDirectionIsTakenAsItIs(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 10_000 {
		d, err := mesh.NewDirection(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		if err != nil {
			t.Fatal(err)
		}
		again, err := mesh.NewDirection(d.Vec())
		if err != nil || again != d {
			t.Fatalf("NewDirection(%v) = %v, %v", d.Vec(), again.Vec(), err)
		}
	}
}
