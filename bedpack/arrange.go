package bedpack

import (
	"cmp"
	"slices"

	"platewright/orient/printer"
)

// Arrange puts every item on a plate of a printer, or refuses it.
//
// An item takes the earliest of its options that any printer it may go on can
// print; of those printers it goes where the hours are shared out best.
//
// Laws: 1. Each item is placed once or refused once. 2. Verify finds no fault:
// hulls are within the margin, heights within the printer's, outlines clear
// of keep-out areas and at least the gap apart. 3. The order of the items
// changes nothing but the indices by which the result names them. 4. An item
// that fits a printer by itself is never refused, however little it has to
// spare; but beside keep-out areas it is looked for on a raster of a quarter
// cell and may be refused when it has less than two of those to spare.
//
// Plates are few but not proven fewest. More Effort never gives more of them.
//
// Cost: drawing and searching rasters takes about 5 ms for each different part
// and bed, and 1 ms for each item and plate that it is tried on; each plate
// that might be saved takes up to 2·Effort rounds of a few ms.
func Arrange(printers []printer.Printer, items []Item, s Settings) Arrangement {
	a := arranger{items: items, settings: s}
	for i, p := range printers {
		a.beds = append(a.beds, newBed(i, p, s))
	}
	for _, i := range a.inOrder() {
		a.take(i)
	}
	a.fill()
	return a.out
}

// arranger is the state of Arrange.
type arranger struct {
	beds     []*bed
	items    []Item
	settings Settings
	kinds    []kind
	pieces   []piece    // without a shape until they are shared out
	choices  [][]*shape // of each piece, by bed
	out      Arrangement
}

// kind is what copies of a part have in common.
type kind struct {
	options []Option
	pin     int
	shapes  []*shape // by bed; nil when the item is refused
}

// inOrder returns the items by name and copy.
func (a *arranger) inOrder() []int {
	order := make([]int, len(a.items))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, a.compare)
	return order
}

func (a *arranger) compare(i, j int) int {
	v, w := &a.items[i], &a.items[j]
	return cmp.Or(cmp.Compare(v.Name, w.Name), cmp.Compare(v.Copy, w.Copy), cmp.Compare(i, j))
}

// take finds out where an item can go, or refuses it.
func (a *arranger) take(i int) {
	shapes := a.shapesOf(&a.items[i])
	if shapes == nil {
		a.refuse(refusal(i, &a.items[i], a.beds))
		return
	}
	a.pieces = append(a.pieces, piece{item: i, alone: a.items[i].Alone})
	a.choices = append(a.choices, shapes)
}

func (a *arranger) refuse(r Refusal) { a.out.Refused = append(a.out.Refused, r) }

// shapesOf returns the item's shape on each bed. Copies share their shapes,
// and with them the rasters drawn of them.
func (a *arranger) shapesOf(it *Item) []*shape {
	for _, k := range a.kinds {
		if k.pin == it.Pin && sameOptions(k.options, it.Options) {
			return k.shapes
		}
	}
	k := kind{options: it.Options, pin: it.Pin, shapes: a.newShapes(it)}
	a.kinds = append(a.kinds, k)
	return k.shapes
}

// sameOptions reports whether two slices of options are one and the same.
func sameOptions(a, b []Option) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

// newShapes returns, by bed, the earliest option that any bed can take.
func (a *arranger) newShapes(it *Item) []*shape {
	for k := range it.Options {
		o := &it.Options[k]
		if !o.sound() {
			continue
		}
		shapes := make([]*shape, len(a.beds))
		found := false
		for b, bed := range a.beds {
			if !it.mayUse(bed) {
				continue
			}
			if s := newShape(bed, o, k, a.settings.angleStep()); s != nil && s.fitsAlone() {
				shapes[b], found = s, true
			}
		}
		if found {
			return shapes
		}
	}
	return nil
}

// fitsAlone reports whether the keep-out areas leave room for the part.
func (s *shape) fitsAlone() bool {
	if len(s.bed.keep) == 0 {
		return true
	}
	_, ok := newPile(s.bed, s.reach, corner).find(piece{shape: s})
	return ok
}

// fill shares the pieces out and puts them onto plates.
func (a *arranger) fill() {
	bedOf := share(a.choices, a.beds)
	for b, bed := range a.beds {
		var pieces []piece
		for i, w := range a.pieces {
			if bedOf[i] == b {
				w.shape = a.choices[i][b]
				pieces = append(pieces, w)
			}
		}
		piles, left := fill(bed, pieces, a.settings)
		for _, p := range piles {
			a.out.Plates = append(a.out.Plates, a.plate(p))
		}
		for _, w := range left {
			a.refuse(Refusal{Item: w.item, Reason: Blocked, Printer: b, Option: w.option})
		}
	}
	slices.SortFunc(a.out.Refused, func(r, q Refusal) int { return a.compare(r.Item, q.Item) })
}

// plate writes a pile down, by name and copy of its items.
func (a *arranger) plate(p *pile) Plate {
	out := Plate{Printer: p.bed.index}
	for _, at := range p.placed {
		out.Placements = append(out.Placements, Placement{at.item, at.option, at.spin, at.shift})
	}
	slices.SortFunc(out.Placements, func(p, q Placement) int { return a.compare(p.Item, q.Item) })
	return out
}
