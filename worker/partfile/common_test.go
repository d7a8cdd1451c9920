package partfile

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// readBytes reads a file that is only bytes.
func readBytes(name string, data []byte, limits Limits) (Part, error) {
	return Read(name, bytes.NewReader(data), int64(len(data)), limits)
}

// wantError fails unless err is an *Error around want that names the file and
// holds all texts.
func wantError(t *testing.T, err, want error, texts ...string) {
	t.Helper()
	var told *Error
	if !errors.Is(err, want) || !errors.As(err, &told) {
		t.Fatalf("error = %v, want an *Error around %v", err, want)
	}
	for _, text := range texts {
		if !strings.Contains(err.Error(), text) {
			t.Errorf("error = %v, want it to hold %q", err, text)
		}
	}
	if len(err.Error()) > 600 {
		t.Errorf("error of %d bytes", len(err.Error()))
	}
}

func noteCodes(part Part) []string {
	var codes []string
	for _, n := range part.Notes {
		codes = append(codes, n.Code)
	}
	return codes
}

func wantNotes(t *testing.T, part Part, want ...string) {
	t.Helper()
	if got := noteCodes(part); !slices.Equal(got, want) {
		t.Errorf("notes = %v, want %v", part.Notes, want)
	}
}

// binarySTL builds a binary file whose header says count.
func binarySTL(header string, count uint32, triangles []mesh.Triangle) []byte {
	out := make([]byte, stlHeader)
	copy(out, header)
	binary.LittleEndian.PutUint32(out[80:], count)
	for _, t := range triangles {
		record := make([]byte, 12) // normal
		for _, v := range t {
			for _, x := range []float64{v.X, v.Y, v.Z} {
				record = binary.LittleEndian.AppendUint32(record, math.Float32bits(float32(x)))
			}
		}
		out = append(out, append(record, 0, 0)...)
	}
	return out
}

// cube returns the twelve facets of an upright cube.
func cube(side float64) []mesh.Triangle {
	return cubeMesh(side).Triangles()
}

func cubeMesh(side float64) *mesh.Mesh {
	var corners []r3.Vec
	for i := range 8 {
		corners = append(corners, r3.Vec{X: side * float64(i&1), Y: side * float64(i>>1&1), Z: side * float64(i>>2&1)})
	}
	m, err := mesh.New(corners, [][3]mesh.VertexID{
		{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6},
		{0, 1, 4}, {1, 5, 4}, {2, 6, 3}, {3, 6, 7},
		{0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5},
	})
	if err != nil {
		panic(err)
	}
	return m
}

// volume is the signed volume that facets enclose: Σ a·(b×c)/6.
func volume(triangles []mesh.Triangle) float64 {
	sum := 0.0
	for _, t := range triangles {
		sum += r3.Dot(t[0], r3.Cross(t[1], t[2]))
	}
	return sum / 6
}

func area(triangles []mesh.Triangle) float64 {
	sum := 0.0
	for _, t := range triangles {
		sum += r3.Norm(r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))) / 2
	}
	return sum
}

func bounds(triangles []mesh.Triangle) r3.Box {
	inf := math.Inf(1)
	box := r3.Box{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
	for _, t := range triangles {
		for _, v := range t {
			box.Min = r3.Vec{X: min(box.Min.X, v.X), Y: min(box.Min.Y, v.Y), Z: min(box.Min.Z, v.Z)}
			box.Max = r3.Vec{X: max(box.Max.X, v.X), Y: max(box.Max.Y, v.Y), Z: max(box.Max.Z, v.Z)}
		}
	}
	return box
}

func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol }

// member is one file of a zip made for a test.
type member struct{ name, text string }

func zipOf(t testing.TB, members ...member) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, m := range members {
		w, err := z.Create(m.name)
		if err == nil {
			_, err = w.Write([]byte(m.text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// package3MF wraps a model as a whole 3MF file.
func package3MF(t testing.TB, model string, more ...member) []byte {
	t.Helper()
	members := []member{{contentTypesMember, contentTypes}, {rootRelsMember, rootRels}, {modelMember, model}}
	return zipOf(t, append(members, more...)...)
}

// sharedData returns the path of a folder of the shared data, which lies beside
// the repository, or skips the test.
func sharedData(t testing.TB, folder string) string {
	t.Helper()
	dir, err := os.Getwd()
	for err == nil {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if dir == filepath.Dir(dir) {
			break
		}
		dir = filepath.Dir(dir)
	}
	path := filepath.Join(filepath.Dir(dir), "shared", "data", folder)
	if _, err := os.Stat(path); err != nil {
		t.Skip("skipped: shared data absent")
	}
	return path
}
