package lantern

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// The mouth opens from a corner at the head's seam.
const (
	mouthCorner = 95.0 // x
	upperLip    = 0.40 // slope
	lowerLip    = 0.18

	toothTip   = 0.9 // radius
	toothGrain = 1.5
)

// lip is the plane of one lip; its inside is the mouth's.
func (r *recipe) lip(side float64) faceID {
	slope := lipSlope(side)
	long := math.Hypot(slope, 1)
	n := r3.Vec{X: slope / long, Z: side / long}
	return r.plane(n, (side*headSeam+slope*mouthCorner)/long, Show)
}

func lipSlope(side float64) float64 {
	if side == upper {
		return upperLip
	}
	return lowerLip
}

// tooth is a slim cone with a round tip.
type tooth struct {
	root, tip r3.Vec
	thick     float64
}

// teeth is the field of all teeth of one lip. They stand on the middle of the
// wall, the lower ones long, the upper ones short and between them.
func teeth(side float64) field {
	count, share := 9, 0.62
	if side == upper {
		count, share = 8, 0.42
	}
	var all []tooth
	for i := range count {
		turn := (float64(i) - float64(count-1)/2) * 15 * math.Pi / 180
		all = append(all, toothAt(side, turn, share*(1-0.2*float64(i%2))))
	}
	return func(p r3.Vec) float64 {
		least := math.Inf(1)
		for _, t := range all {
			least = min(least, tapered(p, t.root, t.tip, t.thick, toothTip))
		}
		return least
	}
}

// toothAt stands a tooth on a lip, in the given direction from the corner of
// the mouth, as tall as a share of the gape there.
func toothAt(side, turn, share float64) tooth {
	sin, cos := math.Sincos(turn)
	slope := lipSlope(side)
	corner := r3.Vec{X: mouthCorner, Z: headSeam}
	way := r3.Vec{X: -cos, Y: sin, Z: side * slope * cos}
	rim := onRay(corner, way, -wall/2)
	gape := (upperLip + lowerLip) * (mouthCorner - rim.X)
	up := r3.Vec{Z: -side}
	return tooth{
		root:  r3.Sub(rim, r3.Scale(2.5, up)),
		tip:   r3.Add(rim, r3.Scale(share*gape, up)),
		thick: 2.2 + 0.05*gape,
	}
}

// Measures of an eye, mm.
const (
	eyeBore   = 16.0
	eyePlug   = 19.75
	eyeFlange = 25.0
	eyeRecess = 1.5
)

// eye is the axis of an eye; w points out of the head.
func eye(side float64) frame {
	way := r3.Unit(r3.Vec{X: -0.30, Y: 0.90, Z: 0.31})
	f := along(onRay(eyeBulge, way, 0), way)
	if side == left {
		f.at.Y, f.w.Y = -f.at.Y, -f.w.Y
		f = along(f.at, f.w)
	}
	return f
}

// eyeSocket cuts a hole for an eye ring and a recess for its flange.
func (s *shell) eyeSocket(side float64) {
	f := eye(side)
	box := f.box(-32, 32, -32, 32, -32, 32)
	s.take(box, s.tube(f, eyeFlange+clearance, Joint, Joint), s.above(-eyeRecess, Joint))
	s.take(box, s.tube(f, eyePlug+clearance, Joint, Joint))
}

// eyeRing is made for the left eye; the right one is its mirror image.
func eyeRing(name string, side float64) *recipe {
	f := eye(left)
	box := f.box(-30, 30, -30, 30, -16, 16)
	r := newRecipe(name, box, 0.5, 1900)
	r.mirror = side == right
	dome := r.curved(func(p r3.Vec) float64 {
		u, v, _ := f.coordinates(p)
		out := max(0, math.Sqrt(u*u+v*v)-eyeBore-2)
		return skinDistance(p) + 0.05*out*out - 5
	}, Show, Show)
	r.add(box, dome, r.tube(f, eyeFlange, Show, Joint), r.above(clearance-eyeRecess, Joint))
	r.add(box, r.tube(f, eyePlug, Joint, Joint), r.above(-wall-1, Hidden), r.depth(0.5, Joint, Joint))
	r.take(box, r.tube(f, eyeBore, Show, Show))
	return r
}

// The lure hangs before the mouth on a stalk that bends from the forehead.
var (
	stalkRoot = r3.Vec{X: 76, Z: 100}
	stalkBend = r3.Vec{X: 70, Z: 206}
	stalkEnd  = r3.Vec{X: 36, Z: 176}
)

const (
	stalkPlug   = 5.75
	stalkThick  = 7.5 // radius at the forehead
	stalkThin   = 4.5 // radius at the lure
	stalkDepth  = 12.0
	lurePeg     = 3.25
	lurePegLong = 8.0
)

