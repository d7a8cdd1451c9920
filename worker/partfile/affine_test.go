package partfile

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
)

func randomVec(random *rand.Rand, scale float64) r3.Vec {
	return r3.Scale(scale, vec(random.NormFloat64(), random.NormFloat64(), random.NormFloat64()))
}

func randomPose(t testing.TB, random *rand.Rand, shift r3.Vec) mesh.Pose {
	t.Helper()
	up, err := mesh.NewDirection(randomVec(random, 1))
	if err != nil {
		t.Fatal(err)
	}
	spin := plane.Angle(random.Float64() * 6)
	return mesh.Pose{Frame: mesh.Upright(up).Spun(spin), Shift: shift}
}

// TestAffineOfPose is the law that a transposed matrix would break.
func TestAffineOfPose(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for range 200 {
		pose := randomPose(t, random, randomVec(random, 100))
		a := affineOf(pose)
		p := randomVec(random, 100)
		if got, want := a.apply(p), pose.Apply(p); r3.Norm(r3.Sub(got, want)) > 1e-12*300 {
			t.Fatalf("affineOf(pose).apply(%v) = %v, want %v", p, got, want)
		}
		if got := a.volume(); !near(got, 1, 1e-12) {
			t.Fatalf("volume of a rotation = %v, want 1", got)
		}
	}
}

func TestAffineThen(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 10))
	draw := func() affine {
		var a affine
		for i := range a {
			a[i] = random.NormFloat64()
		}
		return a
	}
	for range 200 {
		a, b, p := draw(), draw(), randomVec(random, 10)
		got, want := a.then(b).apply(p), b.apply(a.apply(p))
		if r3.Norm(r3.Sub(got, want)) > 1e-12*1000 {
			t.Fatalf("a.then(b).apply(%v) = %v, want %v", p, got, want)
		}
		if got, want := a.then(b).volume(), a.volume()*b.volume(); !near(got, want, 1e-10) {
			t.Fatalf("volume of a.then(b) = %v, want %v", got, want)
		}
	}
}
