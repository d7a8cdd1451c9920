package support

import "math"

// Slab is what a scan sees of one of the thick layers that it cuts a part into.
type Slab struct {
	Thickness float64 // mm
	// Solid is the area of the body, the mean over the slab, as columns show
	// it: shells that overlap count once.
	Solid float64
	// Wall is the length of the outlines, the mean over the slab: the area of
	// its facets times the sine to the vertical, over the thickness. Facets
	// inside the union of overlapping shells count. Unit: mm.
	Wall float64
	// Skin is the shadow of the facets that lean less than 45° from level, up
	// or down: on so much area, all told, a printer lays solid skin above or
	// below.
	Skin float64
	// Support is the area of the support, the mean over the slab, less that
	// under ledges and bridges.
	Support float64
}

// skinLean is the vertical normal part above which a facet counts as skin: 45°,
// half way from wall to level.
const skinLean = math.Sqrt2 / 2

// SetSlab makes the slabs of scans to come so many mm thick, at least a
// thousandth of the part's size.
func (s *Scanner) SetSlab(thickness float64) {
	s.slabs.thickness = max(thickness, s.mesh.Diagonal()/1000, s.step/1000)
	s.slabs.perUnit = s.relief.unit / s.slabs.thickness
}

// Slabs returns what the last scan saw, slab by slab from the plate up. All are
// equally thick but the last, which ends where the part does. The slice is good
// until the next scan.
//
// Laws: (1) Σ Solid·Thickness is the volume, give or take what the columns
// miss; (2) Σ Wall·Thickness is Σ area·√(1−n_z²) over all facets; (3) Σ Skin is
// Σ area·|n_z| over those less than 45° from level; (4) Σ Support·Thickness is
// Measures.Support.
//
// What a facet gives is spread over its height: evenly where that is less than
// tallFacet slabs, and else as it widens and narrows from corner to corner.
func (s *Scanner) Slabs() []Slab { return s.slabs.out }

// tallFacet is the height, in slabs, from which the shape of a facet counts,
// and flatFacet that below which it lies in one slab altogether: the less there
// is to spread it over, the larger the numbers that have to cancel.
const (
	tallFacet = 4
	flatFacet = 1.0 / 64
)

// slabs adds up what lies in each slab. Whatever reaches through many costs no
// more than what reaches through three. Heights are in slabs.
type slabs struct {
	thickness, perUnit         float64 // mm; slabs a unit of the relief
	height                     float64 // of the part, mm
	solid, wall, skin, support tallies
	out                        []Slab
}

// reset empties the slabs for a part of the given height.
func (s *slabs) reset(height float64) {
	s.height = height
	n := max(1, int(math.Ceil(height/s.thickness-layerSlack)))
	s.out = sized(s.out, n)
	for _, t := range [4]*tallies{&s.solid, &s.wall, &s.skin, &s.support} {
		*t = sized(*t, n+1) // the top of the part may round up into one more
		clear(*t)
	}
}

// addFacet adds a facet by its corners' heights over the plate, in units of the
// relief, its area and the size of its vertical normal part.
func (s *slabs) addFacet(a, b, c int32, area, nz float64) {
	low, high := min(a, b, c), max(a, b, c)
	from, to := float64(low)*s.perUnit, float64(high)*s.perUnit
	square := 1 - nz*nz
	if square < 0 {
		square = 0 // rounding
	}
	wall := area * math.Sqrt(square)
	if to-from < tallFacet {
		s.wall.even(from, to, wall)
		if nz > skinLean {
			s.skin.even(from, to, area*nz)
		}
		return
	}
	mid := float64(int64(a)+int64(b)+int64(c)-int64(low)-int64(high)) * s.perUnit
	s.wall.spread(from, mid, to, wall)
	if nz > skinLean {
		s.skin.spread(from, mid, to, area*nz)
	}
}

