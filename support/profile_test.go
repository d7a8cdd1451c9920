package support_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func TestNumLayers(t *testing.T) {
	s := support.Settings{Layer: 0.2, FirstLayer: 0.3}
	for _, c := range []struct {
		height float64
		want   int
	}{{0.1, 1}, {0.3, 1}, {0.31, 2}, {0.5, 2}, {20.3, 101}, {20.300001, 101}, {20.31, 102}} {
		if got := s.NumLayers(c.height); got != c.want {
			t.Errorf("NumLayers(%v) = %d, want %d", c.height, got, c.want)
		}
	}
}

// layersOf measures with layers of 0.2 mm.
func layersOf(m *mesh.Mesh) support.Profile {
	return support.Settings{Layer: 0.2, FirstLayer: 0.2}.Layers(support.NewBody(m, nil))
}

func TestLayersOfBlocks(t *testing.T) {
	block := solid.Box(10, 20, 12)
	tests := []struct {
		name              string
		mesh              *mesh.Mesh
		layer             int
		solid, wall, tol  float64
		islands           int
		downFirst, upLast float64
	}{
		{"block", block, 30, 200, 60, 1e-9, 1, 200, 200},
		{"two blocks apart", solid.Together(block, solid.At(block, 15, 0, 0)), 30, 400, 120, 1e-9, 2, 400, 400},
		{"two blocks that touch", solid.Together(block, solid.At(block, 10, 0, 0)), 30, 400, 80, 2, 1, 400, 400},
		{"two blocks through each other", solid.Together(block, solid.At(block, 5, 0, 0)), 30, 300, 70, 5, 1, 400, 400},
		{"the same block twice", solid.Together(block, block), 30, 200, 60, 1, 1, 400, 400},
		{"hollow block", solid.HollowBox(20, 20, 20, 2), 50, 400 - 256, 80 + 64, 1e-9, 1, 400, 400},
		{"table's posts", solid.Table(40, 20, 30, 5), 70, 200, 100, 1e-9, 2, 200, 1000},
	}
	for _, c := range tests {
		t.Run(c.name, func(t *testing.T) {
			p := layersOf(c.mesh)
			l := p[c.layer]
			near(t, "solid", l.Solid, c.solid, c.tol)
			near(t, "wall", l.Wall, c.wall, c.tol)
			if l.Islands != c.islands {
				t.Errorf("islands = %d, want %d", l.Islands, c.islands)
			}
			near(t, "down area of the first layer", p[0].Down, c.downFirst, 1e-6)
			near(t, "up area of the last layer", p[len(p)-1].Up, c.upLast, 1e-6)
		})
	}
}

// The outer staircase of a square pyramid, each layer as wide as the pyramid
// at the layer's foot: the steps hold a²h/2 + a²h/(6N) more than the pyramid,
// N = H/h: the sum of squares of an arithmetic series.
func TestStaircaseOfAPyramid(t *testing.T) {
	const a, height, h = 30.0, 20.0, 0.2
	pyramid := solid.Pyramid(a, height)
	// Cut just above each layer's foot: shift the pyramid up by half a layer
	// so that the middles of the layers are the feet of the ones asked for, a
	// hair less so that the first one cuts the base.
	frustum := layersOf(pyramid.Moved(mesh.Pose{Frame: mesh.Identity(), Shift: r3.Vec{Z: (1 - 1e-9) * h / 2}}))
	sum := 0.0
	for _, l := range frustum[:100] { // the last holds the tip alone
		sum += l.Solid * h
	}
	n := height / h
	near(t, "staircase", sum-pyramid.Volume(), a*a*h/2+a*a*h/(6*n), 1e-3)
}

// The outer staircases of a ball and of a lying cylinder: every layer as wide
// as the wider of its ends. To first order πR²h and 2RLh; the figures to hold
// are those of a numerical integration made elsewhere, R = 10, L = 50, h = 0.2.
func TestStaircasesOfRoundBodies(t *testing.T) {
	const h, layers = 0.2, 100
	for _, c := range []struct {
		name       string
		mesh       *mesh.Mesh
		volume     float64
		want, rule float64
	}{
		{"ball", solid.Sphere(10, 300), 4.0 / 3 * math.Pi * 1000, 62.4130, math.Pi * 100 * h},
		{"lying cylinder", standing(t, solid.Cylinder(10, 50, 4000), lyingUp), math.Pi * 100 * 50, 183.3793, 2 * 10 * 50 * h},
	} {
		// Lifted by half a layer, the middle of layer k is the height kh.
		p := layersOf(c.mesh.Moved(mesh.Pose{Frame: mesh.Identity(), Shift: r3.Vec{Z: (1 - 1e-9) * h / 2}}))
		sum := 0.0
		for k := range layers {
			next := 0.0 // the top of the last layer is a point
			if k+1 < layers {
				next = p[k+1].Solid
			}
			sum += h * math.Max(p[k].Solid, next)
		}
		near(t, "staircase of a "+c.name, sum-c.volume, c.want, 0.01*c.want)
		near(t, "first order of a "+c.name, sum-c.volume, c.rule, 0.1*c.rule)
	}
}

func TestLayersAddUp(t *testing.T) {
	ball := standing(t, solid.Sphere(10, 40), r3.Vec{X: 1, Y: 2, Z: 3})
	p := layersOf(ball)
	var down, up, wall float64
	for _, l := range p {
		down += l.Down
		up += l.Up
		wall += l.Wall * l.Thickness
	}
	near(t, "down", down, math.Pi*100, 0.5)
	near(t, "up", up, math.Pi*100, 0.5)
	near(t, "volume", p.Volume(), ball.Volume(), 1e-3*ball.Volume())
	// ∫ outline length dz over a ball is π²r².
	near(t, "wall", wall, math.Pi*math.Pi*100, 2)
}

// Without its lower half the outer skin of a shell leaves only the hole in the
// sections there: an area, not less than none.
func TestOpenSurfaceHasNoNegativeArea(t *testing.T) {
	box := solid.HollowBox(40, 30, 20, 2)
	var faces [][3]mesh.VertexID
	for i, f := range box.Faces() {
		a, b, c := box.Corners(mesh.FaceID(i))
		outer := max(a.X, b.X, c.X)-min(a.X, b.X, c.X) == 0 && math.Abs(math.Abs(a.X)-20) < 1e-9
		if !outer {
			faces = append(faces, f)
		}
	}
	if len(faces) != box.NumFaces()-4 {
		t.Fatalf("%d of %d facets left", len(faces), box.NumFaces())
	}
	open, err := mesh.New(box.Vertices(), faces)
	if err != nil {
		t.Fatal(err)
	}
	for k, l := range support.Defaults().Layers(support.NewBody(open, nil)) {
		if l.Solid < 0 || math.IsNaN(l.Solid) {
			t.Fatalf("layer %d has an area of %g", k, l.Solid)
		}
	}
}
