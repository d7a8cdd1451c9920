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
	"platewright/support/plane"
)

var upright = r3.Vec{Z: 1}

func slim(t testing.TB, m *mesh.Mesh, up r3.Vec) []support.Slim {
	t.Helper()
	d, err := mesh.NewDirection(up)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := support.NewBody(m, nil).Stand(d)
	return support.DefaultWorries().Slim(b)
}

// halfStep is how far an end may be off that is neither on the plate nor the
// part's top.
const halfStep = 0.25

// round returns the thickness, breadth and area of a regular polygon of n
// corners, n a multiple of 4, on a circle of radius r.
func round(r float64, n int) (thickness, breadth, area float64) {
	a := math.Pi / float64(n)
	return 2 * r * math.Cos(a), 2 * r * math.Cos(a), float64(n) / 2 * r * r * math.Sin(2*a)
}

func TestSlim(t *testing.T) {
	pegW, pegB, pegA := round(2.5, 48)
	pipeW, pipeB, pipeA := round(3, 48)
	_, _, bore := round(1.5, 48)
	coneW, coneB, coneA := round(5*(1-35.75/60), 48)
	// One shell: a disc of radius 20 and height 10 with a peg of radius 2.5.
	pegOnDisc := turned(t, 48, r2.Vec{}, r2.Vec{X: 20}, r2.Vec{X: 20, Y: 10}, r2.Vec{X: 2.5, Y: 10}, r2.Vec{X: 2.5, Y: 30}, r2.Vec{Y: 30})
	down := r3.Vec{Z: -1}
	block := solid.Box(40, 40, 10)
	peg := solid.Cylinder(2.5, 20, 48)
	fin := solid.Together(solid.Box(80, 40, 9), solid.At(solid.Box(60, 3, 40), 0, 0, 9))
	touchInX := solid.Together(solid.Box(5, 10, 40), solid.At(solid.Box(5, 9, 40), 5, 0, 0))
	touchInY := solid.Together(solid.Box(10, 5, 40), solid.At(solid.Box(9, 5, 40), 0, 5, 0))
	// 6 high and 3 thick, no fin by itself; a fin and a spur stand on it.
	spurred := solid.Together(solid.Box(60, 3, 6), solid.At(solid.Box(40, 3, 20), -10, 0, 6), solid.At(solid.Box(3, 3, 2), 28, 0, 6))
	const free, joined, onPlate = support.Free, support.Joined, support.OnPlate
	tests := []struct {
		name string
		mesh *mesh.Mesh
		up   r3.Vec
		want []support.Slim
	}{
		{"peg on a disc", pegOnDisc, upright, []support.Slim{
			{Bottom: 10, Top: 30, Thickness: pegW, Breadth: pegB, Area: pegA, Middle: r3.Vec{Z: 20}, Below: joined, Above: free}}},
		{"peg on a disc, lying", pegOnDisc, lyingUp, nil},
		{"peg that carries a disc", pegOnDisc, down, []support.Slim{
			{Bottom: 0, Top: 20, Thickness: pegW, Breadth: pegB, Area: pegA, Middle: r3.Vec{Z: 10}, Below: onPlate, Above: joined}}},
		{"peg sunk into a block", solid.Together(block, solid.At(peg, 3, 4, 6)), upright, []support.Slim{
			{Bottom: 10, Top: 26, Thickness: pegW, Breadth: pegB, Area: pegA, Middle: r3.Vec{X: 3, Y: 4, Z: 18}, Below: joined, Above: free}}},
		{"peg set on a block", solid.Together(block, solid.At(peg, 3, 4, 10)), upright, []support.Slim{
			{Bottom: 10, Top: 30, Thickness: pegW, Breadth: pegB, Area: pegA, Middle: r3.Vec{X: 3, Y: 4, Z: 20}, Below: joined, Above: free}}},
		{"the same peg twice", solid.Together(block, solid.At(peg, 3, 4, 10), solid.At(peg, 3, 4, 10)), upright, []support.Slim{
			{Bottom: 10, Top: 30, Thickness: pegW, Breadth: pegB, Area: pegA, Middle: r3.Vec{X: 3, Y: 4, Z: 20}, Below: joined, Above: free}}},
		{"peg under a table", solid.Together(solid.Table(40, 40, 30, 9), solid.At(peg, 3, 4, 10)), upright, []support.Slim{
			{Bottom: 10, Top: 30, Thickness: pegW, Breadth: pegB, Area: pegA, Middle: r3.Vec{X: 3, Y: 4, Z: 20}, Below: free, Above: joined}}},
		{"peg by itself", peg, upright, []support.Slim{
			{Bottom: 0, Top: 20, Thickness: pegW, Breadth: pegB, Area: pegA, Middle: r3.Vec{Z: 10}, Below: onPlate, Above: free}}},
		{"long peg and short peg", solid.Together(block, solid.At(peg, -9, 0, 10), solid.At(solid.Cylinder(2.5, 14, 48), 9, 0, 10)), upright, []support.Slim{
			{Bottom: 10, Top: 30, Thickness: pegW, Breadth: pegB, Area: pegA, Middle: r3.Vec{X: -9, Z: 20}, Below: joined, Above: free}}},
		{"narrow pipe", turned(t, 48, r2.Vec{X: 1.5}, r2.Vec{X: 3}, r2.Vec{X: 3, Y: 40}, r2.Vec{X: 1.5, Y: 40}), upright, []support.Slim{
			{Bottom: 0, Top: 40, Thickness: pipeW, Breadth: pipeB, Area: pipeA - bore, Hollow: true, Middle: r3.Vec{Z: 20}, Below: onPlate, Above: free}}},
		{"wide pipe", turned(t, 48, r2.Vec{X: 18}, r2.Vec{X: 20}, r2.Vec{X: 20, Y: 90}, r2.Vec{X: 18, Y: 90}), upright, nil},
		// Radius 5 at the foot and 60 high: at 12 it is 8 thick; half-way from
		// there to the tip the section is the one at 35.75.
		{"spike", solid.Cone(5, 60, 48), upright, []support.Slim{
			{Bottom: 12, Top: 60, Thickness: coneW, Breadth: coneB, Area: coneA, Middle: r3.Vec{Z: 36}, Below: joined, Above: free}}},
		{"blunt cone", solid.Cone(10, 50, 48), upright, nil},
		{"neck between discs", turned(t, 48, r2.Vec{}, r2.Vec{X: 15}, r2.Vec{X: 15, Y: 6}, r2.Vec{X: 2.5, Y: 6}, r2.Vec{X: 2.5, Y: 24}, r2.Vec{X: 15, Y: 24}, r2.Vec{X: 15, Y: 30}, r2.Vec{Y: 30}),
			upright, []support.Slim{{Bottom: 6, Top: 24, Thickness: pegW, Breadth: pegB, Area: pegA, Middle: r3.Vec{Z: 15}, Below: joined, Above: joined}}},
		{"table with four legs", fourLegged(), upright, []support.Slim{
			{Bottom: 0, Top: 30, Thickness: 5, Breadth: 6, Area: 30, Middle: r3.Vec{X: -20, Y: -15, Z: 15}, Below: onPlate, Above: joined},
			{Bottom: 0, Top: 30, Thickness: 5, Breadth: 6, Area: 30, Middle: r3.Vec{X: -20, Y: 15, Z: 15}, Below: onPlate, Above: joined},
			{Bottom: 0, Top: 30, Thickness: 5, Breadth: 6, Area: 30, Middle: r3.Vec{X: 20, Y: -15, Z: 15}, Below: onPlate, Above: joined},
			{Bottom: 0, Top: 30, Thickness: 5, Breadth: 6, Area: 30, Middle: r3.Vec{X: 20, Y: 15, Z: 15}, Below: onPlate, Above: joined}}},
		{"bracket on its blade", solid.LBracket(60, 40, 5, 20), upright, []support.Slim{
			{Bottom: 0, Top: 35, Thickness: 5, Breadth: 20, Area: 100, Middle: r3.Vec{X: -27.5, Z: 17.5}, Below: onPlate, Above: joined}}},
		{"bracket, blade up", solid.LBracket(60, 40, 5, 20), down, []support.Slim{
			{Bottom: 5, Top: 40, Thickness: 5, Breadth: 20, Area: 100, Middle: r3.Vec{X: -27.5, Z: 22.5}, Below: joined, Above: free}}},
		{"bracket, profile flat", solid.LBracket(60, 40, 5, 20), r3.Vec{Y: 1}, nil},
		{"fin", fin, upright, []support.Slim{
			{Bottom: 9, Top: 49, Thickness: 3, Breadth: 60, Area: 180, Middle: r3.Vec{Z: 29}, Below: joined, Above: free}}},
		{"fin, turned", spun(fin, 33), upright, []support.Slim{
			{Bottom: 9, Top: 49, Thickness: 3, Breadth: 60, Area: 180, Middle: r3.Vec{Z: 29}, Below: joined, Above: free}}},
		{"fin, lying", fin, r3.Vec{Y: 1}, nil},
		// 60° from upright, in its own plane and out of it.
		{"fin swept back", sheared(t, solid.Box(60, 3, 30), math.Sqrt(3), 0), upright, []support.Slim{
			{Bottom: 0, Top: 30, Thickness: 3, Breadth: 60, Area: 180, Middle: r3.Vec{X: 14.75 * math.Sqrt(3), Z: 14.75}, Below: onPlate, Above: free}}},
		{"fin that leans over", sheared(t, solid.Box(60, 3, 30), 0, math.Sqrt(3)), upright, nil},
		{"fin beside a spur", spurred, upright, []support.Slim{
			{Bottom: 0, Top: 26, Thickness: 3, Breadth: 40, Area: 120, Middle: r3.Vec{X: -10, Z: 13}, Below: onPlate, Above: free}}},
		{"fin beside a spur, head down", spurred, down, []support.Slim{
			{Bottom: 0, Top: 26, Thickness: 3, Breadth: 40, Area: 120, Middle: r3.Vec{X: -10, Z: 13}, Below: onPlate, Above: free}}},
		// 16 high, but 7 thick in the middle; above and below 2 thick, but 5 and 6 high.
		{"bead on a stick", turned(t, 48, r2.Vec{}, r2.Vec{X: 1}, r2.Vec{X: 1, Y: 5}, r2.Vec{X: 3.5, Y: 5}, r2.Vec{X: 3.5, Y: 9}, r2.Vec{X: 1, Y: 9}, r2.Vec{X: 1, Y: 14}, r2.Vec{Y: 14}), upright, nil},
		{"pin with a head", turned(t, 48, r2.Vec{}, r2.Vec{X: 2.5}, r2.Vec{X: 2.5, Y: 16}, r2.Vec{X: 3.9, Y: 16}, r2.Vec{X: 3.9, Y: 19}, r2.Vec{Y: 19}), upright, []support.Slim{
			{Bottom: 0, Top: 16, Thickness: pegW, Breadth: pegB, Area: pegA, Middle: r3.Vec{Z: 8}, Below: onPlate, Above: free}}},
		{"from the plate up", solid.Together(solid.Box(7.9, 7.9, 3), solid.At(solid.Box(2, 2, 12), 0, 0, 3), solid.At(solid.Box(2, 2, 10), 20, 0, 1)), upright, []support.Slim{
			{Bottom: 1, Top: 11, Thickness: 2, Breadth: 2, Area: 4, Middle: r3.Vec{X: 20, Z: 6}, Below: free, Above: free},
			{Bottom: 3, Top: 15, Thickness: 2, Breadth: 2, Area: 4, Middle: r3.Vec{Z: 9}, Below: onPlate, Above: free}}},
		// The prongs spread to 30 apart and are 9 broad: no fin. One of them goes on from the stem.
		{"two prongs on a stem", solid.Together(solid.Box(6, 9, 9),
			solid.At(sheared(t, solid.Box(2.9, 9, 30), -0.5, 0), -1.5, 0, 9), solid.At(sheared(t, solid.Box(2.9, 9, 30), 0.5, 0), 1.5, 0, 9)), upright, []support.Slim{
			{Bottom: 0, Top: 39, Thickness: 2.9, Breadth: 9, Area: 26.1, Middle: r3.Vec{X: -1.5 - 10.25/2, Z: 19.25}, Below: onPlate, Above: free},
			{Bottom: 9, Top: 39, Thickness: 2.9, Breadth: 9, Area: 26.1, Middle: r3.Vec{X: 1.5 + 14.75/2, Z: 23.75}, Below: joined, Above: free}}},
		{"window frame", frame(), upright, []support.Slim{
			{Bottom: 0, Top: 40, Thickness: 4, Breadth: 60, Area: 40, Middle: r3.Vec{Z: 20}, Below: onPlate, Above: free}}},
		{"comb", comb(), upright, []support.Slim{
			{Bottom: 0, Top: 26, Thickness: 3, Breadth: 53, Area: 54, Middle: r3.Vec{Z: 13}, Below: onPlate, Above: free}}},
		{"table on two slabs", solid.Table(40, 60, 30, 5), upright, []support.Slim{
			{Bottom: 0, Top: 30, Thickness: 5, Breadth: 60, Area: 300, Middle: r3.Vec{X: -22.5, Z: 15}, Below: onPlate, Above: joined},
			{Bottom: 0, Top: 30, Thickness: 5, Breadth: 60, Area: 300, Middle: r3.Vec{X: 22.5, Z: 15}, Below: onPlate, Above: joined}}},
		{"tunnel with broad walls", solid.Together(solid.At(solid.Table(40, 60, 30, 5), 0, 0, 5), solid.Box(50, 60, 5)), upright, nil},
		{"tunnel with narrow walls", solid.Together(solid.At(solid.Table(40, 25, 30, 5), 0, 0, 5), solid.Box(50, 25, 5)), upright, []support.Slim{
			{Bottom: 5, Top: 35, Thickness: 5, Breadth: 25, Area: 125, Middle: r3.Vec{X: -22.5, Z: 20}, Below: joined, Above: joined},
			{Bottom: 5, Top: 35, Thickness: 5, Breadth: 25, Area: 125, Middle: r3.Vec{X: 22.5, Z: 20}, Below: joined, Above: joined}}},
		{"dome", solid.HemisphericalShell(100, 97, 30), upright, nil},
		{"bowl", solid.HemisphericalShell(100, 97, 30), down, nil},
		{"ball", solid.Sphere(10, 30), upright, nil},
		{"hollow post", solid.HollowBox(6, 6, 30, 1), upright, []support.Slim{
			{Bottom: 0, Top: 30, Thickness: 6, Breadth: 6, Area: 20, Hollow: true, Middle: r3.Vec{Z: 15}, Below: onPlate, Above: free}}},
		// Each by itself is slim, both side by side are 9 or 10 thick. Along x
		// lines run through both; along y they run along the sides that touch.
		{"posts that touch in x", touchInX, upright, nil},
		{"posts that touch in y", touchInY, upright, nil},
		{"posts that touch askew", spun(touchInX, 33), upright, nil},
		{"posts that touch, one inside out", solid.Together(solid.Box(5, 10, 40), solid.At(solid.InsideOut(solid.Box(5, 9, 40)), 5, 0, 0)), upright, []support.Slim{
			{Bottom: 0, Top: 40, Thickness: 5, Breadth: 10, Area: 50, Middle: r3.Vec{Z: 20}, Below: onPlate, Above: free}}},
		{"posts apart", solid.Together(solid.Box(5, 10, 40), solid.At(solid.Box(5, 10, 40), 5.1, 0, 0)), upright, []support.Slim{
			{Bottom: 0, Top: 40, Thickness: 5, Breadth: 10, Area: 50, Middle: r3.Vec{Z: 20}, Below: onPlate, Above: free},
			{Bottom: 0, Top: 40, Thickness: 5, Breadth: 10, Area: 50, Middle: r3.Vec{X: 5.1, Z: 20}, Below: onPlate, Above: free}}},
		{"block 3 times as high as thick", solid.Box(5, 6, 15), upright, []support.Slim{
			{Bottom: 0, Top: 15, Thickness: 5, Breadth: 6, Area: 30, Middle: r3.Vec{Z: 7.5}, Below: onPlate, Above: free}}},
		{"block not quite 3 times as high", solid.Box(5, 6, 14.9), upright, nil},
		{"block 8 thick", solid.Box(9, 8, 40), upright, []support.Slim{
			{Bottom: 0, Top: 40, Thickness: 8, Breadth: 9, Area: 72, Middle: r3.Vec{Z: 20}, Below: onPlate, Above: free}}},
		{"block more than 8 thick", solid.Box(9, 8.1, 40), upright, nil},
		{"hair of half a millimetre", solid.Box(0.5, 0.5, 3), upright, []support.Slim{
			{Bottom: 0, Top: 3, Thickness: 0.5, Breadth: 0.5, Area: 0.25, Middle: r3.Vec{Z: 1.5}, Below: onPlate, Above: free}}},
		{"inside out", solid.InsideOut(peg), upright, nil},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			got := slim(t, c.mesh, c.up)
			if len(got) != len(c.want) {
				t.Fatalf("%d features, want %d: %+v", len(got), len(c.want), got)
			}
			for i, want := range c.want {
				alikeSlim(t, got[i], want, 0.01)
			}
		})
	}
}

