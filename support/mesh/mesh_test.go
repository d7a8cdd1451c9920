package mesh_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func TestNewErrors(t *testing.T) {
	corners := []r3.Vec{{}, {X: 1}, {Y: 1}}
	tests := []struct {
		name     string
		vertices []r3.Vec
		faces    [][3]mesh.VertexID
		want     error
	}{
		{"no facets", corners, nil, mesh.ErrEmpty},
		{"corner beyond the last", corners, [][3]mesh.VertexID{{0, 1, 3}}, mesh.ErrIndex},
		{"negative corner", corners, [][3]mesh.VertexID{{0, -1, 2}}, mesh.ErrIndex},
		{"NaN", []r3.Vec{{X: math.NaN()}, {X: 1}, {Y: 1}}, [][3]mesh.VertexID{{0, 1, 2}}, mesh.ErrNotFinite},
		{"infinite", []r3.Vec{{X: math.Inf(-1)}, {X: 1}, {Y: 1}}, [][3]mesh.VertexID{{0, 1, 2}}, mesh.ErrNotFinite},
		{"opposite infinities", []r3.Vec{{X: math.Inf(-1), Y: math.Inf(1)}, {X: 1}, {Y: 1}}, [][3]mesh.VertexID{{0, 1, 2}}, mesh.ErrNotFinite},
	}
	for _, tt := range tests {
		if m, err := mesh.New(tt.vertices, tt.faces); !errors.Is(err, tt.want) || m != nil {
			t.Errorf("%s: New = %v, %v, want %v", tt.name, m, err, tt.want)
		}
	}
}

func TestFacetsHaveNormalsAndAreas(t *testing.T) {
	m, err := mesh.New(
		[]r3.Vec{{}, {X: 3}, {Y: 4}, {X: 1}, {Z: 1e300}, {X: 99, Y: 99, Z: 99}},
		[][3]mesh.VertexID{{0, 1, 2}, {0, 2, 1}, {0, 3, 1}},
	)
	if err != nil {
		t.Fatal(err)
	}
	wantNormals := []r3.Vec{{Z: 1}, {Z: -1}, {}}
	if !slices.Equal(m.Normals(), wantNormals) || !slices.Equal(m.FaceAreas(), []float64{6, 6, 0}) {
		t.Errorf("normals %v, areas %v", m.Normals(), m.FaceAreas())
	}
	if b := m.Bounds(); b != (r3.Box{Max: r3.Vec{X: 3, Y: 4}}) {
		t.Errorf("Bounds = %v: stray corners count", b)
	}
	if m.Diagonal() != 5 {
		t.Errorf("Diagonal = %v, want 5", m.Diagonal())
	}
}

func TestTrianglesSpellTheFacetsOut(t *testing.T) {
	m := solid.Pyramid(2, 3)
	for f, s := range m.Triangles() {
		a, b, c := m.Corners(mesh.FaceID(f))
		if s != (mesh.Triangle{a, b, c}) || s[0] != m.Vertex(m.Face(mesh.FaceID(f))[0]) {
			t.Errorf("facet %d = %v", f, s)
		}
	}
}

func Example() {
	m := solid.Box(10, 20, 30)
	centre, _ := m.Centroid()
	fmt.Printf("%d facets, %.0f mm³, %.0f mm², centre at height %.0f mm\n", m.NumFaces(), m.Volume(), m.Area(), centre.Z)
	// Output: 12 facets, 6000 mm³, 2200 mm², centre at height 15 mm
}
