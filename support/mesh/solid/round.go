package solid

import (
	"math"

	"platewright/support/mesh"
)

// Cylinder returns an upright cylinder of radius r and height h with n corners
// around.
//
// Laws: volume h·(n/2)·r²·sin(2π/n) → πr²h; n flat strips of wall, each
// 2r·sin(π/n) wide.
func Cylinder(r, h float64, n int) *mesh.Mesh {
	needLengths(r, h)
	needCorners(n, 3)
	b := &builder{}
	low, high := b.circle(r, 0, n), b.circle(r, h, n)
	bottom, top := b.point(0, 0, 0), b.point(0, 0, h)
	for i := range n {
		j := (i + 1) % n
		b.triangle(bottom, low[j], low[i])
		b.quad(low[i], low[j], high[j], high[i])
		b.triangle(top, high[i], high[j])
	}
	return b.mesh()
}

// Cone returns a cone on a base of radius r with its apex up at height h, with
// n corners around.
//
// Laws: volume h·(n/6)·r²·sin(2π/n) → πr²h/3.
func Cone(r, h float64, n int) *mesh.Mesh {
	needLengths(r, h)
	needCorners(n, 3)
	b := &builder{}
	low := b.circle(r, 0, n)
	bottom, apex := b.point(0, 0, 0), b.point(0, 0, h)
	for i := range n {
		j := (i + 1) % n
		b.triangle(bottom, low[j], low[i])
		b.triangle(low[i], low[j], apex)
	}
	return b.mesh()
}

// Sphere returns a sphere of radius r that touches the plate. It is n bands of
// equal latitude from pole to equator; 4n corners go round the equator, so that
// edges have about the same length everywhere. With n even, a ring of corners
// lies at 45° of latitude.
//
// Laws: 4n²+2 corners, 8n² facets; every corner lies on the sphere about
// (0, 0, r); volume → 4πr³/3 from below, short of it by about 1.5/n² of it.
func Sphere(r float64, n int) *mesh.Mesh {
	needLengths(r)
	needCorners(n, 1)
	b := &builder{}
	equator := b.circle(r, r, 4*n)
	b.dome(r, r, n, equator)
	first := len(b.faces)
	b.dome(-r, r, n, equator)
	b.turnOut(first)
	return b.mesh()
}

// HemisphericalShell returns a half sphere of outer radius ro and inner radius
// ri that stands on its flat rim, like an upturned bowl, with n bands from rim
// to pole as in Sphere.
//
// Laws: two domes of 4n² facets and a rim of 8n; volume → 2π(ro³−ri³)/3; the
// rim's area is 2n·sin(π/2n)·(ro²−ri²) → π(ro²−ri²).
func HemisphericalShell(ro, ri float64, n int) *mesh.Mesh {
	needLengths(ri, ro-ri)
	needCorners(n, 1)
	b := &builder{}
	outer, inner := b.circle(ro, 0, 4*n), b.circle(ri, 0, 4*n)
	b.dome(ri, 0, n, inner)
	b.turnOut(0)
	b.dome(ro, 0, n, outer)
	for i := range outer {
		j := (i + 1) % len(outer)
		b.quad(outer[j], outer[i], inner[i], inner[j])
	}
	return b.mesh()
}

// Torus returns a ring that lies on the plate: a tube of radius r, of m corners
// around, swept on a circle of radius ring in n steps.
//
// Laws: 2nm facets; volume n·sin(2π/n)·ring·(m/2)·r²·sin(2π/m) → 2π²·ring·r²,
// because each step is a slice between two planes and Pappus' rule holds for
// it with the chord in place of the arc.
func Torus(ring, r float64, n, m int) *mesh.Mesh {
	needLengths(r, ring-r)
	needCorners(n, 3)
	needCorners(m, 3)
	b := &builder{}
	rings := make([][]mesh.VertexID, m)
	for j := range rings {
		sin, cos := math.Sincos(2 * math.Pi * float64(j) / float64(m))
		rings[j] = b.circle(ring+r*cos, r+r*sin, n)
	}
	for j := range rings {
		low, high := rings[j], rings[(j+1)%m]
		for i := range n {
			k := (i + 1) % n
			b.quad(low[i], low[k], high[k], high[i])
		}
	}
	return b.mesh()
}

// circle adds n corners at the height z, counter-clockwise seen from above.
func (b *builder) circle(r, z float64, n int) []mesh.VertexID {
	out := make([]mesh.VertexID, n)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = b.point(r*cos, r*sin, z)
	}
	return out
}

// dome closes a ring of 4n corners at height base with a half sphere of n
// bands, upwards for r > 0 and downwards, facets reversed, for r < 0. The ring
// i bands from the pole has 4i corners: four quarters of i steps.
func (b *builder) dome(r, base float64, n int, rim []mesh.VertexID) {
	outer := rim
	for i := n - 1; i >= 0; i-- {
		var inner []mesh.VertexID
		if i == 0 {
			inner = []mesh.VertexID{b.point(0, 0, base+r)}
		} else {
			sin, cos := math.Sincos(math.Pi / 2 * float64(i) / float64(n))
			inner = b.circle(math.Abs(r)*sin, base+r*cos, 4*i)
		}
		b.band(outer, inner, i)
		outer = inner
	}
}

// band fills the strip between a ring of 4(i+1) corners and the next of 4i, or
// of one corner for i = 0.
func (b *builder) band(outer, inner []mesh.VertexID, i int) {
	for quarter := range 4 {
		for k := 0; k <= i; k++ {
			a := outer[quarter*(i+1)+k]
			c := outer[(quarter*(i+1)+k+1)%len(outer)]
			p := inner[(quarter*i+k)%len(inner)]
			b.triangle(a, c, p)
			if k < i {
				b.triangle(c, inner[(quarter*i+k+1)%len(inner)], p)
			}
		}
	}
}