// alikeSlim compares figures, those of the section to a share of themselves.
func alikeSlim(t *testing.T, got, want support.Slim, share float64) {
	t.Helper()
	end := func(what string, got, want float64, e support.End) {
		t.Helper()
		if e == support.OnPlate {
			near(t, what, got, want, 1e-9)
			return
		}
		near(t, what, got, want, halfStep+1e-9)
	}
	end("bottom", got.Bottom, want.Bottom, want.Below)
	end("top", got.Top, want.Top, want.Above)
	near(t, "thickness", got.Thickness, want.Thickness, share*want.Thickness)
	near(t, "breadth", got.Breadth, want.Breadth, share*want.Breadth)
	near(t, "area", got.Area, want.Area, 2*share*want.Area)
	near(t, "middle x", got.Middle.X, want.Middle.X, share*math.Abs(want.Middle.X)+0.02)
	near(t, "middle y", got.Middle.Y, want.Middle.Y, share*math.Abs(want.Middle.Y)+0.02)
	near(t, "middle z", got.Middle.Z, want.Middle.Z, 2*halfStep)
	if got.Below != want.Below || got.Above != want.Above || got.Hollow != want.Hollow {
		t.Errorf("%v below, %v above, hollow %v; want %v, %v, %v", got.Below, got.Above, got.Hollow, want.Below, want.Above, want.Hollow)
	}
}

