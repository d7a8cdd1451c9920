package support_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func bedOf(m *mesh.Mesh) support.BedFaces { return support.Defaults().Bed(support.NewBody(m, nil)) }

func TestBed(t *testing.T) {
	const layer = 0.2
	// A cap of height t of a ball of radius R has the shadow π(2Rt − t²).
	cap := math.Pi * (2*10*layer - layer*layer)
	reach := 2 * math.Sqrt(2*10*layer-layer*layer)
	tests := []struct {
		name          string
		mesh          *mesh.Mesh
		length, width float64
		faces         []support.BedFace
		tol           float64
	}{
		{"block", solid.At(spun(solid.Box(30, 20, 60), 25), 7, 8, 0), 30, 20, []support.BedFace{
			{Area: 600, Length: 30, Width: 20, Middle: r2.Vec{X: 7, Y: 8}}}, 1e-9},
		{"table", solid.Table(40, 20, 30, 5), 50, 20, []support.BedFace{
			{Area: 100, Length: 20, Width: 5, Middle: r2.Vec{X: -22.5}}, {Area: 100, Length: 20, Width: 5, Middle: r2.Vec{X: 22.5}}}, 1e-9},
		{"two blocks apart", solid.Together(solid.Box(10, 10, 5), solid.At(solid.Box(30, 20, 5), 40, 0, 0)), 60, 20, []support.BedFace{
			{Area: 600, Length: 30, Width: 20, Middle: r2.Vec{X: 40}}, {Area: 100, Length: 10, Width: 10}}, 1e-9},
		// Lifted by half the first layer, a face is pressed onto the plate all
		// the same; lifted by more than the layer, it is not.
		{"block a little higher", solid.Together(solid.Box(10, 10, 5), solid.At(solid.Box(10, 10, 5), 20, 0, layer/2)), 30, 10, []support.BedFace{
			{Area: 100, Length: 10, Width: 10}, {Area: 100, Length: 10, Width: 10, Middle: r2.Vec{X: 20}}}, 1e-9},
		{"block higher", solid.Together(solid.Box(10, 10, 5), solid.At(solid.Box(10, 10, 5), 20, 0, 2*layer)), 10, 10, []support.BedFace{
			{Area: 100, Length: 10, Width: 10}}, 1e-9},
		// Leaning out by 45°, the wall adds a layer's height on every side.
		{"block with sides that lean out", flared(t, 20, 30, 5), 30 + 2*layer, 20 + 2*layer, []support.BedFace{
			{Area: (20 + 2*layer) * (30 + 2*layer), Length: 30 + 2*layer, Width: 20 + 2*layer}}, 1e-9},
		{"ball", solid.Sphere(10, 200), reach, reach, []support.BedFace{{Area: cap, Length: reach, Width: reach}}, 5e-3},
		{"ring", solid.Torus(30, 3, 90, 90), 66 + reach - 6, 66 + reach - 6, nil, math.Inf(1)},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			got := bedOf(c.mesh)
			near(t, "length", got.Length, c.length, c.tol*c.length)
			near(t, "width", got.Width, c.width, c.tol*c.width)
			if c.faces == nil {
				if len(got.Faces) != 1 {
					t.Errorf("%d faces, want one ring", len(got.Faces))
				}
				return
			}
			if len(got.Faces) != len(c.faces) {
				t.Fatalf("%d faces, want %d: %+v", len(got.Faces), len(c.faces), got.Faces)
			}
			for i, want := range c.faces {
				f := got.Faces[i]
				near(t, "area", f.Area, want.Area, c.tol*want.Area)
				near(t, "length", f.Length, want.Length, c.tol*want.Length)
				near(t, "width", f.Width, want.Width, c.tol*want.Width)
				near(t, "middle", r2.Norm(r2.Sub(f.Middle, want.Middle)), 0, 1e-6)
			}
		})
	}
}

// flared is a block whose sides lean out by 45° as they rise.
func flared(t testing.TB, x, y, height float64) *mesh.Mesh {
	t.Helper()
	box := solid.Box(x, y, height)
	corners := make([]r3.Vec, box.NumVertices())
	for i, v := range box.Vertices() {
		v.X += math.Copysign(v.Z, v.X)
		v.Y += math.Copysign(v.Z, v.Y)
		corners[i] = v
	}
	return built(t, corners, box.Faces())
}

