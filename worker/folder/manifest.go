package folder

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// ErrNotOurs reports a target that holds what this package did not write, and
// so will not be replaced.
var ErrNotOurs = errors.New("folder: holds something this program did not write")

// Manifest is the name of the file, in every folder made by Write, that lists
// the files written there.
const Manifest = ".platewright"

const (
	manifestSchema = "platewright.folder/1"
	manifestLimit  = 16 << 20 // bytes; a hundred thousand long names
	strangersShown = 3
)

// droppings are files that a desktop's file browser leaves in any folder it
// shows; losing one loses nobody's work. Common practice, no source.
var droppings = []string{".DS_Store", "Thumbs.db", "desktop.ini"}

type manifest struct {
	Schema string   `json:"schema"`
	Files  []string `json:"files"` // slash paths, sorted
}

// writeManifest lists the files written so far, as the last file of the folder.
func (d *Dir) writeManifest() error {
	m := manifest{Schema: manifestSchema, Files: slices.Sorted(maps.Keys(d.files))}
	return d.create(Manifest, func(w io.Writer) error {
		encoder := json.NewEncoder(w)
		encoder.SetIndent("", "  ")
		return encoder.Encode(m)
	})
}

// Check reports whether Write would replace what stands at target: nothing, or
// a folder in which every file is one that Write listed. Ask before hours of
// work, not after.
//
// Errors: ErrNotOurs, with the names of a few of the files in the way; else
// whatever the disk returned.
func Check(fsys FS, target string) error {
	kind, err := fsys.Kind(target)
	switch {
	case err != nil:
		return err
	case kind == Absent:
		return nil
	case kind != Directory:
		return fmt.Errorf("%w: %s is not a folder", ErrNotOurs, target)
	}
	listed, err := readManifest(fsys, target)
	if err != nil {
		return err
	}
	s := stranger{fsys: fsys, root: target, listed: listed}
	if err := s.walk("."); err != nil || len(s.found) == 0 {
		return err
	}
	return s.refusal()
}

// readManifest returns the files listed in a folder; none when it has no list
// that this version can read.
func readManifest(fsys FS, root string) (map[string]bool, error) {
	file := filepath.Join(root, Manifest)
	kind, err := fsys.Kind(file)
	if err != nil || kind != Regular {
		return nil, err
	}
	data, err := fsys.Read(file, manifestLimit)
	if err != nil {
		return nil, err
	}
	var m manifest
	if json.Unmarshal(data, &m) != nil || m.Schema != manifestSchema {
		return nil, nil // a file of that name, but not ours: it lists nothing
	}
	listed := map[string]bool{Manifest: true}
	for _, name := range m.Files {
		listed[name] = true
	}
	return listed, nil
}

// stranger looks for files that are not listed and stops at the few it shows,
// so that refusing a whole home folder takes no longer than a small one.
type stranger struct {
	fsys   FS
	root   string
	listed map[string]bool
	found  []string
}

func (s *stranger) walk(dir string) error {
	entries, err := s.fsys.List(filepath.Join(s.root, filepath.FromSlash(dir)))
	if err != nil {
		return err
	}
	for _, e := range entries {
		name := path.Join(dir, e.Name)
		switch {
		case len(s.found) >= strangersShown:
			return nil
		case e.Kind == Directory:
			if err := s.walk(name); err != nil {
				return err
			}
		case !s.listed[name] && !slices.Contains(droppings, e.Name):
			s.found = append(s.found, name)
		}
	}
	return nil
}

func (s *stranger) refusal() error {
	names := make([]string, len(s.found))
	for i, name := range s.found {
		names[i] = fmt.Sprintf("%q", name)
	}
	what := strings.Join(names, ", ")
	if len(names) == strangersShown {
		what += " and perhaps more"
	}
	return fmt.Errorf("%w: %s has %s; move that away or choose a new or empty folder", ErrNotOurs, s.root, what)
}
