package support

import "gonum.org/v1/gonum/spatial/r2"

// OutlineTolerance is how far a printed path may stray from the outline, in mm:
// what is shallower is no corner of the path. Common practice, no source.
const OutlineTolerance = 0.05

// straightened appends the corners that a path needs which keeps within
// OutlineTolerance of a ring.
//
// From each corner kept it looks along the cone of directions that pass all
// points met so far closely enough, and keeps the last point before one that
// lies outside the cone or nearer than the last.
//
// Cost: O(corners).
// Source: J. Sklansky & V. Gonzalez, "Fast polygonal approximation of digitized
// curves", Pattern Recognition 12(5), 1980 (from memory).
func straightened(out, ring []r2.Vec) []r2.Vec {
	n, start := len(ring), 0
	for i, p := range ring {
		if r2.Norm2(r2.Sub(p, ring[0])) > r2.Norm2(r2.Sub(ring[start], ring[0])) {
			start = i // surely a corner
		}
	}
	anchor, last := ring[start], ring[start]
	out = append(out, anchor)
	var view cone
	for i := 1; i <= n; i++ {
		p := ring[(start+i)%n]
		d := r2.Sub(p, anchor)
		if !view.sees(d) || r2.Norm2(d) < r2.Norm2(r2.Sub(last, anchor)) {
			anchor, view = last, cone{}
			out = append(out, anchor)
			d = r2.Sub(p, anchor)
		}
		view.narrow(d)
		last = p
	}
	return out
}

// cone is a range of directions; the zero cone holds all.
type cone struct{ right, left r2.Vec }

func (c cone) sees(d r2.Vec) bool {
	return r2.Cross(c.right, d) >= 0 && r2.Cross(d, c.left) >= 0
}

// narrow keeps the directions that pass within the tolerance of d.
func (c *cone) narrow(d r2.Vec) {
	length := r2.Norm(d)
	if length <= OutlineTolerance {
		return
	}
	aside := r2.Scale(OutlineTolerance/length, r2.Vec{X: -d.Y, Y: d.X})
	right, left := r2.Sub(d, aside), r2.Add(d, aside)
	if c.right == (r2.Vec{}) || r2.Cross(c.right, right) > 0 {
		c.right = right
	}
	if c.left == (r2.Vec{}) || r2.Cross(left, c.left) > 0 {
		c.left = left
	}
}
