package support

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// LayerWork is one layer of a part and what else, beside its areas, the paths
// through it depend on. Lengths mm, areas mm².
type LayerWork struct {
	Layer
	Rings          int                 // outlines, those round holes included
	Box            float64             // area of the upright box around them
	Across         [2]float64          // width of the body across lines at 45° and at −45°, each stretch of a line inside counted
	Shrink         float64             // by how much Wall shortens for each mm that it moves in
	Thin           [NumThin]float64    // Wall by half the thickness of the body behind it
	Convex, Reflex [NumCorners]Corners // of the outlines, by how sharply they turn
	DownBy         [NumSlopes]float64  // shadow, by slope, of what looks down between the middle of the layer below and this one's
	UpBy           [NumSlopes]float64  // shadow, by slope, of what looks up between this middle and that of the layer above
	Support        float64             // area of the support at the layer's middle
	SupportGaps    [2]float64          // area of gaps in it that are narrower than SupportGap along lines at 45° and at −45°
	SupportAcross  [2]float64          // as Across, such gaps filled
}

// Corners are corners of outlines.
type Corners struct {
	Count  float64
	Length float64 // of outline that is nearer to them than to other corners, mm
}

// Work measures the layers of a standing body: what Layers finds, and corners,
// slopes and support. Support is looked for along columns step mm apart, and
// stands under every overhang, ledges and bridges included; see HoldTo.
//
// Directions are those of the body as it stands. A quarter turn about z swaps
// the two of each pair and changes nothing else.
//
// Laws: (1) the first part of each entry is what Layers returns; (2) Solid
// grows from one layer to the next by what the one has of DownBy less what the
// other has of UpBy; (3) Σ Support·Thickness is Measures.SupportRaw, give or
// take what the columns miss. Laws 1 and 2 hold for shells that keep apart.
// Cost: about twice that of Layers, and O(crossings of columns).
func (s Settings) Work(b Body, step float64) []LayerWork {
	middles := s.middles(b.Mesh.Bounds().Max.Z)
	out := make([]LayerWork, len(middles))
	lengths := make([]float64, len(middles))
	var t tracer
	profile := s.layers(b, func(k int, slice []chord) { lengths[k] = out[k].trace(&t, slice) })
	for k, l := range profile {
		out[k].Layer = l
		// Layers has taken off Wall what lies within the union of shells. The
		// rest of what the outlines tell is taken off in proportion.
		if l.Wall < lengths[k] {
			out[k].scaleOutlines(l.Wall / lengths[k])
		}
	}
	addSlopes(b.Mesh, middles, out)
	s.addSupport(b.Mesh, middles, step, out)
	return out
}

// HoldTo scales the support of all layers so that its volume is the given one:
// that of Measures.Support, say, which leaves out ledges and bridges. Where no
// layer has any, nothing changes.
func HoldTo(work []LayerWork, volume float64) {
	sum := 0.0
	for _, l := range work {
		sum += l.Support * l.Thickness
	}
	if sum == 0 {
		return
	}
	scale := volume / sum
	for k := range work {
		l := &work[k]
		l.Support *= scale
		for d := range l.SupportAcross {
			l.SupportGaps[d] *= scale
			l.SupportAcross[d] *= scale
		}
	}
}

// tracer is memory that tracing one layer leaves to the next.
type tracer struct {
	kept   []r2.Vec
	turned []chord
	lines  [][]wallCrossing
}

// trace fills in what the outlines of a layer tell and returns their length.
// The chords are sorted.
func (l *LayerWork) trace(t *tracer, slice []chord) (length float64) {
	l.Box = boxArea(slice)
	length = l.across(slice)
	l.thin(t, slice)
	eachRing(slice, func(ring []r2.Vec) {
		l.Rings++
		t.kept = straightened(t.kept[:0], ring)
		for i, p := range t.kept {
			before := r2.Sub(p, t.kept[(i+len(t.kept)-1)%len(t.kept)])
			after := r2.Sub(t.kept[(i+1)%len(t.kept)], p)
			angle := math.Atan2(r2.Cross(before, after), r2.Dot(before, after))
			l.turn(angle, (r2.Norm(before)+r2.Norm(after))/2)
		}
	})
	return length
}

// across measures the outlines as lines at 45° and −45° see them, and returns
// their length. A line that crosses the body meets outlines twice.
func (l *LayerWork) across(slice []chord) float64 {
	length := 0.0
	for _, c := range slice {
		d := r2.Sub(c.q, c.p)
		length += r2.Norm(d)
		l.Across[0] += math.Abs(d.Y-d.X) / math.Sqrt2 / 2
		l.Across[1] += math.Abs(d.Y+d.X) / math.Sqrt2 / 2
	}
	return length
}

// scaleOutlines multiplies what the outlines tell.
func (l *LayerWork) scaleOutlines(by float64) {
	l.Rings = max(l.Islands, int(math.Round(float64(l.Rings)*by)))
	l.Shrink *= by
	for d := range l.Across {
		l.Across[d] *= by
	}
	for i := range l.Convex {
		for _, c := range [2]*Corners{&l.Convex[i], &l.Reflex[i]} {
			c.Count *= by
			c.Length *= by
		}
	}
}

// turn enters a corner, positive where the body is convex, and the length of
// outline that is its own. An outline that moves in by d loses d·tan(turn/2) on
// both sides of a convex corner; about the others it gains the arc d·turn.
func (l *LayerWork) turn(angle, length float64) {
	const spike = 5 * math.Pi / 6 // what comes to a point sharper than this ends before
	corners := &l.Reflex
	if angle > 0 {
		corners = &l.Convex
		l.Shrink += 2 * math.Tan(min(angle, spike)/2)
	} else {
		l.Shrink += angle
	}
	c := &corners[cornerClass(math.Abs(angle))]
	c.Count++
	c.Length += length
}

// boxArea returns the area of the upright box around chords.
func boxArea(slice []chord) float64 {
	if len(slice) == 0 {
		return 0
	}
	b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, c := range slice {
		b = box{min(b.x0, c.p.X), min(b.y0, c.p.Y), max(b.x1, c.p.X), max(b.y1, c.p.Y)}
	}
	return (b.x1 - b.x0) * (b.y1 - b.y0)
}

// eachRing calls do with the corners of each outline that sorted chords make
// up. The corners are only lent.
func eachRing(slice []chord, do func(ring []r2.Vec)) {
	done := make([]bool, len(slice))
	var ring []r2.Vec
	for i := range slice {
		if done[i] {
			continue
		}
		ring = ring[:0]
		for at := i; at >= 0; at = following(slice, done, slice[at].q) {
			done[at] = true
			ring = append(ring, slice[at].p)
		}
		do(ring)
	}
}
