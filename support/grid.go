package support

import (
	"math"

	"platewright/support/mesh"
)

// grid files facets by the squares of the plate that their shadows' upright
// boxes touch, so that what may lie under a facet is found without looking at
// all of them.
type grid struct {
	x0, y0, step float64
	nx, ny       int
	start        []int32 // len nx·ny+1: where a square's facets begin in faces
	faces        []int32
	seen         []int32 // len NumFaces: the last query that met a facet
	query        int32
}

// newGrid files the facets for which keep holds. About one square a facet, as
// squares then hold a few facets each and a facet a few squares.
func newGrid(m *mesh.Mesh, keep func(mesh.FaceID) bool) *grid {
	b := m.Bounds()
	w, d := b.Max.X-b.Min.X, b.Max.Y-b.Min.Y
	n := float64(min(m.NumFaces(), 1<<22))
	step := math.Max(math.Sqrt(w*d/n), math.Max(w, d)/4096)
	if step == 0 {
		step = 1
	}
	g := &grid{x0: b.Min.X, y0: b.Min.Y, step: step, seen: make([]int32, m.NumFaces())}
	g.nx, g.ny = int(w/step)+1, int(d/step)+1
	g.start = make([]int32, g.nx*g.ny+1)
	g.each(m, keep, func(square int, _ mesh.FaceID) { g.start[square+1]++ })
	for i := 1; i < len(g.start); i++ {
		g.start[i] += g.start[i-1]
	}
	g.faces = make([]int32, g.start[len(g.start)-1])
	next := append([]int32(nil), g.start[:len(g.start)-1]...)
	g.each(m, keep, func(square int, f mesh.FaceID) {
		g.faces[next[square]] = int32(f)
		next[square]++
	})
	return g
}

func (g *grid) each(m *mesh.Mesh, keep func(mesh.FaceID) bool, do func(square int, f mesh.FaceID)) {
	for i := range m.NumFaces() {
		f := mesh.FaceID(i)
		if !keep(f) {
			continue
		}
		x0, y0, x1, y1 := g.squares(m, f)
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				do(y*g.nx+x, f)
			}
		}
	}
}

// squares returns the columns and rows that a facet's box touches.
func (g *grid) squares(m *mesh.Mesh, f mesh.FaceID) (x0, y0, x1, y1 int) {
	a, b, c := m.Corners(f)
	return g.column(min(a.X, b.X, c.X)), g.row(min(a.Y, b.Y, c.Y)),
		g.column(max(a.X, b.X, c.X)), g.row(max(a.Y, b.Y, c.Y))
}

func (g *grid) column(x float64) int { return min(max(int((x-g.x0)/g.step), 0), g.nx-1) }
func (g *grid) row(y float64) int    { return min(max(int((y-g.y0)/g.step), 0), g.ny-1) }

// near calls do once for each filed facet whose squares f's box shares, f
// itself included, in an order that depends on the mesh alone.
func (g *grid) near(m *mesh.Mesh, f mesh.FaceID, do func(mesh.FaceID)) {
	g.query++
	x0, y0, x1, y1 := g.squares(m, f)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			i := y*g.nx + x
			for _, other := range g.faces[g.start[i]:g.start[i+1]] {
				if g.seen[other] != g.query {
					g.seen[other] = g.query
					do(mesh.FaceID(other))
				}
			}
		}
	}
}
