package folder

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// content maps slash paths below a folder to what the files hold; nil when the
// folder is absent.
type content map[string]string

var (
	first  = content{"jobs.json": "one", "plates/01.stl": "solid one", "parts/deep/a.stl": "a"}
	second = content{"jobs.json": "two, and longer", "plates/01.stl": "solid two", "plates/02.stl": "solid three"}
	third  = content{"jobs.json": "three"}
)

// fill writes the files in the order of their names.
func (c content) fill(d *Dir) error {
	for _, name := range slices.Sorted(maps.Keys(c)) {
		err := d.Create(name, func(w io.Writer) error { _, err := io.WriteString(w, c[name]); return err })
		if err != nil {
			return err
		}
	}
	return nil
}

// read returns what stands at root, the manifest left out.
func read(t *testing.T, fsys FS, root string) content {
	t.Helper()
	kind, err := fsys.Kind(root)
	if err != nil {
		t.Fatal(err)
	}
	if kind == Absent {
		return nil
	}
	out := content{}
	readInto(t, fsys, root, ".", out)
	delete(out, Manifest)
	return out
}

func readInto(t *testing.T, fsys FS, root, dir string, out content) {
	t.Helper()
	entries, err := fsys.List(path.Join(root, dir))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		name := path.Join(dir, e.Name)
		if e.Kind == Directory {
			readInto(t, fsys, root, name, out)
			continue
		}
		data, err := fsys.Read(path.Join(root, name), 1<<20)
		if err != nil {
			t.Fatal(err)
		}
		out[name] = string(data)
	}
}

// beside returns the names in the folder that holds the targets.
func beside(t *testing.T, fsys FS, parent string) []string {
	t.Helper()
	entries, err := fsys.List(parent)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name)
	}
	return out
}

// world is a disk with the folder /w, something that is not ours in it, and the
// old result at /w/out, all of it safe on the disk.
func world(t *testing.T, noExchange bool, old content) *memory {
	t.Helper()
	m := newMemory(noExchange)
	if err := m.Mkdir("/w"); err != nil {
		t.Fatal(err)
	}
	if err := m.Mkdir("/w/neighbour"); err != nil {
		t.Fatal(err)
	}
	if old != nil {
		if err := Write(m, "/w/out", old.fill); err != nil {
			t.Fatal(err)
		}
	}
	return m.after(lostNothing)
}

// start is one way the world can be before a write.
type start struct {
	name       string
	noExchange bool
	old        content
}

var starts = []start{
	{"nothing there", false, nil},
	{"old folder, names exchanged", false, first},
	{"old folder, names moved in two steps", true, first},
}

// isOneOf reports whether the folder is one of the two, whole.
func isOneOf(got, a, b content) bool { return cmp.Equal(got, a) || cmp.Equal(got, b) }

func TestWriteReplacesTheFolder(t *testing.T) {
	for _, s := range starts {
		t.Run(s.name, func(t *testing.T) {
			m := world(t, s.noExchange, s.old)
			if err := Write(m, "/w/out", second.fill); err != nil {
				t.Fatalf("Write = %v, want nil", err)
			}
			if diff := cmp.Diff(second, read(t, m, "/w/out")); diff != "" {
				t.Errorf("folder (-want +got):\n%s", diff)
			}
			if got, want := beside(t, m, "/w"), []string{"neighbour", "out"}; !slices.Equal(got, want) {
				t.Errorf("beside the folder = %q, want %q", got, want)
			}
			if diff := cmp.Diff(second, read(t, m.after(lostAll), "/w/out")); diff != "" {
				t.Errorf("folder after a power cut (-want +got):\n%s", diff)
			}
		})
	}
}

// operations counts what one write from s takes.
func operations(t *testing.T, s start) int {
	t.Helper()
	counter := &faulty{FS: world(t, s.noExchange, s.old), at: -1}
	if err := Write(counter, "/w/out", second.fill); err != nil {
		t.Fatal(err)
	}
	if counter.count < 20 {
		t.Fatalf("a write took %d operations, too few to be all of them", counter.count)
	}
	return counter.count
}

