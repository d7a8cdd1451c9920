package lantern

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Measures that parts share, mm.
const (
	wall      = 4.0  // of the shells
	clearance = 0.25 // between a peg and its socket, each side

	frontCut   = 165.0 // head from middle, x
	backCut    = 300.0 // middle from back, x
	headSeam   = -30.0 // upper from lower head, z
	middleSeam = 0.0   // upper from lower middle, z
	tailCore   = 384.0 // the back is solid beyond, x

	pegFlats  = 6.0
	pegLength = 8.0
	pinLength = 10.0 // of either half of a joining pin's two sockets
	bossHalf  = 7.0
	ribHalf   = 6.0
)

// Sides of the fish.
const (
	left, right  = -1.0, 1.0
	lower, upper = -1.0, 1.0
)

var (
	axisX = r3.Vec{X: 1}
	axisY = r3.Vec{Y: 1}
	axisZ = r3.Vec{Z: 1}
)

func negative(v r3.Vec) r3.Vec { return r3.Scale(-1, v) }

// shell is a recipe for a piece of the fish's hull: a wall between cut planes.
type shell struct {
	*recipe
	cuts []faceID
}

// cutAt is a plane that a shell ends at: its inside is where n·p < level.
type cutAt struct {
	n     r3.Vec
	level float64
}

func newShell(name string, window r3.Box, facets int, cuts ...cutAt) *shell {
	s := &shell{recipe: newRecipe(name, window, 1, facets)}
	for _, c := range cuts {
		s.cuts = append(s.cuts, s.plane(c.n, c.level, Joint))
	}
	s.add(window, append([]faceID{s.skin}, s.cuts...)...)
	return s
}

// hollow leaves a wall; limits bound the hollow further.
func (s *shell) hollow(limits ...faceID) {
	s.take(s.window, append([]faceID{s.depth(-wall, Hidden, Hidden)}, limits...)...)
}

// boss adds a block on the inside of the wall, from the cut plane that f stands
// on to depth along w.
func (s *shell) boss(f frame, depth float64) {
	faces := together(
		[]faceID{s.skin}, s.cuts,
		s.between(f, f.u, -bossHalf, bossHalf, Hidden, Hidden),
		s.between(f, f.v, -bossHalf, bossHalf, Hidden, Hidden),
		[]faceID{s.below(f, f.w, depth, Hidden, Hidden)},
	)
	s.add(f.box(-bossHalf, bossHalf, -bossHalf, bossHalf, 0, depth), faces...)
}

// socket adds a boss with a six-sided hole; w points into the material.
func (s *shell) socket(f frame, depth float64) {
	s.boss(f, depth+wall)
	faces := append(s.hexagon(f, pegFlats+2*clearance, Joint), s.below(f, f.w, depth, Joint, Joint))
	s.take(f.box(-5, 5, -5, 5, -1, depth), faces...)
}

// peg adds a boss with a six-sided peg that stands out of it; w points into
// the material that the peg stands on.
func (s *shell) peg(f frame) {
	s.boss(f, 2*wall)
	faces := append(s.hexagon(f, pegFlats, Joint), s.between(f, f.w, -pegLength, wall, Joint, Joint)...)
	s.add(f.box(-5, 5, -5, 5, -pegLength, wall), faces...)
}

// pegDepth is the depth of the socket of a peg.
const pegDepth = pegLength + clearance

// bossAt finds where a boss sits in the wall: on the ray from a point of a cut
// plane, so far under the skin that its outer corners are in the wall.
func bossAt(from r3.Vec, degrees float64, across, up, into r3.Vec) frame {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	way := r3.Add(r3.Scale(cos, across), r3.Scale(sin, up))
	return along(onRay(from, way, -9), into)
}

// pinAt gives the four places of the joining pin, on the cut between head and
// middle: upper right, upper left, lower left, lower right.
func pinAt(i int, into r3.Vec) frame {
	degrees := [4]float64{38, 142, 222, 318}[i]
	return bossAt(r3.Vec{X: frontCut}, degrees, axisY, axisZ, into)
}

// headPegAt, middlePegAt, backPegAt and tailPegAt give the places of pegs.
func headPegAt(side float64, into r3.Vec) frame {
	return bossAt(r3.Vec{X: 132, Z: headSeam}, 0, r3.Vec{Y: side}, axisX, into)
}

func middlePegAt(side float64, into r3.Vec) frame {
	return bossAt(r3.Vec{X: 272, Z: middleSeam}, 0, r3.Vec{Y: side}, axisX, into)
}

// backPegAt: on the back's left the peg is above, on its right below.
func backPegAt(side float64, into r3.Vec) frame {
	return bossAt(r3.Vec{X: backCut, Z: 5}, -45*side, r3.Vec{Y: side}, axisZ, into)
}

func tailPegAt(into r3.Vec) frame {
	return bossAt(r3.Vec{X: 342, Z: 5}, -90, axisX, axisZ, into)
}

// holes takes round holes along the frames' w out of the wall.
func (s *shell) holes(box r3.Box, radius float64, at ...frame) {
	s.take(box, s.curved(func(p r3.Vec) float64 {
		least := math.Inf(1)
		for _, f := range at {
			u, v, _ := f.coordinates(p)
			least = min(least, math.Sqrt(u*u+v*v)-radius)
		}
		return least
	}, Show, Show))
}

