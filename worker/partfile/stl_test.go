package partfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

func TestBinarySTL(t *testing.T) {
	whole := binarySTL("a part", 12, cube(10))
	half := binarySTL("a part", 12, cube(10)[:6])
	tests := []struct {
		name  string
		in    []byte
		err   error
		text  string // in the error
		notes []string
	}{
		{name: "whole", in: whole},
		{name: "header says solid", in: binarySTL("solid cube", 12, cube(10))},
		{name: "header holds a whole empty text solid", in: binarySTL("solid x\nendsolid x\n", 12, cube(10))},
		{name: "one stray byte", in: append(bytes.Clone(whole), 7), notes: []string{NoteStrayBytes}},
		{name: "a stray facet", in: append(bytes.Clone(whole), whole[84:134]...), notes: []string{NoteStrayBytes}},
		{name: "stray byte after a header that says solid",
			in: append(binarySTL("solid cube", 12, cube(10)), 0), notes: []string{NoteStrayBytes}},
		{name: "no bytes", in: nil, err: ErrEmpty},
		{name: "no facets", in: binarySTL("a part", 0, nil), err: ErrEmpty},
		{name: "header alone cut short", in: whole[:50], err: ErrTruncated, text: "84"},
		{name: "header that says solid cut short", in: binarySTL("solid cube", 12, nil)[:70], err: ErrTruncated},
		{name: "last byte missing", in: whole[:len(whole)-1], err: ErrTruncated, text: "header says 12 facets, file holds 11"},
		{name: "cut within a facet", in: whole[:300], err: ErrTruncated},
		{name: "cut right after the header", in: whole[:84], err: ErrTruncated},
		{name: "says solid and cut", in: binarySTL("solid cube", 12, cube(10))[:400], err: ErrTruncated},
		{name: "count above whole facets", in: half, err: ErrCount, text: "header says 12 facets, file holds 6"},
		{name: "count of 4 billion", in: binarySTL("a part", math.MaxUint32, cube(10)), err: ErrCount},
		{name: "says solid and counts 4 billion", in: binarySTL("solid x", math.MaxUint32, cube(10)), err: ErrCount},
		{name: "count 0 before facets", in: binarySTL("a part", 0, cube(10)), err: ErrCount},
		{name: "a page of the web", in: []byte(strings.Repeat("<!DOCTYPE html> ", 20)), err: ErrFormat, text: "DOCTYPE"},
		{name: "a zip file", in: []byte("PK\x03\x04" + strings.Repeat("x", 200)), err: ErrFormat, text: ".3mf"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			part, err := readBytes("cube.stl", test.in, Limits{})
			if test.err != nil {
				wantError(t, err, test.err, "read cube.stl", test.text)
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			wantCube(t, part, 10)
			wantNotes(t, part, test.notes...)
		})
	}
}

// wantCube checks facets, volume and area of a cube. Tolerance: the cubes' 32-bit
// coordinates are whole numbers.
func wantCube(t *testing.T, part Part, side float64) {
	t.Helper()
	if got := len(part.Triangles); got != 12 {
		t.Fatalf("facets = %d, want 12", got)
	}
	if got, want := volume(part.Triangles), side*side*side; got != want {
		t.Errorf("volume = %v, want %v", got, want)
	}
	if got, want := area(part.Triangles), 6*side*side; got != want {
		t.Errorf("area = %v, want %v", got, want)
	}
}

// TestLengthDecidesBeforeWords: a count that reads as text is above half a
// billion, so only the look at the header can be tested with it.
func TestLengthDecidesBeforeWords(t *testing.T) {
	head := bytes.Repeat([]byte(" "), sniffBytes)
	copy(head, "solid of many facets")
	fits := stlLength(0x20202020)
	if got := sniffSTL(head, fits); got != stlBinary {
		t.Errorf("sniffSTL of the length that fits = %v, want binary", got)
	}
	if got := sniffSTL(head, fits+1); got != stlText {
		t.Errorf("sniffSTL of another length = %v, want text", got)
	}
}

func TestBinarySTLNamesTheFacetThatIsNotFinite(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		triangles := cube(10)
		triangles[4][1].Y = bad
		triangles[7][1].Y = bad
		_, err := readBytes("cube.stl", binarySTL("x", 12, triangles), Limits{})
		wantError(t, err, ErrNotFinite, "facet 5")
	}
}

func TestBinarySTLIgnoresNormalsThatAreNotFinite(t *testing.T) {
	in := binarySTL("x", 12, cube(10))
	for i := range 12 {
		copy(in[84+50*i:], "\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff") // NaN
	}
	part, err := readBytes("cube.stl", in, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	wantCube(t, part, 10)
}

func TestBinarySTLTakesItsNameFromTheHeader(t *testing.T) {
	for header, want := range map[string]string{
		"left arm": "left arm", "\x00\x01junk": "", "  solid a \xff": "solid a",
		strings.Repeat("n", 80): strings.Repeat("n", 80),
	} {
		part, err := readBytes("cube.stl", binarySTL(header, 12, cube(10)), Limits{})
		if err != nil || part.Name != want {
			t.Errorf("name of %q = %q, %v, want %q", header, part.Name, err, want)
		}
	}
}

func TestSTLAboveALimitIsRefused(t *testing.T) {
	in := binarySTL("x", 12, cube(10))
	for name, limits := range map[string]Limits{
		"facets": {Facets: 11}, "bytes": {FileBytes: int64(len(in)) - 1},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := readBytes("cube.stl", in, limits)
			wantError(t, err, ErrTooLarge, name)
		})
	}
	if _, err := readBytes("cube.stl", in, Limits{Facets: 12, FileBytes: int64(len(in))}); err != nil {
		t.Errorf("at the limits: %v", err)
	}
}