// Every single operation of a write fails in turn, once doing nothing and once
// done but reported as failed. Laws (1) and (3) of Write.
func TestWriteSurvivesAnyFault(t *testing.T) {
	for _, s := range starts {
		for _, how := range []manner{failing, lying} {
			t.Run(fmt.Sprintf("%s, operation %s", s.name, how), func(t *testing.T) {
				for n := range operations(t, s) {
					m := world(t, s.noExchange, s.old)
					err := Write(&faulty{FS: m, at: n, how: how}, "/w/out", second.fill)
					got := read(t, m, "/w/out")
					checkFault(t, n, s, how, err, got)
					rerun(t, m, fmt.Sprintf("operation %d", n))
				}
			})
		}
	}
}

func checkFault(t *testing.T, n int, s start, how manner, err error, got content) {
	t.Helper()
	switch {
	case err == nil && !cmp.Equal(got, second):
		t.Errorf("operation %d: no error, but folder = %v, want the new one", n, got)
	case err != nil && !errors.Is(err, errInjected) && !errors.Is(err, ErrNotOurs):
		t.Errorf("operation %d: Write = %v, want the fault in it", n, err)
	case !isOneOf(got, s.old, second):
		t.Errorf("operation %d: folder = %v after %v, want the old or the new one", n, got, err)
	case errors.Is(err, ErrLeftover) && !cmp.Equal(got, second):
		t.Errorf("operation %d: Write = %v, but the folder is not the new one", n, err)
	}
}

// rerun writes once more without faults and finds no litter.
func rerun(t *testing.T, m *memory, what string) {
	t.Helper()
	if err := Write(m, "/w/out", third.fill); err != nil {
		t.Errorf("%s: Write again = %v, want nil", what, err)
	}
	if got := read(t, m, "/w/out"); !cmp.Equal(got, third) {
		t.Errorf("%s: folder after writing again = %v, want %v", what, got, third)
	}
	if got, want := beside(t, m, "/w"), []string{"neighbour", "out"}; !slices.Equal(got, want) {
		t.Errorf("%s: beside the folder after writing again = %q, want %q", what, got, want)
	}
}

// survivals are the ways a crash is lived through at operation n.
func survivals(n int) map[string]survival {
	out := map[string]survival{"all kept": lostNothing, "power cut, all lost": lostAll}
	for seed := range uint64(8) {
		out[fmt.Sprintf("power cut, seed %d", seed)] = lostSome(1000*uint64(n) + seed)
	}
	return out
}

// The process dies, or the power, before any operation of a write. Laws (1) and
// (2) of Write.
func TestWriteSurvivesAnyCrash(t *testing.T) {
	for _, s := range starts {
		t.Run(s.name, func(t *testing.T) {
			for n := range operations(t, s) {
				m := world(t, s.noExchange, s.old)
				if err := Write(&faulty{FS: m, at: n, how: crash}, "/w/out", second.fill); !errors.Is(err, errCrashed) {
					t.Fatalf("operation %d: Write = %v, want the crash", n, err)
				}
				for name, choose := range survivals(n) {
					what := fmt.Sprintf("operation %d, %s", n, name)
					found := m.after(choose)
					if got := read(t, found, "/w/out"); !s.noExchange && !isOneOf(got, s.old, second) {
						t.Errorf("%s: folder = %v, want the old or the new one", what, got)
					}
					recovered(t, found.after(lostNothing), s, what)
					rerun(t, found.after(lostNothing), what)
				}
			}
		})
	}
}

// recovered finds the old or the new folder, and nothing else, after Recover.
func recovered(t *testing.T, m *memory, s start, what string) {
	t.Helper()
	if err := Recover(m, "/w/out"); err != nil {
		t.Errorf("%s: Recover = %v, want nil", what, err)
	}
	got := read(t, m, "/w/out")
	if !isOneOf(got, s.old, second) {
		t.Errorf("%s: folder after Recover = %v, want the old or the new one", what, got)
	}
	want := []string{"neighbour"}
	if got != nil {
		want = append(want, "out")
	}
	if left := beside(t, m, "/w"); !slices.Equal(left, want) {
		t.Errorf("%s: beside the folder after Recover = %q, want %q", what, left, want)
	}
}

