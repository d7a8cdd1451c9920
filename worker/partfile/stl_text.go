package partfile

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/hschendel/stl"
)

// readTextSTL reads ASCII STL by handing the library one solid at a time, each
// rewritten so that it holds nothing the library stumbles over.
func readTextSTL(r io.Reader, limits Limits) (Part, error) {
	in := newWords(r)
	out := &collector{}
	part := Part{}
	for {
		w, err := in.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Part{}, err
		}
		if !w.is("solid") {
			if part.Items == 0 || facetWord(w) {
				return Part{}, unexpected(w, "solid")
			}
			if err := onlyStray(in); err != nil {
				return Part{}, err
			}
			part.Notes = append(part.Notes, Note{NoteStrayBytes, "text after the last solid was left out"})
			break
		}
		if part.Name, err = readSolid(in, out, limits); err != nil {
			return Part{}, err
		}
		part.Items++
	}
	if part.Items > 1 {
		part.Name = ""
		part.Notes = append(part.Notes, several(part.Items, "solids"))
	}
	part.Triangles = out.triangles
	return part, nil
}

func several(n int, what string) Note {
	return Note{NoteSeveral, fmt.Sprintf("%d %s in one file are kept together as one part", n, what)}
}

// onlyStray reads to the end and makes sure that no facet is lost with it.
func onlyStray(in *words) error {
	for {
		w, err := in.next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if facetWord(w) || w.is("solid") {
			return unexpected(w, "the end of the file")
		}
	}
}

func facetWord(w word) bool { return w.is("facet") || w.is("vertex") || w.is("endsolid") }

func unexpected(w word, want string) error {
	return &Error{
		Err:   ErrFormat,
		Place: line(w.line),
		Value: fmt.Sprintf("%s where %s should stand", quoted(w.text), want),
		Hint:  "export the part again",
	}
}

// readSolid reads what follows the word solid, and returns the solid's name.
func readSolid(in *words, out *collector, limits Limits) (string, error) {
	name, err := nameOf(in)
	if err != nil {
		return "", err
	}
	feed := &solidFeed{in: in, out: out, limits: limits, before: len(out.triangles)}
	err = stl.CopyAll(feed, out)
	if feed.err != nil {
		return "", feed.err
	}
	if failed := feed.failed(); failed != nil {
		return "", failed
	}
	if err != nil {
		return "", &Error{Err: ErrFormat, Place: line(in.line), Value: quoted(err.Error())}
	}
	return name, nil
}

// nameOf reads the rest of a line after solid or endsolid: a name, which may
// be missing. In a file without line ends the name stops at "facet normal".
func nameOf(in *words) (string, error) {
	var name strings.Builder
	for {
		w, err := in.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return "", err
		}
		if w.first {
			in.push(w)
			break
		}
		if w.is("facet") {
			after, err := in.next()
			if err == nil {
				in.push(after)
			}
			if err == nil && after.is("normal") {
				in.push(w)
				break
			}
		}
		if name.Len() < maxQuoted {
			name.WriteString(w.text + " ")
		}
	}
	return short(strings.TrimSpace(name.String()), maxQuoted), nil
}

// solidFeed is what the library reads instead of the file: one line "solid",
// one line for each facet, one line "endsolid", then the end. Blank lines, long
// lines, lone CRs, upper case, names and normals never reach it.
//
// Each Read returns one line at most. The library asks for the next line when
// it has read the one before, so a facet that it refused shows one line later
// in the number of facets collected, and its own list of errors, which has no
// bound, stays short.
type solidFeed struct {
	in     *words
	out    *collector
	limits Limits
	before int // facets of the solids before this one

	sought bool   // past the look that the library takes at the header
	rest   []byte // what is left of the current line
	fed    int    // facets given to the library
	last   [2]fedFacet
	ended  bool
	err    error
}

type fedFacet struct {
	line int
	text string
}

// Seek answers the two seeks by which the library finds the length of the file
// and returns to its start. The length 0 fits no binary file.
func (f *solidFeed) Seek(int64, int) (int64, error) {
	f.sought = true
	f.rest = []byte("solid \n")
	return 0, nil
}

