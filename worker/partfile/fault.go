package partfile

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Errors that a caller may branch on; they come wrapped in an *Error.
var (
	ErrUnknownKind = errors.New("partfile: file name ends in none of .stl, .3mf, .obj")
	ErrEmpty       = errors.New("partfile: no facets")
	ErrTruncated   = errors.New("partfile: file ends too early")
	ErrCount       = errors.New("partfile: count in the header is wrong")
	ErrNotFinite   = errors.New("partfile: a coordinate is not finite or beyond what 32-bit numbers hold")
	ErrTooLarge    = errors.New("partfile: larger than the limit")
	ErrFormat      = errors.New("partfile: not what the format allows")
	ErrIndex       = errors.New("partfile: names something that does not exist")
	ErrCycle       = errors.New("partfile: components contain each other")
	ErrExtension   = errors.New("partfile: needs a 3MF extension that is not read")
	ErrOutside     = errors.New("partfile: part reaches below zero in the printer frame")
)

// Error is a fault in one file, told so that a person can act on it.
type Error struct {
	Op    string // "read" or "write"
	File  string // name as given
	Place string // line, facet (counted from 1) or package member; may be empty
	Value string // what was found there, cut short; may be empty
	Hint  string // what to do; may be empty
	Err   error  // a sentinel of this package, or the error of the disk
}

// Error returns one line: operation and file, place, fault, value and hint.
func (e *Error) Error() string {
	var b strings.Builder
	if e.Op != "" {
		fmt.Fprintf(&b, "%s %s: ", e.Op, e.File)
	}
	if e.Place != "" {
		b.WriteString(e.Place + ": ")
	}
	b.WriteString(e.Err.Error())
	if e.Value != "" {
		b.WriteString(": " + e.Value)
	}
	if e.Hint != "" {
		b.WriteString(" (" + e.Hint + ")")
	}
	return b.String()
}

// Unwrap returns the sentinel.
func (e *Error) Unwrap() error { return e.Err }

// about completes an error from the inner functions, which know neither the
// operation nor the file.
func about(op, file string, err error) error {
	if err == nil {
		return nil
	}
	var known *Error
	if !errors.As(err, &known) {
		known = &Error{Err: err}
	}
	told := *known
	told.Op, told.File = op, file
	return &told
}

// maxQuoted is how much of a file's own text an error or a note repeats.
const maxQuoted = 80

// quoted makes a file's own text fit to print: cut, quoted, controls escaped.
func quoted(text string) string {
	return strconv.Quote(short(text, maxQuoted))
}

// short cuts text to at most n bytes of whole, valid characters.
func short(text string, n int) string {
	text = strings.ToValidUTF8(text[:min(len(text), n+utf8.UTFMax)], "\uFFFD")
	if len(text) <= n {
		return text
	}
	for n > 0 && !utf8.RuneStart(text[n]) {
		n--
	}
	return text[:n] + "…"
}

func line(n int) string { return "line " + strconv.Itoa(n) }
