package bedpack

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

// What the two short cuts say is what the search over all spins says.
func TestShortCutsToFits(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	held, missed, left := 0, 0, 0
	for n := range 3000 {
		p := printer.Printer{Bed: printer.Bed{Width: 100 + 100*rng.Float64(), Depth: 100 + 100*rng.Float64()}, Height: 100, Margin: 5}
		if n%3 == 0 {
			p.Bed = printer.Bed{Width: p.Bed.Width, Depth: p.Bed.Width, Diameter: p.Bed.Width}
		}
		size := 60 + 140*rng.Float64()
		points := make([]r2.Vec, 12)
		for i := range points {
			points[i] = r2.Scale(size, r2.Vec{X: rng.Float64(), Y: rng.Float64() * math.Sqrt(rng.Float64())})
		}
		hull := plane.Hull(points)
		b := newBed(0, p, Settings{})
		over, _ := b.over(hull)
		switch fits := over <= b.slack; {
		case b.plainlyHolds(hull):
			held++
			if !fits {
				t.Fatalf("bed %+v plainly holds %v, which is %g over", p.Bed, hull, over)
			}
		case b.plainlyMisses(hull):
			missed++
			if fits {
				t.Fatalf("bed %+v plainly misses %v, which is %g over", p.Bed, hull, over)
			}
		default:
			left++
		}
	}
	if held < 500 || missed < 300 || left < 100 {
		t.Errorf("%d held, %d missed, %d neither: too few of some", held, missed, left)
	}
	t.Logf("%d held, %d missed, %d neither", held, missed, left)
}
