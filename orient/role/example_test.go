package role_test

import (
	"fmt"

	"platewright/orient/role"
	"platewright/support"
	"platewright/support/mesh/solid"
)

// A lid of 40 by 30 mm lies on a block of 60 by 50 mm.
func ExampleClassify() {
	block := solid.Box(60, 50, 20)
	lid := solid.At(solid.Box(40, 30, 5), 0, 0, 20)
	a := role.Classify([]role.Part{{Name: "block", Mesh: block}, {Name: "lid", Mesh: lid}}, role.Settings{})
	fmt.Printf("%.0f mm² in contact\n", a.Meetings[0].Area)
	joint := 0.0
	for f, r := range a.Roles[1] {
		if r == support.Joint {
			joint += lid.FaceAreas()[f]
		}
	}
	fmt.Printf("of the lid %.0f mm² is joint\n", joint)
	// Output:
	// 1200 mm² in contact
	// of the lid 1200 mm² is joint
}
