package role

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

// Measures of the cut faces of a part that is judged by itself.
const (
	flat = 0.5 * plane.Degree // between facets of one flat face

	// leastCut is the area of a cut face, as a share of the largest; what is
	// smaller is the edge of a window.
	leastCut = 0.1
	// level is the least length of the mean normal of a flat face; over a cap
	// that is bent by 2° in all it is less.
	level = 0.9998
	// mostStub is the area of a peg or socket as a share of all cut faces.
	mostStub = 0.5
	// leastRim is the share of a rim's border along each of the two skins at
	// least, as a share of both, and leastShare the area of a skin as a share of
	// the part's.
	leastRim, leastShare = 0.1, 0.05
	// bluntCut is the area of the cut face of a solid as a share of the whole,
	// and mostFlat the share that may be flat in all; a crate has no cut face.
	bluntCut, mostFlat = 0.05, 0.5
)

// joinCuts makes joints of the flat faces along which a part was cut off
// others, as far as they can be told without these: flat rims that connect a
// shown skin with a hidden one. On a part without skins they are its large
// flat faces, if it is not made of flat faces anyway.
func (j *judge) joinCuts() {
	p := patchesOf(j.topology, always, smooth(j.part, flat.Cos()))
	areas := p.sums(j.part.FaceArea)
	plain := plainPatches(j.part, p, areas)
	cuts := j.rims(p, plain)
	if len(cuts) == 0 && !slices.Contains(j.roles, support.Hidden) {
		cuts = j.blunts(areas, plain)
	}
	largest := 0.0
	for _, i := range cuts {
		largest = max(largest, areas[i])
	}
	isCut := make([]bool, p.n)
	for _, i := range cuts {
		isCut[i] = areas[i] >= leastCut*largest
	}
	for f, i := range p.of {
		if isCut[i] {
			j.roles[f] = support.Joint
		}
	}
}

// plainPatches tells which patches are flat as a whole: on a fine dome too,
// neighbours are.
func plainPatches(m *mesh.Mesh, p patches, areas []float64) []bool {
	normals := make([]r3.Vec, p.n)
	for f, i := range p.of {
		id := mesh.FaceID(f)
		normals[i] = r3.Add(normals[i], r3.Scale(m.FaceArea(id), m.Normal(id)))
	}
	out := make([]bool, p.n)
	for i, n := range normals {
		out[i] = areas[i] > 0 && r3.Norm(n) >= level*areas[i]
	}
	return out
}

// rims returns the flat patches, shown so far, that have a shown skin along
// some of their border and a hidden one along some.
func (j *judge) rims(p patches, plain []bool) []int {
	var border [support.NumRoles][]float64
	for r := range border {
		border[r] = make([]float64, p.n)
	}
	skins := patchesOf(j.topology, always, smooth(j.part, crease.Cos()))
	areas, whole := skins.sums(j.part.FaceArea), j.part.Area()
	p.borders(j.topology, func(i int, g mesh.FaceID, long float64) {
		if areas[skins.of[g]] > leastShare*whole {
			border[j.roles[g]][i] += long
		}
	})
	shown := make([]bool, p.n)
	for f, i := range p.of {
		shown[i] = j.roles[f] == support.Show
	}
	var out []int
	for i := range p.n {
		show, hidden := border[support.Show][i], border[support.Hidden][i]
		if plain[i] && shown[i] && min(show, hidden) > leastRim*(show+hidden) {
			out = append(out, i)
		}
	}
	return out
}

// blunts returns the large flat patches of a part that is mostly not flat.
func (j *judge) blunts(areas []float64, plain []bool) []int {
	var out []int
	whole, flat := j.part.Area(), 0.0
	for i, a := range areas {
		if plain[i] && a >= bluntCut*whole {
			out = append(out, i)
			flat += a
		}
	}
	if flat > mostFlat*whole {
		return nil
	}
	return out
}

// joinStubs makes joints of pegs and sockets on cut faces: patches that are
// small and have nothing but cut faces around.
func (j *judge) joinStubs() {
	p := patchesOf(j.topology, j.isFree, anyEdge)
	whole, cut := make([]float64, p.n), 0.0
	p.borders(j.topology, func(i int, _ mesh.FaceID, long float64) { whole[i] += long })
	for f, r := range j.roles {
		if r == support.Joint {
			cut += j.part.FaceArea(mesh.FaceID(f))
		}
	}
	area := p.sums(j.part.FaceArea)
	for f, i := range p.of {
		if i >= 0 && whole[i] > 0 && area[i] < mostStub*cut {
			j.roles[f] = support.Joint
		}
	}
}
