package plane_test

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// A washer of 10 mm with a hole of 6 mm across flats, and a 2 mm square in
// the middle of the hole: they are (6 − 2)/2 = 2 mm apart.
func Example() {
	square := func(half float64) plane.Ring {
		return plane.Ring{{X: -half, Y: -half}, {X: half, Y: -half}, {X: half, Y: half}, {X: -half, Y: half}}
	}
	washer := plane.Outline{square(5), square(3).Reversed()}
	nut := plane.Outline{square(1)}

	fmt.Println(washer.Area(), plane.Distance(washer, nut), plane.Overlap(washer, nut))
	fmt.Println(plane.Distance(washer, nut.Placed(0, r2.Vec{X: 2})))
	// Output:
	// 64 2 false
	// 0
}