// A peg of radius r and length l that leans by a, sunk 4 mm along its middle
// line: it tops out at (l−4)·cos a + r·sin a above the block, its sections are
// ellipses of r by r/cos a.
func TestSlimPegThatLeans(t *testing.T) {
	const r, block = 2.5, 10.0
	for _, c := range []struct {
		deg, length float64
		listed      bool
	}{
		{30, 30, true}, {30, 60, true}, {40, 60, true},
		{52, 30, false}, {52, 60, false}, {70, 30, false}, {70, 60, false}, {70, 150, false},
	} {
		sin, cos := math.Sincos(c.deg * math.Pi / 180)
		top := block + (c.length-4)*cos + r*sin
		got := slim(t, leaningPeg(t, c.deg, c.length), upright)
		if !c.listed {
			if len(got) != 0 {
				t.Errorf("peg of %v at %v°: %+v, want nothing", c.length, c.deg, got)
			}
			continue
		}
		if len(got) != 1 {
			t.Fatalf("peg of %v at %v°: %d features, want 1", c.length, c.deg, len(got))
		}
		rise := (top - block) / 2
		alikeSlim(t, got[0], support.Slim{
			Bottom: block, Top: top, Thickness: 2 * r, Breadth: 2 * r / cos, Area: math.Pi * r * r / cos,
			Middle: r3.Vec{Y: got[0].Middle.Y, Z: block + rise}, Below: support.Joined, Above: support.Free,
		}, 0.01)
		near(t, "middle y", math.Abs(got[0].Middle.Y), rise*math.Tan(c.deg*math.Pi/180), 0.3)
	}
}

