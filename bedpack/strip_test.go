package bedpack

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"platewright/support/plane"
)

// checkStrip reports everything that is wrong with a layout.
func checkStrip(t *testing.T, s Strip, l StripLayout) {
	t.Helper()
	if len(l.Places) != len(s.Items) {
		t.Fatalf("%d places for %d items", len(l.Places), len(s.Items))
	}
	tol := 1e-6 * s.Height
	var shapes [][]loop
	for i, at := range l.Places {
		shape := moved(rings(Option{Outline: s.Items[i].Outline}), Placement{Spin: at.Spin, Shift: at.Shift})
		for _, c := range shape[0] {
			if c.X < -tol || c.X > l.Length+tol || c.Y < -tol || c.Y > s.Height+tol {
				t.Errorf("item %d is at %v, length %v", i, c, l.Length)
			}
		}
		for k, other := range shapes {
			// What may overlap by touch must not once it is drawn together a little.
			if d, overlap := apart(drawnTogether(shape, tol), drawnTogether(other, tol)); overlap {
				t.Errorf("items %d and %d overlap, distance %v", k, i, d)
			}
		}
		if spins := s.Items[i].Spins; spins != nil {
			allowed := false
			for _, spin := range spins {
				allowed = allowed || spin == at.Spin
			}
			if !allowed {
				t.Errorf("item %d is turned by %v", i, at.Spin)
			}
		}
		shapes = append(shapes, shape)
	}
}

// drawnTogether moves each edge of the loops inward by about d: each corner
// along the bisector of its edges.
func drawnTogether(loops []loop, d float64) []loop {
	var out []loop
	for _, l := range loops {
		n := len(l)
		var m loop
		for i, p := range l {
			e, f := r2.Unit(r2.Sub(p, l[(i+n-1)%n])), r2.Unit(r2.Sub(l[(i+1)%n], p))
			in := r2.Add(r2.Vec{X: -e.Y, Y: e.X}, r2.Vec{X: -f.Y, Y: f.X})
			m = append(m, r2.Add(p, r2.Scale(d/max(0.2, r2.Dot(in, in)/2), in)))
		}
		out = append(out, m)
	}
	return out
}

func TestPackStripRandomItems(t *testing.T) {
	cases(t, 40, func(t *testing.T, rnd *rand.Rand) {
		s := Strip{Height: 60 + 40*rnd.Float64()}
		for range 2 + rnd.IntN(6) {
			it := StripItem{Outline: randomOutline(rnd, 10+20*rnd.Float64())}
			if rnd.IntN(2) == 0 {
				it.Spins = []plane.Angle{0, 90 * plane.Degree, 33 * plane.Degree}
			}
			for range 1 + rnd.IntN(2) {
				s.Items = append(s.Items, it)
			}
		}
		l := PackStrip(s, Budget{Seed: 1, Spent: Rounds(60)})
		checkStrip(t, s, l)
		if again := PackStrip(s, Budget{Seed: 1, Spent: Rounds(60)}); !reflect.DeepEqual(again, l) {
			t.Error("two runs differ")
		}
	})
}

// Eight squares of 10 fill 40 of a strip of 20, and the squares that go into
// the holes of others need no length of their own.
func TestPackStripFindsOptima(t *testing.T) {
	square := StripItem{Outline: plane.Outline{rectangle(0, 0, 10, 10)}, Spins: []plane.Angle{0}}
	frame := StripItem{Outline: plane.Outline{rectangle(0, 0, 14, 14), rectangle(2, 2, 12, 12).Reversed()}, Spins: []plane.Angle{0}}
	inner := StripItem{Outline: plane.Outline{rectangle(0, 0, 9, 9)}, Spins: []plane.Angle{0}}
	half := StripItem{Outline: plane.Outline{{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 0, Y: 10}}}, Spins: []plane.Angle{0, 180 * plane.Degree}}
	repeat := func(n int, it StripItem) (out []StripItem) {
		for range n {
			out = append(out, it)
		}
		return out
	}
	for _, c := range []struct {
		name string
		in   Strip
		want float64
	}{
		{"squares", Strip{20, repeat(8, square)}, 40},
		{"squares in frames", Strip{28, append(repeat(4, frame), repeat(4, inner)...)}, 28},
		{"triangles that pair up", Strip{20, repeat(8, half)}, 20},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := PackStrip(c.in, Budget{Seed: 1, Spent: Rounds(1500)})
			checkStrip(t, c.in, l)
			if math.Abs(l.Length-c.want) > 0.01*c.want {
				t.Errorf("length %v, want %v", l.Length, c.want)
			}
		})
	}
}

func TestPackStripWithoutAnswer(t *testing.T) {
	tall := StripItem{Outline: plane.Outline{rectangle(0, 0, 5, 20)}, Spins: []plane.Angle{0}}
	if l := PackStrip(Strip{10, []StripItem{tall}}, Budget{Spent: Rounds(10)}); len(l.Places) != 0 {
		t.Errorf("layout %v of a part that is too tall", l)
	}
	if l := PackStrip(Strip{Height: 10}, Budget{Spent: Rounds(10)}); len(l.Places) != 0 {
		t.Errorf("layout %v of nothing", l)
	}
	// With hardly any budget the parts still end up side by side.
	s := Strip{10, []StripItem{{Outline: plane.Outline{rectangle(0, 0, 9, 9)}}, {Outline: plane.Outline{rectangle(0, 0, 9, 9)}}}}
	checkStrip(t, s, PackStrip(s, Budget{Spent: Rounds(1)}))
}
