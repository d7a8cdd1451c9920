package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// tracer follows points of the original surface to the facets that stand for
// them, so that the distance between the two is known and not guessed from
// quadrics, which only average it.
type tracer struct {
	limit  float64 // mm
	source *Mesh
	points []r3.Vec  // the source's corners, then the middle of each facet
	reach2 []float64 // no point within the limit of a source facet is farther from its middle, mm²
	held   [][]int32 // the points that each facet stands for

	// The state of one question to allows.
	moved  []int32 // points that would change hands
	goes   []int32 // the place in the ring of the facet each would go to
	middle []FaceID
	after  []flatPiece
}

// newTracer follows every corner and the middle of every facet of m.
func newTracer(m *Mesh, faces [][3]VertexID, limit float64) *tracer {
	t := &tracer{
		limit:  limit,
		source: m,
		points: append(make([]r3.Vec, 0, len(m.vertices)+len(faces)), m.vertices...),
		reach2: make([]float64, len(faces)),
		held:   make([][]int32, len(faces)),
	}
	seen := make([]bool, len(m.vertices))
	for i, f := range faces {
		a, b, c := m.Corners(FaceID(i))
		piece := newFlatPiece(Triangle{a, b, c})
		t.points = append(t.points, piece.centre)
		t.reach2[i] = (limit + piece.radius) * (limit + piece.radius)
		if f[0] == dead {
			continue
		}
		t.held[i] = append(t.held[i], int32(len(m.vertices)+i))
		for _, v := range f {
			if !seen[v] {
				seen[v] = true
				t.held[i] = append(t.held[i], int32(v))
			}
		}
	}
	return t
}

// allows reports whether, after the move, every point held in the ring and by
// the facets that would go is within the limit of a facet of the ring, and
// the ring within the limit of the original surface. If so the points change
// hands.
func (t *tracer) allows(s *thinner, m move) bool {
	t.gather(s, m)
	if !t.onOriginal(m.place) {
		return false
	}
	for i, p := range t.moved {
		near, gap := t.nearest(t.points[p], t.goes[i])
		if gap > t.limit {
			return false
		}
		t.goes[i] = near
	}
	if !t.ringOnOriginal(m.place) {
		return false
	}
	for _, f := range s.ring {
		t.held[f] = t.held[f][:0]
	}
	for i, p := range t.moved {
		f := s.ring[t.goes[i]]
		t.held[f] = append(t.held[f], p)
	}
	return true
}

// gather lists the points that would change hands, each with a guess at the
// place in the ring where it goes.
func (t *tracer) gather(s *thinner, m move) {
	t.moved, t.goes, t.middle, t.after = t.moved[:0], t.goes[:0], t.middle[:0], t.after[:0]
	for i, f := range s.ring {
		t.take(f, int32(i))
		t.after = append(t.after, newFlatPiece(s.cornersAfter(f, m)))
	}
	for _, f := range s.around[m.gone] {
		if s.has(f, m.kept) {
			t.take(f, 0)
		}
	}
}

func (t *tracer) take(f FaceID, guess int32) {
	corners := int32(len(t.source.vertices))
	for _, p := range t.held[f] {
		t.moved = append(t.moved, p)
		t.goes = append(t.goes, guess)
		if p >= corners {
			t.middle = append(t.middle, FaceID(p-corners))
		}
	}
}

// nearest returns the facet of the ring nearest to p, or one within half the
// limit: there is no need to look further, and most points stay with the
// facet they are on.
func (t *tracer) nearest(p r3.Vec, guess int32) (near int32, gap float64) {
	near, gap = guess, math.Sqrt(t.after[guess].gap2(p))
	for i := range t.after {
		if gap <= t.limit/2 {
			break
		}
		if piece := &t.after[i]; int32(i) != guess && !piece.beyond(p, gap) {
			if g := math.Sqrt(piece.gap2(p)); g < gap {
				near, gap = int32(i), g
			}
		}
	}
	return near, gap
}