func (f *solidFeed) Read(p []byte) (int, error) {
	if !f.sought || f.err != nil {
		return 0, io.EOF
	}
	if len(f.rest) == 0 {
		if f.ended {
			return 0, io.EOF
		}
		text, err := f.nextLine()
		if err != nil {
			f.err = err
			return 0, io.EOF
		}
		f.rest = []byte(text)
	}
	n := copy(p, f.rest)
	f.rest = f.rest[n:]
	return n, nil
}

func (f *solidFeed) nextLine() (string, error) {
	// The facet fed last may still be on its way; the one before may not.
	if f.out.bad > 0 || f.collected() < f.fed-1 {
		return "", f.failed()
	}
	w, err := f.in.next()
	if errors.Is(err, io.EOF) {
		return "", unended(f.in)
	}
	if err != nil {
		return "", err
	}
	if w.is("endsolid") {
		f.ended = true
		_, err := nameOf(f.in)
		return "endsolid\n", err
	}
	if !w.is("facet") {
		return "", mismatch(f.in, w, "facet or endsolid")
	}
	if f.before+f.fed >= f.limits.Facets {
		return "", tooLarge("facets and more", f.limits.Facets, f.limits.Facets)
	}
	text, err := facetLine(f.in)
	f.fed++
	f.last[f.fed%2] = fedFacet{w.line, text}
	return text, err
}

func (f *solidFeed) collected() int { return len(f.out.triangles) - f.before }

// failed returns an error about the first facet that was refused or holds a
// number that is not finite, or nil.
func (f *solidFeed) failed() error {
	n := f.collected() + 1
	if f.out.bad > 0 {
		n = f.out.bad - f.before
	}
	if n > f.fed {
		return nil
	}
	bad := f.last[n%2]
	place := fmt.Sprintf("facet %d at line %d", f.before+n, bad.line)
	for text := range strings.FieldsSeq(bad.text) {
		if facetShapeHas(text) {
			continue
		}
		if _, err := number(text); err != nil {
			return at(place, err)
		}
	}
	return &Error{Err: ErrFormat, Place: place, Value: quoted(bad.text)}
}

// mismatch tells a word cut off by the end of the file from a wrong one.
func mismatch(in *words, w word, want string) error {
	if _, err := in.next(); errors.Is(err, io.EOF) {
		return unended(in)
	}
	return unexpected(w, want)
}

func unended(in *words) error {
	return &Error{
		Err:   ErrTruncated,
		Place: line(in.line),
		Value: "no endsolid",
		Hint:  "copy or export the file again",
	}
}

// Stand-ins in facetShape.
const (
	anyNumber  = "number"
	anyNothing = "normal's number"
)

// facetShape is what follows the word facet.
var facetShape = [...]string{
	"normal", anyNothing, anyNothing, anyNothing, "outer", "loop",
	"vertex", anyNumber, anyNumber, anyNumber,
	"vertex", anyNumber, anyNumber, anyNumber,
	"vertex", anyNumber, anyNumber, anyNumber,
	"endloop", "endfacet",
}

func facetShapeHas(text string) bool {
	for _, want := range facetShape {
		if text == want {
			return true
		}
	}
	return text == "facet" || text == "0"
}

// facetLine reads one facet after the word facet and writes it as one line.
// The normal is not used and, being "nan" in many files, not passed on.
func facetLine(in *words) (string, error) {
	var out strings.Builder
	out.WriteString("facet")
	for _, want := range facetShape {
		w, err := in.next()
		if errors.Is(err, io.EOF) {
			return "", unended(in)
		}
		if err != nil {
			return "", err
		}
		out.WriteByte(' ')
		switch {
		case want == anyNothing:
			out.WriteByte('0')
		case want == anyNumber:
			out.WriteString(w.text)
		case w.is(want):
			out.WriteString(want)
		default:
			return "", mismatch(in, w, want)
		}
	}
	out.WriteByte('\n')
	return out.String(), nil
}