func headUpper() *recipe {
	s := newShell("head-upper", boxOf(-2, frontCut, -104, 104, -70, 126), 5400,
		cutAt{axisX, frontCut}, cutAt{negative(axisZ), -headSeam})
	s.hollow()
	s.socket(pinAt(0, negative(axisX)), pinLength)
	s.socket(pinAt(1, negative(axisX)), pinLength)
	s.socket(headPegAt(right, axisZ), pegDepth)
	s.socket(headPegAt(left, axisZ), pegDepth)
	s.slot(crest(0))
	s.lureSocket()
	s.take(s.window, s.lip(upper))
	s.eyeSocket(right)
	s.eyeSocket(left)
	s.gills()
	s.addFine(toothGrain, boxOf(-10, mouthCorner, -90, 90, -70, 40), s.curved(teeth(upper), Show, Show))
	return s.recipe
}

// gills cuts three slanting slits through both cheeks.
func (s *shell) gills() {
	box := boxOf(110, frontCut-6, -104, 104, -12, 40)
	s.takeFine(1.8, box, s.curved(func(p r3.Vec) float64 {
		least := math.Inf(1)
		for i := range 3 {
			x := 124 + 11*float64(i)
			low, high := r3.Vec{X: x + 7, Z: -4}, r3.Vec{X: x, Z: 26 + 3*float64(i)}
			least = min(least, tapered(r3.Vec{X: p.X, Z: p.Z}, low, high, 2.2, 2.6))
		}
		return least
	}, Show, Show))
}

func headLower() *recipe {
	s := newShell("head-lower", boxOf(-2, frontCut, -100, 100, -108, 0), 4800,
		cutAt{axisX, frontCut}, cutAt{axisZ, headSeam})
	s.hollow()
	s.socket(pinAt(2, negative(axisX)), pinLength)
	s.socket(pinAt(3, negative(axisX)), pinLength)
	s.take(s.window, s.lip(lower))
	s.peg(headPegAt(right, negative(axisZ)))
	s.peg(headPegAt(left, negative(axisZ)))
	s.addFine(toothGrain, boxOf(-10, mouthCorner, -90, 90, -80, 10), s.curved(teeth(lower), Show, Show))
	return s.recipe
}

// The lights along the flank differ from side to side, as on a real fish.
func middleUpper() *recipe {
	s := newShell("middle-upper", boxOf(frontCut, backCut, -104, 104, middleSeam, 126), 4800,
		cutAt{axisX, backCut}, cutAt{negative(axisX), -frontCut}, cutAt{negative(axisZ), -middleSeam})
	s.hollow()
	s.socket(pinAt(0, axisX), pinLength)
	s.socket(pinAt(1, axisX), pinLength)
	s.socket(middlePegAt(right, axisZ), pegDepth)
	s.socket(middlePegAt(left, axisZ), pegDepth)
	s.socket(backPegAt(left, negative(axisX)), pegDepth)
	s.slot(crest(1))
	s.slot(crest(2))
	s.holes(boxOf(frontCut, backCut, 30, 104, 15, 70), 6.5,
		flankLight(195, 42), flankLight(220, 38), flankLight(245, 35))
	s.holes(boxOf(frontCut, backCut, -104, -30, 15, 70), 5,
		flankLight(192, 40), flankLight(210, 38), flankLight(228, 36), flankLight(246, 34))
	return s.recipe
}

func flankLight(x, z float64) frame { return along(r3.Vec{X: x, Z: z}, axisY) }

// The cable of the lamp comes in through the belly.
func middleLower() *recipe {
	s := newShell("middle-lower", boxOf(frontCut, backCut, -104, 104, -108, 12), 4600,
		cutAt{axisX, backCut}, cutAt{negative(axisX), -frontCut}, cutAt{axisZ, middleSeam})
	s.hollow()
	s.socket(pinAt(2, axisX), pinLength)
	s.socket(pinAt(3, axisX), pinLength)
	s.socket(backPegAt(right, negative(axisX)), pegDepth)
	s.peg(middlePegAt(right, negative(axisZ)))
	s.peg(middlePegAt(left, negative(axisZ)))
	s.slot(sideFin(right))
	s.slot(sideFin(left))
	s.holes(boxOf(190, 250, -40, 40, -110, -60), 12, along(r3.Vec{X: 222}, axisZ))
	return s.recipe
}

func backLeft() *recipe {
	s := newShell("back-left", boxOf(backCut-pegLength-2, 436, -84, pegLength+2, -90, 100), 3800,
		cutAt{negative(axisX), -backCut}, cutAt{axisY, 0})
	s.hollow(s.plane(axisX, tailCore, Hidden))
	s.peg(backPegAt(left, axisX))
	s.peg(tailPegAt(negative(axisY)))
	s.slot(crest(3))
	s.slot(tailFin())
	return s.recipe
}

func backRight() *recipe {
	s := newShell("back-right", boxOf(backCut-pegLength-2, 436, 0, 84, -90, 100), 3800,
		cutAt{negative(axisX), -backCut}, cutAt{negative(axisY), 0})
	s.hollow(s.plane(axisX, tailCore, Hidden))
	s.peg(backPegAt(right, axisX))
	s.socket(tailPegAt(axisY), pegDepth)
	s.slot(crest(3))
	s.slot(tailFin())
	s.holes(boxOf(backCut, 380, 10, 84, 0, 60), 4.5, flankLight(322, 24), flankLight(342, 22))
	return s.recipe
}
