package support

import "math"

// layerSlack is the share of a layer by which a height may pass a whole number
// of layers without starting another: coordinates in files carry 7 digits, so
// 300 mm is known to about 2e-5 mm, a ten-thousandth of a layer.
const layerSlack = 1e-4

// NumLayers returns the number of layers of a part of the given height:
// 1 + ceil((height − first layer) / layer), and 1 for anything lower.
func (s Settings) NumLayers(height float64) int {
	above := (height - s.FirstLayer) / s.Layer
	return 1 + max(0, int(math.Ceil(above-layerSlack)))
}

// Bottom returns the height at which layer i begins, the first being 0.
func (s Settings) Bottom(i int) float64 {
	if i == 0 {
		return 0
	}
	return s.FirstLayer + float64(i-1)*s.Layer
}
