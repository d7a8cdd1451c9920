package support

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// islandLine is the distance of the lines that tell which outlines bound the
// same island, and which islands of two sections lie over each other. What is
// thinner than a printed line may slip between them.
const islandLine = 0.4

// lineRun is a stretch of a line inside the body. Lines have the same numbers
// in all sections.
type lineRun struct {
	line     int
	from, to float64
	of       int32 // outline that it meets, later the island
}

// lineCrossing is where a line crosses an outline.
type lineCrossing struct {
	line  int
	x     float64
	enter bool
	ring  int32
}

// outlineRing is one outline.
type outlineRing struct {
	area   float64 // negative round a hole
	moment r2.Vec  // area times centre
	closed bool
}

// outlines are the outlines of a section, joined to islands bit by bit.
type outlines struct {
	rings []outlineRing
	of    []int32 // outline of each chord
	group []int32 // forest over the outlines, each naming one nearer the root, the lowest
}

// traced joins chords to outlines. It sorts the chords.
func traced(slice []chord) outlines {
	slices.SortFunc(slice, func(a, b chord) int { return comparePoints(a.p, b.p) })
	o := outlines{of: make([]int32, len(slice))}
	done := make([]bool, len(slice))
	for i := range slice {
		if !done[i] {
			o.trace(slice, done, i)
		}
	}
	return o
}

// trace follows the outline that chord i begins.
func (o *outlines) trace(slice []chord, done []bool, i int) {
	number, origin := int32(len(o.rings)), slice[i].p
	var r outlineRing
	for at := i; at >= 0; at = following(slice, done, slice[at].q) {
		done[at], o.of[at] = true, number
		p, q := r2.Sub(slice[at].p, origin), r2.Sub(slice[at].q, origin)
		cross := r2.Cross(p, q)
		r.area += cross / 2
		r.moment = r2.Add(r.moment, r2.Scale(cross/6, r2.Add(p, q)))
		r.closed = slice[at].q == slice[i].p
	}
	r.moment = r2.Add(r.moment, r2.Scale(r.area, origin))
	o.rings = append(o.rings, r)
	o.group = append(o.group, number)
}

func (o *outlines) root(r int32) int32 {
	for o.group[r] != r {
		o.group[r] = o.group[o.group[r]]
		r = o.group[r]
	}
	return r
}

func (o *outlines) unite(a, b int32) {
	a, b = o.root(a), o.root(b)
	o.group[max(a, b)] = min(a, b)
}

// crossings returns where lines along X, or along Y, cross the closed outlines,
// line by line and along each.
func (o *outlines) crossings(slice []chord, alongY bool) []lineCrossing {
	var out []lineCrossing
	for i, c := range slice {
		if !o.rings[o.of[i]].closed {
			continue
		}
		if alongY {
			c = chord{r2.Vec{X: c.q.Y, Y: c.q.X}, r2.Vec{X: c.p.Y, Y: c.p.X}}
		}
		p, q := c.p, c.q
		if p.Y > q.Y {
			p, q = q, p
		}
		for n := firstLine(p.Y); lineAt(n) < q.Y; n++ {
			x := p.X + (lineAt(n)-p.Y)/(q.Y-p.Y)*(q.X-p.X)
			out = append(out, lineCrossing{n, x, c.q.Y < c.p.Y, o.of[i]})
		}
	}
	slices.SortFunc(out, compareCrossings)
	return out
}

func compareCrossings(a, b lineCrossing) int {
	return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.x, b.x), cmp.Compare(a.ring, b.ring))
}

func lineAt(n int) float64 { return (float64(n) + offGrid) * islandLine }

// firstLine returns the first line at or above y, by the comparison that ends a
// chord's lines: of two chords that meet on a line, one counts.
func firstLine(y float64) int {
	n := int(math.Floor(y/islandLine-offGrid)) - 1
	for lineAt(n) < y {
		n++
	}
	return n
}

// join unites the outlines that bound the same stretch of a line and returns
// those stretches. Stretches nearer than a hundredth of a line touch.
func (o *outlines) join(crossings []lineCrossing) []lineRun {
	const touch = islandLine / 100
	var runs []lineRun
	depth := 0
	for i, c := range crossings {
		if i == 0 || crossings[i-1].line != c.line {
			depth = 0
		}
		inside := depth > 0
		if c.enter {
			depth++
		} else {
			depth--
		}
		last := len(runs) - 1
		switch {
		case inside:
		case depth <= 0: // out of an outline that is inside out, or into it
			continue
		case last >= 0 && runs[last].line == c.line && c.x-runs[last].to <= touch:
		default:
			runs = append(runs, lineRun{c.line, c.x, c.x, c.ring})
			last++
		}
		runs[last].to = c.x
		o.unite(runs[last].of, c.ring)
	}
	return runs
}
