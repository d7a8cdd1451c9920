package printer

import "platewright/support"

// LayerSeconds returns the seconds of each entry of the work, for tests that
// know what single layers took.
func LayerSeconds(p Printer, m Material, work []support.LayerWork) []float64 {
	var out []float64
	for _, d := range drawAll(p, m, work) {
		out = append(out, d.layers*d.parts.Sum())
	}
	return out
}
