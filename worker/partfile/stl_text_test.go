package partfile

import (
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"time"

	"platewright/support/mesh"
)

const textFacet = "facet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n"

// textSTL writes facets as most programs do.
func textSTL(name string, triangles []mesh.Triangle) string {
	var b strings.Builder
	fmt.Fprintf(&b, "solid %s\n", name)
	for _, t := range triangles {
		b.WriteString("  facet normal 0 0 0\n    outer loop\n")
		for _, v := range t {
			fmt.Fprintf(&b, "      vertex %g %g %e\n", v.X, v.Y, v.Z)
		}
		b.WriteString("    endloop\n  endfacet\n")
	}
	fmt.Fprintf(&b, "endsolid %s\n", name)
	return b.String()
}

func TestTextSTL(t *testing.T) {
	plain := textSTL("cube", cube(10))
	oneLine := strings.Join(strings.Fields(plain), " ")
	longName := strings.Repeat("long name ", 20_000)
	tests := []struct {
		name string
		in   string
		part string
	}{
		{"plain", plain, "cube"},
		{"nameless with and without a space", strings.Replace(textSTL("", cube(10)), "solid \n", "solid\n", 1), ""},
		{"name of several words", textSTL("left arm  v2", cube(10)), "left arm v2"},
		{"name that begins with facet", textSTL("facet test", cube(10)), "facet test"},
		{"name with control characters", textSTL("a\x00\x01b", cube(10)), "a\x00\x01b"},
		{"name in another alphabet", textSTL(strings.Repeat("\u00e9\u0436", 40), cube(10)), "\u00e9\u0436"},
		{"upper case", strings.ToUpper(plain), "CUBE"},
		{"mixed case", strings.ReplaceAll(strings.ReplaceAll(plain, "facet", "Facet"), "vertex", "VerTex"), "cube"},
		{"byte order mark", "\xef\xbb\xbf" + plain, "cube"},
		{"blanks before solid", " \n\t\r\n" + plain, "cube"},
		{"CR LF", strings.ReplaceAll(plain, "\n", "\r\n"), "cube"},
		{"CR only", strings.ReplaceAll(plain, "\n", "\r"), "cube"},
		{"tabs, form feeds", strings.ReplaceAll(plain, "  ", "\t\f\v"), "cube"},
		{"no end of line at the end", strings.TrimSpace(plain), "cube"},
		{"bare endsolid", strings.Replace(plain, "endsolid cube\n", "endsolid", 1), "cube"},
		{"all on one line", oneLine, "cube"},
		{"lines of 200 kB", strings.ReplaceAll(plain, "vertex ", "vertex "+strings.Repeat(" ", 200_000)), "cube"},
		{"name of 200 kB", textSTL(longName, cube(10)), strings.TrimSpace(longName[:maxQuoted])},
		{"normals that are no numbers", strings.ReplaceAll(plain, "normal 0 0 0", "normal -nan(ind) nan 1.#QNAN"), "cube"},
		{"plus signs and exponents", strings.ReplaceAll(plain, "vertex 10", "vertex +1.0E+01"), "cube"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			part, err := readBytes("cube.stl", []byte(test.in), Limits{})
			if err != nil {
				t.Fatal(err)
			}
			wantCube(t, part, 10)
			wantNotes(t, part)
			if !strings.HasPrefix(part.Name, test.part) || test.part == "" && part.Name != "" {
				t.Errorf("name = %q, want %q", part.Name, test.part)
			}
		})
	}
}

