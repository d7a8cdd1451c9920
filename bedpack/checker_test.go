package bedpack

import (
	"flag"
	"fmt"
	"math"
	"os"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
)

var seed = flag.Uint64("seed", 1, "seed of the property tests")

func TestMain(m *testing.M) {
	flag.Parse()
	code := m.Run()
	if code != 0 {
		fmt.Println("seed", *seed)
	}
	os.Exit(code)
}

// The slow and obvious checker. It shares no code with the packer nor with
// package plane beyond the types: points are turned here, distances are taken
// over all pairs of edges, insides are told by counting crossings of a ray.

// checkTolerance is what two ways of rounding may differ by, mm.
const checkTolerance = 1e-8

type loop []r2.Vec

func moved(rings [][]r2.Vec, at Placement) []loop {
	sin, cos := math.Sincos(float64(at.Spin))
	var out []loop
	for _, ring := range rings {
		var l loop
		for _, p := range ring {
			l = append(l, r2.Vec{X: p.X*cos - p.Y*sin + at.Shift.X, Y: p.X*sin + p.Y*cos + at.Shift.Y})
		}
		out = append(out, l)
	}
	return out
}

func rings(o Option) [][]r2.Vec {
	var out [][]r2.Vec
	for _, ring := range o.Outline {
		out = append(out, ring)
	}
	return out
}

func inLoops(loops []loop, p r2.Vec) bool {
	inside := false
	for _, l := range loops {
		for i := range l {
			a, b := l[i], l[(i+1)%len(l)]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				inside = !inside
			}
		}
	}
	return inside
}

func pointToSegment(p, a, b r2.Vec) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := 0.0
	if dx != 0 || dy != 0 {
		t = ((p.X-a.X)*dx + (p.Y-a.Y)*dy) / (dx*dx + dy*dy)
	}
	t = math.Min(1, math.Max(0, t))
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}

// cutWell reports whether two segments cross well inside both.
func cutWell(a, b, c, d r2.Vec) bool {
	det := (b.X-a.X)*(d.Y-c.Y) - (b.Y-a.Y)*(d.X-c.X)
	if det == 0 {
		return false
	}
	s := ((c.X-a.X)*(d.Y-c.Y) - (c.Y-a.Y)*(d.X-c.X)) / det
	t := ((c.X-a.X)*(b.Y-a.Y) - (c.Y-a.Y)*(b.X-a.X)) / det
	return s > 1e-9 && s < 1-1e-9 && t > 1e-9 && t < 1-1e-9
}

// apart returns the distance between two regions, and whether they share area
// by more than a touch.
func apart(a, b []loop) (distance float64, overlap bool) {
	distance = math.Inf(1)
	for _, pair := range [][2][]loop{{a, b}, {b, a}} {
		for _, l := range pair[0] {
			for i, p := range l {
				nearest := math.Inf(1)
				for _, m := range pair[1] {
					for j := range m {
						nearest = math.Min(nearest, pointToSegment(p, m[j], m[(j+1)%len(m)]))
						overlap = overlap || cutWell(p, l[(i+1)%len(l)], m[j], m[(j+1)%len(m)])
					}
				}
				distance = math.Min(distance, nearest)
				overlap = overlap || (nearest > checkTolerance && inLoops(pair[1], p))
			}
		}
	}
	if overlap {
		distance = 0
	}
	return distance, overlap
}

// checkArrangement reports everything that is wrong with an arrangement.
func checkArrangement(t *testing.T, printers []printer.Printer, items []Item, a Arrangement) {
	t.Helper()
	seen := make([]int, len(items))
	for n, plate := range a.Plates {
		if len(plate.Placements) == 0 {
			t.Errorf("plate %d is empty", n)
		}
		p := printers[plate.Printer]
		var shapes [][]loop
		for _, at := range plate.Placements {
			seen[at.Item]++
			it := items[at.Item]
			shape := moved(rings(it.Options[at.Option]), at)
			checkPlaced(t, p, plate.Printer, it, at, shape)
			for k, other := range shapes {
				d, overlap := apart(shape, other)
				if overlap || d < p.Gap-checkTolerance {
					t.Errorf("plate %d: items %d and %d are %v apart, overlap %v, gap %v",
						n, at.Item, plate.Placements[k].Item, d, overlap, p.Gap)
				}
			}
			shapes = append(shapes, shape)
		}
	}
	for _, r := range a.Refused {
		seen[r.Item]++
	}
	for i, n := range seen {
		if n != 1 {
			t.Errorf("item %d is placed or refused %d times", i, n)
		}
	}
}

