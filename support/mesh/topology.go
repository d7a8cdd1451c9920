package mesh

// ShellID numbers the shells of a mesh from 0, in order of their first facet.
type ShellID int32

// EdgeCount tells how facets meet at edges. An edge is the unordered pair of
// its corners.
type EdgeCount struct {
	Open        int // used by one facet
	Flipped     int // used by two facets, both the same way
	NonManifold int // used by more than two facets
	Unbalanced  int // of the NonManifold: not used as often one way as the other
}

// Closed says whether the surface has no rim: every edge is used as often one
// way as the other. Only then is there an inside, and a volume. An edge where
// two bodies touch is balanced, and no hindrance.
func (c EdgeCount) Closed() bool { return c.Open == 0 && c.Flipped == 0 && c.Unbalanced == 0 }

// Shell is a set of facets connected over edges.
type Shell struct {
	First  FaceID // its facet of lowest number
	Faces  int    // number of facets
	Closed bool   // no edge of it is open, flipped or unbalanced
}

// Topology tells how the facets of a mesh hang together. It is immutable and
// safe for concurrent use.
type Topology struct {
	mesh   *Mesh
	edges  EdgeCount
	mates  []int32   // len 3·NumFaces, by half-edge; −1 for none
	shell  []ShellID // len NumFaces
	shells []Shell
	bad    []badEdge // in order of their lower, then higher corner
}

// badEdge is an edge that is not used by two facets running opposite ways.
type badEdge struct {
	half int32 // one use
	kind edgeKind
}

type edgeKind uint8

const (
	edgeOpen edgeKind = iota
	edgeFlipped
	edgeBalanced // by more than two facets, as often one way as the other
	edgeUnbalanced
)

// NewTopology finds out which facets meet at which edges and what shells they
// form.
//
// Two facets that alone share an edge are of one shell. Where more meet, each
// facet is of one shell with the facet across the wedge of solid that lies
// between them, so that two bodies touching along an edge remain two shells.
// Where that cannot be told, all facets at the edge are of one shell.
//
// Cost: O(facets).
func NewTopology(m *Mesh) *Topology {
	t := &Topology{mesh: m, mates: make([]int32, 3*m.NumFaces())}
	for h := range t.mates {
		t.mates[h] = -1
	}
	sets := newSets(m.NumFaces())
	var shared []sharedEdge
	eachEdge(m.NumVertices(), m.faces, func(low, high VertexID, uses []halfUse) {
		if len(uses) > 2 {
			shared = append(shared, newSharedEdge(m, low, high, uses))
			t.bad = append(t.bad, badEdge{uses[0].half(), shared[len(shared)-1].kind})
			return
		}
		t.joinEdge(sets, uses)
	})
	for _, p := range wedges(m, shared, sets) {
		sets.join(p[0]/3, p[1]/3)
	}
	t.numberShells(sets)
	for _, e := range t.bad {
		t.edges.add(e.kind)
		if e.kind != edgeBalanced {
			t.shells[t.shell[e.half/3]].Closed = false
		}
	}
	return t
}

// Mesh returns the mesh described.
func (t *Topology) Mesh() *Mesh { return t.mesh }

// Edges returns the count of edges that are not used by two facets running
// opposite ways.
func (t *Topology) Edges() EdgeCount { return t.edges }

// IsClosed says whether the whole surface is closed, see EdgeCount.Closed.
func (t *Topology) IsClosed() bool { return t.edges.Closed() }

// NumShells returns the number of shells.
func (t *Topology) NumShells() int { return len(t.shells) }

// Shell returns what is known of a shell.
func (t *Topology) Shell(s ShellID) Shell { return t.shells[s] }

// ShellOf returns the shell of a facet.
func (t *Topology) ShellOf(f FaceID) ShellID { return t.shell[f] }

// Neighbour returns the facet that alone shares with f the edge from corner k
// of f to the next. There is none at an open or non-manifold edge.
func (t *Topology) Neighbour(f FaceID, k int) (FaceID, bool) {
	mate := t.mates[3*int(f)+k]
	return FaceID(mate / 3), mate >= 0
}

// start returns the corner a half-edge runs from.
func (m *Mesh) start(half int32) VertexID { return m.faces[half/3][half%3] }

// joinEdge records an edge of one or two facets.
func (t *Topology) joinEdge(sets sets, uses []halfUse) {
	first := uses[0].half()
	if len(uses) == 1 {
		t.bad = append(t.bad, badEdge{first, edgeOpen})
		return
	}
	second := uses[1].half()
	t.mates[first], t.mates[second] = second, first
	sets.join(first/3, second/3)
	if t.mesh.start(first) == t.mesh.start(second) {
		t.bad = append(t.bad, badEdge{first, edgeFlipped})
	}
}

func (c *EdgeCount) add(kind edgeKind) {
	switch kind {
	case edgeOpen:
		c.Open++
	case edgeFlipped:
		c.Flipped++
	case edgeBalanced:
		c.NonManifold++
	case edgeUnbalanced:
		c.NonManifold++
		c.Unbalanced++
	}
}

// numberShells gives the sets their numbers.
func (t *Topology) numberShells(sets sets) {
	t.shell = make([]ShellID, len(sets))
	for f := range sets {
		root := sets.root(int32(f)) // the lowest facet of the set
		if int(root) == f {
			t.shells = append(t.shells, Shell{First: FaceID(f), Closed: true})
			t.shell[f] = ShellID(len(t.shells) - 1)
		} else {
			t.shell[f] = t.shell[root]
		}
		t.shells[t.shell[f]].Faces++
	}
}

// sets is a forest of disjoint sets; each item names one nearer the root, the
// lowest item of its set.
type sets []int32

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

func (s sets) root(i int32) int32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(i, j int32) {
	i, j = s.root(i), s.root(j)
	s[max(i, j)] = min(i, j)
}
