package support

import (
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// The hull of rows of places against the hull of all of them.
func TestLatticeHull(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 1))
	for range 300 {
		size := 1 + random.Int32N(12)
		c := columns{nx: int(size) + 2}
		var all []r2.Vec
		for column := range int32(c.nx) * (size + 2) {
			x, y := column%int32(c.nx), column/int32(c.nx)
			if x == 0 || y == 0 || random.Int32N(3) > 0 {
				continue
			}
			h := cell{column: column, below: plate}
			switch random.Int32N(8) {
			case 0:
				h.spare = true
			case 1:
				h.below = 5
			default:
				all = append(all, r2.Vec{X: float64(x), Y: float64(y)})
			}
			c.hanging = append(c.hanging, h)
		}
		var hull latticeHull
		c.eachProppedRow(hull.add)
		var got []r2.Vec
		for _, p := range append(slices.Clone(hull.left), hull.right...) {
			got = append(got, r2.Vec{X: float64(p.x), Y: float64(p.y)})
		}
		want := plane.Hull(all)
		if !slices.Equal(plane.Hull(got), want) {
			t.Fatalf("hull of %v = %v, want %v", all, plane.Hull(got), want)
		}
		if len(got) > len(want)+4 {
			t.Fatalf("%d corners for a hull of %d", len(got), len(want))
		}
	}
}
