package partfile

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

const (
	maxNesting = 64      // elements within elements; 3MF needs 6
	maxToken   = 4 << 20 // bytes of one tag or of text between two tags
)

// xmlReader walks through an XML document with bounded memory.
type xmlReader struct {
	xml   *xml.Decoder
	guard *tokenGuard
	name  string // of the zip member
	depth int
	start func(xml.StartElement) error // looks at every element first; may be nil
}

// newXML reads UTF-8, and UTF-16 with a byte order mark, the two encodings that
// the package conventions allow.
func newXML(name string, r io.Reader) *xmlReader {
	guard := &tokenGuard{r: transform.NewReader(r, unicode.BOMOverride(transform.Nop)), name: name}
	decoder := xml.NewDecoder(guard)
	decoder.CharsetReader = func(label string, in io.Reader) (io.Reader, error) {
		if strings.EqualFold(label, "utf-16") {
			return in, nil // turned into UTF-8 already
		}
		return nil, &Error{Err: ErrFormat, Value: "text encoding " + quoted(label), Hint: "only UTF-8 and UTF-16 are allowed"}
	}
	return &xmlReader{xml: decoder, guard: guard, name: name}
}

func (x *xmlReader) place() string {
	row, _ := x.xml.InputPos()
	return fmt.Sprintf("%s line %d", x.name, row)
}

func (x *xmlReader) bad(sentinel error, value, hint string) error {
	return &Error{Err: sentinel, Place: x.place(), Value: value, Hint: hint}
}

// token returns the next tag or text.
//
// Errors: io.EOF at the end of a whole document; else an *Error.
func (x *xmlReader) token() (xml.Token, error) {
	token, err := x.xml.Token()
	if err != nil {
		return nil, x.translate(err)
	}
	x.guard.mark()
	switch t := token.(type) {
	case xml.StartElement:
		if x.depth++; x.depth > maxNesting {
			return nil, x.bad(ErrTooLarge, fmt.Sprintf("more than %d elements within each other", maxNesting), "")
		}
		if x.start != nil {
			return t, x.start(t)
		}
	case xml.EndElement:
		x.depth--
	case xml.Directive:
		return nil, x.bad(ErrFormat, "document type declaration", "3MF allows none")
	}
	return token, nil
}

func (x *xmlReader) translate(err error) error {
	var known *Error
	var syntax *xml.SyntaxError
	switch {
	case x.guard.err != nil:
		return x.guard.err
	case errors.Is(err, io.EOF):
		return io.EOF
	case errors.As(err, &known):
		if known.Place == "" {
			return at(x.place(), known)
		}
		return known
	case errors.As(err, &syntax) && strings.Contains(syntax.Msg, "unexpected EOF"):
		return x.bad(ErrTruncated, "XML ends within an element", "copy or export the file again")
	case errors.As(err, &syntax):
		return x.bad(ErrFormat, "XML: "+quoted(syntax.Msg), "export the part again")
	}
	return x.bad(ErrFormat, quoted(err.Error()), "export the part again")
}

// children calls visit for each element within the one just opened, until that
// one closes. Visit must read to the end of the element it is given.
func (x *xmlReader) children(visit func(xml.StartElement) error) error {
	for {
		token, err := x.token()
		if errors.Is(err, io.EOF) {
			return x.bad(ErrTruncated, "XML ends within an element", "copy or export the file again")
		}
		if err != nil {
			return err
		}
		switch t := token.(type) {
		case xml.StartElement:
			if err := visit(t); err != nil {
				return err
			}
		case xml.EndElement:
			return nil
		}
	}
}

// skip reads to the end of the element just opened. Recursion ends at
// maxNesting.
func (x *xmlReader) skip() error {
	return x.children(func(xml.StartElement) error { return x.skip() })
}

// attribute returns an attribute without a namespace.
func attribute(e xml.StartElement, name string) (string, bool) {
	for _, a := range e.Attr {
		if a.Name.Space == "" && a.Name.Local == name {
			return a.Value, true
		}
	}
	return "", false
}

// required returns an attribute that must be there.
func (x *xmlReader) required(e xml.StartElement, name string) (string, error) {
	value, ok := attribute(e, name)
	if !ok {
		return "", x.bad(ErrFormat, fmt.Sprintf("%s without %s", e.Name.Local, name), "export the part again")
	}
	return value, nil
}

// tokenGuard stops a document whose next tag or text does not end within
// maxToken bytes, since the decoder would keep all of it.
type tokenGuard struct {
	r     io.Reader
	name  string
	since int   // bytes read since the last token ended
	err   error // of the disk, kept from the decoder's wording
}

func (g *tokenGuard) mark() { g.since = 0 }

func (g *tokenGuard) Read(p []byte) (int, error) {
	if g.since > maxToken {
		return 0, &Error{Err: ErrTooLarge, Place: g.name, Value: fmt.Sprintf("a tag or text of more than %d bytes", maxToken)}
	}
	n, err := g.r.Read(p)
	g.since += n
	var known *Error
	if err != nil && !errors.Is(err, io.EOF) && !errors.As(err, &known) {
		g.err = err
	}
	return n, err
}