func checkPlaced(t *testing.T, p printer.Printer, index int, it Item, at Placement, shape []loop) {
	t.Helper()
	o := it.Options[at.Option]
	if it.Pin >= 0 && it.Pin != index {
		t.Errorf("%s is pinned to %d but on %d", it.Name, it.Pin, index)
	}
	if h := o.Hours[index]; math.IsNaN(h) || math.IsInf(h, 0) {
		t.Errorf("%s is on printer %d, which takes %v hours", it.Name, index, h)
	}
	if o.Height > p.Height {
		t.Errorf("%s is %v high on a printer of %v", it.Name, o.Height, p.Height)
	}
	for _, l := range append(moved([][]r2.Vec{o.Hull}, at), shape...) {
		for _, c := range l {
			inside := math.Min(math.Min(c.X, p.Bed.Width-c.X), math.Min(c.Y, p.Bed.Depth-c.Y))
			if p.Bed.Diameter > 0 {
				inside = p.Bed.Diameter/2 - math.Hypot(c.X-p.Bed.Diameter/2, c.Y-p.Bed.Diameter/2)
			}
			if inside < p.Margin-checkTolerance {
				t.Errorf("%s reaches to %v from the edge of the bed, margin %v", it.Name, inside, p.Margin)
				return
			}
		}
	}
	for _, keep := range p.KeepOut {
		if d, overlap := apart(shape, []loop{loop(keep)}); overlap || d <= 0 {
			t.Errorf("%s touches a keep-out area", it.Name)
		}
	}
}

// The checker itself must see every fault: each is put into a sound plate.
func TestCheckerSeesFaults(t *testing.T) {
	square := []Option{block(20, 20, 10)}
	p := printer.Printer{Bed: printer.Bed{Width: 100, Depth: 100}, Height: 50, Margin: 5, Gap: 2,
		KeepOut: keepOut(70, 70, 80, 80)}
	items := []Item{{Name: "a", Options: square, Pin: AnyPrinter}, {Name: "b", Options: square, Pin: AnyPrinter}}
	at := func(item int, x, y float64) Placement { return Placement{Item: item, Shift: r2.Vec{X: x, Y: y}} }
	for _, c := range []struct {
		name  string
		sound bool
		in    []Placement
	}{
		{"sound", true, []Placement{at(0, 5, 5), at(1, 27, 5)}},
		{"too near", false, []Placement{at(0, 5, 5), at(1, 26.99, 5)}},
		{"overlapping", false, []Placement{at(0, 5, 5), at(1, 15, 15)}},
		{"one on the other", false, []Placement{at(0, 5, 5), at(1, 5, 5)}},
		{"in the margin", false, []Placement{at(0, 4.99, 5), at(1, 27, 5)}},
		{"touching a keep-out area", false, []Placement{at(0, 50, 70), at(1, 27, 5)}},
		{"over a keep-out area", false, []Placement{at(0, 65, 65), at(1, 27, 5)}},
		{"left out", false, []Placement{at(0, 5, 5)}},
		{"twice", false, []Placement{at(0, 5, 5), at(0, 27, 5), at(1, 5, 40)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			arrangement := Arrangement{Plates: []Plate{{Placements: c.in}}}
			quiet := &testing.T{}
			checkArrangement(quiet, []printer.Printer{p}, items, arrangement)
			if quiet.Failed() == c.sound {
				t.Errorf("the checker finds it sound: %v, want %v", !quiet.Failed(), c.sound)
			}
			if err := Verify([]printer.Printer{p}, items, arrangement); (err == nil) != c.sound {
				t.Errorf("Verify = %v, want sound %v", err, c.sound)
			}
		})
	}
}
