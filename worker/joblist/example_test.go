package joblist_test

import (
	"fmt"

	"platewright/worker/joblist"
)

func ExampleAddUp() {
	l := joblist.List{Plates: []joblist.Plate{
		{ID: "01-big", Printer: "big", Hours: 4.25, Filament: 80},
		{ID: "02-big", Printer: "big", Hours: 2.5, Filament: 40.5},
	}}
	joblist.AddUp(&l)
	fmt.Println(l.Totals.MachineHours, l.Totals.Filament, l.Totals.Changes)
	// Output: 6.75 120.5 1
}
