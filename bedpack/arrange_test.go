package bedpack

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

func TestArrangeRandomShops(t *testing.T) {
	placed, refused, together := 0, 0, 0
	cases(t, 150, func(t *testing.T, rnd *rand.Rand) {
		printers := randomShop(rnd)
		items := randomItems(rnd, len(printers))
		a := Arrange(printers, items, coarse(printers))
		checkArrangement(t, printers, items, a)
		if err := Verify(printers, items, a); err != nil {
			t.Error(err)
		}
		for _, p := range a.Plates {
			placed += len(p.Placements)
			together = max(together, len(p.Placements))
		}
		refused += len(a.Refused)
	})
	if placed < 500 || refused < 30 || together < 5 {
		t.Errorf("too tame: %d placed, %d refused, at most %d together", placed, refused, together)
	}
}

// The order of the items changes the indices and nothing else.
func TestArrangeDoesNotDependOnOrder(t *testing.T) {
	cases(t, 25, func(t *testing.T, rnd *rand.Rand) {
		printers := randomShop(rnd)
		items := randomItems(rnd, len(printers))
		want := Arrange(printers, items, coarse(printers))
		if again := Arrange(printers, items, coarse(printers)); text(t, again) != text(t, want) {
			t.Error("two runs differ")
		}
		order := rnd.Perm(len(items))
		shuffled := make([]Item, len(items))
		for i, k := range order {
			shuffled[i] = items[k]
		}
		got := Arrange(printers, shuffled, coarse(printers))
		for _, p := range got.Plates {
			for k := range p.Placements {
				p.Placements[k].Item = order[p.Placements[k].Item]
			}
		}
		for k := range got.Refused {
			got.Refused[k].Item = order[got.Refused[k].Item]
		}
		if text(t, got) != text(t, want) {
			t.Errorf("shuffled: %s\nas given: %s", text(t, got), text(t, want))
		}
	})
}

