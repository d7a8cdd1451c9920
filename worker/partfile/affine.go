package partfile

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// affine is a transform as 3MF writes it: the images of the three unit vectors,
// then that of the origin. The specification multiplies row vectors, so these
// are the rows of its 4×3 matrix, and the columns of a matrix that multiplies
// column vectors.
type affine [12]float64

var identity = affine{1, 0, 0, 0, 1, 0, 0, 0, 1}

// affineOf returns a pose as 3MF writes it.
func affineOf(p mesh.Pose) affine {
	m := p.Matrix()
	return affine{
		m[0], m[4], m[8],
		m[1], m[5], m[9],
		m[2], m[6], m[10],
		m[3], m[7], m[11],
	}
}

// parseAffine reads twelve numbers.
//
// Errors: ErrFormat, also for a transform that flattens; ErrNotFinite.
func parseAffine(text string) (affine, error) {
	var a affine
	n := 0
	for field := range strings.FieldsSeq(text) {
		if n == len(a) {
			n++
			break
		}
		v, err := number(field)
		if err != nil {
			return affine{}, err
		}
		a[n] = v
		n++
	}
	if n != len(a) {
		return affine{}, &Error{Err: ErrFormat, Value: "transform " + quoted(text), Hint: "twelve numbers should stand here"}
	}
	if a.volume() == 0 {
		return affine{}, &Error{Err: ErrFormat, Value: fmt.Sprintf("transform %s makes the part flat", quoted(text)), Hint: "export the part again"}
	}
	return a, nil
}

// apply returns the image of a point.
func (a affine) apply(p r3.Vec) r3.Vec {
	return r3.Vec{
		X: p.X*a[0] + p.Y*a[3] + p.Z*a[6] + a[9],
		Y: p.X*a[1] + p.Y*a[4] + p.Z*a[7] + a[10],
		Z: p.X*a[2] + p.Y*a[5] + p.Z*a[8] + a[11],
	}
}

// then returns the transform that does a first and b after it.
//
// Laws: (1) a.then(b).apply(p) = b.apply(a.apply(p)); (2) volumes multiply.
func (a affine) then(b affine) affine {
	var out affine
	origin := b.apply(r3.Vec{})
	for i := range 4 {
		image := b.apply(r3.Vec{X: a[3*i], Y: a[3*i+1], Z: a[3*i+2]})
		if i < 3 { // directions do not move with the origin
			image = r3.Sub(image, origin)
		}
		out[3*i], out[3*i+1], out[3*i+2] = image.X, image.Y, image.Z
	}
	return out
}

// volume returns the volume of the unit cube's image, negative if the
// transform mirrors.
func (a affine) volume() float64 {
	x, y, z := r3.Vec{X: a[0], Y: a[1], Z: a[2]}, r3.Vec{X: a[3], Y: a[4], Z: a[5]}, r3.Vec{X: a[6], Y: a[7], Z: a[8]}
	return r3.Dot(x, r3.Cross(y, z))
}
