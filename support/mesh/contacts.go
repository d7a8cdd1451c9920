package mesh

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Limits to the work Contacts does on files that are dust rather than parts;
// each takes about a second. A part of a thousand shells has half a million
// pairs if all boxes overlap.
const (
	maxBoxPairs   = 200_000_000 // boxes compared
	maxShellPairs = 1_000_000   // shells compared
)

// Contacts tells how the shells of a mesh lie to each other, as sorted lists
// of pairs.
type Contacts struct {
	// Crossing shells pass through each other's surface, or share part of
	// their inside; lower number first.
	Crossing [][2]ShellID
	// Inside are closed shells with all of the first inside the second,
	// whichever way they face. Equal shells in one place count too.
	Inside [][2]ShellID
	// Touching shells have surfaces that come within the tolerance of each
	// other but do not cross, from outside or from Inside; lower number first.
	Touching [][2]ShellID
	// Partial says that there were too many shells to compare all.
	Partial bool
}

// Contacts compares all shells with each other. Places within WeldTolerance of
// each other touch. Of a shell that is not closed only crossing and touching
// can be told; that a shell crosses itself is not looked for.
//
// Cost: O(n log n) for the boxes and for each pair whose boxes overlap, plus
// the facets in contact; a pair is done with at the first crossing.
func (t *Topology) Contacts() Contacts {
	if len(t.shells) < 2 {
		return Contacts{}
	}
	c := newComparison(t)
	var out Contacts
	for _, p := range c.candidates(&out.Partial) {
		r := c.compare(p[0], p[1])
		if r.cross {
			out.Crossing = append(out.Crossing, p)
		}
		if r.touch {
			out.Touching = append(out.Touching, p)
		}
		if r.inside {
			out.Inside = append(out.Inside, [2]ShellID{r.inner, p[0] + p[1] - r.inner})
		}
	}
	for _, list := range [][][2]ShellID{out.Crossing, out.Inside, out.Touching} {
		slices.SortFunc(list, func(a, b [2]ShellID) int {
			return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
		})
	}
	return out
}

// comparison holds what comparing shells needs to know of each.
type comparison struct {
	topology  *Topology
	tolerance float64
	measures  []Measures
	boxes     []r3.Box
	faces     [][]FaceID
	trees     []*tree // nil until needed
	touched   []bool  // by FaceID, scratch
}

func newComparison(t *Topology) *comparison {
	n := len(t.shells)
	c := &comparison{
		topology:  t,
		tolerance: toleranceIn(t.mesh.bounds, WeldTolerance),
		measures:  t.MeasureShells(),
		boxes:     make([]r3.Box, n),
		faces:     make([][]FaceID, n),
		trees:     make([]*tree, n),
		touched:   make([]bool, t.mesh.NumFaces()),
	}
	all := make([]FaceID, 0, t.mesh.NumFaces())
	for s, shell := range t.shells {
		all = all[:len(all)+shell.Faces]
		c.faces[s] = all[len(all)-shell.Faces : len(all)-shell.Faces : len(all)]
		c.boxes[s] = faceBox(t.mesh, shell.First)
	}
	for f, s := range t.shell {
		c.faces[s] = append(c.faces[s], FaceID(f))
		c.boxes[s] = union(c.boxes[s], faceBox(t.mesh, FaceID(f)))
	}
	return c
}

func (c *comparison) tree(s ShellID) *tree {
	if c.trees[s] == nil {
		c.trees[s] = newTree(c.topology.mesh, c.faces[s])
	}
	return c.trees[s]
}

// candidates returns the pairs of shells whose boxes come within the tolerance
// of each other, by sweeping along the longest side.
func (c *comparison) candidates(partial *bool) [][2]ShellID {
	along := longestAxis(c.topology.mesh.bounds)
	order := make([]ShellID, len(c.boxes))
	for i := range order {
		order[i] = ShellID(i)
	}
	slices.SortFunc(order, func(a, b ShellID) int {
		return cmp.Or(cmp.Compare(along(c.boxes[a].Min), along(c.boxes[b].Min)), cmp.Compare(a, b))
	})
	var pairs [][2]ShellID
	compared := 0
	for i, a := range order {
		end := along(c.boxes[a].Max) + c.tolerance
		for _, b := range order[i+1:] {
			if along(c.boxes[b].Min) > end {
				break
			}
			if compared++; compared > maxBoxPairs || len(pairs) >= maxShellPairs {
				*partial = true
				return pairs
			}
			if within(c.boxes[a], c.boxes[b], c.tolerance) {
				pairs = append(pairs, [2]ShellID{min(a, b), max(a, b)})
			}
		}
	}
	return pairs
}

