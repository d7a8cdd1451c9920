package role

import (
	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

// Measures of what is hidden, tuned on a demo of eighteen parts whose true
// roles are known.
const (
	// dark is the openness below which a facet is hidden whatever is around: of
	// the demo's inside 98 % of the area is darker, of what shows 0.6 %.
	dark = 0.1

	// crease is the angle between facets at which a patch ends: steps of a
	// coarse dome are below, rims and edges above.
	crease = 35 * plane.Degree

	// A patch is the inner skin of a shell if it is so much darker than the
	// other side of the wall. Among other parts that takes much: they cast
	// shadows on show faces too. Alone, only its own curve makes a skin darker:
	// inside a cap of 37° half-angle it is 0.9.
	darkerTogether = 0.6
	darkerAlone    = 0.9

	// leastSkin is how much area a skin has, in squares of its wall. Anything
	// smaller is a groove or a hole.
	leastSkin = 100

	// mostIsland is the area of what stands on a hidden skin as a share of all
	// that is hidden.
	mostIsland = 0.05
)

// hideDark hides the facets that hardly any light reaches.
func (j *judge) hideDark() {
	for f, r := range j.roles {
		if r == support.Show && j.open[f] < dark {
			j.roles[f] = support.Hidden
		}
	}
}

// hideSkins hides the inner skins of shells: whole patches between creases.
// Where a fillet joins both skins in one patch, the facets that are darker
// than what is behind them are taken out of it first.
func (j *judge) hideSkins() {
	p := patchesOf(j.topology, j.isFree, smooth(j.part, crease.Cos()))
	s := j.skinsOf(p)
	p = patchesOf(j.topology, j.isFree, func(f, g mesh.FaceID) bool {
		return p.of[f] == p.of[g] && (!s.backsItself(int(p.of[f])) || j.isDarker(f) == j.isDarker(g))
	})
	s = j.skinsOf(p)
	for f, i := range p.of {
		if i >= 0 && s.isInner(int(i), j.darker) {
			j.roles[f] = support.Hidden
		}
	}
}

// isDarker reports whether a facet alone looks like one of an inner skin.
func (j *judge) isDarker(f mesh.FaceID) bool {
	return j.backs.face[f] >= 0 && float64(j.open[f]) < j.darker*float64(j.backs.open[f])
}

// skins are sums over patches, each len n.
type skins struct {
	area       []float64
	walled     []float64 // area with a wall behind
	own        []float64 // area with a wall behind that ends in the same patch
	open       []float64 // openness · area of the walled
	openBehind []float64
	thick      []float64 // thickness · area of the walled
}

func (j *judge) skinsOf(p patches) skins {
	area := func(f mesh.FaceID) float64 { return j.part.FaceArea(f) }
	walled := func(of func(f mesh.FaceID) float64) []float64 {
		return p.sums(func(f mesh.FaceID) float64 {
			if j.backs.face[f] < 0 {
				return 0
			}
			return of(f) * area(f)
		})
	}
	return skins{
		area:   p.sums(area),
		walled: walled(func(mesh.FaceID) float64 { return 1 }),
		own: walled(func(f mesh.FaceID) float64 {
			if p.of[f] == p.of[j.backs.face[f]] {
				return 1
			}
			return 0
		}),
		open:       walled(func(f mesh.FaceID) float64 { return float64(j.open[f]) }),
		openBehind: walled(func(f mesh.FaceID) float64 { return float64(j.backs.open[f]) }),
		thick:      walled(func(f mesh.FaceID) float64 { return float64(j.backs.thick[f]) }),
	}
}

// backsItself reports whether a good part of a patch has the patch itself on
// the other side of a wall.
func (s skins) backsItself(i int) bool { return s.own[i] > s.walled[i]/10 }

func (s skins) isInner(i int, darker float64) bool {
	if s.walled[i] < half*s.area[i] {
		return false
	}
	thick := s.thick[i] / s.walled[i]
	return s.area[i] > leastSkin*thick*thick && s.open[i] < darker*s.openBehind[i]
}

// hideIslands hides what stands on a hidden skin, as bosses and ribs do: small
// patches of shown facets that mostly hidden ones part from all others, and that
// are as dark as a skin may be.
func (j *judge) hideIslands() {
	p := patchesOf(j.topology, func(f mesh.FaceID) bool { return j.roles[f] == support.Show }, anyEdge)
	whole, hidden := make([]float64, p.n), make([]float64, p.n)
	p.borders(j.topology, func(i int, g mesh.FaceID, long float64) {
		whole[i] += long
		if j.roles[g] == support.Hidden {
			hidden[i] += long
		}
	})
	skin := 0.0
	for f, r := range j.roles {
		if r == support.Hidden {
			skin += j.part.FaceArea(mesh.FaceID(f))
		}
	}
	area := p.sums(j.part.FaceArea)
	open := p.sums(func(f mesh.FaceID) float64 { return float64(j.open[f]) * j.part.FaceArea(f) })
	for f, i := range p.of {
		if i >= 0 && area[i] < mostIsland*skin && hidden[i] > half*whole[i] && open[i] < j.darker*area[i] {
			j.roles[f] = support.Hidden
		}
	}
}
