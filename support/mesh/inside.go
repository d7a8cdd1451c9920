package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// lookDirections returns the directions that are tried in turn when a ray meets
// an edge exactly. They are skew to the axes and to each other, since parts are
// full of edges along the axes and diagonals.
func lookDirections() [6]r3.Vec {
	return [...]r3.Vec{
		{X: 0.341, Y: 0.127, Z: 0.931}, {X: -0.713, Y: 0.437, Z: 0.549}, {X: 0.217, Y: -0.859, Z: 0.463},
		{X: -0.523, Y: -0.631, Z: -0.573}, {X: 0.877, Y: 0.283, Z: -0.389}, {X: -0.151, Y: 0.947, Z: -0.284},
	}
}

// winding returns how many times the surface of a closed shell goes round p: 1
// inside a shell that faces out, −1 inside one that faces in, 0 outside. Within
// rounding of the surface it may be either side's.
//
// Cost: O(log n) boxes and facets for most p; O(n) when every ray fails.
func (t *tree) winding(p r3.Vec) int {
	for _, d := range lookDirections() {
		if n, ok := t.windingAlong(p, d); ok {
			return n
		}
	}
	return t.windingByAngle(p)
}

// windingAlong sums the crossings of a ray from p: out counts 1, in −1. It
// fails when the ray meets an edge.
func (t *tree) windingAlong(p, d r3.Vec) (n int, ok bool) {
	ok = true
	t.along(p, d, func(f FaceID) bool {
		side, clear := t.mesh.pierced(f, p, d)
		if !clear {
			ok = false
		} else if side != 0 && t.mesh.ahead(f, p, d) > 0 {
			n += side
		}
		return ok
	})
	return n, ok
}

// windingByAngle sums the solid angles of all facets as seen from p.
//
// Source: A. van Oosterom & J. Strackee, "The solid angle of a plane
// triangle", IEEE Trans. Biomedical Engineering 30(2), 1983.
func (t *tree) windingByAngle(p r3.Vec) int {
	sum := 0.0
	for _, f := range t.faces {
		a, b, c := t.mesh.Corners(f)
		a, b, c = r3.Sub(a, p), r3.Sub(b, p), r3.Sub(c, p)
		la, lb, lc := r3.Norm(a), r3.Norm(b), r3.Norm(c)
		sum += 2 * math.Atan2(r3.Dot(a, r3.Cross(b, c)),
			la*lb*lc+r3.Dot(a, b)*lc+r3.Dot(b, c)*la+r3.Dot(c, a)*lb)
	}
	return int(math.Round(sum / (4 * math.Pi)))
}

// pierced says whether the line through p along d passes through a facet: 1
// when it leaves by it, −1 when it enters, 0 when it misses. It is not clear
// when the line meets an edge.
//
// The side of each edge is computed from its lower to its higher corner, so
// that both facets at an edge get the same answer and no line slips between.
func (m *Mesh) pierced(f FaceID, p, d r3.Vec) (side int, clear bool) {
	var positive, negative int
	ids := m.faces[f]
	for k := range 3 {
		u, v := ids[k], ids[(k+1)%3]
		a, b := r3.Sub(m.vertices[min(u, v)], p), r3.Sub(m.vertices[max(u, v)], p)
		turn := r3.Dot(d, r3.Cross(a, b))
		if u > v {
			turn = -turn
		}
		switch {
		case turn > 0:
			positive++
		case turn < 0:
			negative++
		}
	}
	switch {
	case positive > 0 && negative > 0:
		return 0, true
	case positive == 3:
		return 1, true
	case negative == 3:
		return -1, true
	}
	return 0, m.areas[f] == 0 // a facet without area hides nothing
}

// ahead returns how far from p along d the plane of a facet lies, in lengths
// of d.
func (m *Mesh) ahead(f FaceID, p, d r3.Vec) float64 {
	n := m.normals[f]
	return r3.Dot(n, r3.Sub(m.vertices[m.faces[f][0]], p)) / r3.Dot(n, d)
}