func text(t *testing.T, a Arrangement) string {
	t.Helper()
	out, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// alone arranges one part on one printer.
func alone(p printer.Printer, o Option) Arrangement {
	return Arrange([]printer.Printer{p}, []Item{{Name: "part", Copy: 1, Options: []Option{o}, Pin: AnyPrinter}}, Settings{})
}

func TestArrangeSingleParts(t *testing.T) {
	bed := printer.Printer{Bed: printer.Bed{Width: 250, Depth: 210}, Height: 200, Margin: 5}
	disc := printer.Printer{Bed: printer.Bed{Width: 200, Depth: 200, Diameter: 200}, Height: 300, Margin: 10}
	inch := bed
	inch.KeepOut = keepOut(100, -1, 110, 180)
	wide, slot := inch, bed
	wide.Gap = 20
	slot.KeepOut = []plane.Ring{rectangle(-1, -1, 103.3, 300), rectangle(140.8, -1, 260, 300)}
	for _, c := range []struct {
		name string
		p    printer.Printer
		o    Option
		want Refusal
	}{
		{"exactly as large as the bed", bed, block(240, 200, 200), Refusal{}},
		{"exactly as large, turned by 90°", bed, block(200, 240, 200), Refusal{}},
		{"exactly as large, given at 33°", bed, option(plane.Outline{rectangle(0, 0, 240, 200)}.Placed(33*plane.Degree, r2.Vec{X: 7}), 1), Refusal{}},
		{"too wide", bed, block(243, 200, 1), Refusal{Reason: TooLarge, Over: 3, Axis: Width}},
		{"too deep", bed, block(240, 202.5, 1), Refusal{Reason: TooLarge, Over: 2.5, Axis: Depth}},
		{"too tall", bed, block(10, 10, 207), Refusal{Reason: TooLarge, Over: 7, Axis: Height}},
		{"too tall and too wide, by less", bed, block(243, 200, 207), Refusal{Reason: TooLarge, Over: 7, Axis: Height}},
		{"too tall and too wide, by more", bed, block(270, 260, 207), Refusal{Reason: TooLarge, Over: 60, Axis: Depth}},
		{"a hexagon exactly as large as a round bed", disc, option(plane.Outline{circle(90, 6)}, 1), Refusal{}},
		{"a square in a round bed", disc, block(180/math.Sqrt2, 180/math.Sqrt2, 1), Refusal{}},
		{"a rod on a round bed", disc, block(179, 10, 1), Refusal{}},
		// The rod's diagonal is √(180²+19²) = 181 mm, the bed's room 180 mm.
		{"a rod too long for a round bed", disc, block(180, 19, 1), Refusal{Reason: TooLarge, Over: 1, Axis: Diameter}},
		{"beside a keep-out area", inch, block(130, 195, 1), Refusal{}},
		// A gap to other parts is no gap to keep-out areas.
		{"beside a keep-out area, with a wide gap", wide, block(130, 195, 1), Refusal{}},
		// From 103.3 to 140.8 mm there is room for 37.5 mm; the first raster has
		// cells of 0.98 mm and may need two of them to spare.
		{"between two keep-out areas", slot, block(36.6, 199, 1), Refusal{}},
		{"too large between two keep-out areas", slot, block(37.6, 199, 1), Refusal{Reason: Blocked}},
		{"kept out", inch, block(200, 140, 1), Refusal{Reason: Blocked}},
		{"without an outline", bed, Option{Hull: rectangle(0, 0, 1, 1), Hours: []float64{1}}, Refusal{Reason: Unformed, Printer: -1, Option: -1}},
		{"not finite", bed, Option{Outline: plane.Outline{{{X: 0}, {X: math.Inf(1)}, {Y: 1}}}, Hull: rectangle(0, 0, 1, 1), Hours: []float64{1}}, Refusal{Reason: Unformed, Printer: -1, Option: -1}},
		{"taller than any number", bed, block(9, 9, math.Inf(1)), Refusal{Reason: Unformed, Printer: -1, Option: -1}},
		{"no hours", bed, Option{Outline: plane.Outline{rectangle(0, 0, 1, 1)}, Hull: rectangle(0, 0, 1, 1), Hours: []float64{math.NaN()}}, Refusal{Reason: Barred, Printer: -1, Option: -1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := alone(c.p, c.o)
			items := []Item{{Options: []Option{c.o}, Pin: AnyPrinter}}
			checkArrangement(t, []printer.Printer{c.p}, items, a)
			if c.want == (Refusal{}) {
				if len(a.Plates) != 1 {
					t.Errorf("refused: %+v", a.Refused)
				}
				return
			}
			if len(a.Refused) != 1 {
				t.Fatalf("placed at %+v", a.Plates)
			}
			got := a.Refused[0]
			if math.Abs(got.Over-c.want.Over) > 1e-9 {
				t.Errorf("over by %v, want %v", got.Over, c.want.Over)
			}
			got.Over = c.want.Over
			if got != c.want {
				t.Errorf("refusal %+v, want %+v", got, c.want)
			}
		})
	}
}

// A part with several options and printers is refused with the least miss.
func TestRefusalNamesTheNearestMiss(t *testing.T) {
	printers := []printer.Printer{
		{Bed: printer.Bed{Width: 100, Depth: 100}, Height: 100},
		{Bed: printer.Bed{Width: 300, Depth: 300}, Height: 50},
		{Bed: printer.Bed{Width: 900, Depth: 900}, Height: 900},
	}
	lying, upright := block(130, 100, 20), block(20, 100, 128)
	wide := block(400, 290, 1)
	lying.Hours, upright.Hours, wide.Hours = []float64{1, math.NaN()}, []float64{1, 1}, []float64{1, 1}
	it := Item{Name: "a", Options: []Option{lying, upright, wide}, Pin: AnyPrinter}
	a := Arrange(printers, []Item{it}, Settings{})
	want := Refusal{Reason: TooLarge, Printer: 0, Option: 1, Over: 28, Axis: Height}
	if len(a.Refused) != 1 || math.Abs(a.Refused[0].Over-28) > 1e-9 || a.Refused[0].Axis != want.Axis || a.Refused[0].Option != 1 || a.Refused[0].Printer != 0 {
		t.Fatalf("refused %+v, want %+v", a.Refused, want)
	}
	it.Pin = 1
	a = Arrange(printers, []Item{it}, Settings{})
	if r := a.Refused[0]; r.Printer != 1 || r.Option != 1 || math.Abs(r.Over-78) > 1e-9 {
		t.Errorf("pinned: refused %+v, want 78 mm over in height on printer 1", r)
	}
	it.Pin = 7
	if r := Arrange(printers, []Item{it}, Settings{}).Refused[0]; r.Reason != Barred || r.Printer != -1 {
		t.Errorf("pinned to no printer: refused %+v", r)
	}
}

// windowOf returns the range of spins, 0 to 90°, at which a rod of length and
// thickness fits a bed of the given room: from where its width has shrunk to
// the room's until its depth has grown to it.
func windowOf(length, thick, width, depth float64) (from, to float64) {
	reach, lean := math.Hypot(length, thick), math.Atan2(thick, length)
	return lean + math.Acos(width/reach), math.Asin(depth/reach) - lean
}

// A rod that fits only across a corner of the bed, within 0.3° and less, lies
// where no step of 5° and no edge along an axis finds it.
func TestArrangeFindsNarrowDiagonals(t *testing.T) {
	const width, depth = 250.0, 210.0
	for _, thick := range []float64{1, 7.7, 20, 33, 61.8} {
		for _, degrees := range []float64{0.3, 0.01, 1e-5} {
			low, high := width, math.Hypot(width, depth)
			for range 200 { // the longer, the narrower
				length := (low + high) / 2
				if from, to := windowOf(length, thick, width, depth); to-from > degrees*math.Pi/180 {
					low = length
				} else {
					high = length
				}
			}
			from, to := windowOf(low, thick, width, depth)
			if math.Abs((to-from)*180/math.Pi-degrees) > 1e-7 {
				t.Fatalf("window %v°, want %v°: the test is wrong", (to-from)*180/math.Pi, degrees)
			}
			p := printer.Printer{Bed: printer.Bed{Width: width + 6, Depth: depth + 6}, Height: 10, Margin: 3}
			o := option(plane.Outline{rectangle(0, 0, low, thick)}.Placed(17*plane.Degree, r2.Vec{X: 4}), 5)
			a := alone(p, o)
			checkArrangement(t, []printer.Printer{p}, []Item{{Options: []Option{o}, Pin: AnyPrinter}}, a)
			if len(a.Plates) != 1 {
				t.Errorf("thick %v, window %v°: refused %+v", thick, degrees, a.Refused)
			}
			if !Fits(p, o) {
				t.Errorf("thick %v, window %v°: Fits says no", thick, degrees)
			}
		}
	}
}

// The part of the maker's: 260 mm on a bed of 250 × 210.
func TestArrangePlacesTheLongPartTurned(t *testing.T) {
	p := printer.Printer{Bed: printer.Bed{Width: 250, Depth: 210}, Height: 10}
	a := alone(p, block(260, 30, 5))
	if len(a.Plates) != 1 {
		t.Fatalf("refused: %+v", a.Refused)
	}
	if spin := a.Plates[0].Placements[0].Spin; spin == 0 {
		t.Error("placed without turning")
	}
}

func itemsOf(options ...Option) []Item {
	var out []Item
	for i, o := range options {
		out = append(out, Item{Name: fmt.Sprintf("part %02d", i), Copy: 1, Options: []Option{o}, Pin: AnyPrinter})
	}
	return out
}

// Holes and bays are room: with these the plate is full otherwise.
func TestArrangeUsesHolesAndBays(t *testing.T) {
	ring := option(washer(96, 60, 80), 10)
	disc := option(plane.Outline{circle(50, 40)}, 10)
	core := option(plane.Outline{circle(10, 30)}, 10)
	inner := option(washer(50, 20, 40), 10)
	for _, c := range []struct {
		name  string
		items []Item
	}{
		{"a disc in a ring", itemsOf(ring, disc)},
		{"a disc in a ring in a ring", itemsOf(ring, inner, core)},
		{"a block in a C", itemsOf(option(bracket(190, 120), 10), block(110, 110, 10))},
		{"two C one in the other", itemsOf(option(bracket(190, 130), 10), option(bracket(115, 70), 10), block(60, 60, 10))},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := printer.Printer{Bed: printer.Bed{Width: 200, Depth: 200}, Height: 50, Margin: 3, Gap: 3}
			a := Arrange([]printer.Printer{p}, c.items, Settings{})
			checkArrangement(t, []printer.Printer{p}, c.items, a)
			if len(a.Plates) != 1 {
				t.Errorf("%d plates, want 1", len(a.Plates))
			}
		})
	}
}

