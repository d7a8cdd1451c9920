package folder

import (
	"errors"
	"io"
)

// ErrNoExchange reports a file system that cannot swap two names in one step.
var ErrNoExchange = errors.New("folder: names cannot be exchanged here")

// ErrBusy reports a target that another run is writing at this moment.
var ErrBusy = errors.New("folder: another run is writing here")

// Kind says what stands at a path.
type Kind int

// The kinds of things at a path. A symbolic link is Other, never what it
// points to.
const (
	Absent Kind = iota
	Directory
	Regular
	Other
)

// Entry is one name in a folder.
type Entry struct {
	Name string
	Kind Kind
}

// File is a new file that is being written.
type File interface {
	io.Writer
	Sync() error
	Close() error
}

// FS is every disk operation this package uses. Disk is the real one; tests
// use doubles that fail at a chosen operation.
type FS interface {
	// Kind returns Absent, not an error, when nothing stands at the path.
	Kind(path string) (Kind, error)
	// List returns the names in a folder, sorted.
	List(path string) ([]Entry, error)
	// Read returns the content of a file of at most limit bytes.
	Read(path string, limit int64) ([]byte, error)
	// Mkdir makes a folder where nothing stands.
	Mkdir(path string) error
	// Create makes a file where nothing stands.
	Create(path string) (File, error)
	// Remove takes away a file or an empty folder.
	Remove(path string) error
	// Rename moves within one folder; a file in the way is replaced, a folder
	// with something in it is not.
	Rename(from, to string) error
	// Exchange swaps two names of one folder in one step, or returns
	// ErrNoExchange and has done nothing.
	Exchange(a, b string) error
	// SyncDir forces the names in a folder to the disk.
	SyncDir(path string) error
	// Lock makes and holds a lock file, or returns ErrBusy. The lock ends with
	// the process; unlock ends it earlier and takes the file away, and ends it
	// even when the file could not be taken away.
	Lock(path string) (unlock func() error, err error)
}