func TestTextSTLThatIsRefused(t *testing.T) {
	plain := textSTL("cube", cube(10))
	lines := strings.SplitAfter(plain, "\n")
	tests := []struct {
		name string
		in   string
		err  error
		text string
	}{
		{"no facets", "solid cube\nendsolid cube\n", ErrEmpty, ""},
		{"only the word solid", "solid", ErrTruncated, "endsolid"},
		{"nothing but blanks", strings.Repeat("\n", 3000), ErrEmpty, ""},
		{"cut after a whole facet", strings.Join(lines[:8], ""), ErrTruncated, "line 9"},
		{"cut within a facet", strings.Join(lines[:5], ""), ErrTruncated, "line 6"},
		{"cut within a word", plain[:len(plain)/2], ErrTruncated, ""},
		{"no endsolid", strings.Join(lines[:len(lines)-2], ""), ErrTruncated, "no endsolid"},
		{"no solid", strings.Join(lines[1:], ""), ErrFormat, "facet"},
		{"four corners", strings.Replace(plain, "endloop", "vertex 1 2 3\nendloop", 1), ErrFormat, "line 7"},
		{"two corners", strings.Replace(plain, "vertex 0 0 0.000000e+00\n", "", 1), ErrFormat, `"endloop" where vertex`},
		{"missing coordinate", strings.Replace(plain, "vertex 0 0 0.000000e+00", "vertex 0 0", 1), ErrFormat, "line 5"},
		{"decimal comma", strings.Replace(plain, "vertex 10 0", "vertex 10,5 0", 1), ErrFormat, `"10,5" (write a point`},
		{"word for a number", strings.Replace(plain, "vertex 10 0", "vertex ten 0", 1), ErrFormat, `"ten"`},
		{"keyword for a number", strings.Replace(plain, "vertex 10 0", "vertex facet 0", 1), ErrFormat, "line 2"},
		{"endsolid for a number", strings.Replace(plain, "vertex 10 0", "vertex endsolid 0", 1), ErrFormat, `"endsolid"`},
		{"nan", strings.Replace(plain, "vertex 10 0", "vertex nan 0", 1), ErrNotFinite, "facet 1 at line 2"},
		{"inf", strings.Replace(plain, "vertex 10 0", "vertex -inf 0", 1), ErrNotFinite, `"-inf"`},
		{"too large for 32 bits", strings.Replace(plain, "vertex 10 0", "vertex 1e39 0", 1), ErrNotFinite, `"1e39"`},
		{"a word of a megabyte", strings.Replace(plain, "vertex 10 0", "vertex "+strings.Repeat("9", 1<<20)+" 0", 1), ErrNotFinite, ""},
		{"facet after endsolid", plain + textFacet, ErrFormat, `"facet" where solid`},
		{"facet after endsolid on its line", strings.TrimSpace(plain) + " " + textFacet, ErrFormat, `"facet" where solid`},
		{"facet after stray text", plain + "stray " + textFacet, ErrFormat, "the end of the file"},
		{"solid within solid", strings.Replace(plain, "  facet", "solid b\n  facet", 2), ErrFormat, `"solid" where facet`},
		{"last facet bad", strings.Replace(plain, "vertex 10 10 1.000000e+01\n      vertex 10 0", "vertex 10 10 1.000000e+01\n      vertex x 0", 1), ErrFormat, `"x"`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := readBytes("cube.stl", []byte(test.in), Limits{})
			wantError(t, err, test.err, test.text)
		})
	}
}

// TestTextSTLNamesTheFacetThatFails breaks each facet of a file in turn.
func TestTextSTLNamesTheFacetThatFails(t *testing.T) {
	for _, bad := range []struct {
		word string
		err  error
	}{{"bad", ErrFormat}, {"nan", ErrNotFinite}} {
		for i := range 12 {
			lines := strings.Split(textSTL("cube", cube(10)), "\n")
			at := 1 + 7*i
			lines[at+3] = "vertex 1 " + bad.word + " 2"
			_, err := readBytes("cube.stl", []byte(strings.Join(lines, "\n")), Limits{})
			wantError(t, err, bad.err, fmt.Sprintf("facet %d at line %d: ", i+1, at+1), `"`+bad.word+`"`)
		}
	}
}

// TestTextSTLCountsLines: LF, CR LF and CR each end one line.
func TestTextSTLCountsLines(t *testing.T) {
	for _, end := range []string{"\n", "\r\n", "\r"} {
		in := "solid x" + end + end + "facet" + end + "normal 0 0 0 inner"
		_, err := readBytes("x.stl", []byte(in+end+end+"loop"), Limits{})
		wantError(t, err, ErrFormat, `line 4: `, `"inner" where outer`)
	}
}

