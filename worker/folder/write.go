package folder

import (
	"errors"
	"fmt"
	"path/filepath"
)

// ErrTarget reports a path that names no folder or file of its own, such as
// the root of the disk.
var ErrTarget = errors.New("folder: path cannot be a target")

// ErrLeftover reports that the new result is in place and safe, but something
// beside it could not be taken away. The next run takes it away.
var ErrLeftover = errors.New("folder: written, but an old copy is left beside it")

// site is a target and the names beside it that belong to one write.
type site struct {
	parent string
	target string
	// writing is a result not yet finished, or an old one no longer wanted:
	// what stands there may be deleted at any time.
	writing string
	// before is the old result between the two moves of a swap in two steps.
	// It is always whole, and is the result when target is absent.
	before string
	lock   string
}

func siteOf(target string) (site, error) {
	abs, err := filepath.Abs(target)
	if err != nil {
		return site{}, err
	}
	parent, name := filepath.Dir(abs), filepath.Base(abs)
	if parent == abs || target == "" {
		return site{}, fmt.Errorf("%w: %q", ErrTarget, target)
	}
	beside := func(suffix string) string { return filepath.Join(parent, "."+name+".platewright-"+suffix) }
	return site{
		parent: parent, target: abs,
		writing: beside("writing"), before: beside("before"), lock: beside("lock"),
	}, nil
}

// Write fills a new folder through fill and puts it in the place of target,
// whole or not at all. The folder above target must exist.
//
// Laws: (1) at any moment, and after a crash or power cut at any moment and
// then Recover, target is the old folder or the new one, complete; (2) where
// the system exchanges names in one step, (1) holds without Recover; (3) after
// an error, save ErrLeftover and one of the last sync of names, target is the
// old folder; (4) after nil nothing is left beside target.
// Errors: ErrNotOurs, ErrBusy, ErrTarget, ErrLeftover; else whatever fill or
// the disk returned.
func Write(fsys FS, target string, fill func(*Dir) error) error {
	s, err := siteOf(target)
	if err != nil {
		return err
	}
	return s.locked(fsys, func() error {
		if err := s.settle(fsys); err != nil {
			return fmt.Errorf("clear up after an earlier run: %w", err)
		}
		if err := Check(fsys, s.target); err != nil {
			return err
		}
		return s.replaceFolder(fsys, fill)
	})
}

// Recover finishes or undoes what a crashed Write or WriteFile left at target.
// It does nothing when there is nothing to do.
//
// Errors: ErrBusy, ErrTarget; else whatever the disk returned.
func Recover(fsys FS, target string) error {
	s, err := siteOf(target)
	if err != nil {
		return err
	}
	if parent, err := fsys.Kind(s.parent); err != nil || parent == Absent {
		return err
	}
	return s.locked(fsys, func() error { return s.settle(fsys) })
}

// locked runs f while no other run writes to the same target.
func (s site) locked(fsys FS, f func() error) (err error) {
	if parent, err := fsys.Kind(s.parent); err != nil {
		return err
	} else if parent == Absent {
		return fmt.Errorf("%w: there is no folder %s", ErrTarget, s.parent)
	}
	unlock, err := fsys.Lock(s.lock)
	if err != nil {
		return err
	}
	// Deferred, so that a panic in fill does not leave the target locked for
	// the rest of the process.
	defer func() {
		failed := unlock()
		if failed != nil && err == nil {
			failed = fmt.Errorf("%w: %w", ErrLeftover, failed)
		}
		err = errors.Join(err, failed)
	}()
	return f()
}

func (s site) replaceFolder(fsys FS, fill func(*Dir) error) (err error) {
	swapped := false
	defer func() {
		if !swapped {
			err = errors.Join(err, s.settle(fsys))
		}
	}()
	if err := fillSynced(fsys, s.writing, fill); err != nil {
		return err
	}
	// Asked again, for somebody may have saved a file there in the meantime.
	if err := Check(fsys, s.target); err != nil {
		return err
	}
	if err := s.swap(fsys); err != nil {
		return err
	}
	swapped = true
	// Until the swap is on the disk a power cut may undo it, and then the old
	// folder must still be there.
	if err := fsys.SyncDir(s.parent); err != nil {
		return err
	}
	if err := s.settle(fsys); err != nil {
		return fmt.Errorf("%w: %w", ErrLeftover, err)
	}
	return nil
}

// fillSynced makes the folder and forces all of it to the disk.
func fillSynced(fsys FS, root string, fill func(*Dir) error) error {
	if err := fsys.Mkdir(root); err != nil {
		return err
	}
	d := newDir(fsys, root)
	if err := fill(d); err != nil {
		return err
	}
	if err := d.writeManifest(); err != nil {
		return err
	}
	return d.sync()
}

// swap puts the filled folder at target; the old one, if any, ends at writing
// or before.
func (s site) swap(fsys FS) error {
	kind, err := fsys.Kind(s.target)
	if err != nil {
		return err
	}
	if kind == Absent {
		return fsys.Rename(s.writing, s.target)
	}
	if err := fsys.Exchange(s.writing, s.target); !errors.Is(err, ErrNoExchange) {
		return err
	}
	if err := fsys.Rename(s.target, s.before); err != nil {
		return err
	}
	return fsys.Rename(s.writing, s.target)
}

// settle brings the names beside target to rest from any state in which a
// write can have stopped: undoes half a swap, and deletes what is not wanted.
func (s site) settle(fsys FS) error {
	before, err := fsys.Kind(s.before)
	if err != nil {
		return err
	}
	writing, err := fsys.Kind(s.writing)
	if err != nil || before == Absent && writing == Absent {
		return err
	}
	target, err := fsys.Kind(s.target)
	if err != nil {
		return err
	}
	if before != Absent && target == Absent {
		if err := fsys.Rename(s.before, s.target); err != nil {
			return err
		}
		before = Absent
	}
	return s.discard(fsys, before, writing)
}

// discard deletes what stands at writing and before. The names are forced to
// the disk first: were the deletions to reach it earlier than the swap, a power
// cut would bring the old folder back with holes in it.
func (s site) discard(fsys FS, before, writing Kind) error {
	if err := fsys.SyncDir(s.parent); err != nil {
		return err
	}
	if err := erase(fsys, s.writing, writing); err != nil {
		return err
	}
	if before != Absent {
		// Under the name before, a folder must be whole; so it changes name
		// before its files go.
		if err := fsys.Rename(s.before, s.writing); err != nil {
			return err
		}
		if err := fsys.SyncDir(s.parent); err != nil {
			return err
		}
		return erase(fsys, s.writing, before)
	}
	return nil
}

// erase deletes a file or a folder with all that is in it. Links are deleted,
// never followed.
func erase(fsys FS, path string, kind Kind) error {
	switch kind {
	case Absent:
		return nil
	case Directory:
		entries, err := fsys.List(path)
		if err != nil {
			return err
		}
		for _, e := range entries {
			if err := erase(fsys, filepath.Join(path, e.Name), e.Kind); err != nil {
				return err
			}
		}
	}
	return fsys.Remove(path)
}
