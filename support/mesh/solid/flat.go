package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Box returns an upright block of x by y by z.
//
// Laws: volume xyz; area 2(xy+yz+zx); 8 corners, 12 facets.
func Box(x, y, z float64) *mesh.Mesh {
	needLengths(x, y, z)
	profile := []r2.Vec{{X: -x / 2}, {X: x / 2}, {X: x / 2, Y: z}, {X: -x / 2, Y: z}}
	return prism(profile, [][3]int{{0, 1, 2}, {0, 2, 3}}, y)
}

// HollowBox returns a block of x by y by z with a closed hollow inside that
// leaves walls of the given thickness: two shells, the inner one facing in.
//
// Laws: volume xyz − (x−2w)(y−2w)(z−2w) for wall w.
func HollowBox(x, y, z, wall float64) *mesh.Mesh {
	needLengths(wall, x-2*wall, y-2*wall, z-2*wall)
	hollow := Box(x-2*wall, y-2*wall, z-2*wall)
	lift := mesh.Pose{Frame: mesh.Identity(), Shift: r3.Vec{Z: wall}}
	return Together(Box(x, y, z), InsideOut(hollow.Moved(lift)))
}

// Pyramid returns a pyramid on a square base of side a with its apex up at
// height h.
//
// Laws: volume a²h/3; area a² + a√(a²+4h²).
func Pyramid(a, h float64) *mesh.Mesh {
	needLengths(a, h)
	b := &builder{}
	s := a / 2
	p, q, r, t := b.point(-s, -s, 0), b.point(s, -s, 0), b.point(s, s, 0), b.point(-s, s, 0)
	apex := b.point(0, 0, h)
	b.quad(t, r, q, p)
	b.triangle(p, q, apex)
	b.triangle(q, r, apex)
	b.triangle(r, t, apex)
	b.triangle(t, p, apex)
	return b.mesh()
}

// Tetrahedron returns a regular tetrahedron of edge a, standing on a face, one
// edge of which runs along X on the side of −Y.
//
// Laws: volume a³/(6√2); area √3·a²; height a√(2/3).
func Tetrahedron(a float64) *mesh.Mesh {
	needLengths(a)
	deep := a * math.Sqrt(3) / 2 // depth of the triangle on the plate
	b := &builder{}
	p, q, r := b.point(-a/2, -deep/2, 0), b.point(a/2, -deep/2, 0), b.point(0, deep/2, 0)
	apex := b.point(0, -deep/6, a*math.Sqrt(2.0/3))
	b.triangle(p, r, q)
	b.triangle(p, q, apex)
	b.triangle(q, r, apex)
	b.triangle(r, p, apex)
	return b.mesh()
}

// LBracket returns a bracket that stands like the capital letter gamma: a post
// of height post on the plate, and at its top an arm that reaches out to +X.
// Both lengths are taken over the outside; both limbs are t thick and w wide
// along Y.
//
// Laws: volume t·w·(arm+post−t); the arm's underside is (arm−t)·w at height
// post−t; the foot is t·w.
func LBracket(arm, post, t, w float64) *mesh.Mesh {
	needLengths(arm-t, post-t, t, w)
	left, inner, right, under := -arm/2, -arm/2+t, arm/2, post-t
	profile := []r2.Vec{
		{X: left}, {X: inner}, {X: inner, Y: under},
		{X: right, Y: under}, {X: right, Y: post}, {X: left, Y: post},
	}
	// All triangles start at the inner corner, from which the whole profile
	// is in sight.
	return prism(profile, [][3]int{{2, 3, 4}, {2, 4, 5}, {2, 5, 0}, {2, 0, 1}}, w)
}

// Table returns a slab on two posts: a bridge of the given span along X and
// the given width along Y, whose underside is the height clear above the
// plate. Slab and posts are t thick.
//
// Laws: volume w·(t·(span+2t) + 2t·clear) for width w; the bridge's underside
// is span·w; the two feet are t·w each.
func Table(span, width, clear, t float64) *mesh.Mesh {
	needLengths(span, width, clear, t)
	in, out, top := span/2, span/2+t, clear+t
	profile := []r2.Vec{
		{X: -out}, {X: -in}, {X: -in, Y: clear}, {X: in, Y: clear},
		{X: in}, {X: out}, {X: out, Y: top}, {X: -out, Y: top},
	}
	fill := [][3]int{{0, 1, 2}, {0, 2, 7}, {2, 3, 6}, {2, 6, 7}, {3, 4, 5}, {3, 5, 6}}
	return prism(profile, fill, width)
}