// The clearing up after a crash crashes too, at every operation.
func TestRecoverSurvivesAnyCrash(t *testing.T) {
	for _, s := range starts {
		t.Run(s.name, func(t *testing.T) {
			for n := range operations(t, s) {
				m := world(t, s.noExchange, s.old)
				_ = Write(&faulty{FS: m, at: n, how: crash}, "/w/out", second.fill)
				crashInRecover(t, m.killed(), s, n)
				crashInRecover(t, m.after(lostSome(uint64(n))), s, n)
			}
		})
	}
}

// crashInRecover goes through the operations of Recover, each on its own copy
// of the disk.
func crashInRecover(t *testing.T, m *memory, s start, n int) {
	t.Helper()
	for k := 0; ; k++ {
		again := m.killed()
		err := Recover(&faulty{FS: again, at: k, how: crash}, "/w/out")
		if err == nil {
			return
		}
		for name, choose := range survivals(1000*n + k) {
			recovered(t, again.after(choose), s, fmt.Sprintf("operation %d, then %d of Recover, %s", n, k, name))
		}
	}
}

// A crash, then somebody deletes the result by hand: what Recover brings back,
// if anything, is whole.
func TestRecoverBringsBackOnlyWholeFolders(t *testing.T) {
	for _, s := range starts {
		t.Run(s.name, func(t *testing.T) {
			for n := range operations(t, s) {
				m := world(t, s.noExchange, s.old)
				_ = Write(&faulty{FS: m, at: n, how: crash}, "/w/out", second.fill)
				for name, choose := range survivals(n) {
					found := m.after(choose)
					if kind, _ := found.Kind("/w/out"); erase(found, "/w/out", kind) != nil {
						t.Fatal("the result cannot be deleted")
					}
					if err := Recover(found, "/w/out"); err != nil {
						t.Fatal(err)
					}
					if got := read(t, found, "/w/out"); got != nil && !isOneOf(got, s.old, second) {
						t.Errorf("operation %d, %s: Recover brought back %v, which is not whole", n, name, got)
					}
				}
			}
		})
	}
}

func TestWriteRefusesWhatItDidNotWrite(t *testing.T) {
	for _, row := range []struct {
		name  string
		build func(t *testing.T, m *memory)
		says  string
	}{
		{"a file in the way", func(t *testing.T, m *memory) { put(t, m, "/w/out", "x") }, "not a folder"},
		{"somebody's folder", func(t *testing.T, m *memory) { mkdir(t, m, "/w/out"); put(t, m, "/w/out/a photo.jpg", "x") }, `"a photo.jpg"`},
		{"a file saved deep among the results", func(t *testing.T, m *memory) {
			if err := Write(m, "/w/out", first.fill); err != nil {
				t.Fatal(err)
			}
			put(t, m, "/w/out/plates/sliced.txt", "x")
		}, `"plates/sliced.txt"`},
		{"a list that is not ours", func(t *testing.T, m *memory) {
			mkdir(t, m, "/w/out")
			put(t, m, "/w/out/"+Manifest, `{"schema":"other","files":["a"]}`)
			put(t, m, "/w/out/a", "x")
		}, Manifest},
		{"many files", func(t *testing.T, m *memory) {
			mkdir(t, m, "/w/out")
			for i := range 9 {
				put(t, m, fmt.Sprintf("/w/out/%d", i), "x")
			}
		}, "perhaps more"},
	} {
		t.Run(row.name, func(t *testing.T) {
			m := world(t, false, nil)
			row.build(t, m)
			before := read(t, m, "/w")
			err := Write(m, "/w/out", second.fill)
			if !errors.Is(err, ErrNotOurs) || !strings.Contains(err.Error(), row.says) {
				t.Errorf("Write = %v, want ErrNotOurs that says %s", err, row.says)
			}
			if err := Check(m, "/w/out"); !errors.Is(err, ErrNotOurs) {
				t.Errorf("Check = %v, want ErrNotOurs", err)
			}
			if diff := cmp.Diff(before, read(t, m, "/w")); diff != "" {
				t.Errorf("the refusal changed the disk (-before +after):\n%s", diff)
			}
		})
	}
}

