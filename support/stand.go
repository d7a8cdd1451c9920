package support

import (
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Body is a mesh and what all orientations of it have in common, found once.
type Body struct {
	Mesh   *mesh.Mesh
	Roles  []Role // one a facet, or nil: all Show
	Closed bool   // the surface has no rim: winding numbers hold everywhere
	Shells int    // connected surfaces
}

// NewBody looks a mesh over. roles has one entry a facet, or is nil.
//
// Cost: O(facets).
func NewBody(m *mesh.Mesh, roles []Role) Body {
	t := mesh.NewTopology(m)
	return Body{Mesh: m, Roles: roles, Closed: t.IsClosed(), Shells: t.NumShells()}
}

// Stand turns a body so that up points up and sets its lowest corner on the
// plate; x and y are not shifted. The pose takes the body's frame to that of
// the result.
func (b Body) Stand(up mesh.Direction) (Body, mesh.Pose) { return b.StandIn(mesh.Upright(up)) }

// StandIn turns a body into a frame and sets its lowest corner on the plate,
// as Stand does.
func (b Body) StandIn(frame mesh.Frame) (Body, mesh.Pose) {
	pose := mesh.Pose{Frame: frame}
	low := b.Mesh.Vertex(b.Mesh.Face(0)[0])
	for _, f := range b.Mesh.Faces() {
		for _, v := range f {
			if p := b.Mesh.Vertex(v); r3.Dot(frame.Z, p) < r3.Dot(frame.Z, low) {
				low = p
			}
		}
	}
	// The very expression that Apply evaluates, so that the lowest corner
	// lands on zero exactly.
	pose.Shift.Z = -frame.Turn(low).Z
	b.Mesh = b.Mesh.Moved(pose)
	return b, pose
}
