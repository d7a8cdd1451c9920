package role

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// leafFaces is the most facets a leaf of a tree holds.
const leafFaces = 4

// tree finds the facets of a mesh near others or along a line: a hierarchy of
// boxes over the facets in the order of a curve that fills space. Each level
// halves the facets, so boxes need no links: those below box i are 2i+1, 2i+2.
type tree struct {
	mesh  *mesh.Mesh
	faces []mesh.FaceID
	boxes []r3.Box
	depth int // of the leaves; the root has 0
}

// newTree builds a tree over all facets. Cost: O(n log n), some 40 bytes a
// facet.
func newTree(m *mesh.Mesh) *tree {
	t := &tree{mesh: m, faces: alongCurve(m)}
	for (m.NumFaces()+1<<t.depth-1)>>t.depth > leafFaces {
		t.depth++
	}
	t.boxes = make([]r3.Box, 2<<t.depth-1)
	t.bound(t.root())
	return t
}

// node is a box of a tree and the facets that it covers, which may be none.
type node struct{ box, level, lo, hi int }

func (t *tree) root() node         { return node{hi: len(t.faces)} }
func (t *tree) isLeaf(n node) bool { return n.level == t.depth }
func (n node) size() int           { return n.hi - n.lo }
func (n node) children() (node, node) {
	mid := (n.lo + n.hi) / 2
	return node{2*n.box + 1, n.level + 1, n.lo, mid}, node{2*n.box + 2, n.level + 1, mid, n.hi}
}

// bound fills in the boxes of a node and of all below it.
func (t *tree) bound(n node) r3.Box {
	box := nothing()
	if t.isLeaf(n) {
		for _, f := range t.faces[n.lo:n.hi] {
			box = union(box, faceBox(t.mesh, f))
		}
	} else {
		a, b := n.children()
		box = union(t.bound(a), t.bound(b))
	}
	t.boxes[n.box] = box
	return box
}

// eachNear calls visit for all pairs of facets of two trees whose boxes come
// within reach of each other.
func eachNear(s, t *tree, reach float64, visit func(a, b mesh.FaceID)) {
	stack := [][2]node{{s.root(), t.root()}}
	for len(stack) > 0 {
		a, b := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		if !near(s.boxes[a.box], t.boxes[b.box], reach) {
			continue
		}
		switch leafA, leafB := s.isLeaf(a), t.isLeaf(b); {
		case leafA && leafB:
			eachNearLeaf(s, t, a, b, reach, visit)
		case leafB || (!leafA && a.size() >= b.size()):
			l, r := a.children()
			stack = append(stack, [2]node{r, b}, [2]node{l, b})
		default:
			l, r := b.children()
			stack = append(stack, [2]node{a, r}, [2]node{a, l})
		}
	}
}

func eachNearLeaf(s, t *tree, a, b node, reach float64, visit func(a, b mesh.FaceID)) {
	for _, f := range s.faces[a.lo:a.hi] {
		box := faceBox(s.mesh, f)
		if !near(box, t.boxes[b.box], reach) {
			continue
		}
		for _, g := range t.faces[b.lo:b.hi] {
			if near(box, faceBox(t.mesh, g), reach) {
				visit(f, g)
			}
		}
	}
}

// through calls visit for facets that the line from p, along the unit vector
// way, passes through no further than far, with the distance from p. Visit
// returns how far to go on looking. Nearer boxes come first, but within them
// there is no order.
func (t *tree) through(p, way r3.Vec, far float64, visit func(f mesh.FaceID, at float64) float64) {
	l := newLine(p, way)
	var buffer [64]stop
	stack := append(buffer[:0], l.stopAt(t, t.root()))
	for len(stack) > 0 {
		n := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if n.at > far {
			continue
		}
		if t.isLeaf(n.node) {
			for _, f := range t.faces[n.lo:n.hi] {
				if at, ok := meets(t.mesh, f, p, way); ok && at <= far {
					far = visit(f, at)
				}
			}
			continue
		}
		a, b := n.children()
		first, second := l.stopAt(t, a), l.stopAt(t, b)
		if second.at < first.at {
			first, second = second, first
		}
		stack = append(stack, second, first)
	}
}

// meets returns where the line from p along way passes through a facet, if
// that is not behind p.
//
// Source: T. Möller & B. Trumbore, "Fast, minimum storage ray-triangle
// intersection", Journal of Graphics Tools 2(1), 1997.
func meets(m *mesh.Mesh, f mesh.FaceID, p, way r3.Vec) (at float64, ok bool) {
	a, b, c := m.Corners(f)
	ab, ac := r3.Sub(b, a), r3.Sub(c, a)
	h := r3.Cross(way, ac)
	det := r3.Dot(ab, h)
	if det == 0 {
		return 0, false
	}
	s := r3.Sub(p, a)
	u := r3.Dot(s, h) / det
	q := r3.Cross(s, ab)
	v := r3.Dot(way, q) / det
	at = r3.Dot(ac, q) / det
	return at, u >= 0 && v >= 0 && u+v <= 1 && at >= 0
}

