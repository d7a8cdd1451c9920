package orient_test

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// helmet is the shell of MEASURES: radii 100 and 97 mm, the outside on show, the
// inside hidden, the rim meeting another part. Its rim lies on the plate as
// drawn.
func helmet(n int) support.Body {
	m := solid.HemisphericalShell(100, 97, n)
	roles := make([]support.Role, m.NumFaces())
	for i := range roles {
		a, b, c := m.Corners(mesh.FaceID(i))
		middle := r3.Scale(1.0/3, r3.Add(r3.Add(a, b), c))
		switch n := m.Normal(mesh.FaceID(i)); {
		case n.Z < -0.999:
			roles[i] = support.Joint
		case r3.Dot(n, middle) < 0:
			roles[i] = support.Hidden
		}
	}
	return support.NewBody(m, roles)
}

// The trade that it is all about. Rim up the shell takes a fifth of the support,
// and all of it leaves its scars on the outside.
func TestShellStandsRimDownForACleanOutside(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped under -short: half a minute")
	}
	const n = 24
	s := settings()
	down := search(t, helmet(n), s).Options[0]
	if z := down.Up.Vec().Z; z < 0.999 {
		t.Errorf("up = %v, want rim down", down.Up.Vec())
	}
	if scar := down.Measures.Scar; scar[support.Show] != 0 || scar[support.Hidden] < 10_000 {
		t.Errorf("rim down: scars %v, want none on show and most of 173 cm² hidden", scar)
	}
	s.Weights.Bench = 0
	up := search(t, helmet(n), s).Options[0]
	if z := up.Up.Vec().Z; z > -0.9 {
		t.Errorf("where hand work weighs nothing: up = %v, want rim up", up.Up.Vec())
	}
	if up.Measures.Support > down.Measures.Support/4 || up.On[0].Hours > down.On[0].Hours-3 {
		t.Errorf("rim up: %.0f mm³ of support and %.1f h, rim down %.0f and %.1f: not the reason",
			up.Measures.Support, up.On[0].Hours, down.Measures.Support, down.On[0].Hours)
	}
	if up.Measures.Scar[support.Show] < 10_000 {
		t.Errorf("rim up: scars %v, want most of 184 cm² on show", up.Measures.Scar)
	}
	t.Logf("rim down %.1f h, %.0f mm³ of support, scars %.0f; rim up %.1f h, %.0f mm³, %.0f",
		down.On[0].Hours, down.Measures.Support, down.Measures.Scar, up.On[0].Hours, up.Measures.Support, up.Measures.Scar)
}
