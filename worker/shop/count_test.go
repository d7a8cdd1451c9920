package shop

import (
	"fmt"
	"testing"
)

func TestCountFromName(t *testing.T) {
	for _, test := range []struct {
		file, base string
		count      int
	}{
		{"peg_x4.stl", "peg", 4},
		{"peg-x12.3mf", "peg", 12},
		{"peg_x04.stl", "peg", 4},
		{"peg_x1000.stl", "peg", 1000},
		{"peg_x1.stl", "peg", 1},
		{"peg", "peg", 1},
		{"peg.stl", "peg", 1},
		{"a.b_x2.stl", "a.b", 2},
		{"a_x2_x3.stl", "a_x2", 3},            // one hint only
		{"peg_x0.stl", "peg_x0", 1},           // none of a part is no count
		{"peg_x-2.stl", "peg_x-2", 1},         // signs are no digits
		{"peg_x+2.stl", "peg_x+2", 1},         //
		{"peg_x.stl", "peg_x", 1},             // no digits
		{"peg_x4b.stl", "peg_x4b", 1},         // not at the end
		{"pegx4.stl", "pegx4", 1},             // no dash before
		{"plate_40x40.stl", "plate_40x40", 1}, // a measure
		{"4x_peg.stl", "4x_peg", 1},           // not at the front
		{"peg_X4.stl", "peg_X4", 1},           // small x only
		{"peg_x1001.stl", "peg_x1001", 1},
		{"peg_x99999999999999999999.stl", "peg_x99999999999999999999", 1},
		{"_x4.stl", "_x4", 1}, // would leave no name
		{"x4.stl", "x4", 1},
		{"", "", 1},
	} {
		base, count := CountFromName(test.file)
		if base != test.base || count != test.count {
			t.Errorf("CountFromName(%q) = %q, %d, want %q, %d", test.file, base, count, test.base, test.count)
		}
	}
}

func ExampleCountFromName() {
	fmt.Println(CountFromName("peg_x4.stl"))
	// Output: peg 4
}
