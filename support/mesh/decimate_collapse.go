package mesh

import "gonum.org/v1/gonum/spatial/r3"

// move is a way to collapse an edge: corner gone is taken out, corner kept put
// at place.
type move struct {
	gone, kept VertexID
	place      r3.Vec
	cost       float64
}

// flat is the distance, as a share of the diagonal, below which a corner counts
// as not having moved. Ten times the rounding of 32-bit file coordinates.
const flat = 1e-6

// plan returns the cheapest way to collapse edge a, b that the holds allow.
func (t *thinner) plan(a, b VertexID) (move, bool) {
	aGoes, bGoes := t.mayGo(a, b)
	if !aGoes && !bGoes {
		return move{}, false
	}
	q := t.quadrics[a].plus(t.quadrics[b])
	pa, pb := r3.Sub(t.places[a], t.centre), r3.Sub(t.places[b], t.centre)
	slack := q.weight * flat * t.diagonal * flat * t.diagonal

	best := move{gone: a, kept: b, place: t.places[b], cost: q.at(pb)}
	if costA := q.at(pa); !aGoes || (bGoes && costA < best.cost) {
		best = move{gone: b, kept: a, place: t.places[a], cost: costA}
	}
	if t.holds[a] == free && t.holds[b] == free {
		p := q.least(r3.Scale(0.5, r3.Add(pa, pb)))
		// An end of the edge is preferred if about as good: it is exactly on
		// the surface, so flat faces stay flat to the last digit.
		if cost := q.at(p); cost+slack < best.cost {
			best.place, best.cost = r3.Add(p, t.centre), cost
		}
	}
	// Among collapses that move nothing, short edges go first: this keeps the
	// facets of flat regions well shaped.
	best.cost = max(0, best.cost-slack) + slack*r3.Norm2(r3.Sub(pa, pb))/(t.diagonal*t.diagonal)
	return best, true
}

// mayGo reports which end of an edge may go to the other.
func (t *thinner) mayGo(a, b VertexID) (aGoes, bGoes bool) {
	aGoes, bGoes = t.holds[a] == free, t.holds[b] == free
	if aGoes && bGoes {
		return true, true
	}
	if _, seam := t.edge(a, b); seam {
		aGoes = aGoes || t.holds[a] != fixed
		bGoes = bGoes || t.holds[b] != fixed
	}
	if !aGoes && !bGoes {
		same := flat * t.diagonal
		together := r3.Norm2(r3.Sub(t.places[a], t.places[b])) <= same*same
		return together, together
	}
	return aGoes, bGoes
}

// try collapses edge a, b if nothing speaks against it.
func (t *thinner) try(a, b VertexID) {
	m, ok := t.plan(a, b)
	if !ok || !t.linked(a, b) {
		return
	}
	t.gatherRing(m)
	if len(t.ring) == 0 || !t.shapely(m) {
		return
	}
	if t.trace != nil && !t.trace.allows(t, m) {
		return
	}
	t.apply(m)
}

// gatherRing lists the facets that the move changes but does not remove.
func (t *thinner) gatherRing(m move) {
	t.ring = t.ring[:0]
	for _, v := range [2]VertexID{m.gone, m.kept} {
		for _, f := range t.around[v] {
			if !t.has(f, m.gone) || !t.has(f, m.kept) {
				t.ring = append(t.ring, f)
			}
		}
	}
}

// linked reports whether collapsing edge a, b keeps the topology: the corners
// next to both ends are exactly those opposite the edge, and no two facets
// would fall onto each other.
func (t *thinner) linked(a, b VertexID) bool {
	var opposite [2]VertexID
	n := 0
	for _, f := range t.around[a] {
		if !t.has(f, b) {
			continue
		}
		if n == 2 {
			return false
		}
		c := t.faces[f]
		opposite[n] = c[0] + c[1] + c[2] - a - b
		n++
	}
	if n == 0 || (n == 2 && opposite[0] == opposite[1]) {
		return false
	}
	common := t.commonNeighbours(a, b)
	if common != n {
		return false
	}
	return n == 1 || !t.facet(a, opposite) || !t.facet(b, opposite)
}

func (t *thinner) commonNeighbours(a, b VertexID) int {
	t.neighbours(a)
	near := t.epoch
	t.epoch++
	n := 0
	for _, f := range t.around[b] {
		for _, x := range t.faces[f] {
			if t.marks[x] == near {
				t.marks[x] = t.epoch
				n++
			}
		}
	}
	return n - 1 // b itself is a neighbour of a
}

// facet reports whether a facet joins v and both others.
func (t *thinner) facet(v VertexID, others [2]VertexID) bool {
	for _, f := range t.around[v] {
		if t.has(f, others[0]) && t.has(f, others[1]) {
			return true
		}
	}
	return false
}

