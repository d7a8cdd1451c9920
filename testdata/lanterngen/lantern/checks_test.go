package lantern

import (
	"math"
	"sync"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// demo makes all parts as they are committed, once for all tests.
var demo = sync.OnceValues(func() (map[string]Part, error) {
	parts := map[string]Part{}
	var lock sync.Mutex
	var wait sync.WaitGroup
	var failed error
	for _, name := range Names() {
		wait.Go(func() {
			p, err := Make(name, Resolution, 0)
			lock.Lock()
			defer lock.Unlock()
			parts[name] = p
			if err != nil {
				failed = err
			}
		})
	}
	wait.Wait()
	return parts, failed
})

func demoParts(t testing.TB) map[string]Part {
	t.Helper()
	if testing.Short() {
		t.Skip("skipped: making all parts takes long")
	}
	parts, err := demo()
	if err != nil {
		t.Fatal(err)
	}
	return parts
}

// The checkers below share no code with what they check.

// brokenEdges counts directed edges that are not matched by exactly one
// opposite.
func brokenEdges(m *mesh.Mesh) int {
	seen := map[[2]mesh.VertexID]int{}
	for _, f := range m.Faces() {
		for k := range 3 {
			seen[[2]mesh.VertexID{f[k], f[(k+1)%3]}]++
		}
	}
	bad := 0
	for e, n := range seen {
		if n != 1 || seen[[2]mesh.VertexID{e[1], e[0]}] != 1 {
			bad++
		}
	}
	return bad
}

// pinched counts corners whose facets do not form one closed fan.
func pinched(m *mesh.Mesh) int {
	next := make([]map[mesh.VertexID]mesh.VertexID, m.NumVertices())
	facets := make([]int, m.NumVertices())
	for _, f := range m.Faces() {
		for k, v := range f {
			if next[v] == nil {
				next[v] = map[mesh.VertexID]mesh.VertexID{}
			}
			next[v][f[(k+1)%3]] = f[(k+2)%3]
			facets[v]++
		}
	}
	bad := 0
	for v, way := range next {
		var start mesh.VertexID
		for start = range way {
			break
		}
		at, n := start, 0
		for n <= facets[v] {
			to, ok := way[at]
			if !ok {
				break
			}
			at = to
			if n++; at == start {
				break
			}
		}
		if n != facets[v] || at != start {
			bad++
		}
	}
	return bad
}

func components(m *mesh.Mesh) int {
	parent := make([]mesh.VertexID, m.NumVertices())
	for i := range parent {
		parent[i] = mesh.VertexID(i)
	}
	find := func(v mesh.VertexID) mesh.VertexID {
		for parent[v] != v {
			parent[v] = parent[parent[v]]
			v = parent[v]
		}
		return v
	}
	for _, f := range m.Faces() {
		parent[find(f[0])] = find(f[1])
		parent[find(f[1])] = find(f[2])
	}
	n := 0
	for v, p := range parent {
		if mesh.VertexID(v) == p {
			n++
		}
	}
	return n
}

func volumeOf(m *mesh.Mesh) float64 {
	sum := 0.0
	for _, c := range m.Triangles() {
		sum += r3.Dot(c[0], r3.Cross(c[1], c[2])) / 6
	}
	return sum
}

// caster finds where lines meet a mesh. Facets are sorted into columns of a
// grid seen along one axis, for lines along it.
type caster struct {
	tris    []mesh.Triangle
	box     r3.Box
	columns map[[2]int][]int32
}

const columnSize = 4.0

func newCaster(m *mesh.Mesh) *caster {
	c := &caster{tris: m.Triangles(), box: m.Bounds(), columns: map[[2]int][]int32{}}
	for i, t := range c.tris {
		x0, x1 := min(t[0].X, t[1].X, t[2].X), max(t[0].X, t[1].X, t[2].X)
		y0, y1 := min(t[0].Y, t[1].Y, t[2].Y), max(t[0].Y, t[1].Y, t[2].Y)
		for x := column(x0); x <= column(x1); x++ {
			for y := column(y0); y <= column(y1); y++ {
				c.columns[[2]int{x, y}] = append(c.columns[[2]int{x, y}], int32(i))
			}
		}
	}
	return c
}

func column(x float64) int { return int(math.Floor(x / columnSize)) }

// holds reports whether p is inside the mesh, by crossings of the line up.
func (c *caster) holds(p r3.Vec) bool {
	if p.X < c.box.Min.X || p.X > c.box.Max.X || p.Y < c.box.Min.Y || p.Y > c.box.Max.Y ||
		p.Z < c.box.Min.Z || p.Z > c.box.Max.Z {
		return false
	}
	crossings := 0
	for _, i := range c.columns[[2]int{column(p.X), column(p.Y)}] {
		if d, ok := hit(p, r3.Vec{Z: 1}, c.tris[i]); ok && d > 0 {
			crossings++
		}
	}
	return crossings%2 == 1
}

// hit returns how far along a ray from p a triangle is met, which may be behind.
func hit(p, way r3.Vec, t mesh.Triangle) (far float64, ok bool) {
	e1, e2 := r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0])
	h := r3.Cross(way, e2)
	det := r3.Dot(e1, h)
	if det == 0 {
		return 0, false
	}
	s := r3.Sub(p, t[0])
	u := r3.Dot(s, h) / det
	q := r3.Cross(s, e1)
	v := r3.Dot(way, q) / det
	if u < 0 || v < 0 || u+v > 1 {
		return 0, false
	}
	return r3.Dot(e2, q) / det, true
}

// first returns the distance to the nearest facet ahead of p, or infinity.
func (c *caster) first(p, way r3.Vec) float64 {
	near := math.Inf(1)
	if !meetsBox(p, way, c.box) {
		return near
	}
	for _, t := range c.tris {
		if d, ok := hit(p, way, t); ok && d > 0 {
			near = min(near, d)
		}
	}
	return near
}

func meetsBox(p, way r3.Vec, b r3.Box) bool {
	low, high := 0.0, math.Inf(1)
	for _, a := range [3][4]float64{
		{p.X, way.X, b.Min.X, b.Max.X}, {p.Y, way.Y, b.Min.Y, b.Max.Y}, {p.Z, way.Z, b.Min.Z, b.Max.Z},
	} {
		s, e := (a[2]-a[0])/a[1], (a[3]-a[0])/a[1]
		low, high = max(low, min(s, e)), min(high, max(s, e))
	}
	return low <= high
}

func middleOf(t mesh.Triangle) r3.Vec {
	return r3.Scale(1.0/3, r3.Add(t[0], r3.Add(t[1], t[2])))
}
