package support_test

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// A cube of 20 mm leaned by 30° over one of its edges: the face that hangs
// steeper than 45° covers s³·sin(2·30°)/4 = 1732 mm³.
func ExampleMeasure() {
	up, err := mesh.NewDirection(r3.Vec{Y: 0.5, Z: 0.8660254037844386})
	if err != nil {
		panic(err)
	}
	standing, _ := support.NewBody(solid.Box(20, 20, 20), nil).Stand(up)
	settings := support.Defaults()
	settings.Ledge, settings.Bridge, settings.FirstLayer = 0, 0, 1e-6
	m := support.Measure(standing, settings)
	fmt.Printf("%.0f mm³ of support under %.0f mm²\n", m.Support, m.Overhang)
	// Output: 1732 mm³ of support under 400 mm²
}
