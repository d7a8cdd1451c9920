package orient

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/plane"
)

// sameUp is the angle within which two up vectors are one orientation.
const sameUp = 0.1 * plane.Degree

// candidates lists the orientations that a search starts from, none twice:
// the file's own axes, every face of the hull the part can rest on, the main
// directions of its surface and the ways that make two of them vertical, and n
// directions over the sphere.
func candidates(of image, rests []mesh.Direction, n int) []mesh.Direction {
	out := axes()
	out = append(out, rests...)
	clusters := of.normals(maxClusters)
	for _, c := range clusters {
		out = append(out, unit(c), unit(r3.Scale(-1, c)))
	}
	for i, a := range clusters[:min(len(clusters), maxPairs)] {
		for _, b := range clusters[:i] {
			// Both surfaces vertical: no overhang on either.
			if v := r3.Cross(a, b); r3.Norm(v) > 0.1 {
				out = append(out, unit(v), unit(r3.Scale(-1, v)))
			}
		}
	}
	return distinct(append(out, Sphere(n)...), sameUp)
}

// The numbers of main directions looked at, alone and in pairs: parts have a
// handful; beyond that the sphere is as good.
const (
	maxClusters = 24
	maxPairs    = 8
)

func axes() []mesh.Direction {
	return []mesh.Direction{
		unit(r3.Vec{Z: 1}), unit(r3.Vec{Z: -1}),
		unit(r3.Vec{X: 1}), unit(r3.Vec{X: -1}),
		unit(r3.Vec{Y: 1}), unit(r3.Vec{Y: -1}),
	}
}

// distinct drops directions within angle of an earlier one.
func distinct(all []mesh.Direction, angle plane.Angle) []mesh.Direction {
	var out []mesh.Direction
	for _, d := range all {
		if !slices.ContainsFunc(out, func(o mesh.Direction) bool { return Between(o, d) < angle }) {
			out = append(out, d)
		}
	}
	return out
}

// clusterWidth is how far a facet's normal may be from a cluster's first to
// belong to it: enough to gather a gently curved panel.
const clusterWidth = 12 * plane.Degree

// normals returns up to n main directions of the surface, largest area first:
// unit area-weighted mean normals of cells that look alike, whatever their
// role.
func (m image) normals(n int) []r3.Vec {
	cells := make([]r3.Vec, len(m.cells))
	for i, c := range m.cells {
		cells[i] = c.sum
	}
	slices.SortStableFunc(cells, func(a, b r3.Vec) int { return cmp.Compare(r3.Norm2(b), r3.Norm2(a)) })
	var out []r3.Vec
	used := make([]bool, len(cells))
	for i := range cells {
		if used[i] || r3.Norm2(cells[i]) == 0 {
			continue
		}
		seed, sum := unit(cells[i]), r3.Vec{}
		for j := i; j < len(cells); j++ {
			if !used[j] && r3.Norm2(cells[j]) > 0 && Between(seed, unit(cells[j])) <= clusterWidth {
				used[j] = true
				sum = r3.Add(sum, cells[j])
			}
		}
		out = append(out, sum)
	}
	slices.SortStableFunc(out, func(a, b r3.Vec) int { return cmp.Compare(r3.Norm2(b), r3.Norm2(a)) })
	out = out[:min(n, len(out))]
	for i := range out {
		out[i] = r3.Unit(out[i])
	}
	return out
}
