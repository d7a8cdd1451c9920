package bedpack

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

func randomBed(rnd *rand.Rand) *bed {
	p := randomShop(rnd)[0]
	p.KeepOut = nil
	return newBed(0, p, Settings{Cell: 2 + 3*rnd.Float64()})
}

// insideBy is how far the corners of a part in place are within the margin.
func insideBy(b *bed, hull plane.Ring, shift r2.Vec) float64 {
	least := math.Inf(1)
	for _, c := range hull {
		x, y := c.X+shift.X, c.Y+shift.Y
		in := min(x, y, b.Bed.Width-x, b.Bed.Depth-y)
		if b.Bed.Diameter > 0 {
			in = b.Bed.Diameter/2 - math.Hypot(x-b.Bed.Diameter/2, y-b.Bed.Diameter/2)
		}
		least = min(least, in-b.Margin)
	}
	return least
}

// The places of the raster are those at which the hull is on the bed: all of
// them, and no other.
func TestPlacesAreThoseOnTheBed(t *testing.T) {
	some := 0
	cases(t, 60, func(t *testing.T, rnd *rand.Rand) {
		b := randomBed(rnd)
		hull := plane.Hull(randomOutline(rnd, 20+80*rnd.Float64()).Points())
		spin := plane.Angle(7 * rnd.Float64())
		turned := hull.Placed(spin, r2.Vec{})
		if !b.fits(turned) {
			return
		}
		s := newStamp(b, plane.Outline{hull}, hull, spin)
		low, high := b.rows(&s)
		for row := low - 2; row <= high+2; row++ {
			from, to := 1, 0
			if row >= low && row <= high {
				from, to = b.columns(&s, row)
			}
			for x := -150; x <= 300; x++ {
				shift := r2.Vec{X: b.origin.X + float64(x)*b.cell - s.anchor.X, Y: b.origin.Y + float64(row)*b.cell - s.anchor.Y}
				in := insideBy(b, turned, shift)
				if got := x >= from && x <= to; got != (in >= 0) && math.Abs(in) > 1e-8 {
					t.Fatalf("place (%d, %d): %v, but %v inside the margin", x, row, got, in)
				}
				if in >= 0 {
					some++
				}
			}
		}
	})
	if some < 10000 {
		t.Errorf("only %d places: too tame", some)
	}
}

// A part that is on the bed by a hair is placed, one that is off it by a hair
// is refused by that hair: at any shape, bed and spin, without a search that
// could miss it.
func TestPartsThatJustFitAndJustDoNot(t *testing.T) {
	cases(t, 150, func(t *testing.T, rnd *rand.Rand) {
		b := randomBed(rnd)
		o := option(randomOutline(rnd, 60).Placed(plane.Angle(7*rnd.Float64()), r2.Vec{X: 30 * rnd.Float64()}), 1)
		p := b.Printer
		for range 60 { // let the bed close in on the part
			over, _ := newBed(0, p, Settings{}).over(o.Hull)
			p.Bed = printer.Bed{Width: p.Bed.Width + over, Depth: p.Bed.Depth + over, Diameter: p.Bed.Diameter}
			if p.Bed.Diameter > 0 {
				p.Bed.Diameter += over
			}
		}
		for _, hair := range []float64{1e-6, -1e-6} {
			q := p
			q.Bed.Width, q.Bed.Depth = p.Bed.Width+hair, p.Bed.Depth+hair
			if q.Bed.Diameter > 0 {
				q.Bed.Diameter += hair
			}
			if q.Bed.Width < 2*q.Margin || q.Bed.Depth < 2*q.Margin {
				return // a sliver that outgrows the bed by growing it
			}
			a := Arrange([]printer.Printer{q}, []Item{{Options: []Option{o}, Pin: AnyPrinter}}, Settings{})
			checkArrangement(t, []printer.Printer{q}, []Item{{Options: []Option{o}, Pin: AnyPrinter}}, a)
			if hair > 0 && len(a.Plates) != 1 {
				t.Errorf("with %v mm to spare it is refused: %+v", hair, a.Refused)
			}
			if hair < 0 && (len(a.Refused) != 1 || math.Abs(a.Refused[0].Over+hair) > 1e-8) {
				t.Errorf("too large by %v mm: %+v", -hair, a)
			}
		}
	})
}
