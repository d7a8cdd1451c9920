package lantern

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// frame is a place with three axes of length 1, square to each other.
type frame struct{ at, u, v, w r3.Vec }

// along returns a frame with w along the given way.
func along(at, way r3.Vec) frame {
	w := r3.Unit(way)
	side := r3.Vec{X: 1}
	if math.Abs(w.X) > 0.9 {
		side = r3.Vec{Y: 1}
	}
	v := r3.Unit(r3.Cross(w, side))
	return frame{at: at, u: r3.Cross(v, w), v: v, w: w}
}

// point returns the place with coordinates u, v, w.
func (f frame) point(u, v, w float64) r3.Vec {
	return r3.Add(f.at, r3.Add(r3.Scale(u, f.u), r3.Add(r3.Scale(v, f.v), r3.Scale(w, f.w))))
}

// coordinates is the inverse of point.
func (f frame) coordinates(p r3.Vec) (u, v, w float64) {
	q := r3.Sub(p, f.at)
	return r3.Dot(f.u, q), r3.Dot(f.v, q), r3.Dot(f.w, q)
}

// box returns the smallest upright box round a block given by two opposite
// corners in the frame.
func (f frame) box(u0, u1, v0, v1, w0, w1 float64) r3.Box {
	inf := math.Inf(1)
	b := r3.Box{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
	for i := range 8 {
		u, v, w := u0, v0, w0
		if i&1 != 0 {
			u = u1
		}
		if i&2 != 0 {
			v = v1
		}
		if i&4 != 0 {
			w = w1
		}
		p := f.point(u, v, w)
		b.Min = r3.Vec{X: min(b.Min.X, p.X), Y: min(b.Min.Y, p.Y), Z: min(b.Min.Z, p.Z)}
		b.Max = r3.Vec{X: max(b.Max.X, p.X), Y: max(b.Max.Y, p.Y), Z: max(b.Max.Z, p.Z)}
	}
	return b
}

// below returns the plane with its inside where the coordinate along axis is
// less than level.
func (r *recipe) below(f frame, axis r3.Vec, level float64, role, tucked Role) faceID {
	return r.tuckedPlane(axis, r3.Dot(axis, f.at)+level, role, tucked)
}

// between returns two planes with their inside between levels low and high
// along an axis.
func (r *recipe) between(f frame, axis r3.Vec, low, high float64, role, tucked Role) []faceID {
	return []faceID{
		r.below(f, axis, high, role, tucked),
		r.below(f, r3.Scale(-1, axis), -low, role, tucked),
	}
}

// hexagon returns the sides of a six-sided bar along w, flats apart.
func (r *recipe) hexagon(f frame, flats float64, role Role) []faceID {
	var out []faceID
	for k := range 6 {
		turn := float64(k) * math.Pi / 3
		n := r3.Add(r3.Scale(math.Cos(turn), f.u), r3.Scale(math.Sin(turn), f.v))
		out = append(out, r.below(f, n, flats/2, role, role))
	}
	return out
}

// tube returns a round bar along w.
func (r *recipe) tube(f frame, radius float64, role, tucked Role) faceID {
	return r.curved(func(p r3.Vec) float64 {
		u, v, _ := f.coordinates(p)
		return math.Sqrt(u*u+v*v) - radius
	}, role, tucked)
}

func boxOf(x0, x1, y0, y1, z0, z1 float64) r3.Box {
	return r3.Box{Min: r3.Vec{X: x0, Y: y0, Z: z0}, Max: r3.Vec{X: x1, Y: y1, Z: z1}}
}

// together joins lists of faces.
func together(lists ...[]faceID) []faceID {
	var out []faceID
	for _, l := range lists {
		out = append(out, l...)
	}
	return out
}
