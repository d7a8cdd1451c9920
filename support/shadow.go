package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/mesh"
	"platewright/support/plane"
)

// Shadow is the ground that a standing part needs, in the frame it stands in.
type Shadow struct {
	// Outline holds the whole shadow, with its holes. It is drawn on a grid
	// and rounded outward, by less than a cell's diagonal; its bounding box is
	// that of the part.
	Outline plane.Outline
	// Hull is the exact convex hull of the shadow.
	Hull plane.Ring
}

// Holes of less than smallestHole mm² are filled: nothing prints inside them.
const smallestHole = 25

// ShadowOf returns the shadow of a standing mesh, drawn in cells of about
// step mm.
//
// Laws: (1) every point of every facet, seen from above, lies in the outline;
// (2) no corner of the outline is farther than step·√2 from the shadow, filled
// holes aside.
// Cost: O(facets + cells).
func ShadowOf(m *mesh.Mesh, step float64) Shadow {
	points := make([]r2.Vec, 0, m.NumVertices())
	for _, v := range m.Vertices() {
		points = append(points, flat(v))
	}
	hull := HullOf(points)
	b := newBitmap(m, step)
	for i := range m.NumFaces() {
		x, y, z := m.Corners(mesh.FaceID(i))
		b.fill([3]r2.Vec{flat(x), flat(y), flat(z)})
	}
	b.joinCorners()
	var outline plane.Outline
	for _, r := range b.rings() {
		if area := r.SignedArea(); area > 0 || area < -smallestHole {
			outline = append(outline, r)
		}
	}
	return Shadow{Outline: outline, Hull: hull}
}

// HullOf returns the convex hull of many points, as plane.Hull does.
//
// Cost: O(n), but for points near the hull.
func HullOf(points []r2.Vec) plane.Ring { return plane.Hull(extremes(points)) }

// extremes drops most points that cannot be on the hull: those inside the
// octagon of the points farthest out in eight directions.
func extremes(points []r2.Vec) []r2.Vec {
	var far [8]r2.Vec
	for k := range far {
		sin, cos := math.Sincos(math.Pi / 4 * float64(k))
		best := math.Inf(-1)
		for _, p := range points {
			if d := cos*p.X + sin*p.Y; d > best {
				best, far[k] = d, p
			}
		}
	}
	ring := plane.Hull(far[:])
	if len(ring) < 3 {
		return points
	}
	out := append([]r2.Vec(nil), ring...)
	for _, p := range points {
		if depth(ring, p) <= 0 {
			out = append(out, p)
		}
	}
	return out
}

// bitmap is a grid of cells over a part's bounding box, cut so that the box
// is a whole number of cells either way.
type bitmap struct {
	x0, y0, dx, dy float64
	nx, ny         int
	set            []bool // nx+2 by ny+2: an empty border saves asking for it
}

func newBitmap(m *mesh.Mesh, step float64) *bitmap {
	box := m.Bounds()
	w, d := box.Max.X-box.Min.X, box.Max.Y-box.Min.Y
	b := &bitmap{x0: box.Min.X, y0: box.Min.Y}
	b.nx, b.ny = max(1, int(math.Ceil(w/step))), max(1, int(math.Ceil(d/step)))
	b.dx, b.dy = w/float64(b.nx), d/float64(b.ny)
	b.set = make([]bool, (b.nx+2)*(b.ny+2))
	return b
}

func (b *bitmap) at(x, y int) *bool { return &b.set[(y+1)*(b.nx+2)+x+1] }

// cellSlack is the share of a cell by which a triangle may reach into it and
// still not fill it: rounding at the edge of a part that starts on the grid.
const cellSlack = 1e-6

// fill sets every cell that a triangle reaches into.
func (b *bitmap) fill(t [3]r2.Vec) {
	for i, p := range t {
		t[i] = r2.Vec{X: (p.X - b.x0) / b.dx, Y: (p.Y - b.y0) / b.dy}
	}
	low, high := min(t[0].Y, t[1].Y, t[2].Y), max(t[0].Y, t[1].Y, t[2].Y)
	for y := clampCell(low+cellSlack, b.ny); y <= clampCell(high-cellSlack, b.ny); y++ {
		left, right := slab(&t, float64(y), float64(y+1))
		for x := clampCell(left+cellSlack, b.nx); x <= clampCell(right-cellSlack, b.nx); x++ {
			*b.at(x, y) = true
		}
	}
}

func clampCell(x float64, n int) int { return min(max(int(math.Floor(x)), 0), n-1) }

// slab returns how far a triangle reaches left and right between two heights.
func slab(t *[3]r2.Vec, low, high float64) (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	for i, p := range t {
		q := t[(i+1)%3]
		if p.Y > q.Y {
			p, q = q, p
		}
		if q.Y < low || p.Y > high {
			continue
		}
		for _, y := range [2]float64{max(low, p.Y), min(high, q.Y)} {
			x := p.X
			if q.Y > p.Y {
				x += (y - p.Y) / (q.Y - p.Y) * (q.X - p.X)
			}
			left, right = min(left, x), max(right, x)
			if q.Y == p.Y {
				left, right = min(left, q.X), max(right, q.X)
			}
		}
	}
	return left, right
}

// joinCorners fills one more cell wherever two cells meet in a corner only, so
// that no two rings touch.
func (b *bitmap) joinCorners() {
	for again := true; again; {
		again = false
		for y := range b.ny - 1 {
			for x := range b.nx - 1 {
				p, q, r, s := b.at(x, y), b.at(x+1, y), b.at(x, y+1), b.at(x+1, y+1)
				if *p == *s && *q == *r && *p != *q {
					*p, *q, again = true, true, true
				}
			}
		}
	}
}

// rings returns the borders of the filled cells, each corner once: outer ones
// counter-clockwise, holes clockwise.
func (b *bitmap) rings() []plane.Ring {
	w := b.nx + 1
	seen := make([]bool, w*(b.ny+1))
	var out []plane.Ring
	for y := range b.ny {
		for x := range b.nx {
			// A border runs right below every filled cell with an empty one
			// under it; each such edge is walked once.
			if *b.at(x, y) && !*b.at(x, y-1) && !seen[y*w+x] {
				out = append(out, b.walk(x, y, seen))
			}
		}
	}
	return out
}

// walk follows one border, filled cells to the left, from the grid corner x, y
// to the right, and marks the corners from which it runs right.
func (b *bitmap) walk(x, y int, seen []bool) plane.Ring {
	var ring plane.Ring
	steps := [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}
	// The cell ahead on the left and on the right of a corner, by direction.
	left := [4][2]int{{0, 0}, {-1, 0}, {-1, -1}, {0, -1}}
	right := [4][2]int{{0, -1}, {0, 0}, {-1, 0}, {-1, -1}}
	startX, startY, dir := x, y, 0
	for {
		if dir == 0 {
			seen[y*(b.nx+1)+x] = true
		}
		x, y = x+steps[dir][0], y+steps[dir][1]
		turn := dir
		switch {
		case *b.at(x+right[dir][0], y+right[dir][1]):
			turn = (dir + 3) % 4
		case !*b.at(x+left[dir][0], y+left[dir][1]):
			turn = (dir + 1) % 4
		}
		if turn != dir {
			ring = append(ring, r2.Vec{X: b.x0 + float64(x)*b.dx, Y: b.y0 + float64(y)*b.dy})
		}
		dir = turn
		if x == startX && y == startY && dir == 0 {
			return ring
		}
	}
}
