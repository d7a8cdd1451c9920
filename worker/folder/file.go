package folder

import (
	"errors"
	"fmt"
	"io"
)

// WriteFile writes one file through write and puts it in the place of path,
// whole or not at all. A symbolic link at path is replaced, not followed.
//
// Laws: those of Write, (2) always.
// Errors: ErrNotOurs when path is a folder, ErrBusy, ErrTarget; else whatever
// write or the disk returned.
func WriteFile(fsys FS, path string, write func(io.Writer) error) error {
	s, err := siteOf(path)
	if err != nil {
		return err
	}
	return s.locked(fsys, func() error {
		if err := s.settle(fsys); err != nil {
			return fmt.Errorf("clear up after an earlier run: %w", err)
		}
		if kind, err := fsys.Kind(s.target); err != nil {
			return err
		} else if kind == Directory {
			return fmt.Errorf("%w: %s is a folder", ErrNotOurs, path)
		}
		return s.replaceFile(fsys, write)
	})
}

func (s site) replaceFile(fsys FS, write func(io.Writer) error) (err error) {
	renamed := false
	defer func() {
		if !renamed {
			err = errors.Join(err, s.settle(fsys))
		}
	}()
	if err := writeNew(fsys, s.writing, write); err != nil {
		return err
	}
	if err := fsys.Rename(s.writing, s.target); err != nil {
		return err
	}
	renamed = true
	return fsys.SyncDir(s.parent)
}
