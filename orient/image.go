package orient

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
)

// imageSide is the number of cells along each side of each face of the cube
// that the sphere is cut by: cells of about 4°.
const imageSide = 24

// image is the extended Gaussian image of a surface: facet normals, by area,
// added up in the cells of a sphere, each role for itself. What depends on
// facets one by one can be told of any direction from its few cells instead of
// the facets.
//
// Source: B. K. P. Horn, "Extended Gaussian images", Proc. IEEE 72(12), 1984.
type image struct{ cells []cell }

// cell is the sum of the facets that look nearly the same way.
type cell struct {
	sum    r3.Vec // Σ area·normal, mm²
	spread float64
	role   support.Role
}

// newImage gathers a surface; roles has one entry a facet or is nil. Cells come
// in a fixed order.
func newImage(m *mesh.Mesh, roles []support.Role) image {
	const perRole = 6 * imageSide * imageSide
	all := make([]cell, perRole*support.NumRoles)
	where := make([]int32, m.NumFaces())
	for i, n := range m.Normals() {
		where[i] = -1
		area := m.FaceArea(mesh.FaceID(i))
		if area <= 0 {
			continue
		}
		role := support.Show
		if roles != nil {
			role = roles[i]
		}
		at := int(role)*perRole + imageCell(n)
		where[i] = int32(at)
		c := &all[at]
		c.role, c.sum = role, r3.Add(c.sum, r3.Scale(area, n))
	}
	for i, n := range m.Normals() {
		if where[i] < 0 {
			continue
		}
		c := &all[where[i]]
		c.spread = max(c.spread, angleBetween(c.sum, n))
	}
	var out image
	for _, c := range all {
		if r3.Norm2(c.sum) > 0 {
			out.cells = append(out.cells, c)
		}
	}
	return out
}

// angleBetween returns the angle between two vectors, in radians.
func angleBetween(u, v r3.Vec) float64 {
	return math.Atan2(r3.Norm(r3.Cross(u, v)), r3.Dot(u, v))
}

// imageCell returns the cell that a unit vector falls in.
func imageCell(n r3.Vec) int {
	x, y, z := n.X, n.Y, n.Z
	ax, ay, az := max(x, -x), max(y, -y), max(z, -z)
	var side int
	var u, v float64
	switch {
	case ax >= ay && ax >= az:
		side, u, v = half(x), y/ax, z/ax
	case ay >= az:
		side, u, v = 2+half(y), x/ay, z/ay
	default:
		side, u, v = 4+half(z), x/az, y/az
	}
	col := min(int((u+1)/2*imageSide), imageSide-1)
	row := min(int((v+1)/2*imageSide), imageSide-1)
	return (side*imageSide+row)*imageSide + col
}

func half(x float64) int {
	if x < 0 {
		return 1
	}
	return 0
}

// wall returns ∫ of the outline's length over the height, the surface as seen
// from the side: Σ |up × Σ area·normal| over the cells. Unit: mm². It is no
// more than the surface's own, for facets that lie together shorten their sum.
func (m image) wall(up r3.Vec) float64 {
	sum := 0.0
	for i := range m.cells {
		sum += r3.Norm(r3.Cross(up, m.cells[i].sum))
	}
	return sum
}

// flatFrom is the |n_z| from which a surface counts as skin: 45°.
const flatFrom = math.Sqrt2 / 2

// skin returns the shadow of what looks up or down more than sideways. Unit:
// mm².
func (m image) skin(up r3.Vec) float64 {
	sum := 0.0
	for i := range m.cells {
		c := &m.cells[i]
		if z := math.Abs(r3.Dot(up, c.sum)); z > flatFrom*r3.Norm(c.sum) {
			sum += z
		}
	}
	return sum
}
