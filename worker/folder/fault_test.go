package folder

import "errors"

var (
	errInjected = errors.New("injected fault")
	errCrashed  = errors.New("the process is gone")
)

// A manner is how the chosen operation goes wrong.
type manner int

const (
	failing manner = iota // it does nothing and says so; later ones work
	lying                 // it is done, yet reports a fault; later ones work
	crash                 // it and all later ones do nothing
)

func (m manner) String() string { return [...]string{"fails", "lies", "crashes"}[m] }

// faulty passes operations on to another FS and lets the one numbered at go
// wrong, counting from 0. A negative at only counts.
type faulty struct {
	FS
	at      int
	how     manner
	count   int
	onWrong func() // when not nil, called at the chosen operation instead
}

// do runs one operation, or its fault.
func (f *faulty) do(operation func() error) error {
	n := f.count
	f.count++
	switch {
	case f.at < 0 || n < f.at || n > f.at && f.how != crash:
		return operation()
	case f.onWrong != nil:
		f.onWrong()
	}
	switch f.how {
	case crash:
		return errCrashed
	case lying:
		return errors.Join(operation(), errInjected)
	}
	return errInjected
}

func (f *faulty) Kind(path string) (kind Kind, err error) {
	err = f.do(func() (err error) { kind, err = f.FS.Kind(path); return })
	return kind, err
}

func (f *faulty) List(path string) (entries []Entry, err error) {
	err = f.do(func() (err error) { entries, err = f.FS.List(path); return })
	return entries, err
}

func (f *faulty) Read(path string, limit int64) (data []byte, err error) {
	err = f.do(func() (err error) { data, err = f.FS.Read(path, limit); return })
	return data, err
}

func (f *faulty) Mkdir(path string) error {
	return f.do(func() error { return f.FS.Mkdir(path) })
}

func (f *faulty) Create(path string) (File, error) {
	var file File
	err := f.do(func() (err error) { file, err = f.FS.Create(path); return })
	if err != nil {
		return nil, err
	}
	return &faultyFile{f, file}, nil
}

func (f *faulty) Remove(path string) error {
	return f.do(func() error { return f.FS.Remove(path) })
}

func (f *faulty) Rename(from, to string) error {
	return f.do(func() error { return f.FS.Rename(from, to) })
}

func (f *faulty) Exchange(a, b string) error {
	return f.do(func() error { return f.FS.Exchange(a, b) })
}

func (f *faulty) SyncDir(path string) error {
	return f.do(func() error { return f.FS.SyncDir(path) })
}

func (f *faulty) Lock(path string) (func() error, error) {
	var unlock func() error
	err := f.do(func() (err error) { unlock, err = f.FS.Lock(path); return })
	if err != nil {
		if unlock != nil { // a lock that nobody was told of ends with its file handle
			err = errors.Join(err, unlock())
		}
		return nil, err
	}
	return func() error {
		err := f.do(unlock)
		if m, ok := f.FS.(*memory); ok && err != nil {
			delete(m.locked, path) // the contract of unlock: let go in any case
		}
		return err
	}, nil
}

type faultyFile struct {
	fs *faulty
	f  File
}

// Write puts down half of p before it goes wrong, as a full disk does.
func (f *faultyFile) Write(p []byte) (n int, err error) {
	err = f.fs.do(func() (err error) { n, err = f.f.Write(p); return })
	if errors.Is(err, errInjected) && n == 0 {
		n, _ = f.f.Write(p[:len(p)/2])
	}
	return n, err
}

func (f *faultyFile) Sync() error  { return f.fs.do(f.f.Sync) }
func (f *faultyFile) Close() error { return f.fs.do(f.f.Close) }
