package role

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Twin is two parts that are mirror images of each other.
type Twin struct {
	A, B int // indices of parts, A < B
	// Alike says that the parts are also the same without a mirror, as two
	// wheels are: one can take the other's place.
	Alike bool
}

// Measures of likeness.
const (
	// twinLikeness is the share by which the shapes of twins may differ.
	twinLikeness = 2e-3
	// twinGap is how far a probe on one twin may lie off the other, as a share
	// of the diagonal: 0.2 mm on 100 mm.
	twinGap = 2e-3
	// twinProbes is the number of places at which this is tried, and twinMisses
	// that of those that may be wrong: a line may pass between two facets.
	twinProbes, twinMisses = 400, 2
)

// twins finds mirror twins. Each part has one at most: of several the one whose
// name is its own with the sides swapped, else the first.
func twins(parts []Part) []Twin {
	shapes := make([]shape, len(parts))
	for i, p := range parts {
		shapes[i] = shapeOf(p.Mesh)
	}
	var out []Twin
	taken := make([]bool, len(parts))
	for _, named := range []bool{true, false} {
		for i := range parts {
			for j := i + 1; j < len(parts); j++ {
				if taken[i] || taken[j] || named && !counterparts(parts[i].Name, parts[j].Name) {
					continue
				}
				if mirrored, alike := compare(parts[i].Mesh, parts[j].Mesh, shapes[i], shapes[j]); mirrored {
					out = append(out, Twin{A: i, B: j, Alike: alike})
					taken[i], taken[j] = true, true
				}
			}
		}
	}
	slices.SortFunc(out, func(a, b Twin) int { return a.A - b.A })
	return out
}

// compare tells whether one part is the mirror image of another and whether it
// is the same.
func compare(m, o *mesh.Mesh, ofM, ofO shape) (mirrored, alike bool) {
	if !ofM.like(ofO, twinLikeness) {
		return false, false
	}
	t := newTree(o)
	for _, f := range fitsOf(ofM, ofO) {
		if (f.mirrors && mirrored) || (!f.mirrors && alike) {
			continue
		}
		if f.lies(m, t) {
			mirrored, alike = mirrored || f.mirrors, alike || !f.mirrors
		}
	}
	return mirrored, alike
}

// fit is a way to lay one shape on another: centre on centre, axes on axes.
type fit struct {
	from, to [3]r3.Vec
	a, b     r3.Vec // centres
	mirrors  bool
}

// fitsOf lists the ways to lay one shape on another: by the frame's axes, as
// parts of one model lie, and by the shapes' own, which are of no use where
// two spreads are equal.
func fitsOf(s, o shape) []fit {
	frame := [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	var out []fit
	for _, axes := range [][2][3]r3.Vec{{frame, frame}, {s.axes, o.axes}} {
		for flips := range 8 {
			f := fit{from: axes[0], to: axes[1], a: s.centre, b: o.centre}
			for k := range 3 {
				if flips>>k&1 == 1 {
					f.to[k] = r3.Scale(-1, f.to[k])
					f.mirrors = !f.mirrors
				}
			}
			out = append(out, f)
		}
	}
	return out
}

func (f fit) apply(p r3.Vec) r3.Vec {
	d, out := r3.Sub(p, f.a), f.b
	for k := range 3 {
		out = r3.Add(out, r3.Scale(r3.Dot(d, f.from[k]), f.to[k]))
	}
	return out
}

// lies reports whether the surface of s, laid on t, lies on it and faces the
// same way.
func (f fit) lies(s *mesh.Mesh, t *tree) bool {
	gap := twinGap * t.mesh.Diagonal()
	origin := f.apply(r3.Vec{})
	misses := 0
	for i, face := range spreadFaces(s, twinProbes) {
		p := f.apply(spot(s, face, i))
		n := r3.Sub(f.apply(s.Normal(face)), origin)
		if !t.hasAt(p, n, gap) {
			if misses++; misses > twinMisses {
				return false
			}
		}
	}
	return true
}

// hasAt reports whether the mesh has a facet across the normal n within gap of
// p.
func (t *tree) hasAt(p, n r3.Vec, gap float64) bool {
	found := false
	t.through(r3.Sub(p, r3.Scale(gap, n)), n, 2*gap, func(f mesh.FaceID, _ float64) float64 {
		if r3.Dot(t.mesh.Normal(f), n) > half {
			found = true
			return 0
		}
		return 2 * gap
	})
	return found
}

// Unpaired is a part of one side for which there is none of the other.
type Unpaired struct {
	Part int
	// Named says that the name speaks of a side and no part is named for the
	// other. Otherwise the part lies wholly on one side of the plane that
	// twins mirror in and is no twin itself.
	Named bool
}

// unpaired finds the parts whose partner is missing. Parts needed several
// times stand for themselves.
func unpaired(parts []Part, alone []bool, twins []Twin) []Unpaired {
	hasTwin := make([]bool, len(parts))
	var planes []mirror
	for _, t := range twins {
		hasTwin[t.A], hasTwin[t.B] = true, true
		if p, ok := mirrorOf(parts[t.A].Mesh, parts[t.B].Mesh); ok {
			planes = append(planes, p)
		}
	}
	var out []Unpaired
	for i, p := range parts {
		if hasTwin[i] || p.Count > 1 {
			continue
		}
		if s, _ := nameSide(p.Name); s != noSide {
			if !slices.ContainsFunc(parts, func(o Part) bool { return counterparts(p.Name, o.Name) }) {
				out = append(out, Unpaired{Part: i, Named: true})
			}
			continue
		}
		if !alone[i] && slices.ContainsFunc(planes, func(m mirror) bool { return m.clears(p.Mesh.Bounds()) }) {
			out = append(out, Unpaired{Part: i})
		}
	}
	return out
}

// mirror is a plane square to an axis of the frame.
type mirror struct {
	axis  int
	level float64
}

// mirrorOf returns the plane in which one box is the other's mirror image, if
// there is one.
func mirrorOf(m, o *mesh.Mesh) (mirror, bool) {
	a, b := corners(m.Bounds()), corners(o.Bounds())
	gap := twinGap * m.Diagonal()
	var out mirror
	off := 0
	for k := range 3 {
		if math.Abs(a[0][k]-b[0][k]) > gap || math.Abs(a[1][k]-b[1][k]) > gap {
			off++
			out = mirror{axis: k, level: (a[0][k] + a[1][k] + b[0][k] + b[1][k]) / 4}
		}
	}
	return out, off == 1
}

// clears reports whether a box is wholly on one side.
func (m mirror) clears(b r3.Box) bool {
	c := corners(b)
	return c[0][m.axis] > m.level || c[1][m.axis] < m.level
}

func corners(b r3.Box) [2][3]float64 {
	return [2][3]float64{{b.Min.X, b.Min.Y, b.Min.Z}, {b.Max.X, b.Max.Y, b.Max.Z}}
}
