package orient

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support"
	"platewright/support/mesh"
	"platewright/support/plane"
)

// sketch is an orientation as a scan of the thinned mesh shows it.
type sketch struct {
	up      mesh.Direction
	lower   float64 // what the orientation costs at the least
	scanned bool    // false: lower alone rules it out
	seen    support.Measures
	figures []figures // one a machine
	hours   float64   // weighted hours until paint by the clocks
	fits    bool
}

// sketchChunk is how many candidates are scanned before the best of them is
// used to rule others out. It must not depend on the Runner.
const sketchChunk = 64

// slack is by how much a sketch may be off, of an orientation worth a look.
const slack = 0.05

// sketchAll scans the candidates, those first that cost least at the least,
// until the rest is ruled out.
func (sk *searcher) sketchAll(all []mesh.Direction) []sketch {
	out := make([]sketch, len(all))
	sk.run(len(all), func(i int) {
		if sk.ctx.Err() == nil {
			out[i] = sketch{up: all[i], lower: sk.relaxation.over(all[i], 0)}
		}
	})
	slices.SortStableFunc(out, func(a, b sketch) int {
		return cmp.Or(cmp.Compare(steps(a.lower), steps(b.lower)), compareUp(a.up, b.up))
	})
	best := math.Inf(1)
	for at := 0; at < len(out); at += sketchChunk {
		chunk := out[at:min(at+sketchChunk, len(out))]
		if chunk[0].lower > best*(1+slack) {
			return out[:at]
		}
		sk.run(len(chunk), func(i int) { chunk[i] = sk.sketch(chunk[i].up, chunk[i].lower) })
		for _, s := range chunk {
			if s.fits {
				best = min(best, s.hours)
			}
		}
	}
	return out
}

// sketch scans one direction; after the context has ended it returns an empty
// sketch, which nobody looks at.
func (sk *searcher) sketch(up mesh.Direction, lower float64) sketch {
	if sk.ctx.Err() != nil {
		return sketch{up: up}
	}
	scanner := sk.coarse.Get().(*support.Scanner)
	defer sk.coarse.Put(scanner)
	out := sketch{up: up, lower: lower, seen: scanner.Scan(up), scanned: true}
	out.seen.Height = sk.heightOf(up)
	out.seen.Layers = sk.settings.Support.NumLayers(out.seen.Height)
	out.figures = sk.reading(up, out.seen, scanner.Slabs())
	sk.readClocks(&out)
	return out
}

// time reads the clocks again.
func (sk *searcher) time(pool []sketch) {
	for i := range pool {
		sk.readClocks(&pool[i])
	}
}

// readClocks puts a sketch into hours.
func (sk *searcher) readClocks(o *sketch) {
	on := make([]On, len(sk.clocks))
	room := sk.room(o.up, o.seen.Height)
	for k, c := range sk.clocks {
		h := hours(sk.settings.Machines[k].Printer, c.read(o.figures[k]))
		on[k] = On{Terms: sk.settings.terms(k, o.seen, h), Fits: room[k]}
	}
	o.hours, o.fits = least(on, sk.settings.Weights)
}

// room returns on which machines an orientation has room.
func (sk *searcher) room(up mesh.Direction, height float64) []bool {
	var hull plane.Ring
	if sk.settings.Room != nil {
		m := sk.body.Mesh
		if sk.hull != nil {
			m = sk.hull.Mesh()
		}
		hull = shadowHull(m, up)
	}
	return sk.settings.rooms(height, hull)
}

// rooms returns on which machines a shadow has room.
func (s Settings) rooms(height float64, hull plane.Ring) []bool {
	out := make([]bool, len(s.Machines))
	for k := range out {
		out[k] = s.Room == nil || s.Room(k, height, hull)
	}
	return out
}

// shadowHull returns the convex hull of a mesh's shadow.
func shadowHull(m *mesh.Mesh, up mesh.Direction) plane.Ring {
	frame := mesh.Upright(up)
	points := make([]r2.Vec, m.NumVertices())
	for i, v := range m.Vertices() {
		points[i] = r2.Vec{X: r3.Dot(frame.X, v), Y: r3.Dot(frame.Y, v)}
	}
	return support.HullOf(points)
}

func compareSketches(a, b sketch) int { return before(a.fits, b.fits, a.hours, b.hours, a.up, b.up) }

// apart returns up to n sketches, the best first, none nearer to another than
// an angle.
func apart(pool []sketch, angle plane.Angle, n int) []sketch {
	return pick(nil, pool, angle, n, compareSketches)
}

// pick adds up to n of the pool to chosen, the least first, none nearer to
// another than an angle.
func pick(chosen, pool []sketch, angle plane.Angle, n int, order func(a, b sketch) int) []sketch {
	pool = slices.DeleteFunc(slices.Clone(pool), func(s sketch) bool { return !s.scanned })
	slices.SortFunc(pool, order)
	for _, s := range pool {
		if n == 0 {
			break
		}
		if !slices.ContainsFunc(chosen, func(o sketch) bool { return Between(o.up, s.up) < angle }) {
			chosen = append(chosen, s)
			n--
		}
	}
	return chosen
}

func ups(all []sketch) []mesh.Direction {
	out := make([]mesh.Direction, len(all))
	for i, s := range all {
		out[i] = s.up
	}
	return out
}
