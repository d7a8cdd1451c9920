package toolpath

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// The project's list of closed forms carries six decimals.
const sixDecimals = 0.5e-6

// mover is a machine that matters by its corners only.
func mover(corner float64) *Machine { return &Machine{CornerSpeed: corner} }

func along(length, v, a float64) move {
	return move{Wall, r2.Vec{X: 1}, length, v, a}
}

func TestMovesFromRestToRest(t *testing.T) {
	// Rows "trapezoid move from rest to rest": L/v + v/a if L ≥ v²/a, else 2√(L/a).
	for _, c := range []struct{ length, v, a, want float64 }{
		{100, 60, 1000, 1.726667},
		{1, 60, 1000, 0.063246},
		{5, 100, 3000, 0.083333},
		{50, 150, 5000, 0.363333},
		{0.5, 100, 3000, 0.025820},
	} {
		if got := mover(5).durations([]move{along(c.length, c.v, c.a)})[0]; math.Abs(got-c.want) > sixDecimals {
			t.Errorf("%g mm at %g mm/s, %g mm/s²: %.7f s, want %.6f", c.length, c.v, c.a, got, c.want)
		}
	}
}

func TestCorner(t *testing.T) {
	// Rows "junction speed": scv·√((√2−1)·sin(θ/2)/(1−sin(θ/2))), scv = 5.
	for _, c := range []struct{ interior, want float64 }{
		{60, 3.217971}, {90, 5.000000}, {120, 8.181562}, {135, 11.210865}, {150, 17.133314}, {170, 52.066660},
	} {
		sin, cos := math.Sincos(math.Pi - c.interior*math.Pi/180)
		if got := mover(5).corner(r2.Vec{X: 1}, r2.Vec{X: cos, Y: sin}); math.Abs(got-c.want) > sixDecimals {
			t.Errorf("corner of %g°: %.7f mm/s, want %.6f", c.interior, got, c.want)
		}
	}
	if got := mover(5).corner(r2.Vec{X: 1}, r2.Vec{X: -1}); got != 0 {
		t.Errorf("straight back at %g mm/s, want 0", got)
	}
}

// TestStraightMovesAreOneMove: cutting a move into pieces changes nothing.
func TestStraightMovesAreOneMove(t *testing.T) {
	const seed = 5
	random := rand.New(rand.NewPCG(seed, 0))
	for range 200 {
		v, a := 10+200*random.Float64(), 100+5000*random.Float64()
		var pieces []move
		length := 0.0
		for range 1 + random.IntN(30) {
			pieces = append(pieces, along(5*random.Float64(), v, a))
			length += pieces[len(pieces)-1].length
		}
		whole := mover(5).durations([]move{along(length, v, a)})[0]
		sum := 0.0
		for _, s := range mover(5).durations(pieces) {
			sum += s
		}
		if math.Abs(sum-whole) > 1e-9*whole {
			t.Errorf("seed %d: %d pieces of %g mm take %g s, the whole %g", seed, len(pieces), length, sum, whole)
		}
	}
}

// TestPlanKeepsItsLimits replays random paths and checks that no corner is
// passed faster than allowed and no move needs more acceleration than there is.
func TestPlanKeepsItsLimits(t *testing.T) {
	const seed = 6
	random := rand.New(rand.NewPCG(seed, 0))
	m := mover(5)
	for range 200 {
		var moves []move
		for range 2 + random.IntN(40) {
			sin, cos := math.Sincos(2 * math.Pi * random.Float64())
			moves = append(moves, move{Wall, r2.Vec{X: cos, Y: sin}, 0.01 + 10*random.Float64()*random.Float64(), 10 + 100*random.Float64(), 500 + 3000*random.Float64()})
		}
		at := m.corners(moves)
		for i, move := range moves {
			if i > 0 && at[i] > m.corner(moves[i-1].way, move.way)*(1+1e-12) {
				t.Errorf("seed %d: corner %d at %g mm/s", seed, i, at[i])
			}
			if change := math.Abs(at[i+1]*at[i+1] - at[i]*at[i]); change > 2*move.acceleration*move.length*(1+1e-9) || at[i] > move.speed || at[i+1] > move.speed {
				t.Errorf("seed %d: move %d goes from %g to %g mm/s", seed, i, at[i], at[i+1])
			}
		}
		if at[0] != 0 || at[len(moves)] != 0 {
			t.Errorf("seed %d: starts at %g, ends at %g mm/s", seed, at[0], at[len(moves)])
		}
	}
}
