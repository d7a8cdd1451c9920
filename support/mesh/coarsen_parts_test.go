package mesh

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestTurnAround(t *testing.T) {
	const v = 9
	tests := []struct {
		name  string
		faces [][3]VertexID
		want  bool
	}{
		{"a turn in any order", [][3]VertexID{{v, 2, 3}, {1, v, 0}, {3, 0, v}, {v, 1, 2}}, true},
		{"from the first facet to a gap", [][3]VertexID{{v, 0, 1}, {v, 1, 2}, {v, 2, 3}, {v, 3, 4}}, false},
		{"from a facet in the middle to a gap", [][3]VertexID{{v, 2, 3}, {v, 0, 1}, {v, 1, 2}, {v, 3, 4}}, false},
		{"one facet the wrong way", [][3]VertexID{{v, 0, 1}, {v, 2, 1}, {v, 2, 3}, {v, 3, 0}}, false},
		{"two turns", [][3]VertexID{{v, 0, 1}, {v, 1, 2}, {v, 2, 0}, {v, 3, 4}, {v, 4, 5}, {v, 5, 3}}, false},
		{"two turns with an edge in common", [][3]VertexID{{v, 0, 1}, {v, 1, 2}, {v, 2, 0}, {v, 0, 4}, {v, 4, 5}, {v, 5, 0}}, false},
		{"the same from elsewhere", [][3]VertexID{{v, 1, 2}, {v, 2, 0}, {v, 0, 1}, {v, 0, 4}, {v, 4, 5}, {v, 5, 0}}, false},
	}
	for _, tt := range tests {
		var f fan
		facets := make([]FaceID, len(tt.faces))
		for i := range facets {
			facets[i] = FaceID(i)
		}
		if got := f.turnAround(v, facets, tt.faces); got != tt.want {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
		for i := 0; tt.want && i < f.n; i++ {
			if f.ring[i] != (f.ring[0]+VertexID(i))%4 {
				t.Errorf("%s: ring %v", tt.name, f.ring)
			}
		}
	}
}

// Two pyramids base to base: corners of the base are next to each other round
// a waist that is no facet.
func TestLinkedSeesWaists(t *testing.T) {
	vertices := []r3.Vec{{X: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}, {Z: 1}, {Z: -1}}
	var faces [][3]VertexID
	for i := range VertexID(3) {
		faces = append(faces, [3]VertexID{i, (i + 1) % 3, 3}, [3]VertexID{(i + 1) % 3, i, 4})
	}
	m, err := New(vertices, faces)
	if err != nil {
		t.Fatal(err)
	}
	c := newCoarsener(m, Decimation{Facets: 1, Deviation: 1})
	c.listAround()
	if !c.spread(0) {
		t.Fatal("no turn around a corner of the base")
	}
	for i := range c.fan.n {
		if x := c.fan.ring[i]; c.linked(i) != (x >= 3) {
			t.Errorf("from corner 0 onto %d: %v", x, x < 3)
		}
	}
}
