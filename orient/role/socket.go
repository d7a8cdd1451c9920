package role

import (
	"platewright/support"
	"platewright/support/mesh"
)

// leastEnclosed is the share of its border that a pocket has along faces covered
// by one part.
const leastEnclosed = 0.9

// joinEnds makes joints of pockets in faces that one part covers: hidden patches
// with nothing else around, and smaller than these faces. They are the ends of
// sockets, which a peg does not reach, and the sockets of pegs that are not in
// the folder, as of a peg needed several times it holds one, in one place.
func (j *judge) joinEnds() {
	covered := map[int32]float64{} // area by covering part
	for f, by := range j.cover.by {
		covered[by] += j.part.FaceArea(mesh.FaceID(f))
	}
	p := patchesOf(j.topology, func(f mesh.FaceID) bool { return j.roles[f] == support.Hidden }, anyEdge)
	area, around := p.sums(j.part.FaceArea), make([]border, p.n)
	p.borders(j.topology, func(i int, g mesh.FaceID, long float64) { around[i].add(j.cover.by[g], long) })
	for f, i := range p.of {
		if i < 0 {
			continue
		}
		if by := around[i].mostly(); by >= 0 && area[i] < covered[by] {
			j.roles[f] = support.Joint
			j.cover.by[f] = by
		}
	}
}

// border is the length of a patch's border, by the part that covers what is
// beyond.
type border struct {
	whole float64
	by    map[int32]float64
}

func (b *border) add(by int32, long float64) {
	if b.by == nil {
		b.by = map[int32]float64{}
	}
	b.whole += long
	b.by[by] += long
}

// mostly returns the part that covers almost everything along the border, or
// −1.
func (b *border) mostly() int32 {
	for by, long := range b.by {
		if long >= leastEnclosed*b.whole {
			return by
		}
	}
	return -1
}