// stalk returns the point and the direction of the stalk's middle line, a
// parabola, at t from 0 to 1.
func stalk(t float64) (at, way r3.Vec) {
	s := 1 - t
	at = r3.Add(r3.Scale(s*s, stalkRoot), r3.Add(r3.Scale(2*s*t, stalkBend), r3.Scale(t*t, stalkEnd)))
	way = r3.Add(r3.Scale(s, r3.Sub(stalkBend, stalkRoot)), r3.Scale(t, r3.Sub(stalkEnd, stalkBend)))
	return at, r3.Unit(way)
}

// stalkField is the distance to a tube along the stalk, thinner to the end.
func stalkField(p r3.Vec) float64 {
	gap := func(t float64) float64 {
		at, _ := stalk(t)
		return length(r3.Sub(p, at))
	}
	const steps = 24
	best := 0.0
	for i := 1; i <= steps; i++ {
		if t := float64(i) / steps; gap(t) < gap(best) {
			best = t
		}
	}
	low, high := max(0, best-1.0/steps), min(1, best+1.0/steps)
	for range 40 {
		a, b := low+(high-low)/3, high-(high-low)/3
		if gap(a) < gap(b) {
			high = b
		} else {
			low = a
		}
	}
	t := (low + high) / 2
	return gap(t) - (stalkThick + t*(stalkThin-stalkThick))
}

// stalkFoot is the axis of the plug in the forehead.
func stalkFoot() frame {
	at, way := stalk(0)
	return along(onRay(at, way, 0), way)
}

// lureSocket adds a boss with a round socket for the stalk.
func (s *shell) lureSocket() {
	f := stalkFoot()
	box := f.box(-12, 12, -12, 12, -24, 12)
	s.add(box, s.skin, s.tube(f, stalkPlug+clearance+wall, Hidden, Hidden), s.above(-stalkDepth-wall, Hidden))
	s.takeFine(1.3, box, s.tube(f, stalkPlug+clearance, Joint, Joint), s.above(-stalkDepth, Joint))
	s.seat(box, s.tube(f, stalkThick+clearance, Show, Show))
}

// lureEnd is the axis of the peg between stalk and lure.
func lureEnd() frame { return along(stalk(1)) }

func lureStalk() *recipe {
	r := newRecipe("lure-stalk", boxOf(20, 95, -10, 10, 80, 200), 0.5, 2000)
	foot, end := stalkFoot(), lureEnd()
	r.add(r.window, r.curved(stalkField, Show, Joint), r.above(clearance, Joint))
	r.take(end.box(-8, 8, -8, 8, 0, 8), r.below(end, negative(end.w), 0, Joint, Joint))
	plug := foot.box(-10, 10, -10, 10, -24, 4)
	r.add(plug, r.tube(foot, stalkPlug, Joint, Joint), r.above(clearance-stalkDepth, Joint),
		r.below(foot, foot.w, 3, Joint, Joint))
	peg := end.box(-5, 5, -5, 5, -2, lurePegLong)
	r.add(peg, append([]faceID{r.tube(end, lurePeg, Joint, Joint)},
		r.between(end, end.w, -2, lurePegLong, Joint, Joint)...)...)
	return r
}

// Measures of the lure, mm.
const (
	lureBall   = 18.0
	lureHollow = 14.0
	lureCollar = 8.0
	lureGlow   = 9.0 // radius of the hole that the light falls through
)

// lureBulb is a hollow ball, open below, with a collar round the stalk's peg.
func lureBulb() *recipe {
	end := lureEnd()
	ball := along(end.point(0, 0, 21), axisZ)
	round := func(radius float64) field {
		return func(p r3.Vec) float64 { return length(r3.Sub(p, ball.at)) - radius }
	}
	box := end.box(-20, 20, -20, 20, -1, 42)
	r := newRecipe("lure-bulb", box, 0.5, 2000)
	r.add(box, r.curved(round(lureBall), Show, Show))
	r.take(box, r.curved(round(lureHollow), Hidden, Hidden))
	collar := end.box(-9, 9, -9, 9, clearance, 14)
	side := r.tube(end, lureCollar, Show, Show)
	r.add(collar, append([]faceID{side}, r.between(end, end.w, clearance, 13, Joint, Joint)...)...)
	r.take(end.box(-5, 5, -5, 5, -1, lurePegLong+clearance),
		r.tube(end, lurePeg+clearance, Joint, Joint), r.below(end, end.w, lurePegLong+clearance, Joint, Joint))
	r.take(ball.box(-10, 10, -10, 10, -22, 0), r.tube(ball, lureGlow, Show, Show))
	return r
}
