package mesh_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func TestMeasures(t *testing.T) {
	third := math.Sqrt(3) / 2
	tests := []struct {
		name   string
		m      *mesh.Mesh
		volume float64
		area   float64
		centre r3.Vec
		src    string
	}{
		{"box", solid.Box(2, 3, 5), 30, 62, r3.Vec{Z: 2.5}, "symmetry"},
		{"pyramid", solid.Pyramid(30, 10), 3000, 900 + 30*math.Sqrt(1300), r3.Vec{Z: 2.5}, "a quarter of the height"},
		{"tetrahedron", solid.Tetrahedron(30), 27000 / (6 * math.Sqrt2), math.Sqrt(3) * 900,
			r3.Vec{Y: -30 * third / 6, Z: 30 * math.Sqrt(2.0/3) / 4}, "mean of the corners"},
		{"bracket", solid.LBracket(60, 40, 5, 20), 9500, 2*475 + 20*200,
			// Arm 60·5 about (0, 37.5), post 5·35 about (−27.5, 17.5).
			r3.Vec{X: -27.5 * 175 / 475, Z: (300*37.5 + 175*17.5) / 475}, "two bars"},
		{"hollow box", solid.HollowBox(10, 8, 6, 1), 480 - 192, 376 + 208, r3.Vec{Z: 3}, "symmetry"},
		{"inside out", solid.InsideOut(solid.Pyramid(30, 10)), -3000, 900 + 30*math.Sqrt(1300), r3.Vec{Z: 2.5}, "as the right way out"},
	}
	for _, tt := range tests {
		for _, shift := range []r3.Vec{{}, {X: 1e4, Y: -1e4, Z: 3e4}} {
			m := solid.At(tt.m, shift.X, shift.Y, shift.Z)
			got := mesh.NewTopology(m).Measure()
			// Shifted coordinates themselves are rounded by 4e-12 mm.
			if !got.Solid || !closeTo(got.Volume, tt.volume, 1e-9, math.Abs(tt.volume)) || !closeTo(got.Area, tt.area, 1e-9, tt.area) {
				t.Errorf("%s: Measure = %+v, want volume %v, area %v (%s)", tt.name, got, tt.volume, tt.area, tt.src)
			}
			if d := r3.Norm(r3.Sub(got.Centre, r3.Add(tt.centre, shift))); d > 1e-9*m.Diagonal() {
				t.Errorf("%s: centre = %v, want %v (%s)", tt.name, got.Centre, r3.Add(tt.centre, shift), tt.src)
			}
			if m.Volume() != got.Volume || m.Area() != got.Area {
				t.Errorf("%s: Volume, Area = %v, %v, Measure = %+v", tt.name, m.Volume(), m.Area(), got)
			}
		}
	}
}

func TestMeasureOfWhatIsNoSolid(t *testing.T) {
	box := solid.Box(10, 10, 10).Triangles()
	openTop := weld(t, withoutFacets(box, func(s mesh.Triangle) bool { return s[0].Z+s[1].Z+s[2].Z == 30 }))
	flake := weld(t, []mesh.Triangle{box[0], flipped(box[0])})
	tests := []struct {
		name   string
		m      *mesh.Mesh
		centre r3.Vec
	}{
		// Floor 100 at z = 0, walls 400 at z = 5.
		{"open box", openTop, r3.Vec{Z: 4}},
		{"flake", flake, r3.Scale(1.0/3, r3.Add(r3.Add(box[0][0], box[0][1]), box[0][2]))},
	}
	for _, tt := range tests {
		got := mesh.NewTopology(tt.m).Measure()
		if got.Solid || got.Volume != 0 || r3.Norm(r3.Sub(got.Centre, tt.centre)) > 1e-12 {
			t.Errorf("%s: Measure = %+v, want no solid about %v", tt.name, got, tt.centre)
		}
		if c, solid := tt.m.Centroid(); solid || c != got.Centre {
			t.Errorf("%s: Centroid = %v, %v", tt.name, c, solid)
		}
	}
}

// withoutFacets returns the facets that are not dropped.
func withoutFacets(soup []mesh.Triangle, drop func(mesh.Triangle) bool) (out []mesh.Triangle) {
	for _, s := range soup {
		if !drop(s) {
			out = append(out, s)
		}
	}
	return out
}

func TestMeasureShells(t *testing.T) {
	m := solid.Together(solid.Box(2, 3, 5), solid.InsideOut(solid.At(solid.Box(1, 1, 1), 100, 0, 0)))
	got := mesh.NewTopology(m).MeasureShells()
	if len(got) != 2 || !closeTo(got[0].Volume, 30, 1e-9, 30) || !closeTo(got[1].Volume, -1, 1e-9, 1) {
		t.Fatalf("MeasureShells = %+v", got)
	}
	if r3.Norm(r3.Sub(got[1].Centre, r3.Vec{X: 100, Z: 0.5})) > 1e-9 {
		t.Errorf("centre of the second = %v", got[1].Centre)
	}
}

func TestVolumeAndAreaKeepWhenTurned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawSolid(t)
		pose := drawPose(t, 100)
		got := m.Moved(pose)
		if !closeTo(got.Volume(), m.Volume(), 1e-10, m.Volume()) || !closeTo(got.Area(), m.Area(), 1e-10, m.Area()) {
			t.Errorf("volume %v → %v, area %v → %v", m.Volume(), got.Volume(), m.Area(), got.Area())
		}
		c, _ := m.Centroid()
		d, ok := got.Centroid()
		if gap := r3.Norm(r3.Sub(d, pose.Apply(c))); !ok || gap > 1e-9*m.Diagonal() {
			t.Errorf("centre is off by %v", gap)
		}
	})
}

func TestVolumeGrowsWithTheCube(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		m := drawSolid(rt)
		k := rapid.Float64Range(0.01, 100).Draw(rt, "k")
		got := scaled(t, m, k)
		if want := k * k * k * m.Volume(); !closeTo(got.Volume(), want, 1e-11, want) {
			rt.Errorf("Volume = %v, want %v", got.Volume(), want)
		}
		if want := k * k * m.Area(); !closeTo(got.Area(), want, 1e-11, want) {
			rt.Errorf("Area = %v, want %v", got.Area(), want)
		}
	})
}
