package partfile_test

import (
	"bytes"
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/worker/partfile"
)

// A wedge is drawn in inches, read, and written as a plate.
func Example() {
	obj := []byte(`o wedge
v 0 0 0
v 1 0 0
v 0 1 0
v 0 0 1
f 1 3 2
f 1 2 4
f 2 3 4
f 1 4 3
`)
	part, err := partfile.Read("wedge.obj", bytes.NewReader(obj), int64(len(obj)), partfile.Limits{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(part.Name, len(part.Triangles), "facets, unit known:", part.InMillimetres)

	comma := bytes.Replace(obj, []byte("0 0 1"), []byte("0 0 0,5"), 1)
	_, err = partfile.Read("wedge.obj", bytes.NewReader(comma), int64(len(comma)), partfile.Limits{})
	fmt.Println(err)

	wedge, err := mesh.New(
		[]r3.Vec{{}, {X: 25.4}, {Y: 25.4}, {Z: 25.4}},
		[][3]mesh.VertexID{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {0, 3, 2}})
	if err != nil {
		fmt.Println(err)
		return
	}
	var plate bytes.Buffer
	err = partfile.Write3MF(&plate, partfile.Plate{Title: "plate 1", Copies: []partfile.Copy{
		{Mesh: wedge, Name: "wedge", Number: "1/2", Pose: mesh.Pose{Frame: mesh.Identity()}},
		{Mesh: wedge, Name: "wedge", Number: "2/2", Pose: mesh.Pose{Frame: mesh.Identity(), Shift: r3.Vec{X: 30}}},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	back, err := partfile.Read("plate.3mf", bytes.NewReader(plate.Bytes()), int64(plate.Len()), partfile.Limits{})
	fmt.Println(back.Items, "items,", len(back.Triangles), "facets, last corner at x =", back.Triangles[7][2].X, err)
	// Output:
	// wedge 4 facets, unit known: false
	// read wedge.obj: line 5: partfile: not what the format allows: "0,5" (write a point, not a comma)
	// 2 items, 8 facets, last corner at x = 30 <nil>
}
