package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// section is what a level cut through a mesh shows.
type section struct {
	area   float64 // of the solid, mm²
	length float64 // of its outline, mm
	moment r2.Vec  // area times centre, mm³
}

// sections cuts the mesh at each of the given heights, which rise.
//
// Facets add up one by one (Green's theorem), so no outline is joined. A
// corner exactly at a height counts as above it, for every facet alike: a cut
// along a level face therefore shows the body just below it.
//
// Cost: O(facets + cuts through facets).
func sections(m *mesh.Mesh, heights []float64) []section {
	out := make([]section, len(heights))
	if len(heights) == 0 {
		return out
	}
	// Moments are taken about the middle of the box: about the origin of an
	// assembly frame they would cancel.
	mid := flat(r3.Scale(0.5, r3.Add(m.Bounds().Min, m.Bounds().Max)))
	eachCut(m, heights, func(_ mesh.FaceID, k int, p, q r2.Vec) {
		p, q = r2.Sub(p, mid), r2.Sub(q, mid)
		cross := r2.Cross(p, q)
		out[k].area += cross / 2
		out[k].length += r2.Norm(r2.Sub(q, p))
		out[k].moment = r2.Add(out[k].moment, r2.Scale(cross/6, r2.Add(p, q)))
	})
	for k := range out {
		out[k].moment = r2.Add(out[k].moment, r2.Scale(out[k].area, mid))
	}
	return out
}

// eachCut calls do for each facet and each height that cuts it, with the cut
// running so that the body lies to its left.
func eachCut(m *mesh.Mesh, heights []float64, do func(f mesh.FaceID, k int, p, q r2.Vec)) {
	find := newRungs(heights)
	for i := range m.NumFaces() {
		f := mesh.FaceID(i)
		a, b, c := m.Corners(f)
		low, high := min(a.Z, b.Z, c.Z), max(a.Z, b.Z, c.Z)
		for k := find.first(low); k < len(heights) && heights[k] <= high; k++ {
			if p, q, ok := cutAt([3]r3.Vec{a, b, c}, heights[k]); ok {
				do(f, k, p, q)
			}
		}
	}
}

// cutAt returns the cut of a triangle at height h, from where the facet is
// entered going up to where it is left, body to the left.
func cutAt(t [3]r3.Vec, h float64) (from, to r2.Vec, ok bool) {
	up0, up1, up2 := t[0].Z >= h, t[1].Z >= h, t[2].Z >= h
	if up0 == up1 && up1 == up2 {
		return from, to, false
	}
	for i := range t {
		p, q := t[i], t[(i+1)%3]
		if (p.Z >= h) == (q.Z >= h) {
			continue
		}
		// Always from the lower corner, so that the two facets of an edge get
		// the same point to the bit.
		if rises := q.Z >= h; rises {
			to = onEdge(p, q, h)
		} else {
			from = onEdge(q, p, h)
		}
	}
	return from, to, true
}

func onEdge(low, high r3.Vec, h float64) r2.Vec {
	k := (h - low.Z) / (high.Z - low.Z)
	return r2.Vec{X: low.X + k*(high.X-low.X), Y: low.Y + k*(high.Y-low.Y)}
}

// rungs finds the first of rising heights at or above a value in constant
// time when they are about evenly spaced.
type rungs struct {
	heights []float64
	step    float64
}

func newRungs(heights []float64) rungs {
	n := len(heights)
	step := math.Inf(1)
	if n > 1 {
		step = (heights[n-1] - heights[0]) / float64(n-1)
	}
	return rungs{heights, step}
}

func (r rungs) first(z float64) int {
	k := 0
	if z > r.heights[0] {
		k = min(int((z-r.heights[0])/r.step), len(r.heights)-1)
	}
	for k > 0 && r.heights[k-1] > z {
		k--
	}
	for k < len(r.heights) && r.heights[k] <= z {
		k++
	}
	return k
}
