package bedpack

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

// roundOff is the relative error that turning and shifting a corner may make:
// some thousand times the 2⁻⁵² of one operation. On a bed of 500 mm it is half
// a millionth of a micrometre.
const roundOff = 1e-12

// bed is a printer as packing sees it.
//
// Its raster has cells of cell mm; cell (0, 0) has its lower left corner at
// origin: on an oblong bed the corner that the margin leaves, on a round one
// the centre. So the least place of a part that just fits is a place of the
// raster, and no part that fits is missed between two cells.
type bed struct {
	printer.Printer
	index  int
	cell   float64
	origin r2.Vec
	slack  float64       // what roundOff comes to, mm
	keep   []*plane.Tree // keep-out areas
}

func newBed(index int, p printer.Printer, s Settings) *bed {
	b := &bed{Printer: p, index: index, cell: s.Cell}
	side := max(p.Bed.Width, p.Bed.Depth)
	if b.cell <= 0 {
		b.cell = side / 256
	}
	b.slack = roundOff * 2 * side
	b.origin = r2.Vec{X: p.Margin, Y: p.Margin}
	if p.Bed.Round() {
		b.origin = r2.Vec{X: p.Bed.Width / 2, Y: p.Bed.Depth / 2}
	}
	for _, ring := range p.KeepOut {
		b.keep = append(b.keep, plane.NewTree(plane.Outline{ring}))
	}
	return b
}

// finer returns the same bed with a raster of cells a quarter as wide.
func (b *bed) finer() *bed {
	fine := *b
	fine.cell /= 4
	return &fine
}

// room returns the width and depth within the margins.
func (b *bed) room() (width, depth float64) {
	return b.Bed.Width - 2*b.Margin, b.Bed.Depth - 2*b.Margin
}

// radius returns how far from the centre of a round bed a part may reach.
func (b *bed) radius() float64 { return b.Bed.Diameter/2 - b.Margin }

// over returns by how much a hull is too large for the bed, at the spin where
// it is the least, and on which axis; not positive when it fits.
func (b *bed) over(hull plane.Ring) (float64, Axis) {
	if b.Bed.Round() {
		return 2 * (leastDisc(hull).radius - b.radius()), Diameter
	}
	width, depth := b.room()
	best := leastOver(snugSpins(hull, width, depth), b.slack/2)
	return best.over(), best.axis()
}

// fits reports whether a turned hull can be shifted onto the bed.
func (b *bed) fits(turned plane.Ring) bool {
	if b.Bed.Round() {
		return leastDisc(turned).radius <= b.radius()+b.slack
	}
	width, depth := b.room()
	size := turned.Bounds().Size()
	return size.X <= width+b.slack && size.Y <= depth+b.slack
}

// anchor returns the point of a turned hull that lies at the origin of the
// raster when the part is in place (0, 0).
func (b *bed) anchor(turned plane.Ring) r2.Vec {
	if b.Bed.Round() {
		return leastDisc(turned).centre
	}
	return turned.Bounds().Min
}

// rows returns the rows of places in which a stamp may lie.
func (b *bed) rows(s *stamp) (low, high int) {
	if b.Bed.Round() {
		n := int(b.radius() / b.cell)
		return -n, n
	}
	_, depth := b.room()
	return 0, steps(depth-s.box.Size().Y+b.slack, b.cell)
}

// columns returns the places of a row in which a stamp may lie as far as the
// bed's edge goes; none when low is above high.
func (b *bed) columns(s *stamp, row int) (low, high int) {
	if !b.Bed.Round() {
		width, _ := b.room()
		return 0, steps(width-s.box.Size().X+b.slack, b.cell)
	}
	left, right := math.Inf(-1), math.Inf(1)
	r := b.radius() + b.slack
	for _, p := range s.hull {
		y := p.Y + float64(row)*b.cell
		if math.Abs(y) > r {
			return 1, 0
		}
		half := math.Sqrt(r*r - y*y)
		left, right = max(left, -half-p.X), min(right, half-p.X)
	}
	return int(math.Ceil(left / b.cell)), steps(right, b.cell)
}

// steps returns how many whole cells go into a length.
func steps(length, cell float64) int { return int(math.Floor(length / cell)) }
