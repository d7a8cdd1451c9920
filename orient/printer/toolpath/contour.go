package toolpath

import (
	"gonum.org/v1/gonum/spatial/r2"
)

// contours returns the closed lines at a distance inside the outline, body to
// the left, each as its corners in order.
//
// Source: marching squares, the plane case of W. E. Lorensen & H. E. Cline,
// "Marching cubes", Computer Graphics 21(4), 1987. Of the two ways through a
// square whose corners alternate the one that parts the body is taken.
func (f *field) contours(level float64) [][]r2.Vec {
	next := map[int]int{} // from edge to edge
	var starts []int
	for y := 0; y+1 < f.ny; y++ {
		for x := 0; x+1 < f.nx; x++ {
			if f.even(x, y, level) {
				continue
			}
			for _, link := range f.links(x, y, level) {
				next[link[0]] = link[1]
				starts = append(starts, link[0])
			}
		}
	}
	var out [][]r2.Vec
	for _, start := range starts {
		var loop []r2.Vec
		for at := start; ; {
			to, ok := next[at]
			if !ok {
				break
			}
			delete(next, at)
			loop = append(loop, f.onEdge(at, level))
			at = to
		}
		if len(loop) > 2 {
			out = append(out, loop)
		}
	}
	return out
}

// even reports whether the corners of a square are all in or all out.
func (f *field) even(x, y int, level float64) bool {
	low, high := f.distance[y*f.nx+x:][:2], f.distance[(y+1)*f.nx+x:][:2]
	in := low[0] > level
	return in == (low[1] > level) && in == (high[0] > level) && in == (high[1] > level)
}

// Edges are numbered 2·point for the one to the right of a point and
// 2·point + 1 for the one that goes up from it.

// links returns the one or two pieces of contour through a square that is not
// even, from edge to edge.
func (f *field) links(x, y int, level float64) [][2]int {
	at := y*f.nx + x
	corners := [4]int{at, at + 1, at + f.nx + 1, at + f.nx} // counter-clockwise
	edges := [4]int{2 * at, 2*(at+1) + 1, 2 * (at + f.nx), 2*at + 1}
	var in [4]bool
	for i, c := range corners {
		in[i] = f.distance[c] > level
	}
	var out [][2]int
	for i := range corners {
		// Going round, an edge from out to in is where the contour leaves the
		// square; it came in by the next edge from in to out.
		if before := (i + 3) % 4; in[before] || !in[i] {
			continue
		}
		for k := i; ; k = (k + 1) % 4 {
			if !in[(k+1)%4] {
				out = append(out, [2]int{edges[k], edges[(i+3)%4]})
				break
			}
		}
	}
	return out
}

func (f *field) onEdge(edge int, level float64) r2.Vec {
	a := edge / 2
	b := a + 1
	if edge%2 == 1 {
		b = a + f.nx
	}
	k := (level - f.distance[a]) / (f.distance[b] - f.distance[a])
	p, q := f.at(a%f.nx, a/f.nx), f.at(b%f.nx, b/f.nx)
	return r2.Add(p, r2.Scale(k, r2.Sub(q, p)))
}

// thinned drops corners of a closed line that lie within a distance of the
// line through the others.
//
// Source: D. H. Douglas & T. K. Peucker, "Algorithms for the reduction of the
// number of points required to represent a digitized line", Cartographica
// 10(2), 1973.
func thinned(loop []r2.Vec, within float64) []r2.Vec {
	far := 0
	for i, p := range loop {
		if r2.Norm2(r2.Sub(p, loop[0])) > r2.Norm2(r2.Sub(loop[far], loop[0])) {
			far = i
		}
	}
	closed := append(append([]r2.Vec(nil), loop...), loop[0])
	out := append([]r2.Vec{loop[0]}, thin(closed[:far+1], within)...)
	out = append(out, thin(closed[far:], within)...)
	return out[:len(out)-1]
}

// thin returns the corners to keep after the first.
func thin(line []r2.Vec, within float64) []r2.Vec {
	last := len(line) - 1
	worst, at := 0.0, 0
	for i := 1; i < last; i++ {
		if d := distance(line[i], line[0], line[last]); d > worst {
			worst, at = d, i
		}
	}
	if worst <= within {
		return []r2.Vec{line[last]}
	}
	return append(thin(line[:at+1], within), thin(line[at:], within)...)
}

// distance returns how far p is from the straight piece from a to b.
func distance(p, a, b r2.Vec) float64 {
	along, from := r2.Sub(b, a), r2.Sub(p, a)
	if square := r2.Norm2(along); square > 0 {
		k := min(max(r2.Dot(from, along)/square, 0), 1)
		from = r2.Sub(from, r2.Scale(k, along))
	}
	return r2.Norm(from)
}
