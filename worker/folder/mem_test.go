package folder

import (
	"fmt"
	"io/fs"
	"maps"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
)

// memory is a disk that can lose power. Each folder remembers every state its
// names went through since they were last forced to the disk, and each file the
// content it had then; powerCut falls back to any of them, each folder for
// itself, as a real disk may.
type memory struct {
	root       *inode
	noExchange bool
	locked     map[string]bool
}

type inode struct {
	dir     bool
	data    []byte
	durable []byte
	states  []map[string]*inode // folder: oldest is on the disk, newest is seen
}

func newMemory(noExchange bool) *memory {
	return &memory{root: newInode(true), noExchange: noExchange, locked: map[string]bool{}}
}

func newInode(dir bool) *inode {
	n := &inode{dir: dir}
	if dir {
		n.states = []map[string]*inode{{}}
	}
	return n
}

func (n *inode) names() map[string]*inode { return n.states[len(n.states)-1] }

// change begins a new state of the folder's names.
func (n *inode) change(f func(map[string]*inode)) {
	next := maps.Clone(n.names())
	f(next)
	n.states = append(n.states, next)
}

// lookup returns the folder that holds path, and what stands at path, or nil.
func (m *memory) lookup(path string) (parent, node *inode, err error) {
	parent, node = nil, m.root
	for _, name := range strings.Split(strings.Trim(filepath.ToSlash(path), "/"), "/") {
		if node == nil || !node.dir {
			return nil, nil, &fs.PathError{Op: "lookup", Path: path, Err: fs.ErrNotExist}
		}
		parent, node = node, node.names()[name]
	}
	return parent, node, nil
}

// must is lookup of something that is there.
func (m *memory) must(path string) (parent, node *inode, err error) {
	parent, node, err = m.lookup(path)
	if err == nil && node == nil {
		err = &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
	}
	return parent, node, err
}

func (n *inode) kind() Kind {
	switch {
	case n == nil:
		return Absent
	case n.dir:
		return Directory
	}
	return Regular
}

func (m *memory) Kind(path string) (Kind, error) {
	_, node, err := m.lookup(path)
	if err != nil {
		return Absent, nil
	}
	return node.kind(), nil
}

func (m *memory) List(path string) ([]Entry, error) {
	_, node, err := m.must(path)
	if err != nil {
		return nil, err
	}
	var out []Entry
	for _, name := range slices.Sorted(maps.Keys(node.names())) {
		out = append(out, Entry{Name: name, Kind: node.names()[name].kind()})
	}
	return out, nil
}

func (m *memory) Read(path string, limit int64) ([]byte, error) {
	_, node, err := m.must(path)
	if err != nil {
		return nil, err
	}
	return slices.Clone(node.data), nil
}

func (m *memory) add(path string, node *inode) error {
	parent, there, err := m.lookup(path)
	if err != nil {
		return err
	}
	if there != nil {
		return &fs.PathError{Op: "create", Path: path, Err: fs.ErrExist}
	}
	parent.change(func(names map[string]*inode) { names[filepath.Base(path)] = node })
	return nil
}

func (m *memory) Mkdir(path string) error { return m.add(path, newInode(true)) }

func (m *memory) Create(path string) (File, error) {
	node := newInode(false)
	return &memoryFile{node}, m.add(path, node)
}

type memoryFile struct{ node *inode }

func (f *memoryFile) Write(p []byte) (int, error) {
	f.node.data = append(f.node.data, p...)
	return len(p), nil
}

func (f *memoryFile) Sync() error  { f.node.durable = slices.Clone(f.node.data); return nil }
func (f *memoryFile) Close() error { return nil }

func (m *memory) Remove(path string) error {
	parent, node, err := m.must(path)
	if err != nil {
		return err
	}
	if node.dir && len(node.names()) > 0 {
		return fmt.Errorf("remove %s: not empty", path)
	}
	parent.change(func(names map[string]*inode) { delete(names, filepath.Base(path)) })
	return nil
}

func (m *memory) Rename(from, to string) error {
	parent, node, err := m.must(from)
	if err != nil {
		return err
	}
	if there := parent.names()[filepath.Base(to)]; there != nil && (there.dir != node.dir || there.dir && len(there.names()) > 0) {
		return fmt.Errorf("rename %s to %s: something is there", from, to)
	}
	parent.change(func(names map[string]*inode) {
		delete(names, filepath.Base(from))
		names[filepath.Base(to)] = node
	})
	return nil
}

func (m *memory) Exchange(a, b string) error {
	if m.noExchange {
		return ErrNoExchange
	}
	parent, atA, err := m.must(a)
	if err != nil {
		return err
	}
	_, atB, err := m.must(b)
	if err != nil {
		return err
	}
	parent.change(func(names map[string]*inode) {
		names[filepath.Base(a)], names[filepath.Base(b)] = atB, atA
	})
	return nil
}

func (m *memory) SyncDir(path string) error {
	_, node, err := m.must(path)
	if err != nil {
		return err
	}
	node.states = []map[string]*inode{node.names()}
	return nil
}

func (m *memory) Lock(path string) (func() error, error) {
	if m.locked[path] {
		return nil, ErrBusy
	}
	if kind, _ := m.Kind(path); kind == Absent {
		if err := m.add(path, newInode(false)); err != nil {
			return nil, err
		}
	}
	m.locked[path] = true
	return func() error { delete(m.locked, path); return m.Remove(path) }, nil
}

// A survival chooses, of n states, the one a power cut leaves.
type survival func(n int) int

// The survivals that the tests go through: one disk was quick and loses nothing,
// one loses all it can, and a real one anything between.
func lostNothing(n int) int { return n - 1 }
func lostAll(int) int       { return 0 }
func lostSome(seed uint64) survival {
	return rand.New(rand.NewPCG(seed, 1)).IntN
}

// after returns the disk as it is found after a crash, with no lock held.
func (m *memory) after(choose survival) *memory {
	return &memory{root: m.root.after(choose), noExchange: m.noExchange, locked: map[string]bool{}}
}

func (n *inode) after(choose survival) *inode {
	out := newInode(n.dir)
	if !n.dir {
		out.data = slices.Clone(n.data)
		if string(n.durable) != string(n.data) {
			out.data = out.data[:choose(len(n.data)+1)]
		}
		out.durable = out.data
		return out
	}
	names := n.states[choose(len(n.states))]
	for _, name := range slices.Sorted(maps.Keys(names)) {
		out.names()[name] = names[name].after(choose)
	}
	return out
}

// killed returns the disk as the next process sees it, with no lock held. What
// was not forced to the disk can still be lost to a later power cut.
func (m *memory) killed() *memory {
	seen := map[*inode]*inode{}
	return &memory{root: m.root.clone(seen), noExchange: m.noExchange, locked: map[string]bool{}}
}

func (n *inode) clone(seen map[*inode]*inode) *inode {
	if done := seen[n]; done != nil {
		return done
	}
	out := &inode{dir: n.dir, data: slices.Clone(n.data), durable: slices.Clone(n.durable)}
	seen[n] = out
	for _, names := range n.states {
		state := map[string]*inode{}
		for name, node := range names {
			state[name] = node.clone(seen)
		}
		out.states = append(out.states, state)
	}
	return out
}
