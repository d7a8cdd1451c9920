package partfile

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"unicode/utf8"
)

func TestOpen(t *testing.T) {
	dir := t.TempDir()
	whole := filepath.Join(dir, "cube.STL")
	if err := os.WriteFile(whole, binarySTL("x", 12, cube(10)), 0o600); err != nil {
		t.Fatal(err)
	}
	part, err := Open(whole, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	wantCube(t, part, 10)

	_, err = Open(filepath.Join(dir, "none.stl"), Limits{})
	wantError(t, err, fs.ErrNotExist, "read none.stl: ")

	folder := filepath.Join(dir, "folder.stl")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	_, err = Open(folder, Limits{})
	wantError(t, err, ErrFormat, "not a regular file")

	// Opening a pipe that nobody writes to would wait for ever.
	pipe := filepath.Join(dir, "pipe.stl")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skipf("skipped: no pipes here: %v", err)
	}
	_, err = Open(pipe, Limits{})
	wantError(t, err, ErrFormat, "not a regular file")
}

// TestSparseFileOnDisk opens a file of 5 GB that takes no room.
func TestSparseFileOnDisk(t *testing.T) {
	path := filepath.Join(t.TempDir(), "sparse.stl")
	if err := os.WriteFile(path, binarySTL("x", 100_000_000, nil), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(path, stlLength(100_000_000)); err != nil {
		t.Skipf("skipped: no sparse files here: %v", err)
	}
	_, err := Open(path, Limits{})
	wantError(t, err, ErrTooLarge, "bytes")
	_, err = Open(path, Limits{FileBytes: 1 << 40})
	wantError(t, err, ErrTooLarge, "facets")
}

func TestErrorReadsAsOneLine(t *testing.T) {
	tests := []struct {
		in   Error
		want string
	}{
		{Error{Err: ErrEmpty}, "partfile: no facets"},
		{Error{Op: "read", File: "a.stl", Err: ErrEmpty}, "read a.stl: partfile: no facets"},
		{
			Error{Op: "read", File: "a.stl", Place: "line 3", Value: `"1,5"`, Hint: "write a point", Err: ErrFormat},
			`read a.stl: line 3: partfile: not what the format allows: "1,5" (write a point)`,
		},
	}
	for _, test := range tests {
		if got := test.in.Error(); got != test.want {
			t.Errorf("Error() = %s, want %s", got, test.want)
		}
	}
}

func TestQuotedTextIsShortAndPrintable(t *testing.T) {
	for _, in := range []string{
		"", "plain", strings.Repeat("x", 1<<20), strings.Repeat("\u263a", 1000), strings.Repeat("\xff", 1000), "a\x00b\nc",
	} {
		got := quoted(in)
		if !utf8.ValidString(got) || strings.ContainsAny(got, "\x00\n") || len(got) > 4*maxQuoted {
			t.Errorf("quoted(%.20q) = %s", in, got)
		}
	}
	if got, want := short("abc", 3), "abc"; got != want {
		t.Errorf("short = %q, want %q", got, want)
	}
	if got, want := short("abcd", 3), "abc\u2026"; got != want {
		t.Errorf("short = %q, want %q", got, want)
	}
}

func TestNumber(t *testing.T) {
	tests := []struct {
		in   string
		want float64
		err  error
	}{
		{"1", 1, nil}, {"-1.5", -1.5, nil}, {"+.5e1", 5, nil}, {"1E-400", 0, nil}, {"3.4028234663852886e+38", maxCoordinate, nil},
		{"", 0, ErrFormat}, {"x", 0, ErrFormat}, {"1,5", 0, ErrFormat}, {"0x1p3", 0, ErrFormat}, {"1_0", 0, ErrFormat},
		{"1.5mm", 0, ErrFormat}, {"--1", 0, ErrFormat},
		{"nan", 0, ErrNotFinite}, {"-NaN(ind)", 0, ErrNotFinite}, {"1.#INF", 0, ErrNotFinite}, {"-1.#IND", 0, ErrNotFinite},
		{"Infinity", 0, ErrNotFinite}, {"3.5e38", 0, ErrNotFinite}, {"1e999", 0, ErrNotFinite},
	}
	for _, test := range tests {
		got, err := number(test.in)
		if got != test.want || !errors.Is(err, test.err) {
			t.Errorf("number(%q) = %v, %v, want %v, %v", test.in, got, err, test.want, test.err)
		}
	}
}

func TestNoteCodesDiffer(t *testing.T) {
	seen := map[string]bool{}
	for _, code := range []string{
		NoteStrayBytes, NoteSeveral, NoteSupport, NoteSurface, NoteMirrored, NoteMaterial,
		NoteExtension, NoteRepeated, NoteCrossed, NoteNotFaces, NoteFewCorners,
	} {
		if seen[code] || code == "" {
			t.Errorf("code %q twice or empty", code)
		}
		seen[code] = true
	}
}
