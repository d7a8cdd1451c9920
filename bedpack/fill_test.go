package bedpack

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"platewright/orient/printer"
	"platewright/support/plane"
)

func TestMayTakeKeepsTheLimits(t *testing.T) {
	load := func(hours float64, alone ...bool) *pile {
		p := &pile{hours: hours}
		for _, a := range alone {
			p.placed = append(p.placed, placed{piece: piece{alone: a}})
		}
		return p
	}
	five := piece{shape: &shape{hours: 5}}
	for _, c := range []struct {
		name string
		p    *pile
		w    piece
		s    Settings
		want bool
	}{
		{"no limits", load(90, false, false), five, Settings{}, true},
		{"an empty plate takes anything", load(0), five, Settings{PlateHours: 1, PlateParts: 1}, true},
		{"up to the parts", load(1, false), five, Settings{PlateParts: 2}, true},
		{"over the parts", load(1, false, false), five, Settings{PlateParts: 2}, false},
		{"up to the hours", load(5, false), five, Settings{PlateHours: 10}, true},
		{"over the hours", load(5.1, false), five, Settings{PlateHours: 10}, false},
		{"not beside one that is alone", load(1, true), five, Settings{}, false},
		{"one that is alone beside another", load(1, false), piece{alone: true, shape: five.shape}, Settings{}, false},
	} {
		if got := c.p.mayTake(c.w, c.s); got != c.want {
			t.Errorf("%s: mayTake = %v, want %v", c.name, got, c.want)
		}
	}
}

func TestBetterCountsPlatesThenTheEmptiest(t *testing.T) {
	piles := func(areas ...float64) (out []*pile) {
		for _, a := range areas {
			out = append(out, &pile{placed: []placed{{piece: piece{shape: &shape{area: a}}}}})
		}
		return out
	}
	for _, c := range []struct {
		a, b []*pile
		want bool
	}{
		{piles(5, 5), piles(9, 9, 1), true},
		{piles(9, 9, 1), piles(5, 5), false},
		{piles(9, 1), piles(5, 5), true},
		{piles(5, 5), piles(9, 1), false},
		{piles(5, 5), piles(5, 5), false},
	} {
		if got := better(c.a, c.b); got != c.want {
			t.Errorf("better = %v, want %v", got, c.want)
		}
	}
	all := piles(3, 1, 1, 2)
	if emptiest(all) != all[2] {
		t.Error("emptiest is not the last of the least")
	}
}

// A square bed takes a square number of squares and no more, with the gap
// between them and the margin around. The raster needs a few cells to spare:
// here 0.5 mm.
func TestFillCountsSquares(t *testing.T) {
	for _, c := range []struct {
		n      int
		bed    float64
		plates int
	}{
		// Of four that do not go two by two, two go corner to corner.
		{9, 3*20 + 2*3 + 2*4 + 0.5, 1}, {10, 3*20 + 2*3 + 2*4 + 0.5, 2}, {4, 2*20 + 3 + 2*4 + 0.5, 1}, {4, 2*20 + 3 + 2*4 - 0.01, 2},
	} {
		p := []printer.Printer{{Bed: printer.Bed{Width: c.bed, Depth: c.bed}, Height: 50, Margin: 4, Gap: 3}}
		items := itemsOf(slices.Repeat([]Option{block(20, 20, 10)}, c.n)...)
		a := Arrange(p, items, Settings{Cell: 0.125})
		checkArrangement(t, p, items, a)
		if len(a.Plates) != c.plates {
			t.Errorf("%d squares on %v mm: %d plates, want %d", c.n, c.bed, len(a.Plates), c.plates)
		}
	}
}

// Copies share what is drawn of them, and a plate that had no place for one
// copy is not asked again.
func TestCopiesShareTheirWork(t *testing.T) {
	p := printer.Printer{Bed: printer.Bed{Width: 100, Depth: 100}, Height: 50, Gap: 2}
	options := []Option{block(45, 45, 10)}
	a := arranger{beds: []*bed{newBed(0, p, Settings{})}}
	for c := range 9 {
		a.items = append(a.items, Item{Name: "a", Copy: c, Options: options, Pin: AnyPrinter})
		a.take(c)
	}
	for _, shapes := range a.choices {
		if shapes[0] != a.choices[0][0] {
			t.Fatal("a copy has a shape of its own")
		}
	}
	pile := newPile(a.beds[0], 0, corner)
	w := piece{shape: a.choices[0][0]}
	for range 4 {
		if !pile.add(w) {
			t.Fatal("the plate does not take four")
		}
	}
	if pile.add(w) || !pile.exhausted[w.shape] {
		t.Error("a fifth is placed, or the plate does not remember that it is not")
	}
	stamps := &w.drawn()[0]
	if &w.drawn()[0] != stamps {
		t.Error("stamps are drawn twice")
	}
}

