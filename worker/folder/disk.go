package folder

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// Modes before the user's mask.
const (
	dirMode  fs.FileMode = 0o777
	fileMode fs.FileMode = 0o666
)

// Disk returns the file system of this machine. Safe for concurrent use.
func Disk() FS { return disk{} }

type disk struct{}

func kindOf(mode fs.FileMode) Kind {
	switch {
	case mode.IsDir():
		return Directory
	case mode.IsRegular():
		return Regular
	}
	return Other
}

func (disk) Kind(path string) (Kind, error) {
	info, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return Absent, nil
	}
	if err != nil {
		return Absent, err
	}
	return kindOf(info.Mode()), nil
}

func (disk) List(path string) ([]Entry, error) {
	names, err := os.ReadDir(path)
	if err != nil {
		return nil, err
	}
	out := make([]Entry, len(names))
	for i, n := range names {
		out[i] = Entry{Name: n.Name(), Kind: kindOf(n.Type())}
	}
	return out, nil
}

func (disk) Read(path string, limit int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err != nil {
		return nil, err
	}
	if int64(len(data)) > limit {
		return nil, fmt.Errorf("%s: more than %d bytes", path, limit)
	}
	return data, nil
}

func (disk) Mkdir(path string) error { return os.Mkdir(path, dirMode) }

func (disk) Create(path string) (File, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, fileMode)
	if err != nil {
		return nil, err // a nil *os.File in a File would not equal nil
	}
	return f, nil
}

func (disk) Remove(path string) error            { return os.Remove(path) }
func (disk) Rename(from, to string) error        { return os.Rename(from, to) }
func (disk) Exchange(a, b string) error          { return exchange(a, b) }
func (disk) SyncDir(path string) error           { return syncDir(path) }
func (disk) Lock(p string) (func() error, error) { return lock(p) }
