package shop

import (
	"bytes"
	"errors"
	"sort"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// largestFile is the size above which a file is not a settings file: a shop
// of a hundred printers with every key written out takes less than half of
// it. The library needs time by the square of the number of keys: a second or
// two for a file of this size that is nothing but keys.
const largestFile = 256 << 10 // bytes

// spot is where a table, or the key of a value, stands in a file, with the
// spots of what lies inside.
type spot struct {
	line, column int
	table        map[string]*spot
	items        []*spot // of a list of tables
}

// parseDocument reads TOML into plain values and tells where each key stands.
//
// The library's own check for unknown keys is not used. It decodes into typed
// fields, stops at the first value of a wrong type, and takes HEIGHT_MM for
// height_mm; here every fault is to be told at once. A test holds the two
// against each other.
func parseDocument(file string, data []byte) (map[string]any, *spot, Faults) {
	if len(data) > largestFile {
		return nil, nil, Faults{{File: file, Wrong: "larger than 256 KiB, so not a settings file"}}
	}
	// Some editors put a byte order mark first; TOML 1.1 has it ignored.
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	values := map[string]any{}
	if err := toml.Unmarshal(data, &values); err != nil {
		return nil, nil, Faults{notTOML(file, err)}
	}
	return values, spots(data), nil
}

// notTOML tells in our words why the library could not read a file.
func notTOML(file string, err error) Fault {
	f := Fault{File: file, Wrong: "not well-formed TOML"}
	var at *toml.DecodeError
	if !errors.As(err, &at) {
		return f
	}
	f.Line, f.Column = at.Position()
	says := at.Error()
	switch {
	case strings.HasSuffix(says, "is already defined"):
		f.Wrong = "key given a second time"
	case strings.HasSuffix(says, "already exists"):
		f.Wrong = "table given a second time"
		f.Hint = "a list of tables, such as printer or material, has its name in double brackets"
	case strings.Contains(says, "too large to fit"):
		f.Wrong = "number with too many digits"
	default:
		f.Hint = shorten(strings.TrimPrefix(says, "toml: "), 80)
	}
	return f
}

// spots walks a document that is known to be good TOML.
func spots(data []byte) *spot {
	lines := lineStarts(data)
	root := &spot{}
	here := root
	var p unstable.Parser
	p.Reset(data)
	for p.NextExpression() {
		switch e := p.Expression(); e.Kind {
		case unstable.Table, unstable.ArrayTable:
			here = root.reach(e.Key(), lines, e.Kind == unstable.ArrayTable)
		case unstable.KeyValue:
			here.add(e, lines)
		}
	}
	return root
}

// add notes the key of a key-value and of those inside its value.
func (s *spot) add(pair *unstable.Node, lines []int) {
	s.reach(pair.Key(), lines, false).fill(pair.Value(), lines)
}

// fill notes the keys inside a value: an inline table or a list of such.
func (s *spot) fill(value *unstable.Node, lines []int) {
	switch value.Kind {
	case unstable.InlineTable:
		for it := value.Children(); it.Next(); {
			s.add(it.Node(), lines)
		}
	case unstable.Array:
		for it := value.Children(); it.Next(); {
			item := &spot{line: s.line, column: s.column}
			item.fill(it.Node(), lines)
			s.items = append(s.items, item)
		}
	}
}

// reach follows a dotted key from s and returns the spot at its end, making
// those that are missing. Through a list of tables the way leads over its
// last item; with item set, the end is a new item of such a list.
func (s *spot) reach(key unstable.Iterator, lines []int, item bool) *spot {
	for key.Next() {
		if n := len(s.items); n > 0 {
			s = s.items[n-1]
		}
		node := key.Node()
		next := s.table[string(node.Data)]
		if next == nil {
			next = &spot{}
			next.line, next.column = position(lines, int(node.Raw.Offset))
			if s.table == nil {
				s.table = map[string]*spot{}
			}
			s.table[string(node.Data)] = next
		}
		if item && key.IsLast() {
			one := &spot{}
			one.line, one.column = position(lines, int(node.Raw.Offset))
			next.items = append(next.items, one)
		}
		s = next
	}
	if n := len(s.items); n > 0 {
		return s.items[n-1]
	}
	return s
}

// lineStarts returns the offset of the first byte of every line.
func lineStarts(data []byte) []int {
	starts := []int{0}
	for i, c := range data {
		if c == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}

// position returns the line and column, from 1, of the byte at offset.
func position(starts []int, offset int) (line, column int) {
	line = sort.SearchInts(starts, offset+1)
	return line, offset - starts[line-1] + 1
}

// item returns the i-th item of a list of tables, and s itself if the
// document has none there.
func (s *spot) item(i int) *spot {
	if i < len(s.items) {
		return s.items[i]
	}
	return s
}

// inside returns the spot of a key in s, and s itself if it is not given.
func (s *spot) inside(key string) *spot {
	if in := s.table[key]; in != nil {
		return in
	}
	return s
}
