package role

import (
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// opposed is the cosine between two normals below which facets face each
// other: 45° off at most. Walls of a socket and of its peg are opposed to 1°
// or so; the margin is for round ends and coarse curves.
const opposed = -0.7

// maxCorners is the most corners a triangle has after five cuts by a plane.
const maxCorners = 3 + 5

// polygon is a convex polygon, its corners in order.
type polygon struct {
	corners [maxCorners]r3.Vec
	n       int
}

// coverOf returns how much of facet f of m is covered by facet g of o within
// reach: the area of the points of f from which the normal, or its opposite,
// meets g within reach. Unit: mm².
//
// Exact, and without tolerance, so that facets that share an edge share
// nothing: g is cut to the prism over f and its shadow on f is measured.
func coverOf(m *mesh.Mesh, f mesh.FaceID, o *mesh.Mesh, g mesh.FaceID, reach float64) float64 {
	var p polygon
	p.corners[0], p.corners[1], p.corners[2] = o.Corners(g)
	p.n = 3
	a, b, c := m.Corners(f)
	n := m.Normal(f)
	level := r3.Dot(n, a)
	if p.cut(n, level-reach); p.n == 0 {
		return 0
	}
	if p.cut(r3.Scale(-1, n), -level-reach); p.n == 0 {
		return 0
	}
	for _, e := range [3][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
		in := r3.Cross(n, r3.Sub(e[1], e[0]))
		if p.cut(in, r3.Dot(in, e[0])); p.n == 0 {
			return 0
		}
	}
	return max(0, -p.shadow(n))
}

// cut takes away what lies below level along n.
//
// Source: I. E. Sutherland & G. W. Hodgman, "Reentrant polygon clipping",
// Communications of the ACM 17(1), 1974.
func (p *polygon) cut(n r3.Vec, level float64) {
	was := *p
	p.n = 0
	for i := range was.n {
		a, b := was.corners[i], was.corners[(i+1)%was.n]
		ha, hb := r3.Dot(n, a)-level, r3.Dot(n, b)-level
		if ha >= 0 {
			p.add(a)
		}
		if (ha > 0 && hb < 0) || (ha < 0 && hb > 0) {
			p.add(r3.Add(a, r3.Scale(ha/(ha-hb), r3.Sub(b, a))))
		}
	}
}

func (p *polygon) add(v r3.Vec) {
	if p.n < maxCorners { // rounding might make one too many of a needle
		p.corners[p.n] = v
		p.n++
	}
}

// shadow returns the area of the polygon seen along n, negative seen from
// behind.
func (p *polygon) shadow(n r3.Vec) float64 {
	sum := 0.0
	for i := 2; i < p.n; i++ {
		sum += r3.Dot(n, r3.Cross(r3.Sub(p.corners[i-1], p.corners[0]), r3.Sub(p.corners[i], p.corners[0])))
	}
	return sum / 2
}