const (
	// leastTurn is the cosine of the largest angle, 78°, that one collapse may
	// turn a facet by. Garland's thesis (CMU-CS-99-105, 1999) uses a like guard.
	leastTurn = 0.2
	// leastTurnInAll is the same for 60° from the facet that it comes from.
	leastTurnInAll = 0.5
	// sliver is twice the area over the squared longest side below which a
	// facet is a sliver that must not arise.
	sliver = 1e-3
	// worsening is how much slimmer than the slimmest facet round an edge
	// another may become. Without it bundles of needles, as cutting along a
	// lattice leaves them, block each other; 1 left one edge in a thousand.
	worsening = 4
	// needle is the same ratio below which rounding owns the normal.
	needle = 1e-6
)

// shapely reports whether the facets left in the ring keep facing the way they
// do and do not become slivers, or at least none much worse than the worst
// before.
func (t *thinner) shapely(m move) bool {
	worst := t.slimmestGoing(m)
	for _, f := range t.ring {
		_, slim := shape(t.corners(f))
		worst = min(worst, slim)
	}
	for _, f := range t.ring {
		before, slimBefore := shape(t.corners(f))
		after, slim := shape(t.cornersAfter(f, m))
		if slim < sliver && (worst >= sliver || slim < worst/worsening) {
			return false
		}
		if slimBefore < needle {
			before = t.outward(f)
		}
		if r3.Dot(before, after) < leastTurn*r3.Norm(before)*r3.Norm(after) {
			return false
		}
		// Many small turns would add up: a facet must not end up lying in the
		// face beyond its seam.
		original, slimOriginal := shape(t.original(f))
		if slimOriginal >= sliver && r3.Dot(original, after) < leastTurnInAll*r3.Norm(original)*r3.Norm(after) {
			return false
		}
	}
	return true
}

func (t *thinner) original(f FaceID) Triangle {
	a, b, c := t.source.Corners(f)
	return Triangle{a, b, c}
}

// slimmestGoing returns the least slimness of the facets that would go.
func (t *thinner) slimmestGoing(m move) float64 {
	worst := 1.0
	for _, f := range t.around[m.gone] {
		if t.has(f, m.kept) {
			_, slim := shape(t.corners(f))
			worst = min(worst, slim)
		}
	}
	return worst
}

// shape returns a normal with twice the area as its length, and the ratio of
// that to the squared longest side.
func shape(c Triangle) (normal r3.Vec, slim float64) {
	ab, ac, bc := r3.Sub(c[1], c[0]), r3.Sub(c[2], c[0]), r3.Sub(c[2], c[1])
	normal = r3.Cross(ab, ac)
	longest := max(r3.Norm2(ab), r3.Norm2(ac), r3.Norm2(bc))
	if longest == 0 {
		return normal, 0
	}
	return normal, r3.Norm(normal) / longest
}

// outward stands in for the normal of a facet without one: the sum over the
// facets of its group in the ring.
func (t *thinner) outward(f FaceID) r3.Vec {
	var sum r3.Vec
	for _, g := range t.ring {
		if t.limit.Groups == nil || t.limit.Groups[g] == t.limit.Groups[f] {
			n, _ := shape(t.corners(g))
			sum = r3.Add(sum, n)
		}
	}
	return sum
}

func (t *thinner) corners(f FaceID) Triangle {
	c := t.faces[f]
	return Triangle{t.places[c[0]], t.places[c[1]], t.places[c[2]]}
}

func (t *thinner) cornersAfter(f FaceID, m move) Triangle {
	out := t.corners(f)
	for i, v := range t.faces[f] {
		if v == m.gone || v == m.kept {
			out[i] = m.place
		}
	}
	return out
}

func (t *thinner) apply(m move) {
	t.holds[m.kept] = t.heldTogether(m)
	kept := t.around[m.kept]
	for _, f := range t.around[m.gone] {
		if t.has(f, m.kept) {
			for _, v := range t.faces[f] {
				if v != m.gone && v != m.kept {
					t.around[v] = without(t.around[v], f)
				}
			}
			kept = without(kept, f)
			t.faces[f][0] = dead
			t.live--
			continue
		}
		for i, v := range t.faces[f] {
			if v == m.gone {
				t.faces[f][i] = m.kept
			}
		}
		kept = append(kept, f)
	}
	t.around[m.kept], t.around[m.gone] = kept, nil
	t.places[m.kept] = m.place
	t.quadrics[m.kept] = t.quadrics[m.kept].plus(t.quadrics[m.gone])
	t.stamps[m.kept]++
	t.stamps[m.gone]++
	for _, x := range t.neighbours(m.kept) {
		t.offer(m.kept, x)
	}
}

// heldTogether returns the hold of a corner that two have become.
func (t *thinner) heldTogether(m move) hold {
	a, b := t.holds[m.gone], t.holds[m.kept]
	if a == onSeam && b == onSeam {
		if _, seam := t.edge(m.gone, m.kept); !seam {
			return fixed // two seams now meet here
		}
	}
	return max(a, b)
}

func without(list []FaceID, f FaceID) []FaceID {
	for i, g := range list {
		if g == f {
			list[i] = list[len(list)-1]
			return list[:len(list)-1]
		}
	}
	return list
}
