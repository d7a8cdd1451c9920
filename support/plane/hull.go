package plane

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Hull returns the convex hull of the points as a counter-clockwise ring that
// starts at its lowest-X (then lowest-Y) corner, without corners on straight
// edges. Fewer than three points, or points on one line, give a ring of the
// one or two extreme points.
//
// Cost: O(n log n). Source: A. M. Andrew, "Another efficient algorithm for
// convex hulls in two dimensions", Information Processing Letters 9(5), 1979.
func Hull(points []r2.Vec) Ring {
	p := slices.Clone(points)
	slices.SortFunc(p, func(a, b r2.Vec) int {
		if c := cmp.Compare(a.X, b.X); c != 0 {
			return c
		}
		return cmp.Compare(a.Y, b.Y)
	})
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	lower := chain(p)
	slices.Reverse(p)
	upper := chain(p)
	return append(lower[:len(lower)-1], upper[:len(upper)-1]...)
}

// chain returns one side of the hull of points sorted along it. The turns are
// exact: a rounded test loses corners of points that are all but on one line.
func chain(p []r2.Vec) Ring {
	var out Ring
	for _, q := range p {
		for len(out) >= 2 && side(out[len(out)-2], out[len(out)-1], q) <= 0 {
			out = out[:len(out)-1]
		}
		out = append(out, q)
	}
	return out
}

// Rectangle is an oblong of Width (along X) by Depth (along Y) that covers a
// set of points once they have been turned by Turn about the origin.
type Rectangle struct {
	Width, Depth float64 // mm
	Turn         Angle   // in [0, π/2)
}

// Area returns Width·Depth. Unit: mm².
func (r Rectangle) Area() float64 { return r.Width * r.Depth }

// LeastRectangle returns the oblong of least area that covers a convex ring.
// Of equal areas the one with the least Turn wins. An empty ring gives zero.
//
// Cost: O(n²) over the corners of the hull. Source: one side lies along an
// edge of the hull: H. Freeman & R. Shapira, "Determining the minimum-area
// encasing rectangle for an arbitrary closed curve", CACM 18(7), 1975.
func LeastRectangle(hull Ring) Rectangle {
	if len(hull) == 0 {
		return Rectangle{}
	}
	best := Rectangle{Width: math.Inf(1), Depth: 1}
	for i, a := range hull {
		edge := r2.Sub(hull[(i+1)%len(hull)], a)
		turn := -Angle(math.Atan2(edge.Y, edge.X))
		turn -= Angle(math.Floor(float64(turn/(90*Degree)))) * 90 * Degree
		if turn >= 90*Degree { // a tiny negative turn, rounded up
			turn = 0
		}
		box := hull.Placed(turn, r2.Vec{}).Bounds()
		r := Rectangle{Width: box.Max.X - box.Min.X, Depth: box.Max.Y - box.Min.Y, Turn: turn}
		gain := best.Area() - r.Area()
		step := 1e-9 * r.Area()
		if gain > step || (gain > -step && r.Turn < best.Turn) {
			best = r
		}
	}
	return best
}
