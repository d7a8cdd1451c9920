package printer

import (
	"math"

	"platewright/support"
)

// layer is one layer of a part as a printer draws it.
type layer struct {
	*support.LayerWork
	printer  *Printer
	material *Material
	first    bool
	height   float64 // mm
	bead     float64 // cross-section of a line, mm²
	spacing  float64 // distance of lines that fill the space between them, mm
	inside   float64 // how far inside the outline the lines inside the walls end, mm
}

func newLayer(p *Printer, m *Material, work *support.LayerWork, first bool) layer {
	l := layer{LayerWork: work, printer: p, material: m, first: first, height: p.Layer}
	if first {
		l.height = p.FirstLayer
	}
	l.bead = BeadArea(p.LineWidth, l.height)
	l.spacing = l.bead / l.height
	l.inside = l.inset(p.Walls)
	return l
}

// layers returns how many of the printer's layers it stands for.
func (l layer) layers() float64 { return l.Thickness / l.height }

// inset returns how far inside the outline wall i, from 0, has its centre.
func (l layer) inset(i int) float64 { return l.printer.LineWidth/2 + float64(i)*l.spacing }

// movedIn returns the area within the outlines moved in by d, and their
// length; both zero where nothing is left.
//
// The length falls in proportion to d, by Shrink (Steiner's formula), and
// outlines that face each other vanish where they meet. The area falls by what
// the outlines sweep.
func (l layer) movedIn(d float64) (area, length float64) {
	area, left := l.Solid, 1.0
	for from, class := 0.0, 0; from < d && area > 0; class++ {
		way := math.Min(support.ThinStep, d-from)
		gone := 0.0
		if class < support.NumThin && l.Wall > 0 {
			gone = l.Thin[class] / l.Wall * way / support.ThinStep
		}
		area -= (l.Wall - l.Shrink*(from+way/2)) * math.Max(0, left-gone/2) * way
		left = math.Max(0, left-gone)
		from += way
	}
	length = (l.Wall - l.Shrink*d) * left
	if area <= 0 || length <= 0 {
		return 0, 0
	}
	return area, length
}

// speed returns the speed that a line is printed at where there is room for it.
func (l layer) speed(v float64) float64 {
	if l.first {
		v = math.Min(v, l.printer.FirstLayerSpeed)
	}
	return math.Min(v, l.material.FlowLimit/l.bead)
}

// hop returns the seconds of a move that prints nothing. It begins and ends
// in corners.
func (l layer) hop(d float64) float64 {
	v := l.printer.TravelSpeed
	return moveTime(d, v, l.printer.TravelAcceleration, math.Min(v, l.printer.CornerSpeed))
}

// draw returns what the layer takes.
func (l layer) draw(skin region) (Parts, Volumes) {
	p := l.printer
	s := Parts{LayerChange: p.LayerChange}
	var v Volumes
	loops := l.walls(&s, &v)
	s.Travel += l.between(loops)
	skin, infill := l.insideWalls(skin)
	rings := float64(l.Rings)
	l.lines(skin, rings, l.spacing, p.SkinSpeed).into(&s.Skins, &v.Skins, &s.Travel)
	if p.Infill > 0 {
		l.lines(infill, rings, l.spacing/p.Infill, p.InfillSpeed).into(&s.Infill, &v.Infill, &s.Travel)
	}
	if p.SupportDensity > 0 {
		l.lines(l.props(), 1, l.spacing/p.SupportDensity, p.SupportSpeed).into(&s.Support, &v.Support, &s.Travel)
	}
	s.Waiting = math.Max(0, p.LeastLayerTime-s.Walls-s.Skins-s.Infill-s.Support-s.Travel)
	return s, v
}

// nearestHop is the mean way to the nearest of n places not yet visited, in
// units of √(area/n): the shortest tour of random places is 0.7124 of that a
// place (J. Beardwood, J. H. Halton & J. M. Hammersley, "The shortest path
// through many points", Proc. Cambridge Phil. Soc. 55, 1959), and always going
// to the nearest is a quarter longer (from memory).
const nearestHop = 0.9

// between returns the seconds of the travel from wall to wall: to the next
// island, to the holes of each, from each loop to the one inside it, and to the
// layer's first corner.
func (l layer) between(loops int) float64 {
	if l.Islands == 0 {
		return 0
	}
	islands, rings := float64(l.Islands), float64(l.Rings)
	corners := 0.0
	for class := range l.Convex {
		corners += l.Convex[class].Count + l.Reflex[class].Count
	}
	sum := (islands - 1) * l.hop(nearestHop*math.Sqrt(l.Box/islands))
	sum += math.Max(0, rings-islands) * l.hop(math.Sqrt(l.Solid/rings)/2)
	sum += rings * float64(max(loops-1, 0)) * l.hop(l.spacing*math.Sqrt2)
	// From inside the walls to the nearer of two corners, a quarter of their
	// distance away on average.
	return sum + l.hop(math.Hypot(l.Wall/math.Max(corners, 1)/4, l.inside))
}