// ringOnOriginal reports whether, of each facet of the ring, the middle and
// the middles of the sides that moved are on the original surface.
func (t *tracer) ringOnOriginal(place r3.Vec) bool {
	for i := range t.after {
		c := t.after[i].corners
		if !t.onOriginal(r3.Scale(1.0/3, r3.Add(c[0], r3.Add(c[1], c[2])))) {
			return false
		}
		// Each side that moved belongs to two facets; one of them, which runs
		// it away from the place, is enough. At a rim it may be missed.
		for k := range 3 {
			if c[k] == place && !t.onOriginal(r3.Scale(0.5, r3.Add(c[k], c[(k+1)%3]))) {
				return false
			}
		}
	}
	return true
}

// onOriginal reports whether p is within the limit of one of the original
// facets whose middles were just gathered.
func (t *tracer) onOriginal(p r3.Vec) bool {
	for i, f := range t.middle {
		if r3.Norm2(r3.Sub(p, t.points[len(t.source.vertices)+int(f)])) > t.reach2[f] {
			continue
		}
		a, b, c := t.source.Corners(f)
		piece := newFlatPiece(Triangle{a, b, c})
		if piece.gap2(p) <= t.limit*t.limit {
			// The next question is about a place close by: ask here first.
			t.middle[0], t.middle[i] = t.middle[i], t.middle[0]
			return true
		}
	}
	return false
}

// flatPiece is a triangle made ready for many distances.
type flatPiece struct {
	corners Triangle
	ab, ac  r3.Vec
	centre  r3.Vec
	radius  float64 // of a ball round centre that holds the triangle
}

func newFlatPiece(c Triangle) flatPiece {
	centre := r3.Scale(1.0/3, r3.Add(c[0], r3.Add(c[1], c[2])))
	far := max(r3.Norm2(r3.Sub(c[0], centre)), r3.Norm2(r3.Sub(c[1], centre)), r3.Norm2(r3.Sub(c[2], centre)))
	return flatPiece{corners: c, ab: r3.Sub(c[1], c[0]), ac: r3.Sub(c[2], c[0]), centre: centre, radius: math.Sqrt(far)}
}

// beyond reports whether p is certainly farther than gap from the triangle.
func (t *flatPiece) beyond(p r3.Vec, gap float64) bool {
	reach := gap + t.radius
	return r3.Norm2(r3.Sub(p, t.centre)) > reach*reach
}

// gap2 returns the squared distance from p to the triangle.
//
// Source: C. Ericson, "Real-Time Collision Detection", 2005, section 5.1.5.
func (t *flatPiece) gap2(p r3.Vec) float64 {
	ab, ac, ap := t.ab, t.ac, r3.Sub(p, t.corners[0])
	d1, d2 := r3.Dot(ab, ap), r3.Dot(ac, ap)
	if d1 <= 0 && d2 <= 0 {
		return r3.Norm2(ap)
	}
	bp := r3.Sub(p, t.corners[1])
	d3, d4 := r3.Dot(ab, bp), r3.Dot(ac, bp)
	if d3 >= 0 && d4 <= d3 {
		return r3.Norm2(bp)
	}
	vc := d1*d4 - d3*d2
	if vc <= 0 && d1 >= 0 && d3 <= 0 {
		return r3.Norm2(r3.Sub(ap, r3.Scale(d1/(d1-d3), ab)))
	}
	cp := r3.Sub(p, t.corners[2])
	d5, d6 := r3.Dot(ab, cp), r3.Dot(ac, cp)
	if d6 >= 0 && d5 <= d6 {
		return r3.Norm2(cp)
	}
	vb := d5*d2 - d1*d6
	if vb <= 0 && d2 >= 0 && d6 <= 0 {
		return r3.Norm2(r3.Sub(ap, r3.Scale(d2/(d2-d6), ac)))
	}
	va := d3*d6 - d5*d4
	if va <= 0 && d4-d3 >= 0 && d5-d6 >= 0 {
		bc := r3.Sub(t.corners[2], t.corners[1])
		return r3.Norm2(r3.Sub(bp, r3.Scale((d4-d3)/((d4-d3)+(d5-d6)), bc)))
	}
	inv := 1 / (va + vb + vc)
	return r3.Norm2(r3.Sub(ap, r3.Add(r3.Scale(vb*inv, ab), r3.Scale(vc*inv, ac))))
}
