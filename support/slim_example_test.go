package support_test

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// A fin of 3 × 30 × 40 on a block: as it stands in its file, layers lie across
// the fin; on its side they run along it.
func ExampleWorries_Slim() {
	part := solid.Together(solid.Box(50, 20, 10), solid.At(solid.Box(30, 3, 40), 0, 0, 10))
	for _, up := range []r3.Vec{{Z: 1}, {Y: 1}} {
		direction, err := mesh.NewDirection(up)
		if err != nil {
			panic(err)
		}
		standing, pose := support.NewBody(part, nil).Stand(direction)
		slim := support.DefaultWorries().Slim(standing)
		fmt.Printf("up %v: %d\n", up, len(slim))
		for _, f := range slim {
			fmt.Printf("%.0f × %.0f × %.0f, %v below, %v above, at z = %.0f in the file\n",
				f.Thickness, f.Breadth, f.Height(), f.Below, f.Above, pose.Back(f.Middle).Z)
		}
	}
	// Output:
	// up {0 0 1}: 1
	// 3 × 30 × 40, joined below, free above, at z = 30 in the file
	// up {0 1 0}: 0
}
