package role

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Odd is a part that is probably at another scale than the others.
type Odd struct {
	Part   int
	Factor float64 // by which to scale the part about the origin of the frame
	// Fits says that the part meets another once scaled, which is close to a
	// proof; otherwise only its size speaks against it.
	Fits bool
}

// Measures of scale.
const (
	inch = 25.4 // mm

	// oddSize is how many times larger or smaller than the middle part of the
	// build a part is when its scale is in doubt: pins are 30 times smaller than
	// shells, millimetres taken for metres are 1000 times smaller.
	oddSize = 200
	// plainSize is how many times larger or smaller a part may be that is at
	// the right scale.
	plainSize = 50
	// plainFit is the share of the smaller part's area that it must have in
	// contact when scaled; by chance it is less.
	plainFit = 0.01
)

// factors returns the scales that are mistaken for each other: metres,
// centimetres and inches for millimetres, and the other way round.
func factors() [6]float64 { return [6]float64{1000, inch, 10, 1 / 10.0, 1 / inch, 1 / 1000.0} }

// oddOnes finds parts at another scale: those that meet no other as they are,
// and would, scaled by a usual factor, or are far out of proportion.
func oddOnes(trees []*tree, alone []bool, reach float64) []Odd {
	if len(trees) == 0 {
		return nil
	}
	sizes := make([]float64, len(trees))
	for i, t := range trees {
		sizes[i] = t.mesh.Diagonal()
	}
	usual := median(sizes)
	var out []Odd
	for i := range trees {
		if !alone[i] {
			continue
		}
		if f, ok := fittingFactor(trees, alone, i, usual, reach); ok {
			out = append(out, Odd{Part: i, Factor: f, Fits: true})
		} else if f, ok := likelyFactor(sizes[i], usual); ok && len(trees) > 2 {
			out = append(out, Odd{Part: i, Factor: f})
		}
	}
	return out
}

// fittingFactor returns the factor by which a part meets others best.
func fittingFactor(trees []*tree, alone []bool, part int, usual, reach float64) (factor float64, ok bool) {
	most := 0.0
	if !slices.Contains(alone, false) {
		return 0, false
	}
	for _, k := range factors() {
		size := trees[part].mesh.Diagonal()
		if !within(k*size, usual, plainSize) || !nearer(k*size, size, usual) {
			continue
		}
		m, err := scaledBy(trees[part].mesh, k)
		if err != nil {
			continue // so far from the origin that it leaves the numbers
		}
		scaled := newTree(m)
		for i, t := range trees {
			if alone[i] {
				continue
			}
			ofS, ofT := newTally(scaled.mesh), newTally(t.mesh)
			area, fits, _ := meetPair(scaled, t, &ofS, &ofT, reach)
			if fits && area > most && area > plainFit*min(scaled.mesh.Area(), t.mesh.Area()) {
				factor, most = k, area
			}
		}
	}
	return factor, most > 0
}

// likelyFactor returns the factor that brings a size that is out of all
// proportion nearest to the usual.
func likelyFactor(size, usual float64) (factor float64, ok bool) {
	if size == 0 || within(size, usual, oddSize) {
		return 0, false
	}
	list := factors()
	best := slices.MinFunc(list[:], func(a, b float64) int {
		if nearer(a*size, b*size, usual) {
			return -1
		}
		return 1
	})
	return best, within(best*size, usual, plainSize)
}

// within reports whether two sizes differ by at most the given factor.
func within(a, b, factor float64) bool { return a <= b*factor && b <= a*factor }

// nearer reports whether size a is nearer to c, by factor, than b is.
func nearer(a, b, c float64) bool { return math.Abs(math.Log(a/c)) < math.Abs(math.Log(b/c)) }

func median(list []float64) float64 {
	sorted := slices.Sorted(slices.Values(list))
	return sorted[len(sorted)/2]
}

func scaledBy(m *mesh.Mesh, k float64) (*mesh.Mesh, error) {
	places := make([]r3.Vec, m.NumVertices())
	for i, v := range m.Vertices() {
		places[i] = r3.Scale(k, v)
	}
	return mesh.New(places, m.Faces())
}
