package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// quadric is a weighted sum of squared distances to planes, as a function of
// place: p·A·p + 2 b·p + c with a symmetric A. The zero quadric has no planes.
//
// Source: M. Garland & P. S. Heckbert, "Surface simplification using quadric
// error metrics", SIGGRAPH 1997.
type quadric struct {
	xx, xy, xz, yy, yz, zz float64 // A
	b                      r3.Vec
	c                      float64
	weight                 float64 // sum of the planes' weights, mm²
}

// planeQuadric returns weight times the squared distance to the plane through
// p with unit normal n.
func planeQuadric(n, p r3.Vec, weight float64) quadric {
	d := -r3.Dot(n, p)
	return quadric{
		xx: weight * n.X * n.X, xy: weight * n.X * n.Y, xz: weight * n.X * n.Z,
		yy: weight * n.Y * n.Y, yz: weight * n.Y * n.Z, zz: weight * n.Z * n.Z,
		b: r3.Scale(weight*d, n), c: weight * d * d, weight: weight,
	}
}

func (q quadric) plus(o quadric) quadric {
	return quadric{
		xx: q.xx + o.xx, xy: q.xy + o.xy, xz: q.xz + o.xz,
		yy: q.yy + o.yy, yz: q.yz + o.yz, zz: q.zz + o.zz,
		b: r3.Add(q.b, o.b), c: q.c + o.c, weight: q.weight + o.weight,
	}
}

// at returns the sum at p, which rounding may push slightly below zero.
func (q quadric) at(p r3.Vec) float64 {
	return p.X*(q.xx*p.X+2*q.xy*p.Y+2*q.xz*p.Z) + p.Y*(q.yy*p.Y+2*q.yz*p.Z) + p.Z*q.zz*p.Z +
		2*r3.Dot(q.b, p) + q.c
}

// pull is the share of the planes' weight that draws the least place towards
// where it started. It makes the equations solvable on flat and straight
// surfaces, where every place along them is as good. It must stay far below
// the square of the angle between neighbouring facets: 1e-6 is 0.06°.
const pull = 1e-6

// least returns the place where the sum is least, and of many such places the
// one nearest to near.
func (q quadric) least(near r3.Vec) r3.Vec {
	// Solved for the step away from near: its right-hand side is then free of
	// the large products that cancel. Cholesky, as A + λI is positive definite.
	l := pull * (q.xx + q.yy + q.zz)
	if l <= 0 {
		return near
	}
	r := r3.Vec{
		X: -(q.xx*near.X + q.xy*near.Y + q.xz*near.Z + q.b.X),
		Y: -(q.xy*near.X + q.yy*near.Y + q.yz*near.Z + q.b.Y),
		Z: -(q.xz*near.X + q.yz*near.Y + q.zz*near.Z + q.b.Z),
	}
	l11 := math.Sqrt(q.xx + l)
	l21, l31 := q.xy/l11, q.xz/l11
	l22 := math.Sqrt(q.yy + l - l21*l21)
	l32 := (q.yz - l31*l21) / l22
	l33 := math.Sqrt(q.zz + l - l31*l31 - l32*l32)
	y1 := r.X / l11
	y2 := (r.Y - l21*y1) / l22
	y3 := (r.Z - l31*y1 - l32*y2) / l33
	z := y3 / l33
	y := (y2 - l32*z) / l22
	x := (y1 - l21*y - l31*z) / l11
	step := r3.Vec{X: x, Y: y, Z: z}
	if !finite(step) {
		return near
	}
	return r3.Add(near, step)
}
