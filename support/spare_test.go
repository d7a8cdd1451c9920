package support

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// slowlySpared sweeps columns in one direction the long way: all lines, all
// cells along each, runs followed to their ends. It marks the cells of c that
// are ledges or bridges.
func slowlySpared(c *columns, s Settings, direction float64, spare []bool) {
	sin, cos := math.Sincos(direction)
	alongX := math.Abs(cos) >= math.Abs(sin)
	length, width, slope, pitch := c.nx, c.ny, sin/cos, c.step/math.Abs(cos)
	if !alongX {
		length, width, slope, pitch = c.ny, c.nx, cos/sin, c.step/math.Abs(sin)
	}
	rise := math.Min(1.5/math.Tan(float64(s.Limit)), 4) * pitch
	hanging := func(column int, z float32) int {
		for i, h := range c.hanging {
			if int(h.column) == column && math.Abs(float64(h.z-z)) <= rise {
				return i
			}
		}
		return -1
	}
	held := func(column int, z float32) bool {
		for _, x := range c.of(column) {
			if x.bottom < z && x.top >= z-float32(s.Layer) {
				return true
			}
		}
		return false
	}
	for row := -2 * (length + width); row < 2*(length+width); row++ {
		var line []int
		for k := range length {
			w := row + int(math.Round(float64(k)*slope))
			switch {
			case w < 0 || w >= width:
			case alongX:
				line = append(line, w*c.nx+k)
			default:
				line = append(line, k*c.nx+w)
			}
		}
		for at, column := range line {
			for i, h := range c.hanging {
				if int(h.column) != column || (at > 0 && hanging(line[at-1], h.z) >= 0) {
					continue
				}
				run, end := []int{i}, at+1
				for ; end < len(line); end++ {
					next := hanging(line[end], c.hanging[run[len(run)-1]].z)
					if next < 0 {
						break
					}
					run = append(run, next)
				}
				holds := 0
				if at > 0 && held(line[at-1], h.z) {
					holds++
				}
				if end < len(line) && held(line[end], c.hanging[run[len(run)-1]].z) {
					holds++
				}
				long := (float64(len(run)) - 0.5) * pitch
				if (holds == 2 && long <= s.Bridge) || (holds >= 1 && long <= s.Ledge) {
					for _, j := range run {
						spare[j] = true
					}
				}
			}
		}
	}
}

// Sweeps that start at borders only spare what sweeps through everything do.
func TestSweepsMissNoRun(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 1))
	shape := solid.Together(
		solid.Table(40, 20, 30, 5),
		solid.At(solid.Sphere(4, 6), -9, 1, 6),
		solid.At(solid.Torus(12, 3, 40, 12), 2, -4, 33),
		solid.At(solid.HollowBox(10, 12, 14, 2), 10, 3, 35))
	spared, hanging := 0, 0
	for _, s := range []Settings{
		{Limit: Defaults().Limit, Layer: 0.2, FirstLayer: 0.2, Ledge: 1, Bridge: 20},
		{Limit: Defaults().Limit, Layer: 0.2, FirstLayer: 0.2, Ledge: 4, Bridge: 3},
		{Limit: Defaults().Limit / 3, Layer: 0.2, FirstLayer: 0.2, Bridge: 8},
	} {
		for range 3 {
			up, err := mesh.NewDirection(r3.Vec{X: random.NormFloat64(), Y: random.NormFloat64(), Z: 3 * random.NormFloat64()})
			if err != nil {
				t.Fatal(err)
			}
			scanner := NewScanner(NewBody(shape, nil), s, 1.3)
			scanner.Scan(up)
			c := &scanner.columns
			want := make([]bool, len(c.hanging))
			for k := range scanDirections {
				slowlySpared(c, s, math.Pi*float64(k)/scanDirections, want)
			}
			for i, h := range c.hanging {
				if h.spare != want[i] {
					t.Fatalf("%+v, %v: cell %d of %d is spared %v, want %v", s, up.Vec(), i, len(want), h.spare, want[i])
				}
				if hanging++; h.spare {
					spared++
				}
			}
		}
	}
	if spared < hanging/20 || spared > hanging*19/20 {
		t.Errorf("%d of %d cells are spared: no test", spared, hanging)
	}
}
