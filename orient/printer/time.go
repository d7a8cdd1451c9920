package printer

import (
	"math"

	"platewright/support"
)

// Parts are the seconds that each part of a print takes.
type Parts struct {
	HeatUp, Walls, Skins, Infill, Support, Travel, LayerChange, Waiting float64
}

// Cost is what a part takes on a printer.
type Cost struct {
	Hours, Grams, SupportGrams                          float64
	Parts                                               Parts
	WallVolume, SkinVolume, InfillVolume, SupportVolume float64
}

func Time(p Printer, m Material, work []support.LayerWork) Cost {
	var c Cost
	skins := skinsOf(p, work)
	for k := range work {
		l := newLayer(&p, &m, work, k)
		l.add(&c, skins[k])
	}
	c.Parts.HeatUp = 60 * p.HeatUp
	s := c.Parts
	c.Hours = (s.HeatUp + s.Walls + s.Skins + s.Infill + s.Support + s.Travel + s.LayerChange + s.Waiting) / 3600 * p.TimeFactor
	c.Grams = mass(m, c.WallVolume+c.SkinVolume+c.InfillVolume)
	c.SupportGrams = mass(m, c.SupportVolume)
	return c
}

type layer struct {
	support.LayerWork
	p       *Printer
	m       *Material
	k       int
	bead    float64
	spacing float64
	band    float64
}

func newLayer(p *Printer, m *Material, work []support.LayerWork, k int) layer {
	l := layer{LayerWork: work[k], p: p, m: m, k: k}
	l.bead = BeadArea(p.LineWidth, l.Thickness)
	l.spacing = l.bead / l.Thickness
	l.band = p.LineWidth/2 + float64(p.Walls)*l.spacing
	return l
}

// at returns area and outline length of the layer when moved in by d.
func (l layer) at(d float64) (area, length float64) {
	area = l.Solid - l.Wall*d + l.Shrink*d*d/2
	length = l.Wall - l.Shrink*d
	if area <= 0 || length <= 0 {
		return 0, 0
	}
	return area, length
}

func (l layer) speed(v float64) float64 {
	if l.k == 0 {
		v = math.Min(v, l.p.FirstLayerSpeed)
	}
	return math.Min(v, l.m.FlowLimit/l.bead)
}

func (l layer) hop(d float64) float64 {
	return Move(d, l.p.TravelSpeed, l.p.TravelAcceleration, l.p.CornerSpeed)
}

func (l layer) add(c *Cost, skin region) {
	var s Parts
	p := l.p
	// Walls.
	corners, sharp, around := 0.0, 0.0, 0.0
	for class := range l.Convex {
		corners += l.Convex[class].Count + l.Reflex[class].Count
		around += l.Convex[class].Length + l.Reflex[class].Length
		if support.CornerTurn(class) > 1 {
			sharp += l.Convex[class].Count
		}
	}
	start := max(0, float64(l.Rings)-sharp)
	loops := 0
	v := l.speed(p.WallSpeed)
	for i := range p.Walls {
		d := p.LineWidth/2 + float64(i)*l.spacing
		_, length := l.at(d)
		if length == 0 {
			break
		}
		loops++
		c.WallVolume += length * l.bead
		for class := range l.Convex {
			turn := support.CornerTurn(class)
			if c := l.Convex[class]; c.Count > 0 {
				u := math.Min(Junction(p.CornerSpeed, math.Pi-turn), v)
				s.Walls += c.Count * Move(c.Length/c.Count*length/around, v, p.Acceleration, u)
			}
			if c := l.Reflex[class]; c.Count > 0 {
				m := math.Ceil(turn / 2 / math.Acos(1-min(1, 0.05/d)))
				u := math.Min(Junction(p.CornerSpeed, math.Pi-turn/m), v)
				arc := d * turn / m
				s.Walls += c.Count * (Move(max(0, c.Length/c.Count*length/around-(m-1)*arc), v, p.Acceleration, u) + (m-1)*Move(arc, v, p.Acceleration, u))
			}
		}
		// starting at rest rather than in full speed
		s.Walls += start * max(0, v-p.CornerSpeed) * max(0, v-p.CornerSpeed) / v / p.Acceleration
	}
	if l.Islands > 0 {
		s.Travel += float64(l.Rings*max(loops-1, 0)) * l.hop(l.spacing*1.3)
		s.Travel += float64(l.Rings-l.Islands) * l.hop(math.Sqrt(l.Solid/float64(l.Rings))/2)
		s.Travel += float64(l.Islands-1) * l.hop(0.9*math.Sqrt(l.Box/float64(l.Islands)))
		s.Travel += l.hop(math.Hypot(l.Wall/corners/4, l.band))
	}
	inner, length := l.at(l.band)
	skin.area = min(skin.area, inner)
	share := 0.0
	if inner > 0 {
		share = skin.area / inner
	}
	islands := float64(l.Rings)
	l.lines(skin, islands, l.spacing, p.SkinSpeed, &s.Skins, &s.Travel, &c.SkinVolume)
	fill := l.of(length).scaled(math.Sqrt(1 - share))
	fill.area = inner - skin.area
	l.lines(fill.narrowed(p.LineWidth), islands, l.spacing/p.Infill, p.InfillSpeed, &s.Infill, &s.Travel, &c.InfillVolume)
	prop := region{l.Support, math.Pi / 2 * (l.SupportAcross[0] + l.SupportAcross[1]), l.SupportAcross}
	l.lines(prop.narrowed(p.LineWidth), 1, l.spacing/p.SupportDensity, p.SupportSpeed, &s.Support, &s.Travel, &c.SupportVolume)
	total := s.Walls + s.Skins + s.Infill + s.Support + s.Travel
	s.Waiting = math.Max(0, p.LeastLayerTime-total)
	c.Parts.Walls += s.Walls
	c.Parts.Skins += s.Skins
	c.Parts.Infill += s.Infill
	c.Parts.Support += s.Support
	c.Parts.Travel += s.Travel
	c.Parts.Waiting += s.Waiting
	c.Parts.LayerChange += p.LayerChange
}

