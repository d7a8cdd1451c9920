package bedpack

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"platewright/orient/printer"
	"platewright/support/plane"
)

// platesOf counts plates.
func platesOf(p []printer.Printer, items []Item, s Settings) (Arrangement, int) {
	a := Arrange(p, items, s)
	return a, len(a.Plates)
}

// With effort no arrangement has more plates than without, and some have
// fewer.
func TestEffortSavesPlates(t *testing.T) {
	saved := 0
	cases(t, 12, func(t *testing.T, rnd *rand.Rand) {
		printers := randomShop(rnd)[:1]
		printers[0].KeepOut = printers[0].KeepOut[:min(1, len(printers[0].KeepOut))]
		side := printers[0].Bed.Width
		var items []Item
		for k := range 8 + rnd.IntN(8) {
			o := option(randomOutline(rnd, side*(0.15+0.3*rnd.Float64())), 10)
			items = append(items, Item{Name: fmt.Sprint("part ", k), Copy: 1, Options: []Option{o}, Pin: AnyPrinter})
		}
		s := coarse(printers)
		s.Effort = -1
		_, without := platesOf(printers, items, s)
		s.Effort = 40
		a, with := platesOf(printers, items, s)
		checkArrangement(t, printers, items, a)
		if with > without {
			t.Errorf("%d plates with effort, %d without", with, without)
		}
		saved += without - with
	})
	if saved == 0 {
		t.Error("no plate was saved")
	}
	t.Logf("%d plates saved", saved)
}

// Limits of a plate hold when plates are saved, too: 12 blocks, of which a
// plate would take nine, at most five a plate and five hours.
func TestSavingPlatesKeepsLimits(t *testing.T) {
	p := []printer.Printer{{Bed: printer.Bed{Width: 100, Depth: 100}, Height: 10, Gap: 1}}
	var items []Item
	for k := range 12 {
		items = append(items, Item{Name: fmt.Sprint("part ", k), Copy: 1, Options: []Option{block(30, 30, 5)}, Pin: AnyPrinter, Alone: k == 0})
	}
	for _, s := range []Settings{{PlateParts: 5}, {PlateHours: 5}} {
		a, n := platesOf(p, items, s)
		checkArrangement(t, p, items, a)
		if n != 4 {
			t.Errorf("%d plates, want one for the part alone and three", n)
		}
		for _, plate := range a.Plates {
			if len(plate.Placements) > 5 {
				t.Errorf("%d parts on a plate", len(plate.Placements))
			}
		}
	}
}

// A quota counts parts and hours through any moves.
func TestQuota(t *testing.T) {
	q := newQuota(Settings{PlateParts: 2, PlateHours: 10}, []float64{6, 3, 5, 4}, 2)
	q.move(0, 0)
	q.move(1, 0)
	for _, c := range []struct {
		i, bay int
		want   bool
	}{{2, 0, false}, {2, 1, true}, {0, 0, true}, {0, 1, true}} {
		if got := q.admits(c.i, c.bay); got != c.want {
			t.Errorf("admits(%d, %d) = %v, want %v", c.i, c.bay, got, c.want)
		}
	}
	q.move(2, 1)
	q.move(3, 1)
	if !q.swappable(1, 3) || q.swappable(1, 2) == (q.load[0]+5-3 > 10) {
		t.Errorf("swappable: loads %v", q.load)
	}
	q.move(0, 1)
	q.move(0, 0)
	if q.parts[0] != 2 || q.parts[1] != 2 || q.load[0] != 9 || q.load[1] != 9 {
		t.Errorf("parts %v, hours %v after a move and back", q.parts, q.load)
	}
	var none quota
	if !none.admits(0, 5) || !none.swappable(0, 1) {
		t.Error("a quota without limits refuses")
	}
}

// Lanes find every box that meets another.
func TestLanesMissNothing(t *testing.T) {
	cases(t, 50, func(t *testing.T, rnd *rand.Rand) {
		n := 1 + rnd.IntN(150)
		l := newLanes(n)
		l.resize(100, 60)
		boxes := make([]plane.Ring, n)
		for range 3 * n { // boxes move about
			i := rnd.IntN(n)
			x, y := 120*rnd.Float64()-10, 80*rnd.Float64()-10
			boxes[i] = rectangle(x, y, x+20*rnd.Float64(), y+20*rnd.Float64())
			l.set(i, boxes[i].Bounds())
		}
		x, y := 100*rnd.Float64(), 60*rnd.Float64()
		b := rectangle(x, y, x+10, y+10).Bounds()
		near := l.near(b)
		found := map[int]bool{}
		for w := range near {
			for near[w] != 0 {
				found[take(near, w)] = true
			}
		}
		for i, ring := range boxes {
			if ring == nil {
				continue
			}
			o := ring.Bounds()
			meets := o.Min.X < b.Max.X && o.Max.X > b.Min.X && o.Min.Y < b.Max.Y && o.Max.Y > b.Min.Y
			if meets && !found[i] {
				t.Errorf("box %d is not found", i)
			}
		}
	})
}
