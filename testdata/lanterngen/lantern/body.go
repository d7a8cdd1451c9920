package lantern

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// ellipsoid is roughly the distance to an ellipsoid with the given half axes.
//
// Source: I. Quilez, "ellipsoid sdf", iquilezles.org/articles/ellipsoids.
func ellipsoid(p, middle, half r3.Vec) float64 {
	q := r3.Sub(p, middle)
	a := r3.Vec{X: q.X / half.X, Y: q.Y / half.Y, Z: q.Z / half.Z}
	b := r3.Vec{X: a.X / half.X, Y: a.Y / half.Y, Z: a.Z / half.Z}
	k0, k1 := length(a), length(b)
	if k1 == 0 {
		return -min(half.X, half.Y, half.Z)
	}
	return k0 * (k0 - 1) / k1
}

// tapered is roughly the distance to balls strung from a to b whose radius goes
// from ra to rb.
func tapered(p, a, b r3.Vec, ra, rb float64) float64 {
	along := r3.Sub(b, a)
	t := min(1, max(0, r3.Dot(r3.Sub(p, a), along)/r3.Norm2(along)))
	return length(r3.Sub(p, r3.Add(a, r3.Scale(t, along)))) - (ra + t*(rb-ra))
}

// blend joins two solids with a fillet about k wide.
//
// Source: I. Quilez, "smooth minimum", iquilezles.org/articles/smin, quadratic.
func blend(a, b, k float64) float64 {
	h := max(0, k-math.Abs(a-b)) / k
	return min(a, b) - h*h*k/4
}

var (
	eyeBulge  = r3.Vec{X: 86, Y: 50, Z: 46} // of the right side
	bulgeSize = 47.0
)

// fish is negative inside the fish; near its skin it grows by 1 a millimetre,
// give or take a third.
func fish(p r3.Vec) float64 {
	p.Y = math.Abs(p.Y)
	f := ellipsoid(p, r3.Vec{X: 124, Z: 8}, r3.Vec{X: 120, Y: 92, Z: 112})
	f = blend(f, ellipsoid(p, r3.Vec{X: 215, Z: -2}, r3.Vec{X: 150, Y: 80, Z: 98}), 30)
	f = blend(f, tapered(p, r3.Vec{X: 300, Z: 6}, r3.Vec{X: 408, Z: 14}, 52, 22), 40)
	f = blend(f, ellipsoid(p, r3.Vec{X: 80, Z: -58}, r3.Vec{X: 76, Y: 66, Z: 44}), 24)
	return blend(f, length(r3.Sub(p, eyeBulge))-bulgeSize, 18)
}

// skinDistance is the distance to the fish's skin, negative inside: to a
// hundredth or so within a wall's thickness of it, roughly beyond.
//
// The field over its slope half way to the skin is right to second order.
func skinDistance(p r3.Vec) float64 {
	f := fish(p)
	if math.Abs(f) > 40 {
		return f
	}
	g := gradient(fish, p)
	slope := gradient(fish, r3.Sub(p, r3.Scale(f/(2*r3.Norm2(g)), g)))
	return f / length(slope)
}

// onRay finds the point at a height over the skin on a ray that starts inside
// the fish and leaves it once.
func onRay(from, way r3.Vec, height float64) r3.Vec {
	low, high := 0.0, 400.0
	for range 60 {
		mid := (low + high) / 2
		if skinDistance(r3.Add(from, r3.Scale(mid, way))) < height {
			low = mid
		} else {
			high = mid
		}
	}
	return r3.Add(from, r3.Scale(low, way))
}
