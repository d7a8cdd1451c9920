package bedpack

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

// cases runs a property n times, each with its own generator.
func cases(t *testing.T, n int, property func(t *testing.T, rnd *rand.Rand)) {
	t.Helper()
	for i := range uint64(n) {
		t.Run(fmt.Sprint(i), func(t *testing.T) { property(t, rand.New(rand.NewPCG(*seed, i))) })
	}
}

// option is an outline with its hull, one hour on each of four printers.
func option(o plane.Outline, height float64) Option {
	return Option{Outline: o, Hull: plane.Hull(o.Points()), Height: height, Volume: height * o.Area(), Hours: []float64{1, 1, 1, 1}}
}

func rectangle(x0, y0, x1, y1 float64) plane.Ring {
	return plane.Ring{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

func block(width, depth, height float64) Option {
	return option(plane.Outline{rectangle(0, 0, width, depth)}, height)
}

func keepOut(x0, y0, x1, y1 float64) []plane.Ring { return []plane.Ring{rectangle(x0, y0, x1, y1)} }

func circle(radius float64, n int) plane.Ring {
	out := make(plane.Ring, n)
	for i := range out {
		turn := 2 * math.Pi * float64(i) / float64(n)
		out[i] = r2.Vec{X: radius * math.Cos(turn), Y: radius * math.Sin(turn)}
	}
	return out
}

// washer is a round plate with a round hole.
func washer(outer, inner float64, n int) plane.Outline {
	return plane.Outline{circle(outer, n), circle(inner, n).Reversed()}
}

// bracket is a C: a square of side a without a square of side b in the middle
// of its right side.
func bracket(a, b float64) plane.Outline {
	lo, hi := (a-b)/2, (a+b)/2
	return plane.Outline{{{X: 0, Y: 0}, {X: a, Y: 0}, {X: a, Y: lo}, {X: a - b, Y: lo}, {X: a - b, Y: hi}, {X: a, Y: hi}, {X: a, Y: a}, {X: 0, Y: a}}}
}

// wavy is a smooth closed outline of n corners, concave more often than not.
func wavy(rnd *rand.Rand, n int, size float64) plane.Outline {
	ring := make(plane.Ring, n)
	var swing, phase [6]float64
	for k := range swing {
		swing[k] = 0.4 * rnd.Float64() / float64(k+1)
		phase[k] = 2 * math.Pi * rnd.Float64()
	}
	squash := 0.4 + 0.6*rnd.Float64()
	for i := range ring {
		turn := 2 * math.Pi * float64(i) / float64(n)
		radius := 1.0
		for k := range swing {
			radius += swing[k] * math.Cos(float64(k+2)*turn+phase[k])
		}
		radius = size * max(radius, 0.15)
		ring[i] = r2.Vec{X: radius * math.Cos(turn), Y: squash * radius * math.Sin(turn)}
	}
	return plane.Outline{ring}
}

func randomOutline(rnd *rand.Rand, size float64) plane.Outline {
	switch rnd.IntN(5) {
	case 0:
		return plane.Outline{rectangle(0, 0, size*(0.2+rnd.Float64()), size*(0.2+rnd.Float64()))}
	case 1:
		return washer(size/2, size*(0.1+0.35*rnd.Float64()), 12+rnd.IntN(20))
	case 2:
		return bracket(size, size*(0.3+0.5*rnd.Float64()))
	case 3:
		return plane.Outline{rectangle(0, 0, size*2, size*(0.05+0.2*rnd.Float64()))}
	}
	return wavy(rnd, 20+rnd.IntN(40), size/2)
}

// randomShop has one to three printers, some round, some with keep-out areas.
func randomShop(rnd *rand.Rand) []printer.Printer {
	out := make([]printer.Printer, 1+rnd.IntN(3))
	for i := range out {
		p := printer.Printer{Name: fmt.Sprint("printer ", i), Height: 50 + 200*rnd.Float64(), Margin: 8 * rnd.Float64()}
		p.Bed = printer.Bed{Width: 100 + 150*rnd.Float64(), Depth: 100 + 150*rnd.Float64()}
		if rnd.IntN(3) == 0 {
			d := 120 + 130*rnd.Float64()
			p.Bed = printer.Bed{Width: d, Depth: d, Diameter: d}
		}
		if rnd.IntN(3) > 0 {
			p.Gap = 7 * rnd.Float64()
		}
		for range rnd.IntN(3) {
			x, y := p.Bed.Width*rnd.Float64(), p.Bed.Depth*rnd.Float64()
			p.KeepOut = append(p.KeepOut, rectangle(x, y, x+5+30*rnd.Float64(), y+5+30*rnd.Float64()))
		}
		out[i] = p
	}
	return out
}

// randomItems has some parts that fit nowhere, some pinned, some in several
// copies and options.
func randomItems(rnd *rand.Rand, printers int) []Item {
	var out []Item
	for k := range 2 + rnd.IntN(6) {
		options := make([]Option, 1+rnd.IntN(3))
		for i := range options {
			options[i] = option(randomOutline(rnd, 15+100*rnd.Float64()*rnd.Float64()), 10+150*rnd.Float64())
			for p := range options[i].Hours {
				options[i].Hours[p] = 0.5 + 20*rnd.Float64()
				if rnd.IntN(8) == 0 {
					options[i].Hours[p] = math.NaN()
				}
			}
		}
		pin := AnyPrinter
		if rnd.IntN(6) == 0 {
			pin = rnd.IntN(printers)
		}
		for c := range 1 + rnd.IntN(3) {
			out = append(out, Item{Name: fmt.Sprint("part ", k), Copy: c + 1, Options: options, Pin: pin})
		}
	}
	return out
}

// coarse keeps the property tests quick: a raster of 100 cells a side.
func coarse(printers []printer.Printer) Settings {
	side := 0.0
	for _, p := range printers {
		side = max(side, p.Bed.Width, p.Bed.Depth)
	}
	return Settings{Cell: side / 100, AngleStep: 15 * plane.Degree, Tries: 2, Effort: 15}
}
