package lantern

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Role says what becomes of a facet on the finished lantern.
type Role uint8

// Roles.
const (
	Show   Role = iota // seen on the finished lantern
	Joint              // meets another part
	Hidden             // neither: the inside
)

// String returns the word used in files.
func (r Role) String() string { return [...]string{"show", "joint", "hidden"}[r] }

// field is a function of place that is negative inside a solid and grows by
// about 1 a millimetre near its surface.
type field func(p r3.Vec) float64

// surface is the zero set of a field: one face of a solid.
type surface struct {
	at   field
	body bool    // at is the distance to the fish's skin, which is slow: its value is kept for each corner
	lift float64 // taken off the field
	flip bool    // inside is where the field is above lift
	flat bool    // at is a plane

	role   Role
	tucked Role // the role below the fish's skin
}

func (s surface) value(raw float64) float64 {
	if s.flip {
		return s.lift - raw
	}
	return raw - s.lift
}

// faceID numbers the surfaces of a recipe.
type faceID int

// step adds the common inside of some surfaces to the part, or takes it away.
// What is outside the box is left as it is.
type step struct {
	add   bool
	box   r3.Box
	faces []faceID // flat ones first, as they are cut first
	grain float64  // edges near the step's solid are made no longer, mm; 0: left as they are
}

// recipe is how to make a part: steps in order, starting from nothing.
type recipe struct {
	name     string
	fine     float64 // spacing of the lattice as a share of the resolution asked for
	facets   int     // of the demo file
	window   r3.Box  // holds the part
	surfaces []surface
	steps    []step
	seats    []step // parts of the fish's skin inside these meet another part
	skin     faceID // the fish's skin, which parts tucked from untucked
	mirror   bool   // mirror in y = 0 at the end
	shifts   []r3.Vec
}

func newRecipe(name string, window r3.Box, fine float64, facets int) *recipe {
	r := &recipe{name: name, window: window, fine: fine, facets: facets, shifts: make([]r3.Vec, 1)}
	r.skin = r.depth(0, Show, Joint) // tucked is a seat
	return r
}

func (r *recipe) face(s surface) faceID {
	r.surfaces = append(r.surfaces, s)
	if len(r.surfaces) > maxSurfaces {
		panic("lantern: " + r.name + " has more surfaces than a mask has bits")
	}
	return faceID(len(r.surfaces) - 1)
}

// depth is the surface at a height over the fish's skin, inside towards the
// fish's middle.
func (r *recipe) depth(height float64, role, tucked Role) faceID {
	return r.face(surface{at: skinDistance, body: true, lift: height, role: role, tucked: tucked})
}

// above is depth turned round: inside is away from the fish's middle.
func (r *recipe) above(height float64, role Role) faceID {
	return r.face(surface{at: skinDistance, body: true, lift: height, flip: true, role: role, tucked: role})
}

// plane has its inside where n·p < level; n has length 1.
func (r *recipe) plane(n r3.Vec, level float64, role Role) faceID {
	return r.tuckedPlane(n, level, role, role)
}

func (r *recipe) tuckedPlane(n r3.Vec, level float64, role, tucked Role) faceID {
	at := func(p r3.Vec) float64 { return r3.Dot(n, p) - level }
	return r.face(surface{at: at, flat: true, role: role, tucked: tucked})
}

// curved is the surface of any field.
func (r *recipe) curved(at field, role, tucked Role) faceID {
	return r.face(surface{at: at, role: role, tucked: tucked})
}

func (r *recipe) add(box r3.Box, faces ...faceID) {
	r.addFine(0, box, faces...)
}

// addFine adds a solid with features down to a grain.
func (r *recipe) addFine(grain float64, box r3.Box, faces ...faceID) {
	r.steps = append(r.steps, step{add: true, box: box, faces: r.flatFirst(faces), grain: grain})
}

func (r *recipe) take(box r3.Box, faces ...faceID) {
	r.takeFine(0, box, faces...)
}

func (r *recipe) takeFine(grain float64, box r3.Box, faces ...faceID) {
	r.steps = append(r.steps, step{box: box, faces: r.flatFirst(faces), grain: grain})
}

// seat says that the fish's skin inside some faces is covered by another part.
func (r *recipe) seat(box r3.Box, faces ...faceID) {
	r.seats = append(r.seats, step{box: box, faces: r.flatFirst(faces)})
}

func (r *recipe) flatFirst(faces []faceID) []faceID {
	out := slices.Clone(faces)
	slices.SortStableFunc(out, func(a, b faceID) int {
		switch flat := r.surfaces[a].flat; {
		case flat == r.surfaces[b].flat:
			return 0
		case flat:
			return -1
		}
		return 1
	})
	return out
}

// near reports whether the part's surface may pass within reach of p.
func (r *recipe) near(p r3.Vec, reach float64) bool {
	depth := math.NaN()
	value := math.Inf(1)
	for _, s := range r.steps {
		if !within(s.box, p, reach) {
			continue
		}
		inside := math.Inf(-1)
		for _, f := range s.faces {
			face := r.surfaces[f]
			raw := depth
			if !face.body {
				raw = face.at(p)
			} else if math.IsNaN(depth) {
				depth = face.at(p)
				raw = depth
			}
			inside = max(inside, face.value(raw))
		}
		if s.add {
			value = min(value, inside)
		} else {
			value = max(value, -inside)
		}
	}
	return math.Abs(value) <= steepest*reach
}

// steepest bounds how much faster than 1 a millimetre a field of the fish may
// grow. Too small a bound leaves holes, which the tests would find.
const steepest = 2

func within(b r3.Box, p r3.Vec, reach float64) bool {
	return p.X > b.Min.X-reach && p.X < b.Max.X+reach &&
		p.Y > b.Min.Y-reach && p.Y < b.Max.Y+reach &&
		p.Z > b.Min.Z-reach && p.Z < b.Max.Z+reach
}
