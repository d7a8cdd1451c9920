package lantern

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// fin is a thin plate, stiffened by spines, with a tab that goes into a slot of
// the shell. Its frame lies on the fish's skin: u along the skin, v out of it,
// w through the plate.
type fin struct {
	frame
	name     string
	thick    float64
	tab      [2]float64 // from and to, u
	depth    float64    // of the slot
	straight bool       // the slot ends at a level of v, not at a depth under the skin

	extent [2]float64               // no part of the fin is beyond, u
	height float64                  // of the blade, v
	edge   func(r *recipe) []faceID // the blade's outline, within its plane
	spines []spine
	facets int  // of the demo file
	mirror bool // made as the left one
}

// spine is a round bar, slimmer to its end.
type spine struct {
	root, end       r3.Vec
	thick, endThick float64 // radius
}

// spineField is the field of all spines of a fin.
func (f *fin) spineField() field {
	return func(p r3.Vec) float64 {
		least := math.Inf(1)
		for _, s := range f.spines {
			least = min(least, tapered(p, s.root, s.end, s.thick, s.endThick))
		}
		return least
	}
}

const (
	finThick = 3.0
	tabDepth = 5.0
)

// crest returns the i-th of the four fins along the back.
func crest(i int) *fin {
	x := [4]float64{131, 202, 266, 334}[i]
	half := [4]float64{20, 25, 23, 18}[i]
	f := &fin{
		name:   fmt.Sprintf("crest-fin-%d", i+1),
		frame:  frame{at: onRay(r3.Vec{X: x}, axisZ, 0), u: axisX, v: axisZ, w: negative(axisY)},
		tab:    [2]float64{-half, half},
		height: [4]float64{84, 120, 104, 80}[i],
		facets: 1700,
	}
	f.sickle([4]float64{34, 48, 44, 40}[i], [4]int{3, 4, 4, 3}[i])
	return f
}

// sideFin stands out of the flank, drooping.
func sideFin(side float64) *fin {
	sin, cos := math.Sincos(18 * math.Pi / 180)
	out := r3.Vec{Y: side * cos, Z: -sin}
	f := &fin{
		name:   "side-fin-left",
		frame:  frame{at: onRay(r3.Vec{X: 222, Z: -22}, out, 0), u: axisX, v: out, w: r3.Vec{Y: side * sin, Z: cos}},
		tab:    [2]float64{-22, 22},
		height: 92,
		facets: 1600,
	}
	if side == right {
		f.name, f.mirror = "side-fin-right", true
	}
	f.sickle(52, 4)
	return f
}

// sickle gives a fin its swept-back outline between two arcs, and its spines.
// The tip is sweep behind the middle of the tab.
func (f *fin) sickle(sweep float64, spines int) {
	f.thick, f.depth = finThick, tabDepth
	f.extent = [2]float64{f.tab[0] - 13, f.tab[1] + sweep + 28}
	tip := point2{sweep, f.height}
	leading := arcThrough(point2{f.tab[0] - 3, -6}, tip, 0.14)
	trailing := arcThrough(point2{f.tab[1] + 5, -6}, tip, 0.07)
	f.edge = func(r *recipe) []faceID {
		return []faceID{r.arc(f.frame, leading), r.outside(f.frame, trailing),
			r.below(f.frame, f.v, f.height-5, Show, Show)}
	}
	u0, u1 := f.tab[0]+4, f.tab[1]-2
	for i := range spines {
		s := (float64(i) + 0.3) / float64(spines)
		// From the tip down the trailing edge, and a little beyond it.
		u, v := trailing.point(1 - 0.75*s)
		f.spines = append(f.spines, spine{f.point(u0+s*(u1-u0), -2, 0), f.point(u+5, v+4, 0), 2.7, 2.0})
	}
}

// tailFin is a half-moon at the end; its tab is clamped between the two halves
// of the back.
func tailFin() *fin {
	f := &fin{
		name:  "tail-fin",
		frame: frame{at: onRay(r3.Vec{X: 408, Z: 14}, axisX, 0), u: axisZ, v: axisX, w: axisY},
		thick: 4, tab: [2]float64{-12, 12}, depth: 30, straight: true,
		extent: [2]float64{-110, 110}, height: 80, facets: 2200,
	}
	rim, notch := arc2{middle: point2{0, -30}, radius: 106}, arc2{middle: point2{0, 104}, radius: 62}
	f.edge = func(r *recipe) []faceID {
		out := []faceID{r.arc(f.frame, rim), r.outside(f.frame, notch)}
		for _, way := range []float64{-1, 1} {
			n := r3.Unit(r3.Sub(r3.Scale(0.62*way, f.u), f.v))
			out = append(out, r.below(f.frame, n, 12, Show, Show), r.below(f.frame, r3.Scale(way, f.u), 88, Show, Show))
		}
		return out
	}
	for i := range 7 {
		sin, cos := math.Sincos(float64(i-3) * 15 * math.Pi / 180)
		long := min(rim.ahead(sin, cos, 1), notch.ahead(sin, cos, -1)) + 3
		f.spines = append(f.spines, spine{f.point(8*sin, 8*cos-12, 0), f.point(long*sin, long*cos, 0), 3.4, 2.5})
	}
	return f
}

