package partfile

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Layout of binary STL: 80 bytes of anything, the number of facets, and for
// each facet 12 32-bit numbers and 2 spare bytes. Common practice, no source.
const (
	stlHeader = 84
	stlFacet  = 50
)

// sniffBytes is how much of a file is looked at to tell its encoding.
const sniffBytes = 512

// readSTL reads either encoding of STL.
func readSTL(r io.ReaderAt, size int64, limits Limits) (Part, error) {
	head := make([]byte, min(size, sniffBytes))
	if _, err := r.ReadAt(head, 0); err != nil {
		if errors.Is(err, io.EOF) {
			return Part{}, &Error{Err: ErrTruncated, Hint: "copy the file again"}
		}
		return Part{}, err
	}
	switch sniffSTL(head, size) {
	case stlText:
		return readTextSTL(io.NewSectionReader(r, 0, size), limits)
	case stlBinary:
		return readBinarySTL(r, size, head, limits)
	}
	hint := "export the part as STL again"
	if bytes.HasPrefix(head, zipMagic) {
		hint = "this is a zip file: if it is 3MF, end its name in .3mf"
	}
	return Part{}, &Error{Err: ErrFormat, Value: "starts with " + quoted(string(head[:min(len(head), 24)])), Hint: hint}
}

type stlEncoding int

const (
	stlNeither stlEncoding = iota
	stlText
	stlBinary
)

// sniffSTL tells the encodings apart by length and by header, since neither
// is enough: binary headers may say "solid", and a binary file may be cut
// short or carry bytes at the end, so that its length does not fit its count.
func sniffSTL(head []byte, size int64) stlEncoding {
	counted := len(head) >= stlHeader
	if counted && size == stlLength(stlCount(head)) {
		return stlBinary
	}
	// Text holds no control characters. Some files have a few in the name, but
	// then not where a count would stand: one without a zero byte would be over
	// 16 million.
	word := firstWord(head)
	solid := len(word) == 0 || bytes.EqualFold(word, []byte("solid"))
	switch text := printable(head); {
	case bytes.HasPrefix(head, zipMagic):
		return stlNeither
	case solid && (text || !counted || plainText(head[stlHeader-4:stlHeader])):
		return stlText
	case !text:
		return stlBinary
	}
	return stlNeither
}

func stlCount(head []byte) int64 {
	return int64(binary.LittleEndian.Uint32(head[stlHeader-4:]))
}

func stlLength(facets int64) int64 { return stlHeader + stlFacet*facets }

func printable(b []byte) bool {
	for _, c := range b {
		if c < ' ' && !isSpace(c) {
			return false
		}
	}
	return true
}

// plainText is printable without the bytes that only other alphabets use.
func plainText(b []byte) bool {
	return printable(b) && !slices.ContainsFunc(b, func(c byte) bool { return c > '~' })
}

// firstWord returns the first word after a byte order mark and white space.
func firstWord(head []byte) []byte {
	words := bytes.Fields(bytes.TrimPrefix(head, byteOrderMark))
	if len(words) == 0 {
		return nil
	}
	return words[0]
}

// readBinarySTL reads binary STL after comparing the count in its header with
// what a file of this size can hold.
func readBinarySTL(r io.ReaderAt, size int64, head []byte, limits Limits) (Part, error) {
	if err := checkCount(size, head, limits); err != nil {
		return Part{}, err
	}
	count := stlCount(head)
	out := &collector{}
	in := &recorder{ReadSeeker: io.NewSectionReader(r, 0, stlLength(count))}
	err := stl.CopyAll(in, out)
	switch {
	case out.bad > 0:
		return Part{}, at(facet(out.bad), &Error{Err: ErrNotFinite, Hint: "export the part again"})
	case in.err != nil:
		return Part{}, in.err
	case int64(len(out.triangles)) < count:
		return Part{}, truncated(count, int64(len(out.triangles)))
	case err != nil:
		return Part{}, &Error{Err: ErrFormat, Value: quoted(err.Error())}
	}
	part := Part{Name: binaryName(head), Triangles: out.triangles, Items: 1}
	if stray := size - stlLength(count); stray > 0 {
		part.Notes = []Note{strayBytes(stray)}
	}
	return part, nil
}

func checkCount(size int64, head []byte, limits Limits) error {
	if size < stlHeader {
		return &Error{
			Err:   ErrTruncated,
			Value: fmt.Sprintf("%d bytes, the header alone has %d", size, stlHeader),
			Hint:  "copy the file again",
		}
	}
	count := stlCount(head)
	held, rest := (size-stlHeader)/stlFacet, (size-stlHeader)%stlFacet
	switch {
	case count == 0 && held == 0:
		return &Error{Err: ErrEmpty, Hint: "export the part again"}
	case count == 0, count > held && held > 0 && rest == 0:
		// Whole facets to the last byte: not cut off, but counted wrong.
		return &Error{
			Err:   ErrCount,
			Value: fmt.Sprintf("header says %d facets, file holds %d", count, held),
			Hint:  "export the part again",
		}
	case count > held:
		return truncated(count, held)
	case count > int64(limits.Facets):
		return tooLarge("facets", count, int64(limits.Facets))
	}
	return nil
}

func truncated(count, held int64) error {
	return &Error{
		Err:   ErrTruncated,
		Value: fmt.Sprintf("header says %d facets, file holds %d", count, held),
		Hint:  "copy or export the file again",
	}
}

func strayBytes(n int64) Note {
	return Note{NoteStrayBytes, fmt.Sprintf("%d stray bytes after the last facet were left out", n)}
}

// binaryName returns the text in a binary header up to the first byte that is
// not printable ASCII, or nothing.
func binaryName(head []byte) string {
	end := slices.IndexFunc(head[:stlHeader-4], func(c byte) bool { return c < ' ' || c > '~' })
	if end < 0 {
		end = stlHeader - 4
	}
	return string(bytes.TrimSpace(head[:end]))
}

func facet(n int) string { return "facet " + strconv.Itoa(n) }

// reservedFacets is how many facets are allocated at once on the word of a
// header: 1M facets, 72 MB. What a larger file really holds is found by
// reading; its size proves nothing, as a sparse file has any size for nothing.
const reservedFacets = 1 << 20

// collector is the stl.Writer that keeps what the library reads. The library
// passes on NaN and infinity and gives no way to stop it, so the collector
// marks the first bad facet. Normals are dropped: they follow from the corners
// and are NaN in many files.
type collector struct {
	triangles []mesh.Triangle
	bad       int // first facet with an unusable corner, counted from 1; 0: none
}

func (c *collector) SetName(string)         {}
func (c *collector) SetBinaryHeader([]byte) {}
func (c *collector) SetASCII(bool)          {}

func (c *collector) SetTriangleCount(n uint32) {
	c.triangles = make([]mesh.Triangle, 0, min(n, reservedFacets))
}

func (c *collector) AppendTriangle(t stl.Triangle) {
	var triangle mesh.Triangle
	for i, v := range t.Vertices {
		triangle[i] = r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}
		if c.bad == 0 && !usable(triangle[i]) {
			c.bad = len(c.triangles) + 1
		}
	}
	c.triangles = append(c.triangles, triangle)
}

// recorder remembers the error of the disk, of which the library keeps only
// the text.
type recorder struct {
	io.ReadSeeker
	err error
}

func (r *recorder) Read(p []byte) (int, error) {
	n, err := r.ReadSeeker.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		r.err = err
	}
	return n, err
}
