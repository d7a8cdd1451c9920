package worker

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"platewright/worker/joblist"
	"platewright/worker/shop"
)

// Names of the settings files in a build folder.
const (
	shopFile  = "shop.toml"
	buildFile = "build.toml"
)

// build is a folder of parts and the settings it is planned by.
type build struct {
	name    string
	folder  string
	files   []string // part files, sorted
	changed time.Time
	notes   []joblist.Note // on the folder as a whole
	from    time.Time      // when the plan begins
	shop    shop.Shop
	build   shop.Build
}

// open lists a build folder and reads its settings.
//
// Errors: ErrUsage.
func open(c Config) (build, error) {
	folder, err := filepath.Abs(c.Folder)
	if err != nil {
		return build{}, usage("folder %q: %w", c.Folder, err)
	}
	b := build{name: filepath.Base(folder), folder: folder}
	entries, err := os.ReadDir(folder)
	if err != nil {
		return build{}, usage("read the folder of parts: %w", err)
	}
	for _, e := range entries {
		if !isPart(e.Name()) || e.IsDir() {
			continue
		}
		b.files = append(b.files, e.Name())
		if info, err := os.Stat(filepath.Join(folder, e.Name())); err == nil {
			b.seen(info)
		}
	}
	if len(b.files) == 0 {
		return build{}, usage("no part files in %s: expected .stl, .3mf or .obj files in the folder itself", folder)
	}
	slices.Sort(b.files)
	return b, b.settings(c)
}

// isPart reports whether a file name is that of a part. Hidden files are not
// parts: some systems leave one beside each file they copy.
func isPart(name string) bool {
	if strings.HasPrefix(name, ".") {
		return false
	}
	switch strings.ToLower(filepath.Ext(name)) {
	case ".stl", ".3mf", ".obj":
		return true
	}
	return false
}

// seen moves the build's time of last change up to a file's. To the second:
// some file systems keep no more.
func (b *build) seen(info fs.FileInfo) {
	if t := info.ModTime().UTC().Truncate(time.Second); t.After(b.changed) {
		b.changed = t
	}
}

// settings reads the shop and build files.
func (b *build) settings(c Config) error {
	var faults shop.Faults
	b.shop = shop.Standard()
	path := c.Shop
	if path == "" {
		path = filepath.Join(b.folder, shopFile)
	}
	data, err := b.read(path)
	switch {
	case errors.Is(err, fs.ErrNotExist) && c.Shop == "":
	case err != nil:
		return usage("read the shop file: %w", err)
	default:
		var wrong shop.Faults
		b.shop, wrong = shop.Parse(path, data)
		faults = append(faults, wrong...)
	}
	path = filepath.Join(b.folder, buildFile)
	data, err = b.read(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		data = nil
	case err != nil:
		return usage("read the build file: %w", err)
	}
	var wrong shop.Faults
	b.build, wrong = shop.ParseBuild(path, data)
	if faults = append(faults, wrong...); len(faults) == 0 {
		faults = b.build.Check(path, b.shop, b.files)
	}
	if len(faults) > 0 {
		return usageError{faults}
	}
	return nil
}

func (b *build) read(path string) ([]byte, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	if info, err := os.Stat(path); err == nil {
		b.seen(info)
	}
	return data, nil
}

// names gives every file a part name: its stem without the count, or, where
// two files would share that, the whole file name.
func names(files []string) map[string]string {
	count := map[string]int{}
	out := map[string]string{}
	for _, f := range files {
		out[f], _ = shop.CountFromName(f)
		count[out[f]]++
	}
	for _, f := range files {
		if count[out[f]] > 1 || out[f] == "" {
			out[f] = f
		}
	}
	return out
}
