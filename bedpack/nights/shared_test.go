package nights

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

// shared reads a file of the shared data beside the repository into v. It
// skips the test when there is none.
func shared(t *testing.T, v any, name ...string) {
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
	path := filepath.Join(append([]string{dir, "..", "shared", "data"}, name...)...)
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.Skip("skipped: shared data absent")
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, v); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
}
