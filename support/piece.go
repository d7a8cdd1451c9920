package support

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// slope is a facet's plane as a height over the plate: z = A·x + B·y + C.
type slope struct{ A, B, C float64 }

// slopeThrough returns the plane through p with normal n; n must not be level.
func slopeThrough(p, n r3.Vec) slope {
	a, b := -n.X/n.Z, -n.Y/n.Z
	return slope{a, b, p.Z - a*p.X - b*p.Y}
}

func (s slope) at(p r2.Vec) float64 { return s.A*p.X + s.B*p.Y + s.C }

func (s slope) minus(t slope) slope { return slope{s.A - t.A, s.B - t.B, s.C - t.C} }

// rangeOver returns the least and greatest height over a polygon's corners.
func (s slope) rangeOver(polygon []r2.Vec) (low, high float64) {
	low, high = s.at(polygon[0]), s.at(polygon[0])
	for _, p := range polygon[1:] {
		h := s.at(p)
		low, high = min(low, h), max(high, h)
	}
	return low, high
}

// split cuts a convex counter-clockwise polygon along height zero of s into the
// part where s is at least zero and the part where it is at most zero. Either
// may come back with fewer than three corners: nothing. The results are
// appended to the free ends of buf, which is returned grown.
func split(polygon []r2.Vec, s slope, buf []r2.Vec) (above, below, grown []r2.Vec) {
	start := len(buf)
	buf = clip(polygon, s, buf)
	middle := len(buf)
	buf = clip(polygon, slope{-s.A, -s.B, -s.C}, buf)
	return buf[start:middle:middle], buf[middle:len(buf):len(buf)], buf
}

// clip appends to buf the part of a convex polygon where s is at least zero.
//
// Source: I. Sutherland & G. Hodgman, "Reentrant polygon clipping", CACM
// 17(1), 1974, for one edge.
func clip(polygon []r2.Vec, s slope, buf []r2.Vec) []r2.Vec {
	last := polygon[len(polygon)-1]
	was := s.at(last)
	for _, p := range polygon {
		is := s.at(p)
		if (was > 0 && is < 0) || (was < 0 && is > 0) {
			t := was / (was - is)
			buf = append(buf, r2.Vec{X: last.X + t*(p.X-last.X), Y: last.Y + t*(p.Y-last.Y)})
		}
		if is >= 0 {
			buf = append(buf, p)
		}
		last, was = p, is
	}
	return buf
}

// tidy drops, in place, corners nearer than least to the one before: an edge
// that short has no direction but that of its rounding errors.
func tidy(polygon []r2.Vec, least float64) []r2.Vec {
	out := polygon[:0]
	for i, p := range polygon {
		if i == 0 || r2.Norm2(r2.Sub(p, out[len(out)-1])) > least*least {
			out = append(out, p)
		}
	}
	for len(out) > 1 && r2.Norm2(r2.Sub(out[0], out[len(out)-1])) <= least*least {
		out = out[:len(out)-1]
	}
	return out
}

// areaAndCentre returns a convex polygon's area and centre of area.
func areaAndCentre(polygon []r2.Vec) (float64, r2.Vec) {
	if len(polygon) < 3 {
		return 0, r2.Vec{}
	}
	o := polygon[0]
	twice, cx, cy := 0.0, 0.0, 0.0
	for i := 1; i+1 < len(polygon); i++ {
		p, q := r2.Sub(polygon[i], o), r2.Sub(polygon[i+1], o)
		c := r2.Cross(p, q)
		twice += c
		cx += c * (p.X + q.X)
		cy += c * (p.Y + q.Y)
	}
	if twice <= 0 {
		return 0, o
	}
	return twice / 2, r2.Vec{X: o.X + cx/(3*twice), Y: o.Y + cy/(3*twice)}
}