// A peg of radius 2 whose foot runs out into a fillet of radius 6: the fillet
// does not hide it, though the foot is 16 thick.
func TestSlimPegWithAFillet(t *testing.T) {
	const r, fillet, block, top = 2.0, 6.0, 5.0, 30.0
	profile := []r2.Vec{{}, {X: 20}, {X: 20, Y: block}}
	for i := range 13 {
		sin, cos := math.Sincos(math.Pi / 2 * float64(i) / 12)
		profile = append(profile, r2.Vec{X: r + fillet*(1-sin), Y: block + fillet*(1-cos)})
	}
	profile = append(profile, r2.Vec{X: r, Y: top}, r2.Vec{Y: top})
	got := slim(t, turned(t, 48, profile...), upright)
	if len(got) != 1 {
		t.Fatalf("%d features, want 1: %+v", len(got), got)
	}
	width, _, _ := round(r, 48)
	near(t, "thickness", got[0].Thickness, width, 1e-3)
	near(t, "top", got[0].Top, top, halfStep)
	if b := got[0].Bottom; b < block || b > block+fillet {
		t.Errorf("bottom = %v, want it in the fillet", b)
	}
	if got[0].Below != support.Joined || got[0].Above != support.Free {
		t.Errorf("ends %v and %v", got[0].Below, got[0].Above)
	}
}

