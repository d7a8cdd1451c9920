package nights_test

import (
	"fmt"
	"time"

	"platewright/bedpack/nights"
)

// Plates of 16 h and 5 h, somebody there from 09:00 to 17:00, changes of 10
// minutes. The long one first would end on Tuesday at 01:10 and the short one
// at 14:10. The short one by day and the long one overnight: 09:10 to 14:10,
// 14:20 to 06:20.
func Example() {
	p := nights.Problem{
		From:       time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC), // a Monday
		Attended:   nights.Daily(nights.Window{From: 9 * 60, To: 17 * 60}),
		Start:      nights.Always(),
		Change:     10 * time.Minute,
		Unattended: true,
		Printers:   []nights.Printer{{Name: "left", Running: nights.Always()}},
		Plates: []nights.Plate{
			{ID: "mask", Hours: []float64{16}, Pin: nights.AnyPrinter},
			{ID: "ears", Hours: []float64{5}, Pin: nights.AnyPrinter},
			{ID: "base", Hours: []float64{2000}, Pin: nights.AnyPrinter},
		},
	}
	s := nights.Plan(p, nights.Effort{})
	for _, one := range s.Starts {
		fmt.Println(p.Plates[one.Plate].ID, one.At.Format("Mon 15:04"), "to", one.End.Format("Mon 15:04"))
	}
	for _, r := range s.Refused {
		fmt.Println(p.Plates[r.Plate].ID, "not planned:", r.Reason)
	}
	v := nights.Deadline(p, s, time.Date(2026, 1, 6, 8, 0, 0, 0, time.UTC))
	fmt.Println("to spare:", v.Margin, "proven shortest:", s.Proven)
	// Output:
	// ears Mon 09:10 to Mon 14:10
	// mask Mon 14:20 to Tue 06:20
	// base not planned: longer than any stretch of hours in which it may run
	// to spare: 1h40m0s proven shortest: true
}
