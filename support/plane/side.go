package plane

import (
	"math"
	"math/big"

	"gonum.org/v1/gonum/spatial/r2"
)

// sideError bounds the relative rounding error of the determinant in side:
// (3 + 16ε)ε with ε = 2⁻⁵³.
//
// Source: J. R. Shewchuk, "Adaptive precision floating-point arithmetic and
// fast robust geometric predicates", Discrete & Computational Geometry 18,
// 1997, section 4.1.
const sideError = (3 + 16*0x1p-53) * 0x1p-53

// side returns +1 when c lies left of the line from a to b, -1 when it lies
// right, and 0 when the three are exactly on one line. It is exact: doubtful
// cases are settled with rational numbers.
//
// Laws: 1. side(a,b,c) = side(b,c,a) = -side(b,a,c). 2. side(a,a,c) = 0.
func side(a, b, c r2.Vec) int {
	// The conversions forbid fused multiplications, which would make the two
	// products round differently on other builds.
	left := float64((a.X - c.X) * (b.Y - c.Y))
	right := float64((a.Y - c.Y) * (b.X - c.X))
	det := left - right
	bound := sideError * (math.Abs(left) + math.Abs(right))
	switch {
	case det > bound:
		return 1
	case -det > bound:
		return -1
	case a == b || b == c || c == a:
		return 0
	case a.X == b.X && b.X == c.X, a.Y == b.Y && b.Y == c.Y:
		return 0
	}
	return exactSide(exactly(a), exactly(b), exactly(c))
}

// exactPoint is a point with rational coordinates.
type exactPoint struct{ x, y *big.Rat }

// exactly returns p without rounding. NaN and infinities are a caller's bug.
func exactly(p r2.Vec) exactPoint {
	x, y := new(big.Rat).SetFloat64(p.X), new(big.Rat).SetFloat64(p.Y)
	if x == nil || y == nil {
		panic("plane: a coordinate is not a finite number")
	}
	return exactPoint{x, y}
}

// middle returns the point half way from a to b.
func middle(a, b exactPoint) exactPoint {
	half := big.NewRat(1, 2)
	x, y := new(big.Rat).Add(a.x, b.x), new(big.Rat).Add(a.y, b.y)
	return exactPoint{x.Mul(x, half), y.Mul(y, half)}
}

// exactSide is side on rational points.
func exactSide(a, b, c exactPoint) int {
	sub := func(p, q *big.Rat) *big.Rat { return new(big.Rat).Sub(p, q) }
	left := sub(a.x, c.x)
	left.Mul(left, sub(b.y, c.y))
	right := sub(a.y, c.y)
	right.Mul(right, sub(b.x, c.x))
	return left.Cmp(right)
}
