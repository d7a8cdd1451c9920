package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// island is one connected piece of a level section.
type island struct {
	area    float64 // holes taken off, mm²
	centre  r2.Vec  // of area
	hull    plane.Ring
	width   float64 // least distance of two parallel lines that hold it, mm
	breadth float64 // its extent along those lines, mm
	hollow  bool    // it has a hole
}

// islands are the islands of a section, and the stretches of lines inside them.
type islands struct {
	pieces []island
	runs   []lineRun // line by line, and along each
}

// islandsOf finds the islands of a section. Outlines of shells that overlap or
// touch bound one island; shells says that there are several. Outlines that do
// not close, as at the rim of an open mesh, and those of shells that are inside
// out are left out. It sorts the chords.
//
// Outlines are exact, and so is the area where no shells overlap; there, lines
// measure by how much they do.
//
// Cost: O(n log n) in chords and in crossings of lines.
func islandsOf(slice []chord, shells bool) islands {
	o := traced(slice)
	along := o.crossings(slice, false)
	runs := o.join(along)
	if shells {
		// Shells that touch along a line along X meet on no such line.
		o.join(o.crossings(slice, true))
	}
	return o.gather(slice, along, runs)
}

// leastHole is the share of an island that a hole takes at least; what is
// smaller is a flaw of the mesh.
const leastHole = 1e-3

// gather adds outlines up to islands.
func (o *outlines) gather(slice []chord, along []lineCrossing, runs []lineRun) islands {
	sums, of := o.sums(along, runs)
	var out islands
	number := make([]int32, len(sums))
	for g, s := range sums {
		number[g] = -1
		if s.area > 0 {
			number[g] = int32(len(out.pieces))
			out.pieces = append(out.pieces, island{
				area: s.area, centre: r2.Scale(1/s.area, s.moment), hollow: -s.hole > leastHole*s.area,
			})
		}
	}
	corners := make([][]r2.Vec, len(out.pieces))
	for i, c := range slice {
		r := o.of[i] // the corners of holes are on no hull
		if n := number[of[r]]; n >= 0 && o.rings[r].area > 0 {
			corners[n] = append(corners[n], c.p)
		}
	}
	for i := range out.pieces {
		p := &out.pieces[i]
		p.hull = HullOf(corners[i])
		p.width, p.breadth = leastWidth(p.hull)
	}
	for _, r := range runs {
		if n := number[of[r.of]]; n >= 0 {
			r.of = n
			out.runs = append(out.runs, r)
		}
	}
	return out
}

// islandSum is what the outlines of an island add up to.
type islandSum struct {
	area   float64
	hole   float64 // negative
	moment r2.Vec
}

func (s *islandSum) add(area float64, centre r2.Vec) {
	s.area += area
	s.moment = r2.Add(s.moment, r2.Scale(area, centre))
}

// sums adds closed outlines up to islands, less what shells that overlap count
// more than once, and returns which island each outline belongs to.
func (o *outlines) sums(along []lineCrossing, runs []lineRun) (sums []islandSum, of []int32) {
	of = make([]int32, len(o.rings))
	for r, ring := range o.rings {
		if root := o.root(int32(r)); int(root) == r {
			of[r] = int32(len(sums))
			sums = append(sums, islandSum{})
		} else {
			of[r] = of[root]
		}
		if ring.closed {
			s := &sums[of[r]]
			s.area += ring.area
			s.moment = r2.Add(s.moment, ring.moment)
			s.hole += min(ring.area, 0)
		}
	}
	// A stretch up to x from the Y axis has its centre half-way.
	upTo := func(s *islandSum, sign, x float64, line int) {
		s.add(sign*x*islandLine, r2.Vec{X: x / 2, Y: lineAt(line)})
	}
	excess := make([]islandSum, len(sums))
	for _, c := range along {
		sign := 1.0
		if c.enter {
			sign = -1
		}
		upTo(&excess[of[c.ring]], sign, c.x, c.line)
	}
	for _, r := range runs {
		upTo(&excess[of[r.of]], 1, r.from, r.line)
		upTo(&excess[of[r.of]], -1, r.to, r.line)
	}
	for i, e := range excess {
		if e.area > leastHole*sums[i].area {
			sums[i].area -= e.area
			sums[i].moment = r2.Sub(sums[i].moment, e.moment)
		}
	}
	return sums, of
}

// leastWidth returns the least distance of two parallel lines that hold a
// convex counter-clockwise ring between them, and its extent along them.
//
// Cost: O(n), as one of the lines runs along an edge and the corner farthest
// from it moves on with the edge (folklore; no source looked up).
func leastWidth(ring plane.Ring) (width, breadth float64) {
	n := len(ring)
	if n < 3 {
		return 0, ring.Perimeter() / 2
	}
	box := ring.Bounds()
	// Corners all but on the edge's line may step back by rounding, 1e-16 of
	// the size; a step back by more ends the search.
	slack := 1e-12 * r2.Norm(r2.Sub(box.Max, box.Min))
	width = math.Inf(1)
	var along r2.Vec
	far := 1
	for i, a := range ring {
		d := r2.Unit(r2.Sub(ring[(i+1)%n], a))
		away := func(k int) float64 { return r2.Cross(d, r2.Sub(ring[k%n], a)) }
		far = max(far, i+1)
		for k := far + 1; k <= i+n && away(k) >= away(far)-slack; k++ {
			if away(k) > away(far) {
				far = k
			}
		}
		if w := away(far); w < width {
			width, along = w, d
		}
	}
	low, high := extent(ring, along)
	return width, high - low
}

// extent returns the least and the greatest coordinate of a ring along a
// direction.
func extent(ring plane.Ring, along r2.Vec) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range ring {
		d := r2.Dot(along, p)
		low, high = min(low, d), max(high, d)
	}
	return low, high
}
