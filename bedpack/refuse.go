package bedpack

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

// refusal says why an item goes on none of the beds that it may go on, and how
// near it comes.
func refusal(item int, it *Item, beds []*bed) Refusal {
	out := Refusal{Item: item, Reason: Unformed, Printer: -1, Option: -1}
	least := math.Inf(1)
	for k := range it.Options {
		o := &it.Options[k]
		if !o.sound() {
			continue
		}
		if out.Reason == Unformed {
			out.Reason = Barred
		}
		for _, b := range beds {
			if !it.mayUse(b) || math.IsInf(o.hours(b.index), 1) {
				continue
			}
			over, axis := b.miss(o)
			if over < least-b.slack {
				least = over
				out = Refusal{Item: item, Reason: TooLarge, Printer: b.index, Option: k, Over: over, Axis: axis}
			}
			if over <= b.slack { // it is none too large, so something is in its way
				return Refusal{Item: item, Reason: Blocked, Printer: b.index, Option: k}
			}
		}
	}
	return out
}

// miss returns by how much an option is too large for a bed and its height,
// and on which axis the most.
func (b *bed) miss(o *Option) (float64, Axis) {
	over, axis := b.over(o.Hull)
	if high := o.Height - b.Height; high > over {
		return high, Height
	}
	return over, axis
}

// mayUse reports whether the item's pin lets it go on a bed.
func (it *Item) mayUse(b *bed) bool { return it.Pin < 0 || it.Pin == b.index }

// Fits reports whether an option is neither too tall for a printer nor, at the
// best of all spins, too large for its bed within the margin. Keep-out areas
// are not looked at: they may be in the way all the same.
func Fits(p printer.Printer, o Option) bool {
	if !o.sound() {
		return false
	}
	b := newBed(0, p, Settings{})
	if o.Height > b.Height+b.slack {
		return false
	}
	if b.plainlyHolds(o.Hull) {
		return true
	}
	if b.plainlyMisses(o.Hull) {
		return false
	}
	over, _ := b.miss(&o)
	return over <= b.slack
}

// plainlyMisses reports whether a hull is too large for an oblong bed by more
// than what its extents can change by between the spins looked at: turned by an
// angle, none changes by more than the angle times the longest way across.
func (b *bed) plainlyMisses(hull plane.Ring) bool {
	if b.Bed.Round() {
		return false
	}
	const n = 90 // spins over half a turn; a quarter turn is half of them
	var extent [n]float64
	longest := 0.0
	for i := range extent {
		sin, cos := math.Sincos(math.Pi * float64(i) / n)
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range hull {
			x := cos*p.X + sin*p.Y
			low, high = min(low, x), max(high, x)
		}
		extent[i] = high - low
		longest = max(longest, extent[i])
	}
	width, depth := b.room()
	const halfStep = math.Pi / n / 2
	unsure := longest / math.Cos(halfStep) * halfStep
	for i, x := range extent {
		if max(x-width, extent[(i+n/2)%n]-depth) <= unsure {
			return false
		}
	}
	return true
}

// plainlyHolds reports whether a hull fits on a bed as it is or by a quarter
// turn: most do, and then nobody needs to look for the best of all spins.
func (b *bed) plainlyHolds(hull plane.Ring) bool {
	size := hull.Bounds().Size()
	if b.Bed.Round() {
		return r2.Norm(size) <= 2*b.radius()
	}
	width, depth := b.room()
	return min(size.X, size.Y) <= min(width, depth) && max(size.X, size.Y) <= max(width, depth)
}
