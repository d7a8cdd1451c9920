//go:build amd64 && !amd64.v3

package role

import (
	"bytes"
	"os"
	"slices"
	"testing"

	"platewright/testdata/lanterngen/lantern"
)

// The file of true roles is what the generator says: of the parts that it makes
// in a second or so, with -update of all. Where the compiler fuses products and
// sums the order of facets may differ, so only where it does not.
func TestRolesFileIsWhatTheGeneratorSays(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: making parts takes long")
	}
	names := []string{"crest-fin-4", "lure-bulb", "joining-pin_x4"}
	if *update {
		names = lantern.Names()
	}
	var made [][]byte
	for _, name := range names {
		p, err := lantern.Make(name, lantern.Resolution, 0)
		if err != nil {
			t.Fatal(err)
		}
		line := append([]byte(name), ' ')
		for _, r := range p.Roles {
			line = append(line, letters[r])
		}
		made = append(made, line)
	}
	if *update {
		if err := os.WriteFile(rolesFile, append(bytes.Join(made, []byte("\n")), '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	data, err := os.ReadFile(rolesFile)
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.Split(data, []byte("\n"))
	for i, want := range made {
		if !slices.ContainsFunc(lines, func(l []byte) bool { return bytes.Equal(l, want) }) {
			t.Errorf("%s: the roles differ from those of the generator; -update rewrites them", names[i])
		}
	}
}