// along visits the facets whose leaf's box a ray from p along d meets.
func (t *tree) along(p, d r3.Vec, visit func(FaceID) bool) {
	inv := r3.Vec{X: 1 / d.X, Y: 1 / d.Y, Z: 1 / d.Z}
	// The slabs are widened a little so that rounding never loses a facet
	// that lies in the wall of its box.
	slack := 1e-12 * (r3.Norm(r3.Sub(t.boxes[0].Max, t.boxes[0].Min)) + r3.Norm(r3.Sub(p, t.boxes[0].Min)))
	t.search(func(b r3.Box) bool {
		near, far := 0.0, math.Inf(1)
		near, far = slab(near, far, b.Min.X-slack-p.X, b.Max.X+slack-p.X, inv.X)
		near, far = slab(near, far, b.Min.Y-slack-p.Y, b.Max.Y+slack-p.Y, inv.Y)
		near, far = slab(near, far, b.Min.Z-slack-p.Z, b.Max.Z+slack-p.Z, inv.Z)
		return near <= far
	}, visit)
}

// slab cuts the stretch from near to far down to where a ray is between lo and
// hi along one axis. For a ray across the axis inv is infinite and the bounds,
// never zero thanks to the slack, give the whole line or nothing.
func slab(near, far, lo, hi, inv float64) (float64, float64) {
	a, b := lo*inv, hi*inv
	return max(near, min(a, b)), min(far, max(a, b))
}

// near says whether a facet lies within reach of p.
func (t *tree) near(p r3.Vec, reach float64) bool {
	found := false
	at := r3.Box{Min: p, Max: p}
	t.search(func(b r3.Box) bool { return within(b, at, reach) }, func(f FaceID) bool {
		a, b, c := t.mesh.Corners(f)
		found = cornerGap2(p, Triangle{a, b, c}) <= reach*reach
		return !found
	})
	return found
}

// innerPointTries is the number of facets tried for a place inside a shell;
// the first does unless the shell crosses itself there.
const innerPointTries = 16

// innerPoint returns a place well inside a closed shell: the middle of the
// chord that starts square from the middle of a large facet.
func (t *tree) innerPoint(reach float64) (r3.Vec, bool) {
	for _, f := range t.largest(innerPointTries) {
		a, b, c := t.mesh.Corners(f)
		start := r3.Scale(1.0/3, r3.Add(r3.Add(a, b), c))
		for _, inward := range [2]r3.Vec{r3.Scale(-1, t.mesh.normals[f]), t.mesh.normals[f]} {
			length, ok := t.chord(start, inward, reach)
			if !ok {
				continue
			}
			p := r3.Add(start, r3.Scale(length/2, inward))
			if !t.near(p, reach) && t.winding(p) != 0 {
				return p, true
			}
		}
	}
	return r3.Vec{}, false
}

// chord returns how far along d the next facet beyond reach is.
func (t *tree) chord(p, d r3.Vec, reach float64) (float64, bool) {
	next := math.Inf(1)
	t.along(p, d, func(f FaceID) bool {
		side, clear := t.mesh.pierced(f, p, d)
		if side != 0 || !clear {
			if far := t.mesh.ahead(f, p, d); far > reach && far < next {
				next = far
			}
		}
		return true
	})
	return next, !math.IsInf(next, 1)
}

// largest returns the n largest facets, largest first, of equals the lower
// number.
func (t *tree) largest(n int) []FaceID {
	out := make([]FaceID, 0, n+1)
	for _, f := range t.faces {
		area := t.mesh.areas[f]
		i := len(out)
		for i > 0 && (area > t.mesh.areas[out[i-1]] || (area == t.mesh.areas[out[i-1]] && f < out[i-1])) {
			i--
		}
		if i < n {
			out = append(out, 0)
			copy(out[i+1:], out[i:])
			out[i] = f
			out = out[:min(len(out), n)]
		}
	}
	return out
}
