package mesh

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"
)

// Decimation says when Decimated stops: at whichever of its bounds is reached
// first. The zero Decimation has no bound to work towards and removes nothing.
type Decimation struct {
	// Facets is the number to stop at, or one fewer; 0 is no such bound.
	Facets int
	// Deviation bounds the distance from every corner and every facet's middle
	// of the mesh to the result, and from the result's to the mesh. In between
	// it may be passed by what the mesh's own facets sag. Unit: mm; 0 is no
	// such bound.
	Deviation float64
	// Groups, len NumFaces or nil, tells surfaces apart that must keep their
	// common edge: corners on it move along it only, onto other corners of it.
	// A group whose facets lie in one plane therefore stays in that plane.
	Groups []uint16
	// Weights, len NumFaces or nil, tells how much each facet counts when
	// collapses are priced: a surface of weight 100 is kept about ten times as
	// close as one of weight 1.
	Weights []float64
}

// Decimated returns a mesh of fewer facets and much the same shape, and for
// each of its facets the facet of m that it comes from.
//
// Edges are collapsed, cheapest first by the sum of squared distances to the
// planes of the facets removed so far. A collapse is refused if it would
// change the topology, turn a facet by more than 78°, or by more than 60° from
// the one it comes from, or make a sliver. So a bound on facets may be out of
// reach. Facets that name a corner twice are
// dropped.
//
// What is not looked at: whether distant parts of the surface now cross. Keep
// Deviation below half the thinnest wall.
//
// Laws: (1) an edge shared by two facets stays so: closed stays closed, and
// each component keeps its genus; (2) same mesh and bounds, same result;
// (3) flat regions and straight edges are thinned without moving.
// Cost: O(n log n) for n facets; Deviation costs twice to four times as much.
// Source: M. Garland & P. S. Heckbert, "Surface simplification using quadric
// error metrics", SIGGRAPH 1997; the topology test is the link condition of
// T. K. Dey, H. Edelsbrunner, S. Guha & D. V. Nekhayev, "Topology preserving
// edge contraction", Publ. Inst. Math. (Beograd) 66, 1999.
func (m *Mesh) Decimated(limit Decimation) (*Mesh, []FaceID) {
	if n := len(limit.Groups); limit.Groups != nil && n != m.NumFaces() {
		panic(fmt.Sprintf("mesh: %d groups for %d facets", n, m.NumFaces()))
	}
	if n := len(limit.Weights); limit.Weights != nil && n != m.NumFaces() {
		panic(fmt.Sprintf("mesh: %d weights for %d facets", n, m.NumFaces()))
	}
	if (limit.Facets <= 0 && limit.Deviation <= 0) || m.NumFaces() <= limit.Facets {
		return m, allFaces(m.NumFaces())
	}
	t := newThinner(m, limit)
	// An edge refused once may become possible when its surroundings have
	// changed, so rounds are run until one of them achieves nothing.
	for !t.done() && t.round() > 0 {
	}
	return t.result()
}

func (d Decimation) weight(face int) float64 {
	if d.Weights == nil {
		return 1
	}
	return d.Weights[face]
}

func allFaces(n int) []FaceID {
	out := make([]FaceID, n)
	for i := range out {
		out[i] = FaceID(i)
	}
	return out
}

// hold says how a corner may move.
type hold uint8

const (
	free   hold = iota // anywhere
	onSeam             // onto the next corner along its seam
	fixed              // not at all, save onto a corner at the same place: seams meet or end here
)

// dead marks the first corner of a facet that is gone.
const dead VertexID = -1

// thinner is a mesh while it is being decimated.
type thinner struct {
	source   *Mesh
	limit    Decimation
	diagonal float64
	centre   r3.Vec // quadrics are held relative to it, to lose fewer digits

	places   []r3.Vec
	quadrics []quadric
	holds    []hold
	stamps   []uint32   // raised whenever a corner moves or goes
	around   [][]FaceID // the facets of each corner
	faces    [][3]VertexID
	live     int

	queue   collapseQueue
	trace   *tracer // nil without a bound on the deviation
	marks   []uint32
	epoch   uint32
	scratch []VertexID
	ring    []FaceID
}

func newThinner(m *Mesh, limit Decimation) *thinner {
	n := m.NumVertices()
	t := &thinner{
		source:   m,
		limit:    limit,
		diagonal: m.Diagonal(),
		centre:   r3.Scale(0.5, r3.Add(m.bounds.Min, m.bounds.Max)),
		places:   append([]r3.Vec(nil), m.vertices...),
		quadrics: make([]quadric, n),
		holds:    make([]hold, n),
		stamps:   make([]uint32, n),
		marks:    make([]uint32, n),
		faces:    append([][3]VertexID(nil), m.faces...),
	}
	for i, f := range t.faces {
		if f[0] == f[1] || f[1] == f[2] || f[2] == f[0] {
			t.faces[i][0] = dead
			continue
		}
		t.live++
	}
	t.listAround()
	t.addPlanes(m)
	t.findSeams(m)
	if limit.Deviation > 0 {
		t.trace = newTracer(m, t.faces, limit.Deviation)
	}
	return t
}

// listAround fills around, all lists cut from one array.
func (t *thinner) listAround() {
	counts := make([]int32, len(t.places))
	for _, f := range t.faces {
		if f[0] != dead {
			counts[f[0]]++
			counts[f[1]]++
			counts[f[2]]++
		}
	}
	all := make([]FaceID, 3*t.live)
	t.around = make([][]FaceID, len(t.places))
	for v, n := range counts {
		t.around[v], all = all[:0:n], all[n:]
	}
	for i, f := range t.faces {
		if f[0] != dead {
			for _, v := range f {
				t.around[v] = append(t.around[v], FaceID(i))
			}
		}
	}
}

