package bedpack

import (
	"math"

	"platewright/orient/printer"
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
	over, _ := b.miss(&o)
	return over <= b.slack
}
