package role

import (
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

func TestNotes(t *testing.T) {
	front, back := openBin(t)
	h := hook(t)
	named := func(names string, meshes ...*mesh.Mesh) []Part {
		parts := partsOf(meshes...)
		for i, name := range strings.Fields(names) {
			parts[i].Name = name
		}
		return parts
	}
	tests := []struct {
		name  string
		parts []Part
		part  int
		code  string
		want  string
	}{
		{"fit", named("front back", front, back), -1, NoteTogether, "1 pair with 7.6 cm² in contact."},
		{"fit but for one", named("front back hook", front, back, solid.At(h, 0, 0, 200)), -1, NoteTogether, "1 part meets no other."},
		{"apart", named("front back", front, solid.At(back, 0, 90, 0)), -1, NoteApart, "each is judged by itself"},
		{"alone", named("front back hook", front, back, solid.At(h, 0, 0, 200)), 2, NoteAlone, "Meets no other part"},
		{"clash", named("front back", front, solid.At(back, 10, -40, 1.4)), 0, NoteClash, "inside back"},
		{"scale, sure", named("front back lid", front, back, scaled(t, solid.At(solid.Box(100, 100, 5), 0, 0, 80), 1/25.4)), 2, NoteScale, "Would fit the other parts at 25.4 times the size. It was not scaled."},
		{"scale, guessed", named("front back lid", front, back, scaled(t, solid.At(solid.Box(90, 90, 5), 0, 0, 800), 1e-3)), 2, NoteScale, "1000 times the size would suit"},
		{"twins", named("a b", h, mirrored(h)), 0, NoteTwins, "mirror image of b."},
		{"alike", named("a b", solid.Box(10, 10, 10), solid.At(solid.Box(10, 10, 10), 90, 0, 0)), 0, NoteTwins, "the same without a mirror"},
		{"unpaired", named("arm-left body", h, solid.Box(10, 10, 10)), 0, NoteUnpaired, "no part is named for the other"},
		{"one side only", named("a b badge", solid.At(h, 20, 0, 0), mirrored(solid.At(h, 20, 0, 0)), badge(t)), 2, NoteUnpaired, "one side of the build only"},
		{"unlike", named("arm-left arm-right", h, solid.Box(10, 10, 10)), 0, NoteUnlike, "other side of arm-right"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			notes := Classify(tt.parts, Settings{}).Notes
			for _, n := range notes {
				if n.Part == tt.part && n.Code == tt.code && strings.Contains(n.Text, tt.want) {
					return
				}
			}
			t.Errorf("no note %q on part %d with %q in %+v", tt.code, tt.part, tt.want, notes)
		})
	}
}

// badge sits on the arm that the hook at x = 20 is.
func badge(t testing.TB) *mesh.Mesh {
	return carved(t, []block{{r3.Vec{X: 30, Y: 0, Z: 6}, r3.Vec{X: 38, Y: 8, Z: 9}}}, nil)
}
