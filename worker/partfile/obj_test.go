package partfile

import (
	"fmt"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// cubeCorners are those of a cube of side 10, in the order of cubeMesh.
const cubeCorners = "v 0 0 0\nv 10 0 0\nv 0 10 0\nv 10 10 0\nv 0 0 10\nv 10 0 10\nv 0 10 10\nv 10 10 10\n"

const cubeQuads = "f 1 3 4 2\nf 5 6 8 7\nf 1 2 6 5\nf 3 7 8 4\nf 1 5 7 3\nf 2 4 8 6\n"

func TestOBJ(t *testing.T) {
	plain := cubeCorners + cubeQuads
	withSlashes := strings.NewReplacer(
		"f 1 3 4 2", "f 1/1/1 3/2/1 4/3/1 2/4/1", "f 5 6 8 7", "f 5//2 6//2 8//2 7//2", "f 1 2 6 5", "f 1/1 2/2 6/3 5/4",
	).Replace(plain)
	tests := []struct {
		name  string
		in    string
		notes []string
	}{
		{"quads", plain, nil},
		{"texture and normals", "vt 0 0\nvn 0 0 1\n" + withSlashes, nil},
		{"negative numbers", cubeCorners + "f -8 -6 -5 -7\nf -4 -3 -1 -2\nf -8 -7 -3 -4\nf -6 -2 -1 -5\nf -8 -4 -2 -6\nf -7 -5 -1 -3\n", nil},
		{"faces before points", cubeQuads + cubeCorners, nil},
		{"materials, smoothing, comments", "# a cube\nmtllib a.mtl\nusemtl red\ns 1\n" + plain + "# end", nil},
		{"comment after values", strings.ReplaceAll(plain, "\n", " # remark\n"), nil},
		{"comment of 3 MB", "#" + strings.Repeat("x", 3<<20) + "\n" + plain, nil},
		{"CR LF", strings.ReplaceAll(plain, "\n", "\r\n"), nil},
		{"CR only", strings.ReplaceAll(plain, "\n", "\r"), nil},
		{"byte order mark", "\xef\xbb\xbf" + plain, nil},
		{"no end of line at the end", strings.TrimSpace(plain), nil},
		{"continued lines", strings.ReplaceAll(plain, " 4", " \\\n4"), nil},
		{"colours and weights", strings.ReplaceAll(plain, "10\nv", "10 0.5 0.5 0.5\nv"), nil},
		{"repeated corners", strings.Replace(plain, "f 1 3 4 2", "f 1 1 3 4 4 2 1", 1), nil},
		{"lines and points", plain + "l 1 2 3\np 1\n", []string{NoteNotFaces}},
		{"faces of two corners", plain + "f 1 2\nf 3 3 3\n", []string{NoteFewCorners}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			part, err := readBytes("cube.obj", []byte(test.in), Limits{})
			if err != nil {
				t.Fatal(err)
			}
			wantCube(t, part, 10)
			wantNotes(t, part, test.notes...)
			if part.InMillimetres || part.Items != 1 {
				t.Errorf("InMillimetres, Items = %v, %d, want false, 1", part.InMillimetres, part.Items)
			}
		})
	}
}

func TestOBJThatIsRefused(t *testing.T) {
	plain := cubeCorners + cubeQuads
	tests := []struct {
		name string
		in   string
		err  error
		text string
	}{
		{"points only", cubeCorners, ErrEmpty, "8 points, no faces"},
		{"blank", "\n\n\n", ErrEmpty, "0 points"},
		{"other text", "hello world\n", ErrEmpty, "0 points"},
		{"not text", "\x00\x01\x02\x03\n", ErrFormat, "not text"},
		{"two coordinates", "v 1 2\n" + plain, ErrFormat, "line 1"},
		{"decimal comma", strings.Replace(plain, "v 10 0 0", "v 10,5 0 0", 1), ErrFormat, "line 2: "},
		{"nan", strings.Replace(plain, "v 10 0 0", "v nan 0 0", 1), ErrNotFinite, "line 2: "},
		{"beyond 32 bits", strings.Replace(plain, "v 10 0 0", "v 1e300 0 0", 1), ErrNotFinite, `"1e300"`},
		{"hexadecimal", strings.Replace(plain, "v 10 0 0", "v 0x10 0 0", 1), ErrFormat, `"0x10"`},
		{"point 0", plain + "f 0 1 2\n", ErrIndex, "counted from 1"},
		{"point 9 of 8", plain + "f 1 2 9\n", ErrIndex, "line 15: "},
		{"nine back of eight", plain + "f -1 -2 -9\n", ErrIndex, `"-9"`},
		{"point of 3 billion", plain + "f 1 2 3000000000\n", ErrFormat, "3000000000"},
		{"face of words", plain + "f a b c\n", ErrFormat, `"a"`},
		{"a line of 2 MB", plain + "f " + strings.Repeat("1 ", 1<<20), ErrTooLarge, "line 15: "},
		{"a face of 5000 corners", plain + "f " + strings.Repeat("1 2 ", 2500), ErrTooLarge, "limit 4096"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := readBytes("cube.obj", []byte(test.in), Limits{})
			wantError(t, err, test.err, test.text)
		})
	}
}