// The thickness of a prism on a random convex ring, against the least of its
// extents across every edge.
func TestSlimThicknessOfPrisms(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 100 {
		var points []r2.Vec
		for range 3 + rng.IntN(20) {
			points = append(points, r2.Vec{X: 3 * rng.NormFloat64(), Y: rng.NormFloat64()})
		}
		ring := plane.Hull(points)
		want := math.Inf(1)
		for i, a := range ring {
			d := r2.Unit(r2.Sub(ring[(i+1)%len(ring)], a))
			far := 0.0
			for _, p := range ring {
				far = max(far, r2.Cross(d, r2.Sub(p, a)))
			}
			want = min(want, far)
		}
		if want < 0.4 {
			continue // thinner than a line
		}
		got := slim(t, extruded(t, ring, 30), upright)
		if want > 8 {
			if len(got) != 0 {
				t.Errorf("%v thick: listed", want)
			}
			continue
		}
		if len(got) != 1 {
			t.Fatalf("%d features of a prism %v thick, want 1", len(got), want)
		}
		near(t, "thickness", got[0].Thickness, want, 1e-9)
		near(t, "area", got[0].Area, ring.SignedArea(), 1e-9*ring.SignedArea())
	}
}

// Corners all but on one line, as turning leaves them, do not stop the search
// for the corner farthest away.
func TestSlimThicknessOfStraightSides(t *testing.T) {
	const long, thick, pieces = 30.0, 3.0, 40
	for deg := range 90 {
		var points []r2.Vec
		for i := range pieces + 1 {
			for _, y := range []float64{0, thick} {
				points = append(points, r2.Vec{X: long * float64(i) / pieces, Y: y})
			}
		}
		ring := plane.Hull(plane.Ring(points).Placed(plane.Angle(deg)*plane.Degree, r2.Vec{X: 100, Y: 50}))
		got := slim(t, extruded(t, ring, 20), upright)
		if len(got) != 1 {
			t.Fatalf("%d features at %d°, want 1", len(got), deg)
		}
		near(t, "thickness", got[0].Thickness, thick, 1e-9)
		near(t, "breadth", got[0].Breadth, long, 1e-9)
	}
}

