package orient

import (
	"container/heap"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/orient/printer"
	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

// relaxation tells what an orientation costs at the very least, without a look
// at the part: as if support took neither time nor filament and nothing fell
// over.
//
// Three of the terms depend on the direction up as the support function of a
// convex body does, so a plane touches each from below everywhere:
//   - the height, max over pairs of corners of (a−b)·up;
//   - the steps between layers, Σ |up·n|·area over the facets;
//   - the outlines, Σ |up×n|·area over the facets, which is ∫ of their length
//     over the height.
//
// Each is no less than its tangent plane at any one direction, nor than that of
// facets added up in cells (|Σx| ≤ Σ|x|). Their weighted sum over a cap of
// directions is no less than a linear function at the cap's rim.
//
// What needs care: (1) level facets show no steps, so a cell with facets that
// may be level somewhere in the cap counts for nothing; (2) a facet on support
// has a scar instead of steps, so one that may lean out further than the limit
// counts as the cheaper of the two.
//
// Layer changes, least layer times, steps and scars are proven so. How long it
// takes to draw the outlines and what is inside is not, for corners shorten
// walls: for that it takes nine tenths of the least seconds for each mm² of
// outline that was found in orientations looked at (see sure). Tests hold it
// against dense sweeps.
type relaxation struct {
	settings Settings
	image    image
	hull     *mesh.HullMesh // nil: the part is flat, its height counts as 0
	machines []relaxed
}

// relaxed are the hours of a machine: the larger of what drawing takes and of
// what the least layer time does, each as constant + rise·height + wall·outlines.
type relaxed struct {
	drawn, waited line
	coarser       float64 // its layers over those of the measures
}

// line is constant + rise·height + wall·outlines. Hours, mm, mm².
type line struct{ constant, rise, wall float64 }

// sure is how much of the least drawing time seen the bound relies on.
const sure = 0.9

func newRelaxation(s Settings, image image, hull *mesh.HullMesh, volume float64, clock []clock) relaxation {
	r := relaxation{settings: s, image: image, hull: hull}
	for k, m := range s.Machines {
		p := m.Printer
		hour := p.TimeFactor / 3600
		// Layers: 1 + (height − first)/layer, the last counted by what it has.
		base := (1 - p.FirstLayer/p.Layer) * hour
		plain := line{60*p.HeatUp*hour + base*p.LayerChange, hour / p.Layer * p.LayerChange, 0}
		drawn, waited := plain, plain
		least := sure * clock[k].least
		d := drawing(p, m.Material, volume)
		drawn.constant += hour * least * d.constant
		drawn.wall += hour * least * d.wall
		waited.constant += base * p.LeastLayerTime
		waited.rise += hour / p.Layer * p.LeastLayerTime
		r.machines = append(r.machines, relaxed{drawn, waited, p.Layer / s.Support.Layer})
	}
	return r
}

// drawing returns the seconds that the walls and the infill of a part take by
// the plainest reckoning: all walls as long as the outline, what they do not
// cover filled as infill.
func drawing(p printer.Printer, m printer.Material, volume float64) line {
	bead := printer.BeadArea(p.LineWidth, p.Layer)
	wallSpeed, infillSpeed := min(p.WallSpeed, m.FlowLimit/bead), min(p.InfillSpeed, m.FlowLimit/bead)
	n := float64(p.Walls)
	return line{
		constant: p.Infill * volume / bead / infillSpeed,
		wall:     max(0, n/p.Layer*(1/wallSpeed-p.Infill/infillSpeed)),
	}
}

// tangent is where the three functions touch their planes.
type tangent struct {
	height r3.Vec
	wall   r3.Vec
	steps  [2][support.NumRoles]r3.Vec // on facets that cannot need support, and that may
}

// tangents returns planes that lie below the three functions for all
// directions within radius of up.
func (r relaxation) tangents(up mesh.Direction, radius plane.Angle) tangent {
	var t tangent
	u := up.Vec()
	if r.hull != nil {
		t.height = r.hull.Across(up)
	}
	lean := float64(r.settings.Support.Limit) + math.Pi/2 // angle from up beyond which a facet hangs
	for i := range r.image.cells {
		c := &r.image.cells[i]
		z := r3.Dot(u, c.sum)
		side := r3.Sub(r3.Scale(r3.Norm2(c.sum), u), r3.Scale(z, c.sum))
		if across := r3.Norm(r3.Cross(u, c.sum)); across > 0 {
			t.wall = r3.Add(t.wall, r3.Scale(1/across, side))
		}
		angle := angleBetween(u, c.sum)
		reach := c.spread + float64(radius)
		if near := min(angle, math.Pi-angle); near <= reach+levelAngle {
			continue
		}
		hangs := 0
		if angle+reach >= lean {
			hangs = 1
		}
		t.steps[hangs][c.role] = r3.Add(t.steps[hangs][c.role], r3.Scale(math.Copysign(1, z), c.sum))
	}
	return t
}

// levelAngle is more than the angle from level below which package support
// takes a facet for level, 1.42e-3.
const levelAngle = 1.5e-3

// over returns the least that an orientation within radius of up can cost on
// any machine. Unit: weighted hours.
func (r relaxation) over(up mesh.Direction, radius plane.Angle) float64 {
	t := r.tangents(up, radius)
	best := math.Inf(1)
	for _, m := range r.machines {
		best = min(best, r.on(m, t, up, radius))
	}
	return best
}

func (r relaxation) on(m relaxed, t tangent, up mesh.Direction, radius plane.Angle) float64 {
	s := r.settings
	w := s.Weights
	var bench r3.Vec
	for role := range s.Rates.Cusp {
		cusp := s.Rates.Cusp[role] * s.Support.Layer * m.coarser
		bench = r3.Add(bench, r3.Scale(w.Bench*cusp, t.steps[0][role]))
		bench = r3.Add(bench, r3.Scale(w.Bench*min(cusp, s.Rates.Scar[role]), t.steps[1][role]))
	}
	layers := line{(1 - s.Support.FirstLayer/s.Support.Layer) * w.Layer, w.Layer / s.Support.Layer, 0}
	best := math.Inf(-1)
	for _, l := range [2]line{m.drawn, m.waited} {
		hours := r3.Add(r3.Scale(l.rise, t.height), r3.Scale(l.wall, t.wall))
		least := max(0, l.constant+leastOver(hours, up, radius))
		all := r3.Add(r3.Add(r3.Scale(w.Machine, hours), bench), r3.Scale(layers.rise, t.height))
		sum := w.Machine*l.constant + layers.constant + leastOver(all, up, radius)
		sum += w.Machine * s.Risk.loss(least, s.Risk.Safe)
		best = max(best, sum)
	}
	return best
}

// leastOver returns the least of g·u over directions u within radius of up.
func leastOver(g r3.Vec, up mesh.Direction, radius plane.Angle) float64 {
	if g == (r3.Vec{}) {
		return 0
	}
	return r3.Norm(g) * math.Cos(min(math.Pi, angleBetween(g, up.Vec())+float64(radius)))
}

// least returns what no orientation costs less than, by dividing the sphere
// where that is least until the answer is no more than boundStep short of what
// can be told so, or boundCaps are looked at.
func (r relaxation) least() float64 {
	queue := &patches{}
	const side = 6
	for face := range 6 {
		for i := range side * side {
			r.offer(queue, patch{face: face, x: float64(i%side) / side, y: float64(i/side) / side, size: 1.0 / side})
		}
	}
	settled := math.Inf(1) // least of the patches that are not divided further
	reached := math.Inf(1) // what the relaxation costs in some orientation
	for n := queue.Len(); queue.Len() > 0 && n < boundCaps; n += 4 {
		p := heap.Pop(queue).(patch)
		centre, _ := p.cap()
		reached = min(reached, r.over(centre, 0))
		if p.least >= reached*(1-boundStep) || p.size < 1.0/(1<<12) {
			settled = min(settled, p.least)
			break
		}
		for i := range 4 {
			half := p.size / 2
			r.offer(queue, patch{face: p.face, x: p.x + float64(i%2)*half, y: p.y + float64(i/2)*half, size: half})
		}
	}
	if queue.Len() > 0 {
		settled = min(settled, (*queue)[0].least)
	}
	return max(settled, 0)
}

const (
	boundStep = 0.002
	boundCaps = 3000
)

func (r relaxation) offer(queue *patches, p patch) {
	p.least = r.over(p.cap())
	heap.Push(queue, p)
}

// patch is a square on one face of the cube around the sphere, in units of the
// face's side, and the least cost of an orientation in it.
type patch struct {
	face       int
	x, y, size float64
	least      float64
}

// cap returns a cap of directions that holds the patch.
func (p patch) cap() (centre mesh.Direction, radius plane.Angle) {
	centre = cubeDirection(p.face, p.x+p.size/2, p.y+p.size/2)
	for i := range 4 {
		corner := cubeDirection(p.face, p.x+float64(i%2)*p.size, p.y+float64(i/2)*p.size)
		radius = max(radius, Between(centre, corner))
	}
	return centre, radius
}

// cubeDirection returns the direction of a point of a face of a cube.
func cubeDirection(face int, x, y float64) mesh.Direction {
	u, v, side := 2*x-1, 2*y-1, float64(1-2*(face%2))
	return unit([3]r3.Vec{{X: side, Y: u, Z: v}, {X: u, Y: side, Z: v}, {X: u, Y: v, Z: side}}[face/2])
}

// patches is a heap, the least first.
type patches []patch

func (q patches) Len() int { return len(q) }
func (q patches) Less(i, j int) bool {
	a, b := q[i], q[j]
	switch {
	case a.least != b.least:
		return a.least < b.least
	case a.face != b.face:
		return a.face < b.face
	case a.y != b.y:
		return a.y < b.y
	}
	return a.x < b.x
}
func (q patches) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *patches) Push(x any)   { *q = append(*q, x.(patch)) }
func (q *patches) Pop() any {
	old := *q
	p := old[len(old)-1]
	*q = old[:len(old)-1]
	return p
}
