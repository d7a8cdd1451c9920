package mesh

import "gonum.org/v1/gonum/spatial/r3"

// cornerGap2 returns the squared distance from p to a triangle.
//
// Source: C. Ericson, "Real-Time Collision Detection", 2005, section 5.1.5.
func cornerGap2(p r3.Vec, t Triangle) float64 {
	ab, ac, ap := r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]), r3.Sub(p, t[0])
	d1, d2 := r3.Dot(ab, ap), r3.Dot(ac, ap)
	if d1 <= 0 && d2 <= 0 {
		return r3.Norm2(ap)
	}
	bp := r3.Sub(p, t[1])
	d3, d4 := r3.Dot(ab, bp), r3.Dot(ac, bp)
	if d3 >= 0 && d4 <= d3 {
		return r3.Norm2(bp)
	}
	if d1*d4 <= d3*d2 && d1 >= 0 && d3 <= 0 {
		return r3.Norm2(r3.Sub(ap, r3.Scale(d1/(d1-d3), ab)))
	}
	cp := r3.Sub(p, t[2])
	d5, d6 := r3.Dot(ab, cp), r3.Dot(ac, cp)
	if d6 >= 0 && d5 <= d6 {
		return r3.Norm2(cp)
	}
	if d5*d2 <= d1*d6 && d2 >= 0 && d6 <= 0 {
		return r3.Norm2(r3.Sub(ap, r3.Scale(d2/(d2-d6), ac)))
	}
	if d3*d6 <= d5*d4 && d4 >= d3 && d5 >= d6 {
		return r3.Norm2(r3.Sub(bp, r3.Scale((d4-d3)/((d4-d3)+(d5-d6)), r3.Sub(t[2], t[1]))))
	}
	// Over the triangle the distance is that to its plane.
	n := r3.Cross(ab, ac)
	h := r3.Dot(n, ap)
	return h * h / r3.Norm2(n)
}

// edgeGap2 returns the squared distance between the edges from p to q and from
// r to s.
//
// Source: C. Ericson, "Real-Time Collision Detection", 2005, section 5.1.9.
func edgeGap2(p, q, r, s r3.Vec) float64 {
	d1, d2, w := r3.Sub(q, p), r3.Sub(s, r), r3.Sub(p, r)
	a, e, b := r3.Dot(d1, d1), r3.Dot(d2, d2), r3.Dot(d1, d2)
	c, f := r3.Dot(d1, w), r3.Dot(d2, w)
	u := 0.0
	if den := a*e - b*b; den > 0 {
		u = clamp((b*f - c*e) / den)
	}
	v := 0.0
	if e > 0 {
		v = (b*u + f) / e
	}
	if v < 0 || v > 1 {
		v = clamp(v)
		u = 0
		if a > 0 {
			u = clamp((b*v - c) / a)
		}
	}
	return r3.Norm2(r3.Sub(r3.Add(p, r3.Scale(u, d1)), r3.Add(r, r3.Scale(v, d2))))
}

func clamp(x float64) float64 { return min(1, max(0, x)) }
