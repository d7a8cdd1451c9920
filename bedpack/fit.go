package bedpack

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// snug is a spin of a hull at which it may be the least too large for an
// oblong, and by how much it is then; negative where there is room to spare.
type snug struct {
	spin       plane.Angle // in [0, π)
	wide, deep float64     // mm over the width and the depth
}

func (s snug) over() float64 { return max(s.wide, s.deep) }

func (s snug) axis() Axis {
	if s.deep > s.wide {
		return Depth
	}
	return Width
}

// snugSpins returns the spins in [0, π) at which a hull can be the least too
// large for an oblong, in rising order: however narrow a range of spins at
// which it fits, one of them is in it. After half a turn all repeats.
//
// Why these: let a hull's width and depth be functions of its spin. Between
// two spins that lay an edge along an axis the same corners stay outermost,
// so both are pieces of sine curves that bulge upward (|p|·cos of the angle
// of p to the axis, p running between the outermost corners). The larger of
// two such excesses has its low points only at the ends of the piece or where
// the two are equal, and both can be named in closed form.
//
// Cost: O(n²) for a hull of n corners.
func snugSpins(hull plane.Ring, width, depth float64) []snug {
	var out []snug
	add := func(spin plane.Angle) {
		size := hull.Placed(spin, r2.Vec{}).Bounds().Size()
		out = append(out, snug{spin, size.X - width, size.Y - depth})
	}
	lying := lyingSpins(hull)
	for i, from := range lying {
		to := math.Pi * plane.Radian
		if i+1 < len(lying) {
			to = lying[i+1]
		}
		add(from)
		for _, spin := range evenSpins(hull, from, to, width-depth) {
			add(spin)
		}
	}
	return out
}

// lyingSpins returns 0 and the spins in (0, π) at which an edge of the hull
// lies along an axis, rising.
func lyingSpins(hull plane.Ring) []plane.Angle {
	const quarter = 90 * plane.Degree
	out := []plane.Angle{0, quarter}
	for i, a := range hull {
		edge := r2.Sub(hull[(i+1)%len(hull)], a)
		spin := -plane.Angle(math.Atan2(edge.Y, edge.X))
		spin -= plane.Angle(math.Floor(float64(spin/quarter))) * quarter
		out = append(out, spin, spin+quarter)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// evenSpins returns the spins between two lying ones at which the hull's width
// exceeds its depth by more: the roots of S·cos(spin − δ) = more.
func evenSpins(hull plane.Ring, from, to plane.Angle, more float64) []plane.Angle {
	p, q := outermost(hull, (from+to)/2)
	// width = p.X·cos − p.Y·sin and depth = q.X·sin + q.Y·cos.
	a, b := p.X-q.Y, -(p.Y + q.X)
	s, delta := math.Hypot(a, b), math.Atan2(b, a)
	if s == 0 || math.Abs(more) > s {
		return nil
	}
	var out []plane.Angle
	swing := math.Acos(more / s)
	for _, root := range []float64{delta - swing, delta + swing} {
		turns := math.Ceil((float64(from) - root) / (2 * math.Pi))
		if spin := plane.Angle(root + 2*math.Pi*turns); spin > from && spin < to {
			out = append(out, spin)
		}
	}
	slices.Sort(out)
	return out
}

// outermost returns, of the hull as it is before it is turned by spin, the
// vectors from its leftmost to its rightmost and from its lowest to its
// highest corner as they are after.
func outermost(hull plane.Ring, spin plane.Angle) (across, along r2.Vec) {
	if len(hull) == 0 {
		return r2.Vec{}, r2.Vec{}
	}
	var left, right, low, high int
	turned := hull.Placed(spin, r2.Vec{})
	for i, p := range turned {
		if p.X < turned[left].X {
			left = i
		}
		if p.X > turned[right].X {
			right = i
		}
		if p.Y < turned[low].Y {
			low = i
		}
		if p.Y > turned[high].Y {
			high = i
		}
	}
	return r2.Sub(hull[right], hull[left]), r2.Sub(hull[high], hull[low])
}

// leastOver returns the spin at which the hull is the least too large; of
// those that differ by no more than tie, the first.
func leastOver(spins []snug, tie float64) snug {
	best := spins[0]
	for _, s := range spins[1:] {
		if s.over() < best.over()-tie {
			best = s
		}
	}
	return best
}

// disc is a circle.
type disc struct {
	centre r2.Vec
	radius float64
}

func (d disc) holds(p r2.Vec) bool { return r2.Norm(r2.Sub(p, d.centre)) <= d.radius*(1+roundOff) }

// leastDisc returns the smallest circle around a set of points.
//
// Cost: O(n) on most inputs, O(n³) at worst. Source: E. Welzl, "Smallest
// enclosing disks (balls and ellipsoids)", LNCS 555, 1991, in its loop form,
// without the shuffle: hulls of outlines are short.
func leastDisc(points []r2.Vec) disc {
	if len(points) == 0 {
		return disc{}
	}
	d := disc{centre: points[0]}
	for i, p := range points {
		if d.holds(p) {
			continue
		}
		d = disc{centre: p}
		for j, q := range points[:i] {
			if d.holds(q) {
				continue
			}
			d = discOn2(p, q)
			for _, r := range points[:j] {
				if !d.holds(r) {
					d = discOn3(p, q, r)
				}
			}
		}
	}
	return d
}

func discOn2(p, q r2.Vec) disc {
	return disc{r2.Scale(0.5, r2.Add(p, q)), r2.Norm(r2.Sub(p, q)) / 2}
}

// discOn3 returns the circle through three points; of points on one line,
// the smallest around them.
func discOn3(p, q, r r2.Vec) disc {
	a, b := r2.Sub(q, p), r2.Sub(r, p)
	twice := 2 * r2.Cross(a, b)
	if twice == 0 {
		longest := discOn2(p, q)
		for _, d := range []disc{discOn2(p, r), discOn2(q, r)} {
			if d.radius > longest.radius {
				longest = d
			}
		}
		return longest
	}
	aa, bb := r2.Norm2(a), r2.Norm2(b)
	to := r2.Vec{X: (b.Y*aa - a.Y*bb) / twice, Y: (a.X*bb - b.X*aa) / twice}
	return disc{r2.Add(p, to), r2.Norm(to)}
}