// recipe makes the fin; of side fins always the left one, mirrored if need be.
func (f *fin) recipe() *recipe {
	if f.mirror {
		r := sideFin(left).recipe()
		r.name, r.mirror = f.name, true
		return r
	}
	box := f.box(f.extent[0], f.extent[1], -f.depth-20, f.height+8, -4, 4)
	r := newRecipe(f.name, box, 0.6, f.facets)
	sides := r.between(f.frame, f.w, -f.thick/2, f.thick/2, Show, Joint)
	foot := r.above(clearance, Joint)
	r.add(box, together(sides, f.edge(r), []faceID{foot})...)
	r.add(box, r.curved(f.spineField(), Show, Show), foot)

	// The tab ends a clearance above the slot's floor.
	tab := together(sides, r.between(f.frame, f.u, f.tab[0], f.tab[1], Joint, Joint),
		[]faceID{f.floor(r, f.depth-clearance), r.depth(3, Joint, Joint)})
	r.add(f.box(f.tab[0], f.tab[1], -f.depth-20, 25, -f.thick, f.thick), tab...)
	return r
}

// floor is the end of the slot, or of the tab, at a depth.
func (f *fin) floor(r *recipe, depth float64) faceID {
	if f.straight {
		return r.below(f.frame, negative(f.v), depth, Joint, Joint)
	}
	return r.above(-depth, Joint)
}

// slot cuts a groove for a fin's tab into the wall, thickens the wall behind
// it, and marks where the fin stands on the skin.
func (s *shell) slot(f *fin) {
	u0, u1 := f.tab[0], f.tab[1]
	if !f.straight {
		rib := together([]faceID{s.skin, s.above(-f.depth-wall, Hidden)}, s.cuts,
			s.between(f.frame, f.u, u0-wall, u1+wall, Hidden, Hidden),
			s.between(f.frame, f.w, -ribHalf, ribHalf, Hidden, Hidden))
		s.add(f.box(u0-wall, u1+wall, -30, 15, -ribHalf, ribHalf), rib...)
	}
	half := f.thick/2 + clearance
	sides := s.between(f.frame, f.w, -half, half, Joint, Joint)
	groove := together(sides, []faceID{f.floor(s.recipe, f.depth)},
		s.between(f.frame, f.u, u0-clearance, u1+clearance, Joint, Joint))
	s.take(f.box(u0-clearance, u1+clearance, -f.depth-20, 30, -half, half), groove...)

	foot := f.box(f.extent[0], f.extent[1], -30, 30, -5, 5)
	s.seat(foot, append(f.edge(s.recipe), sides...)...)
	s.seat(foot, s.curved(f.spineField(), Joint, Joint))
}

// point2 is a place in the plane of a fin, u and v.
type point2 struct{ u, v float64 }

// arc2 is a circle in the plane of a fin.
type arc2 struct {
	middle point2
	radius float64
	a, b   point2 // on the circle
}

// arcThrough returns the circle through a and b that bulges to the left of the
// way from a to b, by a share of their distance.
func arcThrough(a, b point2, bulge float64) arc2 {
	du, dv := b.u-a.u, b.v-a.v
	long := math.Hypot(du, dv)
	sag := bulge * long
	radius := (long*long/4 + sag*sag) / (2 * sag)
	back := (radius - sag) / long // to the right of the way
	return arc2{point2{(a.u+b.u)/2 + back*dv, (a.v+b.v)/2 - back*du}, radius, a, b}
}

// point returns the point of the circle beside the share s of the way from a
// to b.
func (c arc2) point(s float64) (u, v float64) {
	u, v = c.a.u+s*(c.b.u-c.a.u)-c.middle.u, c.a.v+s*(c.b.v-c.a.v)-c.middle.v
	grow := c.radius / math.Hypot(u, v)
	return c.middle.u + grow*u, c.middle.v + grow*v
}

// ahead returns how far from the origin the way (u, v) of length 1 meets the
// circle, whose middle is on the v axis: side −1 going in, +1 coming out. It is
// infinite if it does not.
func (c arc2) ahead(u, v, side float64) float64 {
	d := c.radius*c.radius - c.middle.v*c.middle.v*u*u
	if d < 0 {
		return math.Inf(1)
	}
	return c.middle.v*v + side*math.Sqrt(d)
}

// distance is the field of the cylinder over the circle.
func (c arc2) distance(f frame) field {
	return func(p r3.Vec) float64 {
		u, v, _ := f.coordinates(p)
		u, v = u-c.middle.u, v-c.middle.v
		return math.Sqrt(u*u+v*v) - c.radius
	}
}

// arc has its inside within a circle in the plane of a fin, outside beyond it.
func (r *recipe) arc(f frame, c arc2) faceID {
	return r.curved(c.distance(f), Show, Show)
}

func (r *recipe) outside(f frame, c arc2) faceID {
	return r.face(surface{at: c.distance(f), flip: true, role: Show, tucked: Show})
}
