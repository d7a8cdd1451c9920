package support

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// latticeRelief is a relief with two binary digits behind the point: corners on
// columns and edges through them are then common.
func latticeRelief(corners []corner, faces [][3]mesh.VertexID) *relief {
	r := &relief{corners: corners, faces: faces, lattice: lattice{fraction: 2, scale: 0.25, near: 0.25 / (1 << 18)}, unit: 0.5}
	r.low, r.high = corners[0], corners[0]
	for _, c := range corners {
		r.low = corner{min(r.low.x, c.x), min(r.low.y, c.y), min(r.low.z, c.z)}
		r.high = corner{max(r.high.x, c.x), max(r.high.y, c.y), max(r.high.z, c.z)}
	}
	return r
}

// hitsOf strikes a relief and returns the facets that each column meets.
func hitsOf(r *relief) (map[[2]int32][]mesh.FaceID, *columns) {
	c := &columns{step: 1}
	c.fill(r)
	out := map[[2]int32][]mesh.FaceID{}
	for _, h := range c.hits {
		f := h.face
		if f < 0 {
			f = ^f
		}
		at := [2]int32{h.column%int32(c.nx) + r.low.x>>r.fraction, h.column/int32(c.nx) + r.low.y>>r.fraction}
		out[at] = append(out[at], f)
	}
	return out, c
}

// slowlyInside tells whether a column meets a facet, another way: it is inside
// the triangle once it is moved a little to the left and much less down. Little
// is a 2¹⁵th and much less a 2³⁰th of a unit, with corners below 2⁹ units.
func slowlyInside(r *relief, f mesh.FaceID, x, y int32) bool {
	px, py := int64(x<<r.fraction)<<30-1<<15, int64(y<<r.fraction)<<30-1
	lefts := 0
	for k := range 3 {
		a, b := r.corners[r.faces[f][k]], r.corners[r.faces[f][(k+1)%3]]
		if int64(b.x-a.x)*(py-int64(a.y)<<30) > int64(b.y-a.y)*(px-int64(a.x)<<30) {
			lefts++
		}
	}
	return lefts == 0 || lefts == 3
}

// Triangles of all sizes, so that all ways to strike are taken, with corners
// and edges on columns.
func TestStrikeIsExact(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	for size := range int32(5) {
		var corners []corner
		var faces [][3]mesh.VertexID
		side := int32(6) << size // up to 96 columns: boxes above smallBox
		for i := range mesh.VertexID(60) {
			for range 3 {
				corners = append(corners, corner{4 * random.Int32N(side) >> random.Int32N(3), 4 * random.Int32N(side) >> random.Int32N(3), random.Int32N(100)})
			}
			faces = append(faces, [3]mesh.VertexID{3 * i, 3*i + 1, 3*i + 2})
		}
		r := latticeRelief(corners, faces)
		got, c := hitsOf(r)
		for y := r.low.y >> 2; y <= r.high.y>>2; y++ {
			for x := r.low.x >> 2; x <= r.high.x>>2; x++ {
				var want []mesh.FaceID
				for f := range faces {
					if slowlyInside(r, mesh.FaceID(f), x, y) {
						want = append(want, mesh.FaceID(f))
					}
				}
				if !slices.Equal(got[[2]int32{x, y}], want) {
					t.Fatalf("side %d, column %d, %d meets %v, want %v", side, x, y, got[[2]int32{x, y}], want)
				}
			}
		}
		checkHeights(t, r, c)
	}
}

// checkHeights holds crossings against the facets' planes.
func checkHeights(t *testing.T, r *relief, c *columns) {
	t.Helper()
	for _, h := range c.hits {
		f := max(h.face, ^h.face)
		p := [3]r3.Vec{}
		for k, v := range r.faces[f] {
			q := r.corners[v]
			p[k] = r3.Vec{X: float64(q.x), Y: float64(q.y), Z: float64(q.z-r.low.z) * r.unit}
		}
		x := float64((h.column%int32(c.nx) + r.low.x>>2) << 2)
		y := float64((h.column/int32(c.nx) + r.low.y>>2) << 2)
		n := r3.Cross(r3.Sub(p[1], p[0]), r3.Sub(p[2], p[0]))
		want := p[0].Z - (n.X*(x-p[0].X)+n.Y*(y-p[0].Y))/n.Z
		if math.Abs(float64(h.z)-want) > 1e-4 {
			t.Fatalf("facet %d at %v, %v: height %v, want %v", f, x, y, h.z, want)
		}
		if up := n.Z > 0; up != (h.face < 0) {
			t.Fatalf("facet %d looks up %v, its crossing %v", f, up, h.face < 0)
		}
	}
}