func longestAxis(box r3.Box) func(r3.Vec) float64 {
	size := r3.Sub(box.Max, box.Min)
	switch max(size.X, size.Y, size.Z) {
	case size.X:
		return func(v r3.Vec) float64 { return v.X }
	case size.Y:
		return func(v r3.Vec) float64 { return v.Y }
	}
	return func(v r3.Vec) float64 { return v.Z }
}

// relation tells how two shells lie to each other; all false is apart.
type relation struct {
	cross, touch, inside bool
	inner                ShellID // which is inside the other, if inside
}

func (c *comparison) compare(a, b ShellID) relation {
	touchA, touchB, crossed := c.facesInContact(a, b)
	if crossed {
		return relation{cross: true}
	}
	touch := len(touchA) > 0
	if !c.measures[a].Solid || !c.measures[b].Solid {
		return relation{touch: touch}
	}
	inner, outer := a, b
	if math.Abs(c.measures[b].Volume) < math.Abs(c.measures[a].Volume) {
		inner, outer = b, a
	}
	touchInner := touchA
	if inner == b {
		touchInner = touchB
	}
	// Surfaces that do not cross leave two cases: the smaller body is inside
	// the larger or it is not, and any place in it tells. But bodies whose
	// faces lie in one plane can overlap without a facet passing through
	// another; then some facet in contact is where it should not be.
	if p, ok := c.tree(inner).innerPoint(c.tolerance); ok && c.tree(outer).winding(p) != 0 {
		if c.anyFaceIs(outside, touchInner, outer) {
			return relation{cross: true}
		}
		return relation{touch: touch, inside: true, inner: inner}
	}
	if c.anyFaceIs(inside, touchA, b) || c.anyFaceIs(inside, touchB, a) {
		return relation{cross: true}
	}
	return relation{touch: touch}
}

// facesInContact returns the facets of two shells that touch the other, in
// order, or stops at the first that crosses it.
func (c *comparison) facesInContact(a, b ShellID) (touchA, touchB []FaceID, crossed bool) {
	m := c.topology.mesh
	eachPair(c.tree(a), c.tree(b), c.tolerance, func(f, g FaceID) bool {
		switch r := m.planeContact(f, g, c.tolerance); {
		case r == crossing:
			crossed = true
		case r == apart || (c.touched[f] && c.touched[g]):
			// Shells that coincide have a dozen pairs for each facet, and the
			// gap is the dear part.
		case r == touching || m.facetGap(f, g, c.tolerance):
			touchA, touchB = c.touch(f, touchA), c.touch(g, touchB)
		}
		return !crossed
	})
	for _, list := range [2][]FaceID{touchA, touchB} {
		for _, f := range list {
			c.touched[f] = false
		}
		slices.Sort(list)
	}
	return touchA, touchB, crossed
}

// touch adds a facet to a list unless it is there.
func (c *comparison) touch(f FaceID, list []FaceID) []FaceID {
	if c.touched[f] {
		return list
	}
	c.touched[f] = true
	return append(list, f)
}

// inside and outside name the two places a facet can be with respect to a
// closed shell.
const (
	inside  = true
	outside = false
)

// anyFaceIs says whether the middle or a corner of one of the facets is inside,
// or outside, a shell, clear of its surface. The middle alone may lie on an edge
// of the shell by chance.
func (c *comparison) anyFaceIs(where bool, faces []FaceID, of ShellID) bool {
	t := c.tree(of)
	for _, f := range faces {
		p, q, r := c.topology.mesh.Corners(f)
		middle := r3.Scale(1.0/3, r3.Add(r3.Add(p, q), r))
		for _, v := range [4]r3.Vec{middle, p, q, r} {
			if !t.near(v, c.tolerance) && (t.winding(v) != 0) == where {
				return true
			}
		}
	}
	return false
}
