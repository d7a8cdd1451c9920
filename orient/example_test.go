package orient_test

import (
	"context"
	"fmt"

	"platewright/orient"
	"platewright/support"
	"platewright/support/mesh/solid"
)

// A bracket whose arm sticks out at the top needs 38.5 cm³ of support as it
// stands; laid on its side it needs none. machine is a printer with the
// documented defaults.
func ExampleSearch() {
	bracket := support.NewBody(solid.LBracket(60, 40, 5, 20), nil)
	answer, err := orient.Search(context.Background(), bracket, orient.Settings{Machines: []orient.Machine{machine()}}, orient.Serial)
	if err != nil {
		panic(err)
	}
	best := answer.Options[0].Measures
	fmt.Printf("%.0f mm tall, %.1f cm³ of support\n", best.Height, best.Support/1000)
	// Output: 20 mm tall, 0.0 cm³ of support
}