// addSupport adds a column's support between two heights in mm.
func (s *slabs) addSupport(from, to float32) {
	s.support.from(float64(from)/s.thickness, 1)
	s.support.from(float64(to)/s.thickness, -1)
}

// addSolid adds all stretches of columns inside the body.
func (s *slabs) addSolid(spans []span) {
	perMm := 1 / s.thickness
	for i := range spans {
		s.solid.from(float64(spans[i].bottom)*perMm, 1)
		s.solid.from(float64(spans[i].top)*perMm, -1)
	}
}

// finish works out the slabs; a column stands for square mm².
func (s *slabs) finish(square float64) {
	last := len(s.out) - 1
	for k := range s.out {
		s.out[k] = Slab{Thickness: s.thickness}
	}
	s.out[last].Thickness = s.height - float64(last)*s.thickness
	s.solid.each(func(k int, x float64) { s.out[min(k, last)].Solid += x * square * s.thickness })
	s.wall.each(func(k int, x float64) { s.out[min(k, last)].Wall += x })
	s.skin.each(func(k int, x float64) { s.out[min(k, last)].Skin += x })
	s.support.each(func(k int, x float64) { s.out[min(k, last)].Support += x * square * s.thickness })
	for k := range s.out {
		o := &s.out[k]
		if o.Thickness > 0 {
			o.Solid, o.Wall, o.Support = o.Solid/o.Thickness, o.Wall/o.Thickness, o.Support/o.Thickness
		}
	}
}

// tally is one figure of one slab while it is added up.
type tally struct {
	here  float64 // what is put there
	level float64 // what changes, from the next slab on, in what goes through all
	slope float64 // what changes, from the next but one on, in what that grows by
}

type tallies []tally

// from adds x a slab from height z up.
func (t tallies) from(z, x float64) {
	k := int(z)
	t[k].here += x * (float64(k+1) - z)
	t[k].level += x
}

// even shares an amount out evenly between two heights.
func (t tallies) even(low, high, amount float64) {
	if high-low < flatFacet {
		t[int(low)].here += amount
		return
	}
	x := amount / (high - low)
	t.from(low, x)
	t.from(high, -x)
}

// spread shares an amount out over the height of a facet with corners at three
// heights that rise.
func (t tallies) spread(low, mid, high, amount float64) {
	width := 2 * amount / (high - low)
	t.ramp(low, mid, 0, width)
	t.ramp(mid, high, width, 0)
}

// ramp adds what goes evenly from x at height a to y at height b, a slab.
func (t tallies) ramp(a, b, x, y float64) {
	k, last := int(a), int(b)
	if last <= k+1 {
		t.spreadRamp(a, b, x, y)
		return
	}
	slope := (y - x) / (b - a)
	bottom := x + slope*(float64(k+1)-a)
	top := x + slope*(float64(last)-a)
	t[k].here += (float64(k+1) - a) * (x + bottom) / 2
	t[last].here += (b - float64(last)) * (top + y) / 2
	t[k].level += bottom + slope/2
	t[k+1].slope += slope
	t[last-1].slope -= slope
	t[last-1].level -= top - slope/2
}

// spreadRamp is ramp within two slabs.
func (t tallies) spreadRamp(a, b, x, y float64) {
	k, last := int(a), int(b)
	if k == last {
		t[k].here += (b - a) * (x + y) / 2
		return
	}
	between := x + (y-x)*(float64(last)-a)/(b-a)
	t[k].here += (float64(last) - a) * (x + between) / 2
	t[last].here += (b - float64(last)) * (between + y) / 2
}

// each calls do with the figure of each slab in turn. Sums of what came and
// went come out at zero save for rounding, which is left out.
func (t tallies) each(do func(k int, x float64)) {
	level, slope, size := 0.0, 0.0, 0.0
	for k := range t {
		if math.Abs(level) < size {
			level = 0
		}
		do(k, max(0, t[k].here+level))
		slope += t[k].slope
		level += t[k].level + slope
		size = max(size, 1e-12*math.Abs(t[k].level))
	}
}