// Two facets that meet high above the plate and come down to it far apart are
// two feet.
func TestBedOfAnArch(t *testing.T) {
	m := built(t, []r3.Vec{{X: -5}, {X: 5}, {Y: -3, Z: 5}, {Y: 3, Z: 5}}, [][3]mesh.VertexID{{0, 3, 2}, {1, 2, 3}})
	got := bedOf(m)
	if len(got.Faces) != 2 {
		t.Fatalf("%d faces, want 2", len(got.Faces))
	}
	// Within 0.2 of 5 mm of height, a triangle of 5 × 6 is smaller by 25.
	for _, f := range got.Faces {
		near(t, "area", f.Area, 15.0/(25*25), 1e-9)
	}
}

func TestBedContactByRole(t *testing.T) {
	m := solid.Table(40, 20, 30, 5)
	roles := make([]support.Role, m.NumFaces())
	for i := range roles {
		if a, _, _ := m.Corners(mesh.FaceID(i)); a.X < 0 {
			roles[i] = support.Joint
		}
	}
	got := support.Defaults().Bed(support.NewBody(m, roles)).Contact
	near(t, "joint", got[support.Joint], 100, 1e-9)
	near(t, "show", got[support.Show], 100, 1e-9)
	near(t, "hidden", got[support.Hidden], 0, 0)
}

// simple is a body of few facets with support on itself and shells through each
// other.
func simple() *mesh.Mesh {
	return solid.Together(solid.Table(40, 20, 30, 5), solid.At(solid.Pyramid(12, 9), 3, 2, 0),
		solid.At(solid.Sphere(4, 3), -9, 1, 6), solid.At(solid.Box(9, 7, 20), 17, 2, 20))
}

func TestBedAddsUpToContact(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	shape := simple()
	for range 100 {
		m := standing(t, shape, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		s := raw(45)
		s.FirstLayer = 4 * rng.Float64() // deep enough to meet several shells
		b := support.NewBody(m, nil)
		got := s.Bed(b)
		want := support.Measure(b, s).Contact
		near(t, "contact", got.Contact.Sum(), want, 1e-9*want+1e-9)
		sum := 0.0
		for i, f := range got.Faces {
			sum += f.Area
			if i > 0 && f.Area > got.Faces[i-1].Area {
				t.Error("a face comes after a smaller one")
			}
			if f.Width > f.Length || f.Area > f.Width*f.Length*(1+1e-9) || f.Length > math.Hypot(got.Length, got.Width)*(1+1e-9) {
				t.Errorf("face %+v of %v × %v", f, got.Length, got.Width)
			}
		}
		near(t, "sum of the faces", sum, want, 1e-9*want+1e-9)
	}
}

func TestWorries(t *testing.T) {
	w := support.DefaultWorries()
	for _, c := range []struct {
		name       string
		mesh       *mesh.Mesh
		warp, tall bool
		slender    float64
	}{
		{"post of 4 times its base", solid.Box(10, 20, 40), false, false, 4},
		{"post of more", solid.Box(10, 20, 41), false, true, 4.1},
		{"strip of 100", solid.Box(100, 8, 4), false, false, 0.5},
		{"strip of 101", solid.Box(101, 8, 4), true, false, 0.5},
		{"tile of 59 cm²", solid.Box(80, 74, 4), false, false, 4.0 / 74},
		{"tile of 61 cm²", solid.Box(80, 76.25, 4), true, false, 4 / 76.25},
		{"ball", solid.Sphere(10, 100), false, true, 20 / (2 * math.Sqrt(2*10*0.2-0.04))},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := bedOf(c.mesh)
			near(t, "slenderness", got.Slenderness(), c.slender, 0.01*c.slender)
			if w.IsTall(got) != c.tall {
				t.Errorf("tall = %v, want %v", !c.tall, c.tall)
			}
			if w.MayWarp(got.Faces[0]) != c.warp {
				t.Errorf("may warp = %v, want %v", !c.warp, c.warp)
			}
		})
	}
	onPoint := bedOf(solid.At(solid.Box(5, 5, 5), 0, 0, 1)) // floats: stands on nothing
	if got := onPoint.Slenderness(); !math.IsInf(got, 1) || !w.IsTall(onPoint) {
		t.Errorf("slenderness without a base = %v, want +Inf", got)
	}
}
