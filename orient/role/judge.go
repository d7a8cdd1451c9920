package role

import (
	"platewright/support"
	"platewright/support/mesh"
)

// judge gathers what is known of a part while its facets are judged. Slices
// have one entry a facet.
type judge struct {
	part     *mesh.Mesh
	topology *mesh.Topology
	cover    cover
	open     []float32
	backs    backs
	darker   float64 // how dark an inner skin is at most, see darkerTogether
	roles    []support.Role
}

// judged judges the parts, scene by scene.
func judged(trees []*tree, covers []cover, scenes []scene, s Settings) []*judge {
	out := make([]*judge, len(trees))
	for _, sc := range scenes {
		open := sc.openness(trees)
		for k, i := range sc.members {
			j := &judge{part: trees[i].mesh, cover: covers[i], open: open[k].faces, darker: darkerTogether}
			if sc.alone() {
				j.darker = darkerAlone
			}
			j.topology = mesh.NewTopology(j.part)
			j.join()
			j.backs = backsOf(trees[i], j.topology, open[k].samples, j.open, s.Wall)
			j.hide(sc.alone())
			j.backs = backs{} // no longer needed, and large
			out[i] = j
		}
	}
	return out
}

// lit are the samples of a part and the openness of its facets.
type lit struct {
	samples *samples
	faces   []float32
}

// openness lets light fall on the members of a scene.
func (s scene) openness(trees []*tree) []lit {
	var meshes []*mesh.Mesh
	for _, i := range append(s.members[:len(s.members):len(s.members)], s.bystanders...) {
		meshes = append(meshes, trees[i].mesh)
	}
	members := meshes[:len(s.members)]
	area := areaPerSample(members)
	out := make([]lit, len(members))
	all := make([]*samples, len(members))
	for k, m := range members {
		all[k] = sampled(m, area)
		out[k].samples = all[k]
	}
	for k, open := range openness(meshes, all) {
		out[k].faces = open
	}
	return out
}

// join sets out with joints where other parts cover a facet, and show
// elsewhere. The light that falls on the uncovered rest of a facet is that on
// the facet over the rest.
func (j *judge) join() {
	j.roles = make([]support.Role, j.part.NumFaces())
	for f, share := range j.cover.share {
		if share >= half {
			j.roles[f] = support.Joint
		} else {
			j.open[f] = min(1, j.open[f]/(1-share))
		}
	}
}

func (j *judge) isFree(f mesh.FaceID) bool { return j.roles[f] != support.Joint }

// hide sorts what is hidden from what shows.
func (j *judge) hide(alone bool) {
	j.hideDark()
	j.hideSkins()
	if alone {
		j.joinCuts()
		j.joinStubs()
	}
	j.hideIslands()
	j.joinEnds()
}