func TestArrangeKeepsOff(t *testing.T) {
	p := printer.Printer{Bed: printer.Bed{Width: 200, Depth: 200}, Height: 50, Margin: 2, Gap: 4,
		KeepOut: []plane.Ring{rectangle(80, 80, 120, 120), rectangle(-5, -5, 30, 30)}}
	var options []Option
	for range 12 {
		options = append(options, block(40, 30, 10))
	}
	items := itemsOf(options...)
	a := Arrange([]printer.Printer{p}, items, Settings{})
	checkArrangement(t, []printer.Printer{p}, items, a)
	if len(a.Plates) != 1 || len(a.Refused) > 0 {
		t.Errorf("%d plates and %d refused, want 1 and none", len(a.Plates), len(a.Refused))
	}
}

func TestArrangeFillsARoundBed(t *testing.T) {
	p := printer.Printer{Bed: printer.Bed{Width: 200, Depth: 200, Diameter: 200}, Height: 50, Margin: 4, Gap: 2}
	items := itemsOf(slices.Repeat([]Option{block(44, 44, 10)}, 9)...)
	a := Arrange([]printer.Printer{p}, items, Settings{})
	checkArrangement(t, []printer.Printer{p}, items, a)
	// A grid of three by three has a diagonal of (3·44 + 2·2)·√2 = 192.3 mm, too
	// much for 192 mm; rows of unequal length do go on.
	if len(a.Plates) != 1 {
		t.Errorf("%d plates, want 1", len(a.Plates))
	}
}

