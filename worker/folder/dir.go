package folder

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
)

// ErrName reports a name that may not be written: not a plain relative path
// with forward slashes, written already, or the manifest's own.
var ErrName = errors.New("folder: name cannot be used")

// bufferSize is large enough that a file of facets is not written in crumbs.
const bufferSize = 1 << 16

// Dir is a new folder that is being filled. Not safe for concurrent use.
type Dir struct {
	fsys  FS
	root  string
	made  []string            // folders below root in the order made, slash paths
	files map[string]struct{} // slash paths
}

func newDir(fsys FS, root string) *Dir {
	return &Dir{fsys: fsys, root: root, files: map[string]struct{}{}}
}

// Create writes one file of the folder, through write, and forces it to the
// disk. The name is relative with forward slashes; folders on the way are made.
//
// Errors: ErrName; else whatever write or the disk returned.
func (d *Dir) Create(name string, write func(io.Writer) error) error {
	if name == Manifest {
		return fmt.Errorf("%w: %q is the list of files", ErrName, name)
	}
	return d.create(name, write)
}

func (d *Dir) create(name string, write func(io.Writer) error) error {
	if !fs.ValidPath(name) || name == "." || !filepath.IsLocal(filepath.FromSlash(name)) {
		return fmt.Errorf("%w: %q", ErrName, name)
	}
	if _, twice := d.files[name]; twice {
		return fmt.Errorf("%w: %q is written already", ErrName, name)
	}
	if err := d.mkdirs(path.Dir(name)); err != nil {
		return err
	}
	if err := writeNew(d.fsys, d.full(name), write); err != nil {
		return fmt.Errorf("write %s: %w", name, err)
	}
	d.files[name] = struct{}{}
	return nil
}

func (d *Dir) full(name string) string { return filepath.Join(d.root, filepath.FromSlash(name)) }

// mkdirs makes a folder and those above it, up to the root, that are missing.
func (d *Dir) mkdirs(name string) error {
	if name == "." || slices.Contains(d.made, name) {
		return nil
	}
	if err := d.mkdirs(path.Dir(name)); err != nil {
		return err
	}
	if err := d.fsys.Mkdir(d.full(name)); err != nil {
		return err
	}
	d.made = append(d.made, name)
	return nil
}

// sync forces the names of every folder to the disk, inner ones first.
func (d *Dir) sync() error {
	for _, name := range slices.Backward(d.made) {
		if err := d.fsys.SyncDir(d.full(name)); err != nil {
			return err
		}
	}
	return d.fsys.SyncDir(d.root)
}

// writeNew writes a file where none stands and forces its content to the disk.
func writeNew(fsys FS, path string, write func(io.Writer) error) error {
	f, err := fsys.Create(path)
	if err != nil {
		return err
	}
	if err := writeSynced(f, write); err != nil {
		return errors.Join(err, f.Close())
	}
	return f.Close()
}

func writeSynced(f File, write func(io.Writer) error) error {
	buffered := bufio.NewWriterSize(f, bufferSize)
	if err := write(buffered); err != nil {
		return err
	}
	if err := buffered.Flush(); err != nil {
		return err
	}
	return f.Sync()
}
