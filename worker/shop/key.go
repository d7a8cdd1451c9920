package shop

// key is all that is known about one key of a settings file.
type key[T any] struct {
	name     string
	kind     kind
	standard any          // default as TOML gives it; nil for none, required for a key that has to be given
	about    string       // what it means, in whole sentences
	source   string       // where the default comes from; "" where it needs no reason
	field    func(*T) any // pointer to the place of the value
}

// required stands in the place of a default that nobody could guess.
var required = struct{}{}

// kind is how a value is written, checked and kept.
type kind interface {
	// read keeps v, a value as TOML gives it, in the field, or leaves the
	// field alone and returns what is wrong with v.
	read(v, field any) (wrong string)
	// write returns the field's value as TOML would give it; nil when there
	// is nothing to write.
	write(field any) any
	// allowed tells the range of values in words, without unit.
	allowed() string
	unit() string
}

// table is one table of a settings file, or each of a list of tables.
type table[T any] struct {
	name  string // with dots, as in its header
	many  bool   // a list of tables: [[name]]
	about string
	keys  []key[T]
	subs  []string // names of tables inside this one
}

// fresh returns the settings of a table with nothing in it.
func (t table[T]) fresh() T {
	var out T
	for _, k := range t.keys {
		if k.standard == nil || k.standard == required {
			continue
		}
		if wrong := k.kind.read(k.standard, k.field(&out)); wrong != "" {
			panic("shop: default of " + t.name + "." + k.name + ": " + wrong)
		}
	}
	return out
}

// names returns the names of all keys and of the tables inside.
func (t table[T]) names() []string {
	var out []string
	for _, k := range t.keys {
		out = append(out, k.name)
	}
	return append(out, t.subs...)
}

// plain returns the settings under their keys, in the units of the file, as
// values that can be written as JSON. What is not given or not known is nil.
func (t table[T]) plain(of T) map[string]any {
	out := map[string]any{}
	for _, k := range t.keys {
		v := k.kind.write(k.field(&of))
		if x, number := v.(float64); number && x != x {
			v = nil // JSON has no NaN
		}
		out[k.name] = v
	}
	return out
}