// A sheet of facets meets each column within it exactly once, wherever its
// corners lie.
func TestColumnOnAnEdgeBelongsToOneFacet(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		const n = 9
		pitch := 1 + random.Int32N(60)
		var corners []corner
		var faces [][3]mesh.VertexID
		for y := range int32(n) {
			for x := range int32(n) {
				c := corner{x * pitch, y * pitch, random.Int32N(50)}
				if x > 0 && x < n-1 && y > 0 && y < n-1 {
					c.x += random.Int32N(pitch/3+1) - pitch/6
					c.y += random.Int32N(pitch/3+1) - pitch/6
				}
				corners = append(corners, c)
			}
		}
		for y := range mesh.VertexID(n - 1) {
			for x := range mesh.VertexID(n - 1) {
				a := y*n + x
				faces = append(faces, [3]mesh.VertexID{a, a + 1, a + n + 1}, [3]mesh.VertexID{a, a + n + 1, a + n})
			}
		}
		got, _ := hitsOf(latticeRelief(corners, faces))
		last := (n - 1) * pitch >> 2 // the right and the upper border are the sheet's
		if len(got) != int(last*last) {
			t.Fatalf("pitch %d: the sheet meets %d columns, want %d", pitch, len(got), last*last)
		}
		for at, f := range got {
			if len(f) != 1 {
				t.Fatalf("pitch %d: column %v meets facets %v", pitch, at, f)
			}
		}
	}
}

// In a closed mesh each column goes in as often as out, on any lattice.
func TestColumnsCloseInClosedMeshes(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 7))
	shape := solid.Together(solid.Torus(12, 3, 40, 12), solid.At(solid.HollowBox(10, 12, 14, 2), 10, 3, 5), solid.Sphere(9, 12))
	for range 100 {
		up, err := mesh.NewDirection(r3.Vec{X: random.NormFloat64(), Y: random.NormFloat64(), Z: random.NormFloat64()})
		if err != nil {
			t.Fatal(err)
		}
		standing, _ := NewBody(shape, nil).Stand(up)
		var c columns
		c.sample(surfaceOf(standing.Mesh), 0.05+random.Float64())
		depth := make([]int, c.nx*c.ny)
		for _, h := range c.hits {
			if h.face < 0 {
				depth[h.column]--
			} else {
				depth[h.column]++
			}
		}
		for i, d := range depth {
			if d != 0 {
				t.Fatalf("column %d of %d goes in %d times more than out", i, len(depth), d)
			}
		}
		for x := range c.nx {
			for _, i := range [2]int{x, (c.ny-1)*c.nx + x} {
				if len(c.of(i)) > 0 {
					t.Fatalf("column %d at the border meets the body", i)
				}
			}
		}
		for y := range c.ny {
			for _, i := range [2]int{y * c.nx, y*c.nx + c.nx - 1} {
				if len(c.of(i)) > 0 {
					t.Fatalf("column %d at the border meets the body", i)
				}
			}
		}
	}
}

func TestJoin(t *testing.T) {
	enter := func(z float32, f mesh.FaceID) crossing { return crossing{z, f} }
	leave := func(z float32, f mesh.FaceID) crossing { return crossing{z, ^f} }
	tests := []struct {
		name string
		in   []crossing
		want []span
	}{
		{"in and out", []crossing{enter(1, 7), leave(2, 8)}, []span{{1, 2, 7, 8}}},
		{"out found first", []crossing{leave(2, 8), enter(1, 7)}, []span{{1, 2, 7, 8}}},
		{"no thickness", []crossing{leave(1, 8), enter(1, 7)}, []span{{1, 1, 7, 8}}},
		{"no thickness under more", []crossing{leave(1, 8), enter(1, 7), enter(3, 5), leave(4, 6)}, []span{{1, 1, 7, 8}, {3, 4, 5, 6}}},
		{"two in an open mesh", []crossing{enter(1, 7), enter(2, 8)}, []span{{1, 1, 7, 7}}},
		{"upside down", []crossing{enter(2, 7), leave(1, 8)}, []span{{2, 2, 7, 7}}},
		{"two spans", []crossing{leave(5, 1), enter(4, 2), leave(2, 3), enter(1, 4)}, []span{{1, 2, 4, 3}, {4, 5, 2, 1}}},
		{"two that touch", []crossing{enter(1, 1), leave(2, 2), enter(2.05, 3), leave(3, 4)}, []span{{1, 3, 1, 4}}},
		{"one in another", []crossing{enter(1, 1), enter(2, 2), leave(3, 3), leave(4, 4)}, []span{{1, 4, 1, 4}}},
		{"two through each other", []crossing{enter(1, 1), leave(3, 3), enter(2, 2), leave(4, 4)}, []span{{1, 4, 1, 4}}},
		{"on each other exactly", []crossing{enter(1, 1), leave(2, 2), enter(2, 3), leave(3, 4)}, []span{{1, 3, 1, 4}}},
	}
	for _, tt := range tests {
		var c columns
		if c.join(tt.in, 0.1); !slices.Equal(c.spans, tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, c.spans, tt.want)
		}
	}
}
