package bedpack_test

import (
	"fmt"

	"platewright/bedpack"
	"platewright/orient/printer"
	"platewright/support/plane"
)

// A rod of 260 × 10 mm is longer than a bed of 250 × 210 mm but fits turned: at
// 20° it takes 260·cos 20° + 10·sin 20° = 247.7 by 260·sin 20° + 10·cos 20° =
// 98.3 mm. One of 330 mm does not fit at any spin: it misses by the least when
// both sides miss alike, at cos θ − sin θ = 40/320, θ = 39.93°, where it takes
// 330·cos θ + 10·sin θ = 259.48 mm of the width.
func Example() {
	rod := func(name string, length float64) bedpack.Item {
		shadow := plane.Ring{{}, {X: length}, {X: length, Y: 10}, {Y: 10}}
		return bedpack.Item{Name: name, Copy: 1, Pin: bedpack.AnyPrinter, Options: []bedpack.Option{{
			Outline: plane.Outline{shadow}, Hull: shadow, Height: 10, Hours: []float64{2},
		}}}
	}
	shop := []printer.Printer{{Name: "left", Bed: printer.Bed{Width: 250, Depth: 210}, Height: 200}}

	a := bedpack.Arrange(shop, []bedpack.Item{rod("short", 260), rod("long", 330)}, bedpack.Settings{})
	for _, p := range a.Plates {
		for _, at := range p.Placements {
			fmt.Printf("item %d on %s\n", at.Item, shop[p.Printer].Name)
		}
	}
	for _, r := range a.Refused {
		fmt.Printf("item %d %s: %.2f mm over the %s\n", r.Item, r.Reason, r.Over, r.Axis)
	}
	// Output:
	// item 0 on left
	// item 1 too large: 9.48 mm over the width
}
