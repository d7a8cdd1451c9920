package shop

import (
	"fmt"
	"strings"
	"testing"
)

// where lists every key of a document with its line and column.
func where(path string, s *spot) map[string]string {
	out := map[string]string{}
	for name, in := range s.table {
		p := path + "/" + name
		out[p] = fmt.Sprintf("%d:%d", in.line, in.column)
		for k, v := range where(p, in) {
			out[k] = v
		}
		for i, item := range in.items {
			p := fmt.Sprintf("%s#%d", p, i)
			out[p] = fmt.Sprintf("%d:%d", item.line, item.column)
			for k, v := range where(p, item) {
				out[k] = v
			}
		}
	}
	return out
}

func TestSpots(t *testing.T) {
	tests := []struct {
		name, file string
		want       map[string]string
	}{
		{"plain keys", "a = 1\r\n  b = 2", map[string]string{"/a": "1:1", "/b": "2:3"}},
		{"dotted key", "a.b.c = 1", map[string]string{"/a": "1:1", "/a/b": "1:3", "/a/b/c": "1:5"}},
		{"quoted key with a dot", "[part.\"a.stl\"]\nn = 1", map[string]string{"/part": "1:2", "/part/a.stl": "1:7", "/part/a.stl/n": "2:1"}},
		{"list of tables", "[[p]]\nn = 1\n[[p]]\n[p.sub]\nm = 1", map[string]string{
			"/p": "1:3", "/p#0": "1:3", "/p#0/n": "2:1", "/p#1": "3:3", "/p#1/sub": "4:4", "/p#1/sub/m": "5:1"}},
		{"inline list of tables", "p = [{n = 1},\n{n = 2, m.k = {j = 3}}]", map[string]string{
			"/p": "1:1", "/p#0": "1:1", "/p#0/n": "1:7", "/p#1": "1:1", "/p#1/n": "2:2", "/p#1/m": "2:9", "/p#1/m/k": "2:11", "/p#1/m/k/j": "2:16"}},
		{"text with line ends inside", "a = \"\"\"\nx\ny\"\"\"\nb = 1", map[string]string{"/a": "1:1", "/b": "4:1"}},
		{"table opened again below", "[a.b]\n[a]\nc = 1", map[string]string{"/a": "1:2", "/a/b": "1:4", "/a/c": "3:1"}},
		{"byte order mark", "\xef\xbb\xbfa = 1", map[string]string{"/a": "1:1"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, root, faults := parseDocument("f", []byte(test.file))
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			got := where("", root)
			// Items of arrays that are no tables stand where their key does.
			for k, v := range test.want {
				if got[k] != v {
					t.Errorf("%s at %q, want %s", k, got[k], v)
				}
				delete(got, k)
			}
			if len(got) > 0 {
				t.Errorf("also found %v", got)
			}
		})
	}
}

func TestDeepAndWideFilesAreOneFaultOrMany(t *testing.T) {
	for name, file := range map[string]string{
		"open brackets":  "a = " + strings.Repeat("[", 30<<10),
		"inline tables":  "a=" + strings.Repeat("{a=", 15<<10),
		"dotted key":     "a" + strings.Repeat(".a", 15<<10) + "=1",
		"dotted header":  "[a" + strings.Repeat(".a", 15<<10) + "]",
		"nested lists":   "a = " + strings.Repeat("[", 9000) + strings.Repeat("]", 9000),
		"unknown keys":   manyKeys(3000),
		"one long line":  "a = {" + strings.ReplaceAll(strings.TrimSpace(manyKeys(3000)), "\n", ",") + "}",
		"one long key":   strings.Repeat("a", 30<<10) + " = 1",
		"one long value": good + "material = '" + strings.Repeat("a", 30<<10) + "'",
	} {
		_, faults := Parse("f", []byte(file))
		if len(faults) == 0 {
			t.Errorf("%s: no fault", name)
		}
		for _, f := range faults {
			if n := len(f.String()); n > 400 {
				t.Errorf("%s: fault of %d bytes", name, n)
			}
		}
	}
}

func manyKeys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "key%d = 1\n", i)
	}
	return b.String()
}
