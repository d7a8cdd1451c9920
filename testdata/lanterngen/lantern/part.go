package lantern

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Part is one part of the lantern.
type Part struct {
	Name  string // ends in _x4 if the lantern needs four
	Mesh  *mesh.Mesh
	Roles []Role // len NumFaces
	// Shifts tell where the copies go, from where the mesh is; one is zero.
	// Len the number of copies.
	Shifts []r3.Vec
}

// Resolution is the spacing of the lattice that the demo files are made with.
// Unit: mm.
const Resolution = 2.5

// Names lists the parts in the order that Parts returns them.
func Names() []string {
	var out []string
	for _, r := range recipes() {
		out = append(out, r.name)
	}
	return out
}

// Parts makes all parts, each as Make does.
func Parts(resolution float64, facets int) ([]Part, error) {
	var out []Part
	for _, r := range recipes() {
		p, err := r.make(resolution, facets)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// Make makes one part. The resolution is the spacing of the lattice in mm;
// parts with small features use a share of it. Facets is the number that the
// part is thinned to, or one fewer; 0 is that of the demo files. If the
// lattice gives too few facets it is made finer until it does not.
//
// Corners are rounded to 32-bit floats, so a binary STL file holds the mesh
// without loss.
//
// Laws: the surface is closed and in one piece (tried for 1.5 to 5 mm); same
// arguments, same bytes on one machine and build.
// Cost: about a second at the demo's resolution; 1 to 5 s for 100,000 facets,
// 10 s and 0.7 GB for a million.
func Make(name string, resolution float64, facets int) (Part, error) {
	for _, r := range recipes() {
		if r.name == name {
			return r.make(resolution, facets)
		}
	}
	return Part{}, fmt.Errorf("lantern: no part named %q", name)
}

func (r *recipe) make(resolution float64, facets int) (Part, error) {
	if !(resolution > 0) || math.IsInf(resolution, 1) {
		return Part{}, fmt.Errorf("lantern: resolution %v mm, want more than 0", resolution)
	}
	if facets <= 0 {
		facets = r.facets
	}
	raw, groups, err := r.raw(resolution*r.fine, facets)
	if err != nil {
		return Part{}, err
	}
	thin, from := raw.Decimated(mesh.Decimation{Facets: facets, Groups: groups, Weights: r.weights(groups)})
	roles := make([]Role, len(from))
	for i, f := range from {
		roles[i] = r.role(groups[f])
	}
	return r.finish(thin, roles)
}

// weights has joints kept closer than the rest, as they must fit, and the
// inside less close.
func (r *recipe) weights(groups []uint16) []float64 {
	byRole := [...]float64{Show: 1, Joint: 30, Hidden: 0.3}
	out := make([]float64, len(groups))
	for i, g := range groups {
		out[i] = byRole[r.role(g)]
	}
	return out
}

// raw cuts the part at a spacing fine enough to give the facets asked for.
func (r *recipe) raw(spacing float64, facets int) (*mesh.Mesh, []uint16, error) {
	for {
		m, groups, err := cut(r, spacing).skin()
		if err != nil || m.NumFaces() >= facets {
			return m, groups, err
		}
		// Facets go with the inverse square of the spacing.
		spacing *= 0.9 * math.Sqrt(float64(m.NumFaces())/float64(facets))
	}
}

// finish rounds the corners and mirrors the part if the recipe says so.
func (r *recipe) finish(m *mesh.Mesh, roles []Role) (Part, error) {
	places := slices.Clone(m.Vertices())
	faces := slices.Clone(m.Faces())
	for i, p := range places {
		places[i] = r3.Vec{X: float64(float32(p.X)), Y: float64(float32(p.Y)), Z: float64(float32(p.Z))}
		if r.mirror {
			places[i].Y = -places[i].Y
		}
	}
	if r.mirror {
		for i, f := range faces {
			faces[i] = [3]mesh.VertexID{f[0], f[2], f[1]}
		}
	}
	out, err := mesh.New(places, faces)
	if err != nil {
		return Part{}, fmt.Errorf("lantern: %s: %w", r.name, err)
	}
	return Part{Name: r.name, Mesh: out, Roles: roles, Shifts: r.shifts}, nil
}
