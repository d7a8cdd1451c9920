package shop

import (
	"fmt"
	"slices"
	"strings"
)

// section is one table of a file while it is read.
type section struct {
	file   string
	name   string // "" for the top of the file
	values map[string]any
	spot   *spot
	faults *Faults           // of the whole file
	bad    map[string]bool   // keys of this table that have a fault
	homes  map[string]string // header of the table in which a key is known
}

// top returns the section of a whole file.
func top(file string, values map[string]any, at *spot, homes map[string]string) *section {
	return &section{file: file, values: values, spot: at, faults: &Faults{}, bad: map[string]bool{}, homes: homes}
}

// inside returns the section of a table within s.
func (s *section) inside(name string, values map[string]any, at *spot) *section {
	return &section{
		file: s.file, name: s.path(name), values: values, spot: at,
		faults: s.faults, bad: map[string]bool{}, homes: s.homes,
	}
}

// path returns the name of a key of s with the tables that it lies in.
func (s *section) path(key string) string {
	key = shorten(key, 40)
	if key == "" || strings.Trim(key, bare) != "" {
		key = quoted(key)
	}
	if s.name == "" {
		return key
	}
	return s.name + "." + key
}

// bare holds the letters of a key that needs no quotes.
//
// Source: TOML 1.0.0, section Keys.
const bare = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-"

// fault notes a fault of a key: where it stands, or where its table begins if
// it is not given.
func (s *section) fault(name string, f Fault) {
	at := s.spot.inside(name)
	f.File, f.Line, f.Column = s.file, at.line, at.column
	f.Key = s.path(name)
	f.Value = shorten(f.Value, 60)
	if _, given := s.values[name]; !given && f.Value != "" && f.Hint == "" {
		f.Hint = "the default"
	}
	s.bad[name] = true
	*s.faults = append(*s.faults, f)
}

// sound reports whether none of the keys has a fault yet.
func (s *section) sound(keys ...string) bool {
	return !slices.ContainsFunc(keys, func(k string) bool { return s.bad[k] })
}

// clean reports whether neither s nor a table inside it has a fault yet.
func (s *section) clean() bool {
	return !slices.ContainsFunc(*s.faults, func(f Fault) bool {
		return f.Key == s.name || strings.HasPrefix(f.Key, s.name+".")
	})
}

// known notes a fault for every key that is not among the names.
func (s *section) known(names []string) {
	for given, v := range s.values {
		if slices.Contains(names, given) {
			continue
		}
		s.fault(given, Fault{Wrong: "unknown key", Hint: s.hint(given, v, names)})
	}
}

// hint guesses what an unknown key should have been.
func (s *section) hint(given string, v any, names []string) string {
	if home := s.homes[given]; home != "" {
		return "it belongs under " + home
	}
	if near := nearest(given, names); near != "" {
		return "did you mean " + near + "?"
	}
	if _, isTable := v.(map[string]any); isTable && s.name != "" {
		return `a name with a dot in it needs quotes, as in [part."arm.stl"]`
	}
	return ""
}

// read reads the keys of one table. What is missing or wrong has its default.
func read[T any](s *section, t table[T]) T {
	out := t.fresh()
	for _, k := range t.keys {
		v, given := s.values[k.name]
		if !given {
			if k.standard == required {
				s.fault(k.name, Fault{Wrong: "missing", Allowed: k.kind.allowed(), Unit: k.kind.unit()})
			}
			continue
		}
		if wrong := k.kind.read(v, k.field(&out)); wrong != "" {
			s.fault(k.name, Fault{Value: literal(v), Wrong: wrong, Allowed: k.kind.allowed(), Unit: k.kind.unit()})
		}
	}
	s.known(t.names())
	return out
}

// single reads a table that may stand once, and returns its section.
func single[T any](s *section, t table[T], name string) (T, *section) {
	v, given := s.values[name]
	values, isTable := v.(map[string]any)
	in := s.inside(name, values, s.spot.inside(name))
	if given && !isTable {
		s.fault(name, Fault{Wrong: misfit(v, "a table"), Hint: "write its header once, as [" + t.name + "]"})
		return t.fresh(), in
	}
	return read(in, t), in
}

// list reads a list of tables, and returns their sections.
func list[T any](s *section, t table[T]) ([]T, []*section) {
	v, given := s.values[t.name]
	if !given {
		return nil, nil
	}
	items, isList := v.([]any)
	hint := fmt.Sprintf("write the header [[%s]] above each %s", t.name, t.name)
	if !isList {
		s.fault(t.name, Fault{Wrong: misfit(v, "a list of tables"), Hint: hint})
		return nil, nil
	}
	var out []T
	var sections []*section
	for i, one := range items {
		values, isTable := one.(map[string]any)
		if !isTable {
			s.fault(t.name, Fault{Value: literal(one), Wrong: misfit(one, "a table"), Hint: hint})
			continue
		}
		in := s.inside(t.name, values, s.spot.inside(t.name).item(i))
		out = append(out, read(in, t))
		sections = append(sections, in)
	}
	return out, sections
}