// sparse is a file of any size that holds a header and zeros, or ends early.
type sparse struct {
	head []byte
	ends int64
}

func (s sparse) ReadAt(p []byte, off int64) (int, error) {
	if off >= s.ends {
		return 0, io.EOF
	}
	clear(p)
	if off < int64(len(s.head)) {
		copy(p, s.head[off:])
	}
	if left := s.ends - off; int64(len(p)) > left {
		return int(left), io.EOF
	}
	return len(p), nil
}

// TestSparseSTLTakesNoMemory reads files whose length fits a count of 100
// million facets: over the limit, and below it but with nothing behind.
func TestSparseSTLTakesNoMemory(t *testing.T) {
	const count = 100_000_000
	head := binarySTL("x", count, nil)
	tests := []struct {
		name   string
		in     io.ReaderAt
		limits Limits
		err    error
	}{
		{"over the limit", sparse{head, stlLength(count)}, Limits{FileBytes: 1 << 40}, ErrTooLarge},
		{"nothing behind", sparse{head, 1 << 12}, Limits{FileBytes: 1 << 40, Facets: 2 * count}, ErrTruncated},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := Read("x.stl", test.in, stlLength(count), test.limits)
			runtime.ReadMemStats(&after)
			wantError(t, err, test.err)
			// 7.2 GB on the header's word; reservedFacets are 72 MiB.
			if got := after.TotalAlloc - before.TotalAlloc; got > 80<<20 {
				t.Errorf("allocated %d MiB", got>>20)
			}
		})
	}
}

// failing answers reads of one byte with an error of the disk.
type failing struct {
	io.ReaderAt
	at  int64
	err error
}

func (f failing) ReadAt(p []byte, off int64) (int, error) {
	if off <= f.at && f.at < off+int64(len(p)) {
		return 0, f.err
	}
	return f.ReaderAt.ReadAt(p, off)
}

func TestErrorsOfTheDiskAreKept(t *testing.T) {
	broken := errors.New("disk on fire")
	many := make([]mesh.Triangle, 10_000)
	for i := range many {
		many[i] = mesh.Triangle{{}, {X: 1}, {Y: 1}}
	}
	var text, obj, vertices strings.Builder
	text.WriteString("solid x\n")
	for i := range 20_000 {
		text.WriteString(textFacet)
		obj.WriteString("v 1 2 3\n")
		fmt.Fprintf(&vertices, `<vertex x="%d" y="%d" z="0"/>`, i*i, i)
	}
	for name, in := range map[string][]byte{
		"binary.stl": binarySTL("x", uint32(len(many)), many), "text.stl": []byte(text.String()),
		"x.obj": []byte(obj.String()),
		"x.3mf": package3MF(t, strings.Replace(boxModel, "</vertices>", vertices.String()+"</vertices>", 1)),
	} {
		for _, at := range []int64{int64(len(in)) / 3, int64(len(in)) / 2, int64(len(in)) - 1} {
			_, err := Read(name, failing{bytes.NewReader(in), at, broken}, int64(len(in)), Limits{})
			if !errors.Is(err, broken) {
				t.Errorf("%s failing at byte %d of %d: %v", name, at, len(in), err)
			}
		}
	}
}

func TestUnknownEndingIsRefused(t *testing.T) {
	for _, name := range []string{"part", "part.step", "stl", "part.stl.gz"} {
		_, err := readBytes(name, binarySTL("x", 12, cube(1)), Limits{})
		wantError(t, err, ErrUnknownKind, name)
	}
	if _, err := readBytes("PART.STL", binarySTL("x", 12, cube(1)), Limits{}); err != nil {
		t.Errorf("upper case: %v", err)
	}
}

func TestBinarySTLKeepsOrderAndExactValues(t *testing.T) {
	want := []mesh.Triangle{
		{{X: 0.5, Y: -1.25, Z: 3}, {X: 1e-30}, {Y: 1e30}},
		{{X: 1}, {Y: 2}, {Z: 3}},
	}
	part, err := readBytes("x.stl", binarySTL("x", 2, want), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	for i, triangle := range part.Triangles {
		for k, v := range triangle {
			w := want[i][k]
			if v != (r3.Vec{X: float64(float32(w.X)), Y: float64(float32(w.Y)), Z: float64(float32(w.Z))}) {
				t.Errorf("facet %d corner %d = %v, want %v", i, k, v, w)
			}
		}
	}
	if part.InMillimetres || part.Items != 1 {
		t.Errorf("InMillimetres, Items = %v, %d, want false, 1", part.InMillimetres, part.Items)
	}
}