type region struct {
	area, outline float64
	across        [2]float64
}

// of returns an outline of some length that runs as the layer's does.
func (l layer) of(length float64) region {
	r := region{0, length, l.Across}
	if l.Wall == 0 {
		return r
	}
	for d := range r.across {
		r.across[d] *= length / l.Wall
	}
	return r
}

func (r region) scaled(k float64) region {
	r.outline *= k
	r.across[0] *= k
	r.across[1] *= k
	return r
}

func (r *region) add(o region) {
	r.area += o.area
	r.outline += o.outline
	r.across[0] += o.across[0]
	r.across[1] += o.across[1]
}

func evenly(area, outline float64) region {
	return region{area, outline, [2]float64{outline / math.Pi, outline / math.Pi}}
}

// narrowed
func (r region) narrowed(least float64) region {
	if r.outline <= 0 {
		return region{}
	}
	if x := 2 * r.area / r.outline / least; x < 1 {
		k := 1 - math.Sqrt(1-x*x)
		r.area *= 2 / math.Pi * math.Asin(x)
		r = r.scaled(k)
	}
	return r
}

// skinsOf returns the skin of each layer.
func skinsOf(p Printer, work []support.LayerWork) []region {
	out := make([]region, len(work))
	for k := range work {
		l := newLayer(&p, nil, work, k)
		depth := float64(p.Skins) * l.Thickness
		var above, below float64
		if k > 0 {
			below = work[k-1].Wall
		}
		if k+1 < len(work) {
			above = work[k+1].Wall
		}
		down, up := l.skin(l.DownBy, below, depth), l.skin(l.UpBy, above, depth)
		for j := range p.Skins {
			if k+j < len(out) {
				out[k+j].add(down)
			}
			if k-j >= 0 {
				out[k-j].add(up)
			}
		}
	}
	return out
}

func (l layer) skin(bare [support.NumSlopes]float64, next, depth float64) region {
	var r region
	inner, length := l.at(l.band)
	for class, shadow := range bare {
		if shadow == 0 {
			continue
		}
		wide := support.SlopeRun(class) * depth
		if math.IsInf(wide, 1) {
			covered := 0.0
			if l.Wall > 0 {
				covered = (l.Solid - inner) * max(0, l.Wall-next) / l.Wall
			}
			a := max(0, shadow-covered)
			if inner > 0 {
				flat := l.of(length * math.Sqrt(min(1, a/inner)))
				flat.area = a
				r.add(flat)
			} else {
				r.area += a
			}
			continue
		}
		x := wide - l.band
		if x <= 0 {
			continue
		}
		a := shadow * x / wide
		r.add(evenly(a, 2*a/x).narrowed(l.p.LineWidth))
	}
	return r
}

// lines returns the seconds and the volume of parallel lines over an area.
func (l layer) lines(r region, regions, spacing, speed float64, seconds, travel, volume *float64) {
	if r.area <= 0 || r.outline <= 0 || math.IsInf(spacing, 0) {
		return
	}
	v := l.speed(speed)
	u := math.Min(l.p.CornerSpeed, v)
	for _, across := range r.across {
		if across <= 0 {
			continue
		}
		n := across / spacing
		total := r.area / spacing
		rho := r.outline / 2 / across
		links := max(0, n-regions)
		printed := min(rho, 1.232)
		lost := min(1, (rho-printed)/5.9)
		hops := lost*links + min(n, regions)
		links *= 1 - lost
		link := printed / (1 - min(lost, .5)) * spacing
		*seconds += (n*Move(total/n, v, l.p.Acceleration, u) + links*Move(link, v, l.p.Acceleration, u)) / 2
		*travel += hops * l.hop(5.9*spacing) / 2
		*volume += (total + links*link) * l.bead / 2
	}
}

// Move returns the time of a move that begins and ends at speed u.
func Move(length, v, a, u float64) float64 {
	top := math.Min(v, math.Sqrt(a*length+u*u))
	ramps := (top*top - u*u) / a
	return 2*(top-u)/a + math.Max(0, length-ramps)/top
}

// Junction is the corner speed.
func Junction(corner, interior float64) float64 {
	s := math.Sin(interior / 2)
	return corner * math.Sqrt((math.Sqrt2-1)*s/(1-s))
}
