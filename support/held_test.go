package support_test

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// jointsWhere makes joints of the facets whose middle is where.
func jointsWhere(m *mesh.Mesh, where func(r3.Vec) bool) support.Body {
	roles := make([]support.Role, m.NumFaces())
	for i := range roles {
		a, b, c := m.Corners(mesh.FaceID(i))
		if where(r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))) {
			roles[i] = support.Joint
		}
	}
	return support.NewBody(m, roles)
}

func TestHeldJoints(t *testing.T) {
	// A slab of 50 × 20 whose underside of 40 × 20 is 30 up, over a block of
	// 10 × 10 × 12; beside them a slab of 30 × 10, 20 up.
	m := solid.Together(solid.Table(40, 20, 30, 5), solid.Box(10, 10, 12), solid.At(solid.Table(30, 10, 20, 5), 100, 0, 0))
	all := func(r3.Vec) bool { return true }
	under := support.JointPatch{Area: 800, Middle: r3.Vec{Z: 30}}
	block := support.JointPatch{Area: 100, Middle: r3.Vec{Z: 12}}
	other := support.JointPatch{Area: 300, Middle: r3.Vec{X: 100, Z: 20}}
	tests := []struct {
		name  string
		where func(r3.Vec) bool
		want  []support.JointPatch
	}{
		{"none", func(r3.Vec) bool { return false }, nil},
		{"all", all, []support.JointPatch{under, other, block}},
		{"block", func(p r3.Vec) bool { return p.X < 50 && p.Z < 12.1 }, []support.JointPatch{block}},
		{"half of a ceiling", func(p r3.Vec) bool { return p.X > 0 && p.X < 50 && p.Z > 29 && p.Z < 31 }, []support.JointPatch{
			{Area: 400, Middle: r3.Vec{X: 40.0 / 6, Y: -20.0 / 6, Z: 30}}}},
		{"walls only", func(p r3.Vec) bool { return p.Z > 13 && p.Z < 19 }, nil},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			got := raw(45).HeldJoints(jointsWhere(m, c.where))
			if len(got) != len(c.want) {
				t.Fatalf("%d patches, want %d: %+v", len(got), len(c.want), got)
			}
			for i, want := range c.want {
				near(t, "area", got[i].Area, want.Area, 1e-6)
				if r3.Norm(r3.Sub(got[i].Middle, want.Middle)) > 1e-6 {
					t.Errorf("middle = %v, want %v", got[i].Middle, want.Middle)
				}
			}
		})
	}
	// Bridges need no support: of spans of 40 and 15 the longer is held.
	s := support.Defaults()
	m = solid.Together(solid.Table(40, 20, 30, 5), solid.At(solid.Table(15, 10, 20, 5), 100, 0, 0))
	got := s.HeldJoints(jointsWhere(m, all))
	if len(got) != 1 || got[0].Middle.X > 50 {
		t.Errorf("held joints = %+v, want that of the wide span alone", got)
	}
}

func TestHeldJointsAddUpToScar(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	shape := simple()
	s := support.Defaults()
	s.Ledge = 3 // columns further apart than for 1 mm, and as many ledges
	found := 0
	for range 30 {
		m := standing(t, shape, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		normal := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		b := jointsWhere(m, func(p r3.Vec) bool { return r3.Dot(normal, r3.Sub(p, r3.Vec{Z: 20})) > 0 })
		sum := 0.0
		for i, p := range s.HeldJoints(b) {
			found++
			sum += p.Area
			if p.Area <= 0 {
				t.Errorf("patch %d without area", i)
			}
		}
		want := support.Measure(b, s).Scar[support.Joint]
		near(t, "sum of the patches", sum, want, 1e-9*want+1e-9)
	}
	if found < 60 {
		t.Errorf("%d patches in all: the draws test nothing", found)
	}
}
