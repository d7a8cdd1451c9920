package bedpack

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

func TestVerifyNamesTheFault(t *testing.T) {
	p := []printer.Printer{
		{Bed: printer.Bed{Width: 100, Depth: 100}, Height: 50, Margin: 5, Gap: 2, KeepOut: keepOut(70, 70, 80, 80)},
		{Bed: printer.Bed{Width: 100, Depth: 100}, Height: 50},
	}
	barred := block(20, 20, 10)
	barred.Hours = []float64{1, math.Inf(1)}
	items := []Item{
		{Name: "square", Copy: 1, Options: []Option{block(20, 20, 10), block(20, 20, 60)}, Pin: 0},
		{Name: "washer", Copy: 1, Options: []Option{option(washer(25, 15, 40), 5)}, Pin: AnyPrinter},
		{Name: "barred", Copy: 1, Options: []Option{barred}, Pin: AnyPrinter},
	}
	at := func(item, option int, spin plane.Angle, x, y float64) Placement {
		return Placement{item, option, spin, r2.Vec{X: x, Y: y}}
	}
	square, ring, third := at(0, 0, 0, 5, 5), at(1, 0, 0, 55, 40), at(2, 0, 0, 5, 60)
	for _, c := range []struct {
		name string
		in   Arrangement
		want error
	}{
		{"sound", Arrangement{Plates: []Plate{{0, []Placement{square, ring, third}}}}, nil},
		{"sound, refused", Arrangement{Plates: []Plate{{0, []Placement{square, ring}}}, Refused: []Refusal{{Item: 2}}}, nil},
		{"in the hole", Arrangement{Plates: []Plate{{0, []Placement{at(0, 0, 0, 45, 30), ring, third}}}}, ErrTooNear},
		{"no such printer", Arrangement{Plates: []Plate{{2, []Placement{square, ring, third}}}}, ErrUnknown},
		{"no such item", Arrangement{Plates: []Plate{{0, []Placement{square, ring, third, at(3, 0, 0, 5, 5)}}}}, ErrUnknown},
		{"no such option", Arrangement{Plates: []Plate{{0, []Placement{at(0, 2, 0, 5, 5), ring, third}}}}, ErrUnknown},
		{"no such item refused", Arrangement{Plates: []Plate{{0, []Placement{square, ring, third}}}, Refused: []Refusal{{Item: -1}}}, ErrUnknown},
		{"placed and refused", Arrangement{Plates: []Plate{{0, []Placement{square, ring, third}}}, Refused: []Refusal{{Item: 1}}}, ErrCount},
		{"pinned elsewhere", Arrangement{Plates: []Plate{{1, []Placement{square, ring}}, {0, []Placement{third}}}}, ErrBarred},
		{"endless hours", Arrangement{Plates: []Plate{{0, []Placement{square, ring}}, {1, []Placement{third}}}}, ErrBarred},
		{"too tall", Arrangement{Plates: []Plate{{0, []Placement{at(0, 1, 0, 5, 5), ring, third}}}}, ErrTooTall},
		{"off the bed by its spin", Arrangement{Plates: []Plate{{0, []Placement{at(0, 0, 45*plane.Degree, 5, 5), ring, third}}}}, ErrOffBed},
		{"kept out", Arrangement{Plates: []Plate{{0, []Placement{at(0, 0, 0, 72, 72), ring, third}}}}, ErrKeptOut},
		{"too near", Arrangement{Plates: []Plate{{0, []Placement{at(0, 0, 0, 5, 38.5), ring, third}}}}, ErrTooNear},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := Verify(p, items, c.in)
			if (err == nil) != (c.want == nil) || !errors.Is(err, c.want) {
				t.Errorf("Verify = %v, want %v", err, c.want)
			}
		})
	}
}

// Without a gap parts may touch, but not share area.
func TestVerifyWithoutGap(t *testing.T) {
	p := []printer.Printer{{Bed: printer.Bed{Width: 100, Depth: 100}, Height: 50}}
	items := itemsOf(block(20, 20, 10), block(20, 20, 10))
	for x, want := range map[float64]error{20: nil, 20 - 1e-9: ErrTooNear, 0: ErrTooNear, 21: nil} {
		err := Verify(p, items, Arrangement{Plates: []Plate{{0, []Placement{{Item: 0}, {Item: 1, Shift: r2.Vec{X: x}}}}}})
		if !errors.Is(err, want) || (want == nil) != (err == nil) {
			t.Errorf("shifted by %v: Verify = %v, want %v", x, err, want)
		}
	}
}
