package shop

import (
	"bytes"
	"fmt"
	"strings"
)

const preamble = `Shop file of Platewright: the printers, materials, hours and handwork of a workshop. The two printers are invented; ` +
	`put in your own. A key that is left out has its default. The end of a key is its unit.`

// Annotated returns a shop file that says everything Standard says, each key
// with its meaning, unit, default and range.
func Annotated() []byte {
	var b bytes.Buffer
	comment(&b, preamble)
	writeShop(&b, Standard(), true)
	return b.Bytes()
}

const buildPreamble = `Build file of Platewright: what the parts beside it should be printed as. The file may be missing, and so may ` +
	`every key: it then has its default. For a part, copy the last table, take away the # before its header and keys, ` +
	`and put in the name of its file.`

// AnnotatedBuild returns a build file that says nothing but the defaults, each
// key with its meaning, unit, default and range. The table of a part is
// written as a comment.
func AnnotatedBuild() []byte {
	var b, part bytes.Buffer
	comment(&b, buildPreamble)
	b.WriteByte('\n')
	build := buildTable().fresh()
	buildTable().putKeys(&b, &build, true, false)
	example := partTable().fresh()
	example.Count = 2
	partTable().put(&part, &example, true, false)
	for line := range strings.Lines(part.String()) {
		if line != "\n" && !strings.HasPrefix(line, "#") {
			b.WriteByte('#')
		}
		b.WriteString(line)
	}
	return b.Bytes()
}

// writeShop writes a shop as a shop file, with or without notes. Printers and
// materials after the first, which need no notes, leave out what is default.
//
// Law: Parse of what it writes gives the shop again.
func writeShop(b *bytes.Buffer, s Shop, notes bool) {
	for i := range s.Printers {
		printerTable().put(b, &s.Printers[i], notes, i > 0)
	}
	for i := range s.Materials {
		materialTable().put(b, &s.Materials[i], notes, i > 0)
	}
	supportTable().put(b, &s.Support, notes, false)
	searchTable().put(b, &s.Search, notes, false)
	hoursTable().put(b, &s.Hours, notes, false)
	attendedTable().put(b, &s.Hours.Attended, notes, false)
	runningTable().put(b, &s.Hours.Running, notes, false)
	startTable().put(b, &s.Hours.Start, notes, false)
	benchTable().put(b, &s.Bench, notes, false)
	weightsTable().put(b, &s.Weights, notes, false)
	plateTable().put(b, &s.Plate, notes, false)
	reserveTable().put(b, &s.Reserve, notes, false)
	worriesTable().put(b, &s.Worries, notes, false)
}

// put writes one table.
func (t table[T]) put(b *bytes.Buffer, of *T, notes, again bool) {
	b.WriteByte('\n')
	switch {
	case notes && again:
		comment(b, "Another "+t.name+". What is not written here is default.")
	case notes:
		comment(b, t.about)
	}
	header := "[" + t.name + "]"
	if t.many {
		header = "[" + header + "]"
	}
	b.WriteString(header + "\n")
	t.putKeys(b, of, notes, again)
}

// putKeys writes the keys of one table.
func (t table[T]) putKeys(b *bytes.Buffer, of *T, notes, again bool) {
	standard := t.fresh()
	for _, k := range t.keys {
		v := k.kind.write(k.field(of))
		if v == nil || again && literal(v) == literal(k.kind.write(k.field(&standard))) {
			continue
		}
		if notes && !again {
			comment(b, k.note())
		}
		fmt.Fprintf(b, "%s = %s\n", k.name, literal(v))
	}
}

// note returns all that a person has to know about a key.
func (k key[T]) note() string {
	s := k.about
	if u := k.kind.unit(); u != "" {
		s += " Unit: " + u + "."
	}
	s += " Default: " + k.standardText()
	if k.source != "" {
		s += " (" + k.source + ")"
	}
	return s + ". Allowed: " + k.kind.allowed() + "."
}

func (k key[T]) standardText() string {
	switch k.standard {
	case nil:
		return "none"
	case required:
		return "none, has to be given"
	}
	return literal(k.standard)
}

// comment writes words as comment lines of at most 78 letters.
func comment(b *bytes.Buffer, words string) {
	const width = 78
	line := "#"
	for word := range strings.FieldsSeq(words) {
		if len([]rune(line))+1+len([]rune(word)) > width {
			b.WriteString(line + "\n")
			line = "#"
		}
		line += " " + word
	}
	b.WriteString(line + "\n")
}