// What the limits say, the plates keep.
func TestArrangeKeepsTheLimitsOfAPlate(t *testing.T) {
	p := []printer.Printer{{Bed: printer.Bed{Width: 200, Depth: 200}, Height: 50}}
	items := itemsOf(slices.Repeat([]Option{block(20, 20, 10)}, 10)...)
	items[3].Alone = true
	count := func(s Settings) (sizes []int) {
		a := Arrange(p, items, s)
		checkArrangement(t, p, items, a)
		for _, plate := range a.Plates {
			sizes = append(sizes, len(plate.Placements))
			for _, at := range plate.Placements {
				if at.Item == 3 && len(plate.Placements) > 1 {
					t.Error("the part that must be alone has company")
				}
			}
		}
		slices.Sort(sizes)
		return sizes
	}
	if got := count(Settings{}); !slices.Equal(got, []int{1, 9}) {
		t.Errorf("plates of %v parts, want 1 and 9", got)
	}
	if got := count(Settings{PlateParts: 5}); !slices.Equal(got, []int{1, 4, 5}) {
		t.Errorf("plates of %v parts, want 1, 4 and 5", got)
	}
	if got := count(Settings{PlateHours: 3.5}); !slices.Equal(got, []int{1, 3, 3, 3}) {
		t.Errorf("plates of %v parts, want 1, 3, 3 and 3", got)
	}
	if got := count(Settings{PlateHours: 0.5}); !slices.Equal(got, slices.Repeat([]int{1}, 10)) {
		t.Errorf("plates of %v parts, want one each", got)
	}
}

// The first option wins wherever some printer can print it.
func TestArrangeTakesTheEarliestOption(t *testing.T) {
	printers := []printer.Printer{
		{Bed: printer.Bed{Width: 100, Depth: 100}, Height: 50},
		{Bed: printer.Bed{Width: 300, Depth: 300}, Height: 300},
	}
	best, second := block(20, 20, 120), block(20, 120, 20)
	second.Hours = []float64{0.1, 0.1}
	options := []Option{best, second}
	items := []Item{{Name: "a", Options: options, Pin: AnyPrinter}, {Name: "b", Options: options, Pin: 0}}
	a := Arrange(printers, items, Settings{})
	checkArrangement(t, printers, items, a)
	where := map[int][2]int{}
	for _, p := range a.Plates {
		for _, at := range p.Placements {
			where[at.Item] = [2]int{p.Printer, at.Option}
		}
	}
	if where[0] != [2]int{1, 0} || where[1] != [2]int{0, 1} {
		t.Errorf("printer and option %v, want a on 1 with 0 and b on 0 with 1", where)
	}
}

