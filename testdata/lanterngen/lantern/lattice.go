package lantern

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// lattice is a grid of cubes over a box, each of which falls into six
// tetrahedra round its diagonal.
//
// Source: H. Kuhn's subdivision; neighbouring cubes cut their common face the
// same way, so the tetrahedra fit.
type lattice struct {
	origin  r3.Vec
	spacing float64
	cubes   [3]int
}

// newLattice covers the window with room to spare. Its planes are out of step
// with round numbers, on which flat faces lie: a face in a lattice plane is no
// harm, one a rounding error beside it leaves slivers.
func newLattice(window r3.Box, spacing float64) lattice {
	l := lattice{spacing: spacing}
	l.origin = r3.Sub(window.Min, r3.Scale(spacing, r3.Vec{X: 1.37, Y: 1.41, Z: 1.29}))
	size := r3.Sub(window.Max, l.origin)
	for i, s := range [3]float64{size.X, size.Y, size.Z} {
		l.cubes[i] = int(math.Ceil(s/spacing)) + 1
	}
	return l
}

func (l lattice) corner(x, y, z int) r3.Vec {
	return r3.Add(l.origin, r3.Scale(l.spacing, r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}))
}

// middle returns the middle of n by n by n cubes.
func (l lattice) middle(x, y, z, n int) r3.Vec {
	half := l.spacing * float64(n) / 2
	return r3.Add(l.corner(x, y, z), r3.Vec{X: half, Y: half, Z: half})
}

// cubesABlock is the side of the blocks that are ruled out at once.
const cubesABlock = 8

// reach returns the distance from the middle to a corner of n cubes.
func (l lattice) reach(n int) float64 { return math.Sqrt(3) / 2 * l.spacing * float64(n) }

// busy marks the blocks that the part's surface may pass through.
func (l lattice) busy(r *recipe) (blocks [3]int, marks []bool) {
	for i, n := range l.cubes {
		blocks[i] = (n + cubesABlock - 1) / cubesABlock
	}
	marks = make([]bool, blocks[0]*blocks[1]*blocks[2])
	i := 0
	for z := range blocks[2] {
		for y := range blocks[1] {
			for x := range blocks[0] {
				m := l.middle(x*cubesABlock, y*cubesABlock, z*cubesABlock, cubesABlock)
				marks[i] = r.near(m, l.reach(cubesABlock))
				i++
			}
		}
	}
	return blocks, marks
}

// kuhn lists the tetrahedra of a cube by corner numbers, bit 0 for +x, bit 1
// for +y, bit 2 for +z, all turning the same way.
var kuhn = [6][4]int{
	{0, 1, 3, 7}, {0, 3, 2, 7}, {0, 2, 6, 7}, {0, 6, 4, 7}, {0, 4, 5, 7}, {0, 5, 1, 7},
}

// fill puts the tetrahedra that the part's surface may pass through into c.
func (l lattice) fill(c *cutter) {
	blocks, busy := l.busy(c.recipe)
	layers := [2][]int32{l.emptyLayer(), l.emptyLayer()}
	for z := range l.cubes[2] {
		for y := range l.cubes[1] {
			for x := range l.cubes[0] {
				block := (z/cubesABlock*blocks[1]+y/cubesABlock)*blocks[0] + x/cubesABlock
				if busy[block] && c.recipe.near(l.middle(x, y, z, 1), l.reach(1)) {
					l.addCube(c, layers, x, y, z)
				}
			}
		}
		layers[0], layers[1] = layers[1], layers[0]
		clear(layers[1])
	}
}

func (l lattice) emptyLayer() []int32 { return make([]int32, (l.cubes[0]+1)*(l.cubes[1]+1)) }

// addCube adds one cube; layers hold the numbers plus one of the corners below
// and above it that exist already.
func (l lattice) addCube(c *cutter, layers [2][]int32, x, y, z int) {
	var corners [8]int32
	for i := range corners {
		dx, dy, dz := i&1, i>>1&1, i>>2
		slot := &layers[dz][(y+dy)*(l.cubes[0]+1)+x+dx]
		if *slot == 0 {
			*slot = c.addCorner(l.corner(x+dx, y+dy, z+dz)) + 1
		}
		corners[i] = *slot - 1
	}
	for _, t := range kuhn {
		c.tets = append(c.tets, tet{corners: [4]int32{corners[t[0]], corners[t[1]], corners[t[2]], corners[t[3]]}})
	}
}
