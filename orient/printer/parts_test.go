package printer_test

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/orient/printer"
	"platewright/orient/printer/toolpath"
	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

var long = flag.Bool("long", false, "hold the print time model against the slow one over every part of the demo and of duck-mm; takes an hour")

// shop is a printer and material with the documented defaults of a shop file.
func shop() (printer.Printer, printer.Material) {
	return printer.Printer{
		LineWidth: 0.4, Layer: 0.2, FirstLayer: 0.2, Walls: 3, Skins: 4, Infill: 0.15, SupportDensity: 0.15,
		WallSpeed: 50, SkinSpeed: 50, InfillSpeed: 60, SupportSpeed: 50, TravelSpeed: 150, FirstLayerSpeed: 20,
		Acceleration: 1000, TravelAcceleration: 3000, CornerSpeed: 5,
		HeatUp: 5, LayerChange: 1, LeastLayerTime: 8, TimeFactor: 1,
	}, printer.Material{Density: 1.24, Diameter: 1.75, FlowLimit: 11}
}

// coarse is a printer unlike that of shop in every number: a wide nozzle, thick
// layers, quick, held back by its flow limit.
func coarse() (printer.Printer, printer.Material) {
	return printer.Printer{
		LineWidth: 0.65, Layer: 0.32, FirstLayer: 0.3, Walls: 2, Skins: 3, Infill: 0.3, SupportDensity: 0.2,
		WallSpeed: 80, SkinSpeed: 100, InfillSpeed: 150, SupportSpeed: 120, TravelSpeed: 300, FirstLayerSpeed: 40,
		Acceleration: 4000, TravelAcceleration: 8000, CornerSpeed: 9,
		HeatUp: 2, LayerChange: 0.4, LeastLayerTime: 5, TimeFactor: 1,
	}, printer.Material{Density: 1.27, Diameter: 1.75, FlowLimit: 15}
}

// settings are those of support for a printer, with nothing spared: the slow
// estimate supports every overhang.
func settings(p printer.Printer) support.Settings {
	s := support.Defaults()
	s.Layer, s.FirstLayer = p.Layer, p.FirstLayer
	return s
}

// slowly returns the numbers of a printer in the words of package toolpath.
func slowly(p printer.Printer, m printer.Material) toolpath.Machine {
	return toolpath.Machine{
		LineWidth: p.LineWidth, Layer: p.Layer, FirstLayer: p.FirstLayer,
		Walls: p.Walls, Skins: p.Skins, Infill: p.Infill, SupportDensity: p.SupportDensity,
		Speed:           [toolpath.NumKinds]float64{p.WallSpeed, p.SkinSpeed, p.InfillSpeed, p.SupportSpeed, p.TravelSpeed},
		FirstLayerSpeed: p.FirstLayerSpeed, FlowLimit: m.FlowLimit,
		Acceleration: p.Acceleration, TravelAcceleration: p.TravelAcceleration, CornerSpeed: p.CornerSpeed,
		LayerChange: p.LayerChange, LeastLayerTime: p.LeastLayerTime, Overhang: math.Pi / 4,
	}
}

// triangles returns the facets of a mesh as package toolpath takes them.
func triangles(m *mesh.Mesh) []toolpath.Triangle {
	out := make([]toolpath.Triangle, m.NumFaces())
	for i, t := range m.Triangles() {
		out[i] = toolpath.Triangle(t)
	}
	return out
}

type part struct {
	name  string
	mesh  *mesh.Mesh
	every int // layers that one is drawn for, see toolpath.Options
}

// solids are eleven shapes of hand size: round and flat, solid and hollow.
func solids() []part {
	return []part{
		{"box", solid.Box(30, 20, 40), 5},
		{"hollow box", solid.HollowBox(40, 30, 25, 2), 5},
		{"pyramid", solid.Pyramid(40, 30), 5},
		{"tetrahedron", solid.Tetrahedron(40), 5},
		{"bracket", solid.LBracket(45, 30, 6, 20), 5},
		{"table", solid.Table(40, 20, 25, 5), 5},
		{"cylinder", solid.Cylinder(12, 40, 64), 5},
		{"cone", solid.Cone(18, 35, 64), 5},
		{"sphere", solid.Sphere(15, 16), 5},
		{"shell", solid.HemisphericalShell(25, 22.5, 24), 5},
		{"torus", solid.Torus(18, 6, 64, 32), 5},
	}
}

// ups are five ways up: as drawn, tipped over, upside down and on edge.
func ups(t testing.TB) []mesh.Direction {
	var out []mesh.Direction
	for _, v := range []r3.Vec{{Z: 1}, {X: 1, Y: 0.1}, {Y: 0.6, Z: -1}, {X: 1, Y: 1, Z: 1}, {X: 0.3, Y: -0.5, Z: 0.8}} {
		d, err := mesh.NewDirection(v)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, d)
	}
	return out
}

// root returns the folder of go.mod.
func root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		if dir == filepath.Dir(dir) {
			t.Fatal("no go.mod above the package")
		}
		dir = filepath.Dir(dir)
	}
}

// shared returns a place in the folder of data and references beside the
// repository, or skips the test.
func shared(t testing.TB, path string) string {
	t.Helper()
	path = filepath.Join(root(t), "..", "shared", filepath.FromSlash(path))
	if _, err := os.Stat(path); err != nil {
		t.Skip("skipped: shared data absent")
	}
	return path
}

// read loads a file by the STL library alone, as package partfile stands above
// this one.
func read(t testing.TB, path string, every int) part {
	t.Helper()
	s, err := stl.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	soup := make([]mesh.Triangle, len(s.Triangles))
	for i, tri := range s.Triangles {
		for k, v := range tri.Vertices {
			soup[i][k] = r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}
		}
	}
	m, _, err := mesh.Build(soup)
	if err != nil {
		t.Fatal(err)
	}
	return part{filepath.Base(path), m, every}
}