// extruded is an upright prism on a convex ring.
func extruded(t testing.TB, ring plane.Ring, height float64) *mesh.Mesh {
	t.Helper()
	n := len(ring)
	var corners []r3.Vec
	for _, z := range []float64{0, height} {
		for _, p := range ring {
			corners = append(corners, r3.Vec{X: p.X, Y: p.Y, Z: z})
		}
	}
	var faces [][3]mesh.VertexID
	id := func(i, level int) mesh.VertexID { return mesh.VertexID(level*n + i%n) }
	for i := range n {
		faces = append(faces, [3]mesh.VertexID{id(i, 0), id(i+1, 0), id(i+1, 1)}, [3]mesh.VertexID{id(i, 0), id(i+1, 1), id(i, 1)})
		if i > 0 && i+1 < n {
			faces = append(faces, [3]mesh.VertexID{id(0, 0), id(i+1, 0), id(i, 0)}, [3]mesh.VertexID{id(0, 1), id(i, 1), id(i+1, 1)})
		}
	}
	return built(t, corners, faces)
}

// Spinning a part changes no figure but where things are; standing it on its
// head swaps the ends.
func TestSlimLaws(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	m := solid.Together(fourLegged(),
		solid.At(solid.Box(30, 2, 25), 0, 3, 35), solid.At(solid.Cylinder(3, 22, 32), 24, -12, 34),
		solid.At(solid.Cone(2, 20, 32), -20, 12, 35), solid.At(solid.Box(3, 4, 12), 5, 0, 18))
	height := m.Bounds().Max.Z
	want := slim(t, m, upright)
	if len(want) != 8 {
		t.Fatalf("%d features, want 8: %+v", len(want), want)
	}
	matched := func(got []support.Slim, want support.Slim, share float64) {
		t.Helper()
		for _, g := range got {
			if r3.Norm(r3.Sub(g.Middle, want.Middle)) < 0.6 {
				alikeSlim(t, g, want, share)
				return
			}
		}
		t.Errorf("no feature at %v", want.Middle)
	}
	for range 100 {
		pose := mesh.Pose{Frame: mesh.Identity().Spun(plane.Angle(6 * rng.Float64())), Shift: r3.Vec{X: 100 * rng.NormFloat64()}}
		got := slim(t, m.Moved(pose), upright)
		if len(got) != len(want) {
			t.Fatalf("%d features, want %d", len(got), len(want))
		}
		for _, w := range want {
			w.Middle = pose.Apply(w.Middle)
			matched(got, w, 1e-6)
		}
	}
	// The section next below half-way is now the one next above: of the spike,
	// a twentieth thinner.
	got := slim(t, m, r3.Vec{Z: -1})
	if len(got) != len(want) {
		t.Fatalf("%d features upside down, want %d", len(got), len(want))
	}
	other := func(e support.End, z float64) support.End {
		switch {
		case e == support.OnPlate:
			return support.Free
		case e == support.Free && z == 0:
			return support.OnPlate
		}
		return e
	}
	for _, w := range want {
		bottom, top := height-w.Top, height-w.Bottom
		w.Bottom, w.Top = bottom, top
		w.Below, w.Above = other(w.Above, bottom), other(w.Below, height-top)
		w.Middle = r3.Vec{X: w.Middle.X, Y: -w.Middle.Y, Z: height - w.Middle.Z}
		matched(got, w, 0.05)
	}
}

