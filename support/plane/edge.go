package plane

import (
	"gonum.org/v1/gonum/spatial/r2"
)

// edge is the straight piece of a ring from a to b, ends included.
type edge struct{ a, b r2.Vec }

// edges returns every edge of every ring, ring by ring.
func (o Outline) edges() []edge {
	var out []edge
	for _, r := range o {
		for i, a := range r {
			out = append(out, edge{a, r[(i+1)%len(r)]})
		}
	}
	return out
}

func (e edge) moved(shift r2.Vec) edge { return edge{r2.Add(e.a, shift), r2.Add(e.b, shift)} }

func (e edge) box() r2.Box { return grow(r2.Box{Min: e.a, Max: e.a}, e.b) }

// holds reports whether p, known to be on the line through e, lies on e.
func (e edge) holds(p r2.Vec) bool {
	box := e.box()
	return p.X >= box.Min.X && p.X <= box.Max.X && p.Y >= box.Min.Y && p.Y <= box.Max.Y
}

// on reports whether p lies exactly on e.
func (e edge) on(p r2.Vec) bool { return e.holds(p) && side(e.a, e.b, p) == 0 }

// crosses reports whether e and f cut each other at a point inside both.
func (e edge) crosses(f edge) bool {
	return side(e.a, e.b, f.a)*side(e.a, e.b, f.b) < 0 &&
		side(f.a, f.b, e.a)*side(f.a, f.b, e.b) < 0
}

// meets reports whether e and f share a point. It is exact.
func (e edge) meets(f edge) bool {
	if boxDistance2(e.box(), f.box()) > 0 {
		return false
	}
	return e.crosses(f) || e.on(f.a) || e.on(f.b) || f.on(e.a) || f.on(e.b)
}

// distance2 returns the squared distance of p from e. Unit: mm².
func (e edge) distance2(p r2.Vec) float64 {
	along, to := r2.Sub(e.b, e.a), r2.Sub(p, e.a)
	length2 := r2.Norm2(along)
	if length2 == 0 {
		return r2.Norm2(to)
	}
	t := min(max(r2.Dot(to, along)/length2, 0), 1)
	return r2.Norm2(r2.Sub(to, r2.Scale(t, along)))
}

// gap2 returns the squared distance between e and f, exactly 0 when they
// meet. Two segments that do not meet are nearest at an end of one of them.
func (e edge) gap2(f edge) float64 {
	if e.meets(f) {
		return 0
	}
	return min(e.distance2(f.a), e.distance2(f.b), f.distance2(e.a), f.distance2(e.b))
}

// boxDistance2 returns the squared distance between two boxes, 0 when they
// share a point.
func boxDistance2(a, b r2.Box) float64 {
	dx := max(0, a.Min.X-b.Max.X, b.Min.X-a.Max.X)
	dy := max(0, a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y)
	return dx*dx + dy*dy
}
