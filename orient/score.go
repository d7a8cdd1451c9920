package orient

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
)

// Weights say how much each figure of an orientation counts, once it has been
// divided by the least that the part can have of it. They have no unit; the
// zero Weights stand for DefaultWeights.
type Weights struct{ Overhang, Support, Layers, Footprint float64 }

// DefaultWeights returns the weights that nothing else is said to.
func DefaultWeights() Weights { return Weights{Overhang: 1, Support: 1, Layers: 1, Footprint: 0.5} }

// figures are the four figures of a score, in the order of Weights.
type figures [4]float64

func (w Weights) array() figures { return figures{w.Overhang, w.Support, w.Layers, w.Footprint} }

func figuresOf(m support.Measures) figures {
	return figures{m.Overhang, m.Support, float64(m.Layers), m.Footprint}
}

// floorShare is the least that a figure is divided by, as a share of the
// part's surface or of its box. Many parts can do without any overhang at all;
// divided by zero, every other orientation would be infinitely bad, and by
// next to nothing, nothing else would count.
const floorShare = 0.01

// floors returns the least divisors for a part.
func floors(m *mesh.Mesh) figures {
	size := r3.Sub(m.Bounds().Max, m.Bounds().Min)
	area := 0.0
	for _, a := range m.FaceAreas() {
		area += a
	}
	return figures{floorShare * area, floorShare * size.X * size.Y * size.Z, 1, floorShare * area}
}

// leastOf returns the least of each figure, not below the floors.
func leastOf(all []figures, floor figures) figures {
	least := all[0]
	for _, f := range all[1:] {
		for i := range f {
			least[i] = min(least[i], f[i])
		}
	}
	for i := range least {
		least[i] = max(least[i], floor[i])
	}
	return least
}

// score returns the weighted sum of figures over their least.
func (w Weights) score(f, least figures) float64 {
	sum := 0.0
	for i, weight := range w.array() {
		sum += weight * f[i] / least[i]
	}
	return sum
}

// scoreStep is the step that scores are compared in: rounding, and what one
// build of the program computes otherwise than another, must not decide.
const scoreStep = 1e-6

// better orders by score, then by the plain sum of all figures over their
// least, then by the up vector, so that ties break the same way everywhere.
func better(w Weights, least figures) func(a, b ranked) int {
	even := Weights{1, 1, 1, 1}
	return func(a, b ranked) int {
		return cmp.Or(
			cmp.Compare(steps(w.score(a.figures, least)), steps(w.score(b.figures, least))),
			cmp.Compare(steps(even.score(a.figures, least)), steps(even.score(b.figures, least))),
			compareUp(a.up, b.up))
	}
}

func steps(x float64) float64 { return math.Round(x / scoreStep) }

func compareUp(a, b mesh.Direction) int {
	u, v := a.Vec(), b.Vec()
	return cmp.Or(-cmp.Compare(u.Z, v.Z), cmp.Compare(u.X, v.X), cmp.Compare(u.Y, v.Y))
}

// ranked is an orientation by its figures; index leads back to where it came
// from.
type ranked struct {
	up      mesh.Direction
	figures figures
	index   int
}

// rank sorts orientations best first.
func rank(all []ranked, w Weights, least figures) []ranked {
	out := slices.Clone(all)
	slices.SortFunc(out, better(w, least))
	return out
}
