package bedpack

import (
	"errors"
	"fmt"
	"math"

	"platewright/orient/printer"
	"platewright/support/plane"
)

// Faults that Verify finds.
var (
	ErrCount   = errors.New("bedpack: item is not placed or refused exactly once")
	ErrUnknown = errors.New("bedpack: no such printer, item or option")
	ErrBarred  = errors.New("bedpack: printer may not print the item")
	ErrTooTall = errors.New("bedpack: item is taller than the printer")
	ErrOffBed  = errors.New("bedpack: item is not within the margin of the bed")
	ErrKeptOut = errors.New("bedpack: item touches a keep-out area")
	ErrTooNear = errors.New("bedpack: items are nearer to each other than the gap")
)

// Verify returns every fault of an arrangement, joined; nil when it has none.
// It trusts nothing that a packer keeps: it works on the items and places
// alone, on true outlines.
//
// Errors: wraps the sentinels above. Cost: O(k²) pairs of a plate's k parts,
// nearly all settled by their boxes.
func Verify(printers []printer.Printer, items []Item, a Arrangement) error {
	v := verifier{printers: printers, items: items, seen: make([]int, len(items))}
	for i, p := range a.Plates {
		v.plate(i, p)
	}
	for _, r := range a.Refused {
		if r.Item < 0 || r.Item >= len(items) {
			v.fault(ErrUnknown, "refused item %d", r.Item)
			continue
		}
		v.seen[r.Item]++
	}
	for i, n := range v.seen {
		if n != 1 {
			v.fault(ErrCount, "%s copy %d: %d times", items[i].Name, items[i].Copy, n)
		}
	}
	return errors.Join(v.faults...)
}

type verifier struct {
	printers []printer.Printer
	items    []Item
	seen     []int // by item: times placed or refused
	faults   []error
}

func (v *verifier) fault(err error, format string, args ...any) {
	v.faults = append(v.faults, fmt.Errorf("%s: %w", fmt.Sprintf(format, args...), err))
}

func (v *verifier) plate(i int, p Plate) {
	if p.Printer < 0 || p.Printer >= len(v.printers) {
		v.fault(ErrUnknown, "plate %d: printer %d", i, p.Printer)
		return
	}
	b := newBed(p.Printer, v.printers[p.Printer], Settings{})
	var trees []*plane.Tree
	var names []string
	for _, at := range p.Placements {
		if at.Item < 0 || at.Item >= len(v.items) || at.Option < 0 || at.Option >= len(v.items[at.Item].Options) {
			v.fault(ErrUnknown, "plate %d: item %d, option %d", i, at.Item, at.Option)
			continue
		}
		it := &v.items[at.Item]
		v.seen[at.Item]++
		tree := plane.NewTree(it.Options[at.Option].Outline.Placed(at.Spin, at.Shift))
		name := fmt.Sprintf("plate %d: %s copy %d", i, it.Name, it.Copy)
		v.placement(b, at, tree, name)
		for k, other := range trees {
			if tooNear(other, tree, b.Gap) {
				v.fault(ErrTooNear, "%s and %s", names[k], name)
			}
		}
		trees, names = append(trees, tree), append(names, name)
	}
}

// placement checks one item against the printer.
func (v *verifier) placement(b *bed, at Placement, tree *plane.Tree, name string) {
	it := &v.items[at.Item]
	o := &it.Options[at.Option]
	if !it.mayUse(b) || math.IsInf(o.hours(b.index), 1) {
		v.fault(ErrBarred, "%s", name)
	}
	if o.Height > b.Height {
		v.fault(ErrTooTall, "%s", name)
	}
	if !b.Bed.Holds(o.Hull.Placed(at.Spin, at.Shift), b.Margin, b.slack) {
		v.fault(ErrOffBed, "%s", name)
	}
	for _, k := range b.keep {
		if k.Distance(tree) <= 0 {
			v.fault(ErrKeptOut, "%s", name)
		}
	}
}
