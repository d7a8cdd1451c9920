package folder

import (
	"errors"
	"fmt"
	"io"
	"testing"
)

func TestCreateRefusesNames(t *testing.T) {
	for _, row := range []struct{ name, file string }{
		{"empty", ""}, {"the folder itself", "."}, {"above", "../x"}, {"above, hidden", "a/../../x"},
		{"from the root", "/x"}, {"double slash", "a//x"}, {"ends in a slash", "a/"},
		{"the list of files", Manifest}, {"written already", "twice"},
	} {
		t.Run(row.name, func(t *testing.T) {
			m := world(t, false, nil)
			err := Write(m, "/w/out", func(d *Dir) error {
				if err := d.Create("twice", text("x")); err != nil {
					return fmt.Errorf("first: %v", err)
				}
				return d.Create(row.file, text("x"))
			})
			if !errors.Is(err, ErrName) {
				t.Errorf("Create(%q) = %v, want ErrName", row.file, err)
			}
		})
	}
}

// A file larger than the buffer comes out whole and in order.
func TestCreateWritesLargeFiles(t *testing.T) {
	m := world(t, false, nil)
	want := make([]byte, 0, 3*bufferSize)
	for i := range 3 * bufferSize {
		want = append(want, byte(i*i>>3))
	}
	err := Write(m, "/w/out", func(d *Dir) error {
		return d.Create("big", func(w io.Writer) error {
			for rest := want; len(rest) > 0; {
				n := min(len(rest), 1000)
				if _, err := w.Write(rest[:n]); err != nil {
					return err
				}
				rest = rest[n:]
			}
			return nil
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := read(t, m.after(lostAll), "/w/out")["big"]; got != string(want) {
		t.Errorf("large file has %d bytes that differ from the %d written", len(got), len(want))
	}
}
