//go:build unix

package folder

import (
	"errors"
	"fmt"
	"os"

	"golang.org/x/sys/unix"
)

// syncDir treats a file system that knows no fsync for folders as done: there
// is nothing more that could be asked of it.
func syncDir(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	err = d.Sync()
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) {
		err = nil
	}
	return errors.Join(err, d.Close())
}

// lock holds path by an advisory lock on the open file, which the system lets
// go when the process ends in whatever way.
func lock(path string) (func() error, error) {
	for {
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, fileMode)
		if err != nil {
			return nil, err
		}
		if err := hold(f); err != nil {
			return nil, errors.Join(err, f.Close())
		}
		if stillThere(f, path) {
			return func() error { return unlock(f, path) }, nil
		}
		// Another run took the file away between our open and our hold: what
		// we hold has no name any more, and guards nothing.
		if err := f.Close(); err != nil {
			return nil, err
		}
	}
}

// hold goes on without a lock where the file system has none, as some network
// shares do: a folder that cannot be written at all would serve nobody.
func hold(f *os.File) error {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	switch {
	case errors.Is(err, unix.EWOULDBLOCK):
		return fmt.Errorf("%w (%s)", ErrBusy, f.Name())
	case errors.Is(err, unix.ENOTSUP), errors.Is(err, unix.ENOSYS), errors.Is(err, unix.ENOLCK):
		return nil
	}
	return err
}

// stillThere reports whether path still names the open file.
func stillThere(f *os.File, path string) bool {
	held, err := f.Stat()
	if err != nil {
		return false
	}
	named, err := os.Lstat(path)
	return err == nil && os.SameFile(held, named)
}

// unlock takes the name away while the lock is still held; the other way
// round, a run that came between would lose its file.
func unlock(f *os.File, path string) error {
	return errors.Join(os.Remove(path), f.Close())
}
