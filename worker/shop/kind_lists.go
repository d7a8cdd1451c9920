package shop

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

// Limits of lists, so that a slip of the finger is not worked through.
const (
	mostPolygons = 100
	mostCorners  = 200
	mostNames    = 1000
)

// size is an oblong bed, [width, depth], kept in a printer.Bed.
type size struct{ least, most float64 }

func (size) unit() string { return "mm" }

func (s size) allowed() string {
	return fmt.Sprintf("[width, depth], each %s to %s", decimal(s.least), decimal(s.most))
}

func (s size) read(v, field any) string {
	p, wrong := point(v)
	if wrong != "" {
		return wrong
	}
	for _, x := range []float64{p.X, p.Y} {
		if wrong := (number{least: s.least, most: s.most}).outside(x); wrong != "" {
			return wrong
		}
	}
	bed := field.(*printer.Bed)
	bed.Width, bed.Depth = p.X, p.Y
	return ""
}

func (size) write(field any) any {
	bed := field.(*printer.Bed)
	if bed.Round() {
		return nil
	}
	return []any{bed.Width, bed.Depth}
}

// polygons are areas of the bed, kept in a []plane.Ring and turned
// counter-clockwise.
type polygons struct{}

func (polygons) unit() string { return "mm" }

func (polygons) allowed() string {
	return fmt.Sprintf("list of at most %d polygons [[x, y], [x, y], …] of 3 to %d corners", mostPolygons, mostCorners)
}

func (polygons) read(v, field any) string {
	list, ok := v.([]any)
	if !ok {
		return misfit(v, "a list of polygons")
	}
	if len(list) > mostPolygons {
		return "too many polygons"
	}
	var out []plane.Ring
	for i, one := range list {
		ring, wrong := polygon(one)
		if wrong != "" {
			return fmt.Sprintf("polygon %d: %s", i+1, wrong)
		}
		out = append(out, ring)
	}
	*field.(*[]plane.Ring) = out
	return ""
}

func (polygons) write(field any) any {
	out := []any{}
	for _, ring := range *field.(*[]plane.Ring) {
		var corners []any
		for _, p := range ring {
			corners = append(corners, []any{p.X, p.Y})
		}
		out = append(out, corners)
	}
	return out
}

// polygon reads one ring.
func polygon(v any) (plane.Ring, string) {
	list, ok := v.([]any)
	switch {
	case !ok:
		return nil, misfit(v, "a list of corners")
	case len(list) < 3:
		return nil, "fewer than 3 corners"
	case len(list) > mostCorners:
		return nil, "too many corners"
	}
	var ring plane.Ring
	for i, one := range list {
		p, wrong := point(one)
		if wrong != "" {
			return nil, fmt.Sprintf("corner %d: %s", i+1, wrong)
		}
		ring = append(ring, p)
	}
	if crosses(ring) {
		return nil, "its edges cross"
	}
	switch area := ring.SignedArea(); {
	case area == 0:
		return nil, "bounds no area"
	case area < 0:
		ring = ring.Reversed()
	}
	return ring, ""
}

// point reads [x, y].
func point(v any) (r2.Vec, string) {
	list, ok := v.([]any)
	if !ok {
		return r2.Vec{}, misfit(v, "a list of two numbers")
	}
	if len(list) != 2 {
		return r2.Vec{}, fmt.Sprintf("%d values where two numbers belong", len(list))
	}
	var xy [2]float64
	for i := range xy {
		if wrong := (number{least: -math.MaxFloat32, most: math.MaxFloat32}).read(list[i], &xy[i]); wrong != "" {
			return r2.Vec{}, wrong
		}
	}
	return r2.Vec{X: xy[0], Y: xy[1]}, ""
}

// crosses reports whether two edges of the ring pass through each other.
// Edges that only touch do not cross.
func crosses(ring plane.Ring) bool {
	n := len(ring)
	for i := range n {
		for j := i + 2; j < n; j++ {
			a, b := ring[i], ring[(i+1)%n]
			c, d := ring[j], ring[(j+1)%n]
			if side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0 {
				return true
			}
		}
	}
	return false
}

// side tells on which side of the line from a to b the point p lies: 1 left,
// -1 right, 0 on it.
func side(a, b, p r2.Vec) int {
	switch turn := r2.Cross(r2.Sub(b, a), r2.Sub(p, a)); {
	case turn > 0:
		return 1
	case turn < 0:
		return -1
	}
	return 0
}

// names is a list of different names, kept in a []string.
type names struct{}

func (names) unit() string    { return "" }
func (names) allowed() string { return fmt.Sprintf("list of at most %d different names", mostNames) }

func (names) read(v, field any) string {
	list, ok := v.([]any)
	if !ok {
		return misfit(v, "a list of names")
	}
	if len(list) > mostNames {
		return "too many names"
	}
	var out []string
	for i, one := range list {
		var name string
		wrong := title.read(one, &name)
		if wrong == "" && slices.Contains(out, name) {
			wrong = "a second " + quoted(name)
		}
		if wrong != "" {
			return fmt.Sprintf("name %d: %s", i+1, wrong)
		}
		out = append(out, name)
	}
	*field.(*[]string) = out
	return ""
}

func (names) write(field any) any {
	out := []any{}
	for _, n := range *field.(*[]string) {
		out = append(out, n)
	}
	return out
}