// An open mesh is no reason to fail: what closes in a section counts.
func TestSlimOfAnOpenMesh(t *testing.T) {
	peg := solid.Together(solid.Box(40, 40, 10), solid.At(solid.Cylinder(2.5, 20, 48), 0, 0, 10))
	// Without the first facet of the block, whose side it is part of, the peg
	// stays.
	got := slim(t, built(t, peg.Vertices(), peg.Faces()[1:]), upright)
	if len(got) != 1 || math.Abs(got[0].Top-30) > halfStep {
		t.Errorf("peg on an open block: %+v", got)
	}
	// Every section of a post meets the facet that is missing. What stands
	// beside it is as it was.
	for _, x := range []float64{-10, 10} {
		post := solid.Box(5, 6, 30)
		for drop := range post.NumFaces() {
			if math.Abs(post.Normal(mesh.FaceID(drop)).Z) > 0.5 {
				continue
			}
			var kept [][3]mesh.VertexID
			kept = append(append(kept, post.Faces()[:drop]...), post.Faces()[drop+1:]...)
			open := solid.At(built(t, post.Vertices(), kept), x, 0, 0)
			got := slim(t, solid.Together(open, solid.Cylinder(2.5, 20, 48)), upright)
			if len(got) != 1 {
				t.Fatalf("%d features beside an open post, want 1: %+v", len(got), got)
			}
			width, breadth, area := round(2.5, 48)
			alikeSlim(t, got[0], support.Slim{Top: 20, Thickness: width, Breadth: breadth, Area: area,
				Middle: r3.Vec{Z: 10}, Below: support.OnPlate, Above: support.Free}, 1e-3)
		}
	}
	rng := rand.New(rand.NewPCG(9, 10))
	shape := lumpy()
	for range 50 {
		var kept [][3]mesh.VertexID
		for _, f := range shape.Faces() {
			if rng.Float64() < 0.8 {
				kept = append(kept, f)
			}
		}
		for _, f := range slim(t, built(t, shape.Vertices(), kept), upright) {
			if !(f.Thickness <= 8 && f.Slenderness() >= 3 && f.Area > 0) {
				t.Errorf("feature of an open mesh: %+v", f)
			}
		}
	}
	for _, corners := range [][]r3.Vec{
		{{}, {X: 1}, {Y: 1}},                 // level
		{{}, {X: 1}, {X: 1, Z: 1}},           // a lone facet
		{{Z: 5}, {X: 1, Z: 5}, {X: 2, Z: 5}}, // no area
	} {
		m := built(t, corners, [][3]mesh.VertexID{{0, 1, 2}})
		if got := support.DefaultWorries().Slim(support.NewBody(m, nil)); len(got) != 0 {
			t.Errorf("features of one facet: %+v", got)
		}
	}
}

func BenchmarkSlim(b *testing.B) {
	for _, size := range []struct {
		name string
		n    int
	}{{"tris=10k", 36}, {"tris=100k", 112}} {
		m := solid.HemisphericalShell(125, 121, size.n)
		b.Run(size.name, func(b *testing.B) {
			body := support.NewBody(m, nil)
			b.ReportAllocs()
			for b.Loop() {
				sink += float64(len(support.DefaultWorries().Slim(body)))
			}
		})
	}
}
