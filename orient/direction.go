package orient

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
)

// Sphere returns n directions spread nearly evenly over the sphere, the poles
// of the set lying a little off the Z axis.
//
// The largest hole between n of them is about 2.7/√n radians across.
// Source: spherical Fibonacci lattice, R. Swinbank & R. J. Purser, "Fibonacci
// grids: a novel approach to global modelling", Q. J. R. Meteorol. Soc. 132,
// 2006.
func Sphere(n int) []mesh.Direction {
	out := make([]mesh.Direction, n)
	turn := math.Pi * (3 - math.Sqrt(5))
	for i := range out {
		z := 1 - (2*float64(i)+1)/float64(n)
		r := math.Sqrt(1 - z*z)
		sin, cos := math.Sincos(turn * float64(i))
		out[i] = unit(r3.Vec{X: r * cos, Y: r * sin, Z: z})
	}
	return out
}

// unit returns the direction of a vector that is known to have one.
func unit(v r3.Vec) mesh.Direction {
	d, err := mesh.NewDirection(v)
	if err != nil {
		panic("orient: " + err.Error())
	}
	return d
}

// Between returns the angle between two directions. Near zero and near half a
// turn it keeps full precision, which the arc cosine does not.
func Between(a, b mesh.Direction) plane.Angle {
	u, v := a.Vec(), b.Vec()
	return plane.Angle(math.Atan2(r3.Norm(r3.Cross(u, v)), r3.Dot(u, v)))
}

// leaned returns up turned by angle towards bearing, an angle about up counted
// from an arbitrary but fixed start.
func leaned(up mesh.Direction, angle, bearing plane.Angle) mesh.Direction {
	f := mesh.Upright(up)
	side := r3.Add(r3.Scale(bearing.Cos(), f.X), r3.Scale(bearing.Sin(), f.Y))
	return unit(r3.Add(r3.Scale(angle.Cos(), f.Z), r3.Scale(angle.Sin(), side)))
}
