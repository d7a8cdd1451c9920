//go:build !unix

package folder

import (
	"errors"
	"os"
)

// syncDir does nothing: outside Unix a folder cannot be opened to be synced.
func syncDir(string) error { return nil }

// lock takes the file's existence for the lock, which a crash leaves behind;
// the person is told which file to delete.
func lock(path string) (func() error, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, fileMode)
	if errors.Is(err, os.ErrExist) {
		return nil, errors.Join(ErrBusy, errors.New("if no other run is alive, delete "+path))
	}
	if err != nil {
		return nil, err
	}
	if err := f.Close(); err != nil {
		return nil, err
	}
	return func() error { return os.Remove(path) }, nil
}
