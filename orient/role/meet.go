package role

import (
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Meeting is two parts that fit together.
type Meeting struct {
	A, B int // indices of parts, A < B
	// Area is that of the faces in contact, the mean of both sides: what of
	// each side the other covers within the clearance. Unit: mm².
	Area float64
}

// Measures of how two parts lie to each other.
const (
	// leastMeeting is the area below which two parts only graze each other: a
	// corner left by thinning, an edge along an edge. Unit: mm².
	leastMeeting = 1
	// leastFit is the area in contact as a share of the smaller part's, below
	// which two parts meet by chance.
	leastFit = 5e-4
	// squarely is the cosine between normals below which faces in contact speak
	// for a fit, 18° off at most: surfaces that run through each other, as those
	// of parts about one origin do, are within reach of each other too, but at
	// any angle.
	squarely = -0.95
	// levelOverBuried is the area squarely in contact that parts that fit have at
	// least, as a share of what of them is inside each other. Measured on real
	// parts: 2.7 and 0.4 where one is sunk into the other by design, no limit
	// elsewhere; 1/600 to 1/6000 where parts lie about one origin.
	levelOverBuried = 0.05
)

// cover says how much of each facet of a part other parts cover.
type cover struct {
	share []float32 // 0 to 1, what two parts cover counted twice
	by    []int32   // the last part that covers half of it or more; −1 for none
}

func newCover(facets int) cover {
	c := cover{share: make([]float32, facets), by: make([]int32, facets)}
	for f := range facets {
		c.by[f] = -1
	}
	return c
}

// meet measures what the parts cover of each other within reach, as far as
// they fit together, and lists the pairs that are in each other's way instead.
// Meetings and clashes are in the order of their parts.
//
// Cost: O(pairs of parts · (log facets + facets near the other part + probes)).
func meet(trees []*tree, reach float64) (covers []cover, meetings []Meeting, clashes [][2]int) {
	tallies := make([]tally, len(trees))
	for i, t := range trees {
		covers = append(covers, newCover(t.mesh.NumFaces()))
		tallies[i] = newTally(t.mesh)
	}
	for i := range trees {
		for j := i + 1; j < len(trees); j++ {
			a, b := &tallies[i], &tallies[j]
			switch area, fits, clash := meetPair(trees[i], trees[j], a, b, reach); {
			case fits:
				meetings = append(meetings, Meeting{A: i, B: j, Area: area})
				a.enter(covers[i], j)
				b.enter(covers[j], i)
			case clash:
				clashes = append(clashes, [2]int{i, j})
			}
			a.empty()
			b.empty()
		}
	}
	return covers, meetings, clashes
}

// meetPair tallies what two parts cover of each other and tells whether they
// fit, are in each other's way, or neither.
func meetPair(s, t *tree, ofS, ofT *tally, reach float64) (area float64, fits, clash bool) {
	if !near(s.boxes[0], t.boxes[0], reach) {
		return 0, false, false
	}
	level := 0.0 // area in contact that faces each other squarely
	eachNear(s, t, reach, func(f, g mesh.FaceID) {
		if cosine := r3.Dot(s.mesh.Normal(f), t.mesh.Normal(g)); cosine < opposed {
			areaS, areaT := coverOf(s.mesh, f, t.mesh, g, reach), coverOf(t.mesh, g, s.mesh, f, reach)
			ofS.add(f, areaS)
			ofT.add(g, areaT)
			if cosine < squarely {
				level += (areaS + areaT) / 2
			}
		}
	})
	areaS, areaT := s.mesh.Area(), t.mesh.Area()
	inS, inT := buried(t, s, reach/2), buried(s, t, reach/2)
	fits = level >= max(leastMeeting, leastFit*min(areaS, areaT), levelOverBuried*(inS*areaT+inT*areaS))
	return (ofS.sum() + ofT.sum()) / 2, fits, !fits && max(inS, inT) >= leastClash
}

// tally adds up what one part covers of the facets of another.
type tally struct {
	mesh  *mesh.Mesh
	areas []float64 // by facet, mm²
	some  []mesh.FaceID
}

func newTally(m *mesh.Mesh) tally { return tally{mesh: m, areas: make([]float64, m.NumFaces())} }

func (t *tally) add(f mesh.FaceID, area float64) {
	if area > 0 && t.areas[f] == 0 {
		t.some = append(t.some, f)
	}
	t.areas[f] += area
}

// sum returns the area covered. What is covered twice counts once.
func (t *tally) sum() float64 {
	sum := 0.0
	for _, f := range t.some {
		sum += min(t.areas[f], t.mesh.FaceArea(f))
	}
	return sum
}

// enter adds the tally to the cover by a part.
func (t *tally) enter(c cover, part int) {
	for _, f := range t.some {
		share := float32(min(1, t.areas[f]/t.mesh.FaceArea(f)))
		c.share[f] += share
		if share >= half {
			c.by[f] = int32(part)
		}
	}
}

func (t *tally) empty() {
	for _, f := range t.some {
		t.areas[f] = 0
	}
	t.some = t.some[:0]
}

// half is the share of a facet that decides what the whole of it is.
const half = 0.5
