package partfile

import (
	"fmt"
	"iter"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Plate is what one printer prints in one run, ready to be written.
type Plate struct {
	Title  string
	Copies []Copy
}

// Copy is one copy of a part on a plate.
type Copy struct {
	// Mesh is the part in its file frame. Copies that share it, by pointer,
	// share one object of the 3MF file.
	Mesh *mesh.Mesh
	// Name is the part's name; of copies that share a mesh, the first one's
	// counts.
	Name string
	// Number tells this copy from others, such as "arm_left 2/4".
	Number string
	// Pose takes the file frame to the printer frame.
	Pose mesh.Pose
}

// NumFacets returns the number of facets on the plate.
func (p Plate) NumFacets() int {
	n := 0
	for _, c := range p.Copies {
		n += c.Mesh.NumFaces()
	}
	return n
}

// Triangles returns all facets on the plate, in the printer frame, copy by
// copy; with NumFacets, what WriteSTL needs.
func (p Plate) Triangles() iter.Seq[mesh.Triangle] {
	return func(yield func(mesh.Triangle) bool) {
		for _, c := range p.Copies {
			for f := range c.Mesh.NumFaces() {
				v0, v1, v2 := c.Mesh.Corners(mesh.FaceID(f))
				if !yield(mesh.Triangle{c.Pose.Apply(v0), c.Pose.Apply(v1), c.Pose.Apply(v2)}) {
					return
				}
			}
		}
	}
}

// belowZero is how far rounding may put a part below zero, the step to which
// job lists are printed. Unit: mm.
const belowZero = 1e-6

// checkInside makes sure that the pose is a rotation and that it puts the copy
// where 3MF lets things be printed:
// "in the positive octant of the coordinate space" (core specification, build
// items; from memory).
func (c Copy) checkInside() error {
	// 1e-6 is far more than rounding does to a rotation and far less than any
	// scale; the zero Pose, which flattens, is what this is for.
	if volume := affineOf(c.Pose).volume(); math.Abs(volume-1) > 1e-6 {
		return &Error{Err: ErrFormat, Place: quoted(c.Number), Value: fmt.Sprintf("pose scales volumes by %g", volume)}
	}
	for _, f := range c.Mesh.Faces() {
		for _, id := range f {
			v := c.Pose.Apply(c.Mesh.Vertex(id))
			if !usable(v) {
				return &Error{Err: ErrNotFinite, Place: quoted(c.Number), Value: fmt.Sprint(v)}
			}
			if least := min(v.X, v.Y, v.Z); least < -belowZero {
				return &Error{Err: ErrOutside, Place: quoted(c.Number), Value: describe(v)}
			}
		}
	}
	return nil
}

func describe(v r3.Vec) string { return fmt.Sprintf("(%.3f, %.3f, %.3f) mm", v.X, v.Y, v.Z) }
