package support

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// ThinStep is the width of a class of thickness, in mm of half the thickness:
// how far an outline can move in before it meets the one that faces it. NumThin
// is the number of classes; what is thicker than twice their sum is in none.
const (
	ThinStep = 0.05
	NumThin  = 60
)

// The lines that thickness is measured along are a share of the layer's size
// apart, but neither closer than lines of filament nor further apart than
// features of a part are.
const (
	thinLines   = 40
	closestLine = 0.25 // mm
	widestLine  = 1    // mm
)

// facing is the cosine of the angle between the normals of two outlines above
// which they do not count as facing each other: they may be the sides of a
// corner, which Shrink takes care of. It lies between the sharp corners that
// parts mostly have, 45° and 30°.
const facing = -0.8

// wallCrossing is where a line along X crosses an outline.
type wallCrossing struct {
	x      float64
	normal r2.Vec // unit, out of the body
	enter  bool
}

// thin enters the length of outline by half the thickness of the body behind
// it. It crosses the chords with lines along X and along Y, each chord being
// measured by the lines that it lies more across.
func (l *LayerWork) thin(t *tracer, slice []chord) {
	step := min(max(math.Sqrt(l.Box)/thinLines, closestLine), widestLine)
	l.thinAlong(t.wallCrossings(slice, step), step)
	t.turned = t.turned[:0]
	for _, c := range slice {
		t.turned = append(t.turned, chord{r2.Vec{X: c.p.Y, Y: -c.p.X}, r2.Vec{X: c.q.Y, Y: -c.q.X}})
	}
	l.thinAlong(t.wallCrossings(t.turned, step), step)
}

func (l *LayerWork) thinAlong(lines [][]wallCrossing, step float64) {
	for _, line := range lines {
		slices.SortFunc(line, func(a, b wallCrossing) int { return cmp.Compare(a.x, b.x) })
		depth := 0
		var from wallCrossing
		for _, c := range line {
			switch {
			case c.enter:
				if depth++; depth == 1 {
					from = c
				}
			case depth == 1:
				depth = 0
				l.between(from, c, step)
			default:
				depth = max(depth-1, 0)
			}
		}
	}
}

// between enters the two ends of a stretch of a line inside the body. The
// radius of the circle that touches the outline at one end and the line through
// the other is the way to the place where the two meet.
func (l *LayerWork) between(a, b wallCrossing, step float64) {
	cosine := r2.Dot(a.normal, b.normal)
	if cosine > facing {
		return
	}
	for _, end := range [2][2]wallCrossing{{a, b}, {b, a}} {
		here, there := math.Abs(end[0].normal.X), math.Abs(end[1].normal.X)
		if here < math.Abs(end[0].normal.Y) {
			continue // measured by the other lines
		}
		half := (b.x - a.x) * there / (1 - cosine)
		if class := int(half / ThinStep); class < NumThin {
			l.Thin[class] += step / here
		}
	}
}

// wallCrossings returns the crossings of chords with lines along X, line by
// line, unsorted. They are only lent, until it is called again.
func (t *tracer) wallCrossings(slice []chord, step float64) [][]wallCrossing {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range slice {
		low, high = min(low, c.p.Y), max(high, c.p.Y)
	}
	if low >= high {
		return nil
	}
	start := low - offGrid*step
	n := int((high-start)/step) + 2
	for len(t.lines) < n {
		t.lines = append(t.lines, nil)
	}
	lines := t.lines[:n]
	for i := range lines {
		lines[i] = lines[i][:0]
	}
	for _, c := range slice {
		p, q := c.p, c.q
		if p.Y > q.Y {
			p, q = q, p
		}
		i := int(math.Ceil((p.Y - start) / step))
		if start+float64(i)*step >= q.Y {
			continue
		}
		d := r2.Sub(c.q, c.p)
		out := r2.Scale(1/r2.Norm(d), r2.Vec{X: d.Y, Y: -d.X})
		for ; start+float64(i)*step < q.Y; i++ {
			x := p.X + (start+float64(i)*step-p.Y)/(q.Y-p.Y)*(q.X-p.X)
			lines[i] = append(lines[i], wallCrossing{x, out, d.Y < 0})
		}
	}
	return lines
}
