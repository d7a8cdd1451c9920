package mesh

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/plane"
)

// ErrNoDirection reports a vector too short or not finite to give a direction.
var ErrNoDirection = errors.New("mesh: vector has no direction")

// Direction is a unit vector. The zero Direction is +Z.
type Direction struct{ v r3.Vec }

// NewDirection returns v scaled to length 1.
//
// Law: NewDirection(d.Vec()) is d, to the bit: a vector of length 1 but for
// rounding is taken as it is.
// Errors: ErrNoDirection for the zero vector, NaN and infinities.
func NewDirection(v r3.Vec) (Direction, error) {
	// Scaling by the largest component first keeps very long and very short
	// vectors from overflowing when they are squared.
	largest := math.Max(math.Abs(v.X), math.Max(math.Abs(v.Y), math.Abs(v.Z)))
	if largest == 0 || !finite(v) {
		return Direction{}, ErrNoDirection
	}
	const rounding = 1e-15 // what is left of a length when three squares are rounded
	if largest <= 1 && math.Abs(r3.Norm(v)-1) <= rounding {
		return Direction{v}, nil
	}
	return Direction{r3.Unit(r3.Scale(1/largest, v))}, nil
}

// Vec returns the unit vector.
func (d Direction) Vec() r3.Vec {
	if d.v == (r3.Vec{}) {
		return r3.Vec{Z: 1}
	}
	return d.v
}

// Frame is a rotation, held as the axes of the new frame in the old one: a
// point p of the old frame has the coordinates X·p, Y·p, Z·p in the new one.
// The zero Frame is not a rotation; use Upright or Identity.
type Frame struct{ X, Y, Z r3.Vec }

// Identity returns the frame that turns nothing.
func Identity() Frame { return Frame{r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}} }

// leastSquare is a square that still has all its digits; below 2.2e-308 they
// go one by one.
const leastSquare = 1e-290

// Upright returns the frame whose Z axis is up, reached from the old frame by
// the shortest turn; for up = −Z, by half a turn about X.
//
// Laws: (1) Upright(up).Turn(up) = +Z; (2) Upright(+Z) = Identity.
// Source: T. Möller & J. F. Hughes, "Efficiently building a matrix to rotate
// one vector to another", Journal of Graphics Tools 4(4), 1999.
func Upright(up Direction) Frame {
	u := up.Vec()
	k := 1 / (1 + u.Z)
	if u.Z < 0 {
		// Towards −Z the sum loses all its digits: 0.06° from there the axes
		// were off by 1e-10. With u of length 1 this is the same.
		h := u.X*u.X + u.Y*u.Y
		if h < leastSquare {
			return Frame{r3.Vec{X: 1}, r3.Vec{Y: -1}, r3.Vec{Z: -1}}
		}
		k = (1 - u.Z) / h
	}
	return Frame{
		X: r3.Vec{X: 1 - u.X*u.X*k, Y: -u.X * u.Y * k, Z: -u.X},
		Y: r3.Vec{X: -u.X * u.Y * k, Y: 1 - u.Y*u.Y*k, Z: -u.Y},
		Z: u,
	}
}

// Turn returns p in the new frame.
func (f Frame) Turn(p r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(f.X, p), Y: r3.Dot(f.Y, p), Z: r3.Dot(f.Z, p)}
}

// Spun returns the frame turned further by spin about its own Z axis.
func (f Frame) Spun(spin plane.Angle) Frame {
	sin, cos := spin.Sin(), spin.Cos()
	return Frame{
		X: r3.Sub(r3.Scale(cos, f.X), r3.Scale(sin, f.Y)),
		Y: r3.Add(r3.Scale(sin, f.X), r3.Scale(cos, f.Y)),
		Z: f.Z,
	}
}

// Pose is a rotation followed by a shift: one rigid transform from the file
// frame to the printer frame.
type Pose struct {
	Frame Frame
	Shift r3.Vec // mm
}

// Apply returns p after the pose.
func (p Pose) Apply(v r3.Vec) r3.Vec { return r3.Add(p.Frame.Turn(v), p.Shift) }

// Matrix returns the pose as a 4×4 matrix in row-major order that multiplies
// column vectors: element 4·i+j is row i, column j, the shift is in elements
// 3, 7 and 11, the last row is 0 0 0 1.
func (p Pose) Matrix() [16]float64 {
	f, s := p.Frame, p.Shift
	return [16]float64{
		f.X.X, f.X.Y, f.X.Z, s.X,
		f.Y.X, f.Y.Y, f.Y.Z, s.Y,
		f.Z.X, f.Z.Y, f.Z.Z, s.Z,
		0, 0, 0, 1,
	}
}

// Moved returns the mesh after a pose, facets and corners in the same order.
//
// Laws: volume and area are unchanged.
func (m *Mesh) Moved(p Pose) *Mesh {
	out := &Mesh{
		vertices: make([]r3.Vec, len(m.vertices)),
		faces:    m.faces,
		normals:  make([]r3.Vec, len(m.normals)),
		areas:    m.areas,
	}
	for i, v := range m.vertices {
		out.vertices[i] = p.Apply(v)
	}
	for i, n := range m.normals {
		out.normals[i] = p.Frame.Turn(n)
	}
	out.bounds = boundsOf(out.faces, out.vertices)
	return out
}
