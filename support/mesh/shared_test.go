package mesh_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// sharedData returns the folder of real parts beside the repository, or skips
// the test.
func sharedData(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if dir == filepath.Dir(dir) {
			t.Fatal("no go.mod above the package")
		}
		dir = filepath.Dir(dir)
	}
	data := filepath.Join(dir, "..", "shared", "data")
	if _, err := os.Stat(data); err != nil {
		t.Skip("skipped: shared data absent")
	}
	return data
}

// readSoup loads a file of loose triangles by the library alone: package
// partfile, which guards it against bad files, stands above this one.
func readSoup(t testing.TB, path string) []mesh.Triangle {
	t.Helper()
	s, err := stl.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	soup := make([]mesh.Triangle, len(s.Triangles))
	for i, tri := range s.Triangles {
		for k, v := range tri.Vertices {
			soup[i][k] = r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}
		}
	}
	return soup
}
