//go:build amd64 && !amd64.v3

package main

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"

	"platewright/testdata/lanterngen/lantern"
)

var update = flag.Bool("update", false, "rewrite the demo files")

// The committed files are what the generator writes, byte for byte. Where the
// compiler fuses products and sums the last digits differ, and with them the
// order of collapses: so only where it does not.
func TestDemoFilesAreWhatTheGeneratorWrites(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: making all parts takes long")
	}
	dir := t.TempDir()
	if *update {
		dir = demoFolder
	}
	if err := run([]string{"-out", dir}, io.Discard, io.Discard); err != nil {
		t.Fatal(err)
	}
	for _, name := range lantern.Names() {
		got, err := os.ReadFile(filepath.Join(dir, name+".stl"))
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(filepath.Join(demoFolder, name+".stl"))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s.stl differs from what the generator writes; -update rewrites it", name)
		}
	}
}