// addPlanes gives each corner the planes of its facets, weighted by area.
func (t *thinner) addPlanes(m *Mesh) {
	for i, f := range t.faces {
		if f[0] == dead || m.areas[i] == 0 {
			continue
		}
		q := planeQuadric(m.normals[i], r3.Sub(t.places[f[0]], t.centre), m.areas[i]*t.limit.weight(i))
		for _, v := range f {
			t.quadrics[v] = t.quadrics[v].plus(q)
		}
	}
}

// findSeams sets the holds: an edge is a seam if it has not two facets or if
// they are of two groups. Each seam gets planes through it, square to its
// facets, so that shortening it has a price.
func (t *thinner) findSeams(m *Mesh) {
	seams := make([]uint8, len(t.places))
	for i, f := range t.faces {
		if f[0] == dead {
			continue
		}
		for k, a := range f {
			b := f[(k+1)%3]
			n, seam := t.edge(a, b)
			if !seam {
				continue
			}
			t.addSeamPlane(a, b, m.normals[i], t.limit.weight(i))
			// Seen from each of its n facets once; an edge of one facet counts
			// twice to match. More than two facets hold their ends at once.
			step := uint8(3 - min(n, 2))
			if n > 2 {
				step = 5
			}
			seams[a] = min(seams[a]+step, 5)
			seams[b] = min(seams[b]+step, 5)
		}
	}
	for v, n := range seams {
		switch n {
		case 0:
		case 4:
			t.holds[v] = onSeam
		default:
			t.holds[v] = fixed
		}
	}
}

func (t *thinner) addSeamPlane(a, b VertexID, normal r3.Vec, weight float64) {
	along := r3.Sub(t.places[b], t.places[a])
	side := r3.Cross(along, normal)
	length2 := r3.Norm2(along)
	if r3.Norm2(side) == 0 {
		return
	}
	q := planeQuadric(r3.Unit(side), r3.Sub(t.places[a], t.centre), weight*length2)
	t.quadrics[a] = t.quadrics[a].plus(q)
	t.quadrics[b] = t.quadrics[b].plus(q)
}

// edge returns the number of facets on edge a, b and whether it is a seam.
func (t *thinner) edge(a, b VertexID) (n int, seam bool) {
	var group uint16
	for _, f := range t.around[a] {
		if !t.has(f, b) {
			continue
		}
		if t.limit.Groups != nil {
			if n > 0 && t.limit.Groups[f] != group {
				seam = true
			}
			group = t.limit.Groups[f]
		}
		n++
	}
	return n, seam || n != 2
}

func (t *thinner) has(f FaceID, v VertexID) bool {
	c := &t.faces[f]
	return c[0] == v || c[1] == v || c[2] == v
}

func (t *thinner) done() bool { return t.limit.Facets > 0 && t.live <= t.limit.Facets }

// round tries every edge once, and again whenever one of its ends has moved,
// and returns the number of facets removed.
func (t *thinner) round() int {
	before := t.live
	t.queue = t.queue[:0]
	for v := range t.around {
		for _, x := range t.neighbours(VertexID(v)) {
			if VertexID(v) < x {
				t.offer(VertexID(v), x)
			}
		}
	}
	for len(t.queue) > 0 && !t.done() {
		e := t.queue.pop()
		if e.stampA == t.stamps[e.a] && e.stampB == t.stamps[e.b] {
			t.try(e.a, e.b)
		}
	}
	return before - t.live
}

// neighbours returns the corners that share a facet with v, each once. The
// slice is good until the next call; the corners stay marked as long.
func (t *thinner) neighbours(v VertexID) []VertexID {
	t.epoch++
	t.scratch = t.scratch[:0]
	for _, f := range t.around[v] {
		for _, x := range t.faces[f] {
			if x != v && t.marks[x] != t.epoch {
				t.marks[x] = t.epoch
				t.scratch = append(t.scratch, x)
			}
		}
	}
	return t.scratch
}

// offer puts an edge in the queue unless neither end may go to the other.
func (t *thinner) offer(a, b VertexID) {
	a, b = min(a, b), max(a, b)
	if m, ok := t.plan(a, b); ok {
		t.queue.push(collapse{cost: m.cost, a: a, b: b, stampA: t.stamps[a], stampB: t.stamps[b]})
	}
}

// result renumbers what is left, corners and facets in their old order.
func (t *thinner) result() (*Mesh, []FaceID) {
	number := make([]VertexID, len(t.places))
	var places []r3.Vec
	for v, around := range t.around {
		if len(around) > 0 {
			number[v] = VertexID(len(places))
			places = append(places, t.places[v])
		}
	}
	faces := make([][3]VertexID, 0, t.live)
	from := make([]FaceID, 0, t.live)
	for i, f := range t.faces {
		if f[0] != dead {
			faces = append(faces, [3]VertexID{number[f[0]], number[f[1]], number[f[2]]})
			from = append(from, FaceID(i))
		}
	}
	out, err := New(places, faces)
	if err != nil {
		// Every corner is one of m's or a checked finite place, every number
		// was just given, and a closed or open surface never collapses to
		// nothing: only a mesh of nothing but dropped facets gets here.
		return &Mesh{}, nil
	}
	return out, from
}
