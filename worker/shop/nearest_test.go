package shop

import (
	"math/rand/v2"
	"testing"
)

func TestEdits(t *testing.T) {
	for _, test := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "abc", 3}, {"abc", "", 3}, {"abc", "abc", 0},
		{"kitten", "sitting", 3}, // the textbook case: k→s, e→i, g put in
		{"ab", "ba", 1}, {"layer", "layr", 1},
		{"abcdefghij", "xyz", 7}, // too far apart in length to compare
	} {
		if got := edits(test.a, test.b); got != test.want {
			t.Errorf("edits(%q, %q) = %d, want %d", test.a, test.b, got, test.want)
		}
	}
}

// slowEdits is the definition, without memory.
func slowEdits(a, b string) int {
	if a == "" || b == "" {
		return len(a) + len(b)
	}
	d := slowEdits(a[1:], b[1:])
	if a[0] != b[0] {
		d++
	}
	d = min(d, slowEdits(a[1:], b)+1, slowEdits(a, b[1:])+1)
	if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
		d = min(d, slowEdits(a[2:], b[2:])+1)
	}
	return d
}

func TestEditsEqualTheDefinition(t *testing.T) {
	const seed = 5
	random := rand.New(rand.NewPCG(seed, 0))
	word := func(least int) string {
		w := make([]byte, least+random.IntN(3))
		for i := range w {
			w[i] = "abc"[random.IntN(3)]
		}
		return string(w)
	}
	for range 200 {
		a, b := word(3), word(3)
		if got, want := edits(a, b), slowEdits(a, b); got != want {
			t.Errorf("seed %d: edits(%q, %q) = %d, want %d", seed, a, b, got, want)
		}
	}
}

func TestNearest(t *testing.T) {
	known := []string{"height_mm", "heat_up_min", "walls", "gap_mm"}
	for given, want := range map[string]string{
		"higth_mm": "height_mm", "hieght_mm": "height_mm", "HEIGHT_MM": "height_mm", "height": "height_mm", "wall": "walls", "gap_cm": "gap_mm",
		"colour": "", "": "", "z": "",
	} {
		if got := nearest(given, known); got != want {
			t.Errorf("nearest(%q) = %q, want %q", given, got, want)
		}
	}
}