// TestOBJCountsLines: LF, CR LF and CR each end one line; continued lines count
// from their first.
func TestOBJCountsLines(t *testing.T) {
	for _, end := range []string{"\n", "\r\n", "\r"} {
		in := "# x" + end + end + "v 1 2 \\" + end + "3" + end + "v 1 \\" + end + "nan 3" + end
		_, err := readBytes("x.obj", []byte(in), Limits{})
		wantError(t, err, ErrNotFinite, "line 5: ")
	}
}

func TestOBJAboveALimit(t *testing.T) {
	in := []byte(cubeCorners + cubeQuads)
	_, err := readBytes("cube.obj", in, Limits{Facets: 11})
	wantError(t, err, ErrTooLarge, "limit 11")
	if _, err := readBytes("cube.obj", in, Limits{Facets: 12}); err != nil {
		t.Errorf("at the limit: %v", err)
	}
	_, err = readBytes("cube.obj", []byte(strings.Repeat("v 0 0 0\n", 31)+"f 1 2 3\n"), Limits{Facets: 10})
	wantError(t, err, ErrTooLarge, "points")
}

// TestOBJWithTooMuchToCut starts with all work but a little spent; a file that
// spends it would take ten seconds.
func TestOBJWithTooMuchToCut(t *testing.T) {
	o := &objReader{limits: Limits{}.orDefault(), clip: clipper{work: clipWork}}
	for i, text := range []string{"v 0 0 0", "v 4 -2 0", "v 1 0 0", "v 4 2 0", "f 1 2 3 4"} {
		if err := o.statement([]byte(text), i+1); err != nil {
			t.Fatal(err)
		}
	}
	_, err := o.cut()
	wantError(t, err, ErrTooLarge, "line 5: ", "turn inwards")
}

func TestOBJCountsObjects(t *testing.T) {
	tests := []struct {
		name  string
		in    string
		items int
		part  string
	}{
		{"no names", cubeCorners + cubeQuads, 1, ""},
		{"one object", "o left arm\n" + cubeCorners + cubeQuads, 1, "left arm"},
		{"one object of two groups", "o arm\n" + cubeCorners + "g a\nf 1 3 4 2\ng b\nf 5 6 8 7\n", 1, "arm"},
		{"two groups", cubeCorners + "g a\nf 1 3 4 2\ng b\nf 5 6 8 7\n", 2, ""},
		{"two objects", cubeCorners + "o a\nf 1 3 4 2\no b\nf 5 6 8 7\n", 2, ""},
		{"an object without faces", "o none\no arm\n" + cubeCorners + cubeQuads, 1, "arm"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			part, err := readBytes("x.obj", []byte(test.in), Limits{})
			if err != nil {
				t.Fatal(err)
			}
			if part.Items != test.items || part.Name != test.part {
				t.Errorf("Items, Name = %d, %q, want %d, %q", part.Items, part.Name, test.items, test.part)
			}
		})
	}
}

// TestOBJConcavePrism reads a prism over an L, whose ends are concave
// hexagons, in every orientation of the ends' first corner: its volume is
// 3·5 = 15, and a fan from the wrong corner would change its area.
func TestOBJConcavePrism(t *testing.T) {
	outline := [][2]int{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 3}, {0, 3}}
	n := len(outline)
	for first := range n {
		var b strings.Builder
		for z := 0; z <= 3; z += 3 {
			for _, p := range outline {
				fmt.Fprintf(&b, "v %d %d %d\n", p[0], p[1], z)
			}
		}
		b.WriteString("f")
		for k := range n {
			fmt.Fprintf(&b, " %d", n+(first+k)%n+1)
		}
		b.WriteString("\nf")
		for k := range n {
			fmt.Fprintf(&b, " %d", (first+n-k)%n+1)
		}
		b.WriteString("\n")
		for i := range n {
			j := (i + 1) % n
			fmt.Fprintf(&b, "f %d %d %d %d\n", i+1, j+1, n+j+1, n+i+1)
		}
		part, err := readBytes("l.obj", []byte(b.String()), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if got, want := volume(part.Triangles), 15.0; !near(got, want, 1e-12) {
			t.Errorf("first corner %d: volume = %v, want %v", first, got, want)
		}
		// Two ends of 5, walls of 12·3.
		if got, want := area(part.Triangles), 46.0; !near(got, want, 1e-12) {
			t.Errorf("first corner %d: area = %v, want %v", first, got, want)
		}
		wantNotes(t, part)
	}
}

func TestOBJNotesFacesThatCross(t *testing.T) {
	for name, corners := range map[string][]r3.Vec{
		"bow tie":         {{X: 0}, {X: 2, Y: 3}, {X: 2}, {Y: 2}},
		"no area":         {{X: 0}, {X: 1}, {X: 3}, {X: 2}},
		"five-point star": star(5, 2, 10),
		"there and back":  {{X: 2, Y: 3}, {Y: 1}, {X: 1, Y: 3}, {Y: 1}, {X: 3, Y: 1}, {X: 2, Y: 1}},
	} {
		var b strings.Builder
		for _, v := range corners {
			fmt.Fprintf(&b, "v %g %g %g\n", v.X, v.Y, v.Z)
		}
		b.WriteString("f")
		for i := range corners {
			fmt.Fprintf(&b, " %d", i+1)
		}
		t.Run(name, func(t *testing.T) {
			part, err := readBytes("x.obj", []byte(b.String()), Limits{})
			if err != nil {
				t.Fatal(err)
			}
			wantNotes(t, part, NoteCrossed)
			if got, want := len(part.Triangles), len(corners)-2; got != want {
				t.Errorf("facets = %d, want %d", got, want)
			}
		})
	}
}
