package folder

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"testing"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

// fileWorld is a disk with a file /w/f, or without it.
func fileWorld(t *testing.T, there bool) *memory {
	t.Helper()
	m := world(t, false, nil)
	if there {
		put(t, m, "/w/f", "old")
	}
	return m.after(lostNothing)
}

func fileContent(t *testing.T, m *memory) string {
	t.Helper()
	if kind, _ := m.Kind("/w/f"); kind == Absent {
		return "absent"
	}
	data, err := m.Read("/w/f", 1<<10)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// Every operation of WriteFile fails, lies or is the last one before a crash.
func TestWriteFileIsWholeOrNotAtAll(t *testing.T) {
	for _, there := range []bool{true, false} {
		old := map[bool]string{true: "old", false: "absent"}[there]
		counter := &faulty{FS: fileWorld(t, there), at: -1}
		if err := WriteFile(counter, "/w/f", text("new content")); err != nil {
			t.Fatal(err)
		}
		for _, how := range []manner{failing, lying, crash} {
			for n := range counter.count {
				m := fileWorld(t, there)
				err := WriteFile(&faulty{FS: m, at: n, how: how}, "/w/f", text("new content"))
				if err == nil {
					t.Errorf("operation %d %s: WriteFile = nil, want the fault", n, how)
				}
				for name, choose := range survivals(n) {
					found := m.after(choose)
					what := fmt.Sprintf("old %s, operation %d %s, %s", old, n, how, name)
					if got := fileContent(t, found); got != old && got != "new content" {
						t.Errorf("%s: file = %q, want the old or the new content", what, got)
					}
					writeFileAgain(t, found, what)
				}
			}
		}
	}
}

func writeFileAgain(t *testing.T, m *memory, what string) {
	t.Helper()
	if err := WriteFile(m, "/w/f", text("third")); err != nil {
		t.Errorf("%s: WriteFile again = %v, want nil", what, err)
	}
	if got := fileContent(t, m.after(lostAll)); got != "third" {
		t.Errorf("%s: file after writing again and a power cut = %q, want third", what, got)
	}
	if got, want := beside(t, m, "/w"), []string{"f", "neighbour"}; !slices.Equal(got, want) {
		t.Errorf("%s: beside the file = %q, want %q", what, got, want)
	}
}

func TestWriteFileRefusesAFolder(t *testing.T) {
	m := world(t, false, first)
	if err := WriteFile(m, "/w/out", text("x")); !errors.Is(err, ErrNotOurs) {
		t.Errorf("WriteFile over a folder = %v, want ErrNotOurs", err)
	}
}

func TestWriteFileKeepsTheOldOneWhenWriteFails(t *testing.T) {
	m, errWrite := fileWorld(t, true), errors.New("no more")
	err := WriteFile(m, "/w/f", func(w io.Writer) error {
		return errors.Join(text("half")(w), errWrite)
	})
	if !errors.Is(err, errWrite) || fileContent(t, m) != "old" {
		t.Errorf("WriteFile = %v and file = %q, want the error and the old content", err, fileContent(t, m))
	}
	if got, want := beside(t, m, "/w"), []string{"f", "neighbour"}; !slices.Equal(got, want) {
		t.Errorf("beside the file = %q, want %q", got, want)
	}
}