func TestTextSTLKeepsAllSolids(t *testing.T) {
	both := textSTL("one", cube(10)) + "\n\n" + textSTL("two", cube(20)) + textSTL("none", nil)
	part, err := readBytes("two.stl", []byte(both), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := volume(part.Triangles), 1000.0+8000; got != want {
		t.Errorf("volume = %v, want %v", got, want)
	}
	if part.Items != 3 || part.Name != "" {
		t.Errorf("Items, Name = %d, %q, want 3, none", part.Items, part.Name)
	}
	wantNotes(t, part, NoteSeveral)

	broken := strings.Replace(both, "vertex 20", "vertex nan", 1)
	_, err = readBytes("two.stl", []byte(broken), Limits{})
	wantError(t, err, ErrNotFinite, "facet 13 at line ")
}

func TestTextSTLNotesStrayText(t *testing.T) {
	for _, stray := range []string{"\x00\x00\x00", "\x1a", "made by hand\n", strings.Repeat("z", 1<<20)} {
		part, err := readBytes("cube.stl", []byte(textSTL("cube", cube(10))+stray), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		wantCube(t, part, 10)
		wantNotes(t, part, NoteStrayBytes)
	}
}

// repeated is a text that repeats without taking memory.
type repeated struct {
	head, body, tail string
	times            int64
}

func (r repeated) size() int64 {
	return int64(len(r.head)+len(r.tail)) + r.times*int64(len(r.body))
}

func (r repeated) ReadAt(p []byte, off int64) (int, error) {
	for i := range p {
		switch at := off + int64(i); {
		case at >= r.size():
			return i, io.EOF
		case at < int64(len(r.head)):
			p[i] = r.head[at]
		case at < r.size()-int64(len(r.tail)):
			p[i] = r.body[(at-int64(len(r.head)))%int64(len(r.body))]
		default:
			p[i] = r.tail[at-r.size()+int64(len(r.tail))]
		}
	}
	return len(p), nil
}

// TestTextSTLWithMegabytesOfBlankLines is what the STL library answers with a
// stack overflow that ends the program.
func TestTextSTLWithMegabytesOfBlankLines(t *testing.T) {
	plain := textSTL("cube", cube(10))
	for at, head := range map[string]string{
		"before": "", "after the name": "solid cube\n", "in a facet": plain[:strings.Index(plain, "vertex")],
		"at the end": plain,
	} {
		for blank, bytes := range map[string]int{"\n": 4 << 20, "\r": 1 << 16, " ": 1 << 16, "\r\n": 1 << 16} {
			in := head + strings.Repeat(blank, bytes/len(blank)) + plain[len(head):]
			part, err := readBytes("cube.stl", []byte(in), Limits{})
			if err != nil {
				t.Fatalf("%s, %q: %v", at, blank, err)
			}
			wantCube(t, part, 10)
		}
	}
}

// TestTextSTLStopsAtTheFirstFault reads 100 MB of facets that are all bad,
// which the STL library would each keep an error for.
func TestTextSTLStopsAtTheFirstFault(t *testing.T) {
	bad := strings.ReplaceAll(textFacet, "vertex", "vertex x")
	bad = strings.ReplaceAll(bad, " 0\n", "\n")
	in := repeated{head: "solid x\n", body: bad, tail: "endsolid\n", times: 1_000_000}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	start := time.Now()
	_, err := Read("x.stl", in, in.size(), Limits{})
	runtime.ReadMemStats(&after)
	wantError(t, err, ErrFormat, "facet 1 at line 2", `"x"`)
	if got := after.TotalAlloc - before.TotalAlloc; got > 1<<20 {
		t.Errorf("allocated %d kB in %v", got>>10, time.Since(start))
	}
}

func TestTextSTLAboveTheLimitOfFacets(t *testing.T) {
	in := []byte(textSTL("cube", cube(10)))
	_, err := readBytes("cube.stl", in, Limits{Facets: 11})
	wantError(t, err, ErrTooLarge, "limit 11")
	if _, err := readBytes("cube.stl", in, Limits{Facets: 12}); err != nil {
		t.Errorf("at the limit: %v", err)
	}
}