// What is drawn of a part never lies outside its true outline's reach, and
// never inside: the simplified outline holds the true one.
func TestRoughHoldsTheOutline(t *testing.T) {
	cases(t, 60, func(t *testing.T, rnd *rand.Rand) {
		b := randomBed(rnd)
		o := option(wavy(rnd, 200, 10+30*rnd.Float64()), 1)
		s := newShape(b, &o, 0, 90*plane.Degree)
		if s == nil {
			t.Skip("too large for this bed")
		}
		if len(s.rough.Points()) >= 200 {
			t.Errorf("%d corners are no fewer", len(s.rough.Points()))
		}
		var rough []loop
		for _, ring := range s.rough {
			rough = append(rough, loop(ring))
		}
		for _, p := range o.Outline.Points() {
			d, _ := apart(rough, []loop{{p, p, p}})
			if !inLoops(rough, p) && d > 1e-9 {
				t.Fatalf("%v lies %v outside", p, d)
			}
		}
		if s.reach > roughCells*b.cell+1e-9 {
			t.Errorf("it reaches %v beyond the hull, more than the simplification may", s.reach)
		}
	})
}

func TestHoursAndSoundness(t *testing.T) {
	o := Option{Hours: []float64{2, math.NaN(), math.Inf(1), math.Inf(-1)}}
	for printer, want := range []float64{2, math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(1)} {
		if got := o.hours(printer); got != want {
			t.Errorf("hours(%d) = %v, want %v", printer, got, want)
		}
	}
	whole := block(3, 4, 5)
	for name, spoil := range map[string]func(*Option){
		"whole":             func(*Option) {},
		"no outline":        func(o *Option) { o.Outline = nil },
		"outline reversed":  func(o *Option) { o.Outline = plane.Outline{o.Outline[0].Reversed()} },
		"no hull":           func(o *Option) { o.Hull = nil },
		"hull of a line":    func(o *Option) { o.Hull = o.Hull[:2] },
		"no height":         func(o *Option) { o.Height = math.NaN() },
		"infinite outline":  func(o *Option) { o.Outline = plane.Outline{{{X: math.Inf(-1)}, {X: 1}, {Y: 1}}} },
		"hull with no sum":  func(o *Option) { o.Hull = plane.Ring{{X: math.NaN()}, {X: 1}, {Y: 1}} },
		"hull run backward": func(o *Option) { o.Hull = o.Hull.Reversed() },
	} {
		o := whole
		spoil(&o)
		if got := o.sound(); got != (name == "whole") {
			t.Errorf("%s: sound = %v", name, got)
		}
	}
}

// A refusal tells the least that any option misses by on any printer, as a
// sweep over spins confirms.
func TestRefusalAgainstASweep(t *testing.T) {
	seen := 0
	cases(t, 60, func(t *testing.T, rnd *rand.Rand) {
		printers := randomShop(rnd)
		options := make([]Option, 1+rnd.IntN(3))
		for k := range options {
			options[k] = option(randomOutline(rnd, 150+300*rnd.Float64()), 400*rnd.Float64())
		}
		it := Item{Name: "a", Options: options, Pin: AnyPrinter}
		a := Arrange(printers, []Item{it}, coarse(printers))
		if len(a.Refused) == 0 || a.Refused[0].Reason != TooLarge {
			return
		}
		seen++
		least, slack := math.Inf(1), 0.0
		for i := range printers {
			for k := range options {
				over, error := sweep(&printers[i], &options[k])
				least, slack = min(least, over), max(slack, error)
			}
		}
		if r := a.Refused[0]; r.Over > least+1e-9 || r.Over < least-slack {
			t.Errorf("refused by %v, the sweep says %v give or take %v", r.Over, least, slack)
		}
	})
	if seen < 15 {
		t.Errorf("only %d refusals: too tame", seen)
	}
}

// sweep returns the least an option misses by on a printer over many spins,
// and by how much that can be more than the truth.
func sweep(p *printer.Printer, o *Option) (over, error float64) {
	const samples = 4000
	reach := 2 * leastDisc(o.Hull).radius
	if p.Bed.Diameter > 0 {
		return max(reach-p.Bed.Diameter+2*p.Margin, o.Height-p.Height), 1e-9
	}
	least := math.Inf(1)
	for k := range samples {
		least = min(least, sampled(o.Hull, math.Pi*float64(k)/samples, p.Bed.Width-2*p.Margin, p.Bed.Depth-2*p.Margin))
	}
	return max(least, o.Height-p.Height), reach * math.Pi / samples
}

func ExampleVerify() {
	shop := []printer.Printer{{Bed: printer.Bed{Width: 100, Depth: 100}, Height: 50, Gap: 5}}
	square := plane.Ring{{}, {X: 20}, {X: 20, Y: 20}, {Y: 20}}
	options := []Option{{Outline: plane.Outline{square}, Hull: square, Height: 10, Hours: []float64{1}}}
	items := []Item{{Name: "cap", Copy: 1, Options: options, Pin: AnyPrinter}, {Name: "cap", Copy: 2, Options: options, Pin: AnyPrinter}}

	a := Arrange(shop, items, Settings{})
	fmt.Println(Verify(shop, items, a))
	a.Plates[0].Placements[1].Shift = a.Plates[0].Placements[0].Shift
	fmt.Println(Verify(shop, items, a))
	// Output:
	// <nil>
	// plate 0: cap copy 1 and plate 0: cap copy 2: bedpack: items are nearer to each other than the gap
}