// line is a line from a place, ready to be held against boxes.
type line struct{ from, inverse r3.Vec }

func newLine(p, way r3.Vec) line {
	return line{p, r3.Vec{X: invert(way.X), Y: invert(way.Y), Z: invert(way.Z)}}
}

// invert returns 1/x, and for zero something large that gives zero times zero.
func invert(x float64) float64 {
	if x == 0 {
		return 1e300
	}
	return 1 / x
}

// stop is a box on the way of a line.
type stop struct {
	node
	at float64 // where the line enters it
}

func (l line) stopAt(t *tree, n node) stop { return stop{n, l.enters(t.boxes[n.box])} }

// enters returns how far along the line it enters a box, 0 inside, infinity if
// it misses.
func (l line) enters(b r3.Box) float64 {
	x0, x1 := (b.Min.X-l.from.X)*l.inverse.X, (b.Max.X-l.from.X)*l.inverse.X
	y0, y1 := (b.Min.Y-l.from.Y)*l.inverse.Y, (b.Max.Y-l.from.Y)*l.inverse.Y
	z0, z1 := (b.Min.Z-l.from.Z)*l.inverse.Z, (b.Max.Z-l.from.Z)*l.inverse.Z
	in := max(min(x0, x1), min(y0, y1), min(z0, z1), 0)
	if out := min(max(x0, x1), max(y0, y1), max(z0, z1)); in <= out {
		return in
	}
	return math.Inf(1)
}

// near says whether two boxes come within reach of each other along every
// axis.
func near(a, b r3.Box, reach float64) bool {
	return a.Min.X <= b.Max.X+reach && b.Min.X <= a.Max.X+reach &&
		a.Min.Y <= b.Max.Y+reach && b.Min.Y <= a.Max.Y+reach &&
		a.Min.Z <= b.Max.Z+reach && b.Min.Z <= a.Max.Z+reach
}

// nothing returns the box that holds no point and that union leaves out.
func nothing() r3.Box {
	inf := math.Inf(1)
	return r3.Box{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
}

func union(a, b r3.Box) r3.Box {
	return r3.Box{
		Min: r3.Vec{X: min(a.Min.X, b.Min.X), Y: min(a.Min.Y, b.Min.Y), Z: min(a.Min.Z, b.Min.Z)},
		Max: r3.Vec{X: max(a.Max.X, b.Max.X), Y: max(a.Max.Y, b.Max.Y), Z: max(a.Max.Z, b.Max.Z)},
	}
}

func faceBox(m *mesh.Mesh, f mesh.FaceID) r3.Box {
	a, b, c := m.Corners(f)
	return union(r3.Box{Min: a, Max: a}, union(r3.Box{Min: b, Max: b}, r3.Box{Min: c, Max: c}))
}

// middle returns the centre of mass of a facet.
func middle(m *mesh.Mesh, f mesh.FaceID) r3.Vec {
	a, b, c := m.Corners(f)
	return r3.Scale(1.0/3, r3.Add(a, r3.Add(b, c)))
}

// alongCurve returns all facets by the place of their middles on the Z-shaped
// curve through 1024³ cells of the mesh's box, of equals by number.
func alongCurve(m *mesh.Mesh) []mesh.FaceID {
	box := m.Bounds()
	size := r3.Sub(box.Max, box.Min)
	longest := max(size.X, size.Y, size.Z)
	keys := make([]uint64, m.NumFaces())
	for f := range keys {
		var code uint64
		if longest > 0 {
			d := r3.Scale(1023/longest, r3.Sub(middle(m, mesh.FaceID(f)), box.Min))
			code = spread(uint64(d.X)) | spread(uint64(d.Y))<<1 | spread(uint64(d.Z))<<2
		}
		keys[f] = code<<32 | uint64(f)
	}
	slices.Sort(keys)
	out := make([]mesh.FaceID, len(keys))
	for i, k := range keys {
		out[i] = mesh.FaceID(uint32(k))
	}
	return out
}

// spread puts two zero bits behind each of the lower ten bits of x.
func spread(x uint64) uint64 {
	x &= 0x3ff
	x = (x | x<<16) & 0x030000ff
	x = (x | x<<8) & 0x0300f00f
	x = (x | x<<4) & 0x030c30c3
	x = (x | x<<2) & 0x09249249
	return x
}