// Parts slide together: what the raster wastes between them is taken back.
func TestArrangeLeavesTheGapAndLittleMore(t *testing.T) {
	for _, gap := range []float64{0, 0.37, 3} {
		p := printer.Printer{Bed: printer.Bed{Width: 100, Depth: 100}, Height: 20, Gap: gap}
		items := itemsOf(block(60.3, 30, 5), block(29.9, 30, 5))
		a := Arrange([]printer.Printer{p}, items, Settings{Cell: 1})
		checkArrangement(t, []printer.Printer{p}, items, a)
		if len(a.Plates) != 1 {
			t.Fatalf("%d plates, want 1", len(a.Plates))
		}
		first, second := a.Plates[0].Placements[0], a.Plates[0].Placements[1]
		d, _ := apart(moved(rings(items[0].Options[0]), first), moved(rings(items[1].Options[0]), second))
		if d > gap+1.0/16 {
			t.Errorf("gap %v: the parts are %v apart", gap, d)
		}
	}
}

// More tries never fill worse, and sometimes better: fewer plates, or less on
// the emptiest.
func TestArrangeTriesForFewerPlates(t *testing.T) {
	better := 0
	cases(t, 12, func(t *testing.T, rnd *rand.Rand) {
		p := []printer.Printer{{Bed: printer.Bed{Width: 120, Depth: 120}, Height: 300, Gap: 2}}
		var options []Option
		for range 16 {
			options = append(options, option(randomOutline(rnd, 15+50*rnd.Float64()), 10))
		}
		items := itemsOf(options...)
		fill := func(tries int) float64 {
			s := coarse(p)
			s.Tries = tries
			a := Arrange(p, items, s)
			least := math.Inf(1)
			for _, plate := range a.Plates {
				area := 0.0
				for _, at := range plate.Placements {
					area += items[at.Item].Options[0].Outline.Area()
				}
				least = min(least, area)
			}
			return float64(len(a.Plates)) + least/p[0].Bed.Area()
		}
		once, often := fill(1), fill(8)
		if often > once+1e-3 {
			t.Errorf("%v plates after 8 tries, %v after one", often, once)
		}
		if often < once-1e-3 {
			better++
		}
	})
	if better == 0 {
		t.Error("seven more tries never fill better")
	}
}

func TestArrangeOfNothing(t *testing.T) {
	if a := Arrange(nil, nil, Settings{}); a.Plates != nil || a.Refused != nil {
		t.Errorf("got %+v", a)
	}
	a := Arrange(nil, itemsOf(block(1, 1, 1)), Settings{})
	if len(a.Refused) != 1 || a.Refused[0].Reason != Barred {
		t.Errorf("without printers: %+v", a)
	}
	a = Arrange([]printer.Printer{{}}, itemsOf(block(1, 1, 1)), Settings{})
	if len(a.Refused) != 1 || a.Refused[0].Reason != TooLarge {
		t.Errorf("on a printer without a bed: %+v", a)
	}
}

// workload is n wavy parts of 100 to 300 corners and two printers.
func workload(n int) ([]printer.Printer, []Item) {
	rnd := rand.New(rand.NewPCG(1, uint64(n)))
	var items []Item
	for i := range n {
		size := 20 + 60*rnd.Float64()
		o := option(wavy(rnd, 100+rnd.IntN(200), size), 60)
		hours := size / 5 * (0.5 + rnd.Float64())
		o.Hours = []float64{hours, hours}
		items = append(items, Item{Name: fmt.Sprint("part ", i), Options: []Option{o}, Pin: AnyPrinter})
	}
	return []printer.Printer{
		{Name: "large", Bed: printer.Bed{Width: 350, Depth: 350}, Height: 400, Margin: 5, Gap: 5},
		{Name: "small", Bed: printer.Bed{Width: 250, Depth: 210}, Height: 210, Margin: 5, Gap: 5},
	}, items
}

func BenchmarkArrange(b *testing.B) {
	for _, n := range []int{5, 20, 60} {
		printers, items := workload(n)
		b.Run(fmt.Sprintf("parts=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			var a Arrangement
			for b.Loop() {
				a = Arrange(printers, items, Settings{})
			}
			b.ReportMetric(float64(len(a.Plates)), "plates")
		})
	}
}
