package support

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/mesh"
)

// LayerWork is one layer of a part and what else, beside its areas, the paths
// through it depend on. Lengths mm, areas mm².
type LayerWork struct {
	Layer
	Rings          int                 // outlines, those round holes included
	Box            float64             // area of the upright box around them
	Across         [2]float64          // width of the body across lines at 45° and at −45°, each stretch of a line inside counted
	Shrink         float64             // by how much Wall shortens for each mm that it moves in
	Convex, Reflex [NumCorners]Corners // of the outlines, by how sharply they turn
	DownBy         [NumSlopes]float64  // shadow, by slope, of what looks down between the middle of the layer below and this one's
	UpBy           [NumSlopes]float64  // shadow, by slope, of what looks up between this middle and that of the layer above
	Support        float64             // area of the support at the layer's middle
	SupportAcross  [2]float64          // as Across
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
// Laws: (1) the first part of each entry is what Layers returns; (2) Solid
// grows from one layer to the next by the one's DownBy less the other's UpBy;
// (3) Σ Support·Thickness is Measures.SupportRaw but for the columns' step.
// Cost: about twice that of Layers, and the crossings of columns.
func (s Settings) Work(b Body, step float64) []LayerWork {
	profile := s.Layers(b)
	out := make([]LayerWork, len(profile))
	for k, l := range profile {
		out[k].Layer = l
	}
	middles := s.middles(b.Mesh.Bounds().Max.Z)
	eachSlice(b.Mesh, middles, func(k int, slice []chord) { out[k].trace(slice) })
	addSlopes(b.Mesh, middles, out)
	s.addSupport(b.Mesh, middles, step, out)
	return out
}

// HoldTo scales the support of all layers so that its volume is the given one:
// that of Measures.Support, say, which leaves out ledges and bridges.
func HoldTo(work []LayerWork, volume float64) {
	sum := 0.0
	for _, l := range work {
		sum += l.Support * l.Thickness
	}
	if sum == 0 {
		return
	}
	for k := range work {
		work[k].Support *= volume / sum
		for d := range work[k].SupportAcross {
			work[k].SupportAcross[d] *= volume / sum
		}
	}
}

// trace fills in what the outlines of a layer tell. It sorts the chords.
func (l *LayerWork) trace(slice []chord) {
	slices.SortFunc(slice, func(a, b chord) int { return comparePoints(a.p, b.p) })
	l.Box = boxArea(slice)
	l.across(slice)
	var kept []r2.Vec
	eachRing(slice, func(ring []r2.Vec) {
		l.Rings++
		kept = straightened(kept[:0], ring)
		for i, p := range kept {
			before := r2.Sub(p, kept[(i+len(kept)-1)%len(kept)])
			after := r2.Sub(kept[(i+1)%len(kept)], p)
			l.turn(math.Atan2(r2.Cross(before, after), r2.Dot(before, after)), (r2.Norm(before)+r2.Norm(after))/2)
		}
	})
}

// across measures the outlines as lines at 45° and −45° see them. Each line
// that crosses the body meets an outline twice. What of the outlines lies
// within the union of shells is taken off in proportion.
func (l *LayerWork) across(slice []chord) {
	length := 0.0
	for _, c := range slice {
		d := r2.Sub(c.q, c.p)
		length += r2.Norm(d)
		l.Across[0] += math.Abs(d.Y-d.X) / math.Sqrt2 / 2
		l.Across[1] += math.Abs(d.Y+d.X) / math.Sqrt2 / 2
	}
	for d := range l.Across {
		l.Across[d] *= l.Wall / max(length, l.Wall, math.SmallestNonzeroFloat64)
	}
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

// outlineTolerance is how far a printed path may stray from the outline: what
// is shallower is no corner of the path. Common practice, no source.
const outlineTolerance = 0.05

// straightened appends the corners that a path needs which keeps within
// outlineTolerance of a ring.
//
// From each corner kept it looks along the cone of directions that pass all
// points met so far closely enough, and keeps the last point before one that
// lies outside it or nearer than the last.
//
// Cost: O(corners).
// Source: J. Sklansky & V. Gonzalez, "Fast polygonal approximation of digitized
// curves", Pattern Recognition 12(5), 1980.
func straightened(out, ring []r2.Vec) []r2.Vec {
	n, start := len(ring), 0
	for i, p := range ring {
		if r2.Norm2(r2.Sub(p, ring[0])) > r2.Norm2(r2.Sub(ring[start], ring[0])) {
			start = i // surely a corner
		}
	}
	anchor, last := ring[start], ring[start]
	out = append(out, anchor)
	var view cone
	for i := 1; i <= n; i++ {
		p := ring[(start+i)%n]
		d := r2.Sub(p, anchor)
		if !view.sees(d) || r2.Norm2(d) < r2.Norm2(r2.Sub(last, anchor)) {
			anchor, view = last, cone{}
			out = append(out, anchor)
			d = r2.Sub(p, anchor)
		}
		view.narrow(d)
		last = p
	}
	return out
}

// cone is a range of directions; the zero cone holds all.
type cone struct{ right, left r2.Vec }

func (c cone) sees(d r2.Vec) bool {
	return r2.Cross(c.right, d) >= 0 && r2.Cross(d, c.left) >= 0
}

// narrow keeps the directions that pass within the tolerance of d.
func (c *cone) narrow(d r2.Vec) {
	length := r2.Norm(d)
	if length <= outlineTolerance {
		return
	}
	aside := r2.Scale(outlineTolerance/length, r2.Vec{X: -d.Y, Y: d.X})
	right, left := r2.Sub(d, aside), r2.Add(d, aside)
	if c.right == (r2.Vec{}) || r2.Cross(c.right, right) > 0 {
		c.right = right
	}
	if c.left == (r2.Vec{}) || r2.Cross(left, c.left) > 0 {
		c.left = left
	}
}

// addSlopes spreads the shadow of each facet over the layers, from middle to
// middle.
func addSlopes(m *mesh.Mesh, middles []float64, out []LayerWork) {
	find := newRungs(middles)
	for i, n := range m.Normals() {
		shadow := math.Abs(n.Z) * m.FaceArea(mesh.FaceID(i))
		if shadow == 0 {
			continue
		}
		class := slopeClass(math.Abs(n.Z) / math.Hypot(n.X, n.Y))
		a, b, c := m.Corners(mesh.FaceID(i))
		z := sorted3(a.Z, b.Z, c.Z)
		done := 0.0
		for k := find.first(z[0]); done < 1; k++ {
			share := 1.0
			if k < len(middles) {
				share = shareBelow(z, middles[k])
			}
			if n.Z < 0 {
				out[min(k, len(out)-1)].DownBy[class] += shadow * (share - done)
			} else {
				out[max(k-1, 0)].UpBy[class] += shadow * (share - done)
			}
			done = share
		}
	}
}