func TestWriteReplacesAnEmptyFolderAndDroppings(t *testing.T) {
	for _, noExchange := range []bool{false, true} {
		m := world(t, noExchange, nil)
		mkdir(t, m, "/w/out")
		mkdir(t, m, "/w/out/empty too")
		put(t, m, "/w/out/.DS_Store", "x")
		if err := Write(m, "/w/out", second.fill); err != nil {
			t.Fatalf("Write = %v, want nil", err)
		}
		if got := read(t, m, "/w/out"); !cmp.Equal(got, second) {
			t.Errorf("folder = %v, want %v", got, second)
		}
	}
}

// Somebody saves a file into the old folder while the new one is being filled.
func TestWriteSparesAFileSavedMeanwhile(t *testing.T) {
	m := world(t, false, first)
	err := Write(m, "/w/out", func(d *Dir) error {
		put(t, m, "/w/out/plates/sliced.txt", "x")
		return second.fill(d)
	})
	if !errors.Is(err, ErrNotOurs) {
		t.Errorf("Write = %v, want ErrNotOurs", err)
	}
	if got := read(t, m, "/w/out")["plates/sliced.txt"]; got != "x" {
		t.Errorf("the file saved meanwhile = %q, want it kept", got)
	}
}

func TestSecondRunIsToldBusy(t *testing.T) {
	m := world(t, false, first)
	err := Write(m, "/w/out", func(d *Dir) error {
		if err := Write(m, "/w/out", third.fill); !errors.Is(err, ErrBusy) {
			t.Errorf("second Write = %v, want ErrBusy", err)
		}
		if err := Recover(m, "/w/out"); !errors.Is(err, ErrBusy) {
			t.Errorf("Recover = %v, want ErrBusy", err)
		}
		return second.fill(d)
	})
	if err != nil {
		t.Fatalf("first Write = %v, want nil", err)
	}
	if got := read(t, m, "/w/out"); !cmp.Equal(got, second) {
		t.Errorf("folder = %v, want %v", got, second)
	}
}

func TestFillErrorAndPanicLeaveTheOldFolder(t *testing.T) {
	errFill := errors.New("no more plates")
	m := world(t, false, first)
	err := Write(m, "/w/out", func(d *Dir) error { return errors.Join(second.fill(d), errFill) })
	if !errors.Is(err, errFill) {
		t.Errorf("Write = %v, want the error of fill", err)
	}
	if got, want := beside(t, m, "/w"), []string{"neighbour", "out"}; !slices.Equal(got, want) {
		t.Errorf("beside the folder = %q, want %q", got, want)
	}
	func() {
		defer func() { _ = recover() }()
		_ = Write(m, "/w/out", func(*Dir) error { panic("fill") })
	}()
	if got := read(t, m, "/w/out"); !cmp.Equal(got, first) {
		t.Errorf("folder = %v, want the old one", got)
	}
	if got, want := beside(t, m, "/w"), []string{"neighbour", "out"}; !slices.Equal(got, want) {
		t.Errorf("beside the folder after a panic = %q, want %q", got, want)
	}
	rerun(t, m, "after a panic")
}

func TestTargetsThatCannotBe(t *testing.T) {
	m := world(t, false, nil)
	for _, target := range []string{"/", "", "/no/such/parent/out"} {
		if err := Write(m, target, second.fill); !errors.Is(err, ErrTarget) {
			t.Errorf("Write(%q) = %v, want ErrTarget", target, err)
		}
	}
	if err := Recover(m, "/no/such/parent/out"); err != nil {
		t.Errorf("Recover where nothing is = %v, want nil", err)
	}
}

func put(t *testing.T, m *memory, path, data string) {
	t.Helper()
	err := writeNew(m, path, func(w io.Writer) error { _, err := io.WriteString(w, data); return err })
	if err != nil {
		t.Fatal(err)
	}
}

func mkdir(t *testing.T, m *memory, path string) {
	t.Helper()
	if err := m.Mkdir(path); err != nil {
		t.Fatal(err)
	}
}
