package partfile

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"errors"
	"fmt"
	"io"
	"strings"
)

// maxDirectory is how many bytes of a zip file's directory are read. The
// directory is kept in memory at about six times its size before any limit of
// ours could stop it; 16 MiB are about 200,000 members.
const maxDirectory = 16 << 20

// zipMagic is how a zip file that holds something begins.
var zipMagic = []byte("PK\x03\x04")

// archive is a zip file of which no more is unpacked than was allowed.
type archive struct {
	members map[string]*zip.File // by lower-case name: part names ignore case
	left    int64                // bytes that may still be unpacked
}

func openArchive(r io.ReaderAt, size int64, limits Limits) (*archive, error) {
	metered := &meteredReaderAt{ReaderAt: r, left: maxDirectory}
	z, err := zip.NewReader(metered, size)
	switch {
	case metered.exceeded:
		return nil, tooLarge("bytes of zip directory and more", maxDirectory, maxDirectory)
	case errors.Is(err, zip.ErrFormat), errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return nil, notZip(r)
	case err != nil && !errors.Is(err, zip.ErrInsecurePath): // paths are only compared, never opened
		return nil, err
	}
	metered.unlimited = true
	a := &archive{members: make(map[string]*zip.File, len(z.File)), left: limits.UnpackedBytes}
	for _, f := range z.File {
		name := strings.ToLower(strings.TrimPrefix(f.Name, "/"))
		if strings.HasSuffix(name, "/") {
			continue
		}
		if a.members[name] != nil {
			return nil, &Error{Err: ErrFormat, Place: quoted(f.Name), Value: "two members of one name"}
		}
		a.members[name] = f
	}
	return a, nil
}

// notZip tells a zip file that lost its end from something else.
func notZip(r io.ReaderAt) error {
	magic := make([]byte, len(zipMagic))
	if _, err := r.ReadAt(magic, 0); err == nil && bytes.Equal(magic, zipMagic) {
		return &Error{Err: ErrTruncated, Value: "zip directory missing or damaged", Hint: "copy the file again"}
	}
	return &Error{Err: ErrFormat, Value: "not a zip file", Hint: "export the part as 3MF again"}
}

func (a *archive) has(name string) bool { return a.members[strings.ToLower(name)] != nil }

// open unpacks one member, after comparing its declared size with what is
// left. The zip reader itself stops at a byte more than declared (the test with
// a false declaration watches over that).
func (a *archive) open(name string) (io.ReadCloser, error) {
	f := a.members[strings.ToLower(name)]
	if f == nil {
		return nil, &Error{Err: ErrFormat, Place: name, Value: "missing from the zip file", Hint: "export the part as 3MF again"}
	}
	if f.UncompressedSize64 > uint64(a.left) {
		return nil, &Error{
			Err:   ErrTooLarge,
			Place: name,
			Value: fmt.Sprintf("unpacks to %d bytes, %d allowed", f.UncompressedSize64, a.left),
			Hint:  "simplify or split the part",
		}
	}
	const encrypted = 1 // general purpose bit 0, PKWARE APPNOTE 4.4.4
	if f.Flags&encrypted != 0 {
		return nil, &Error{Err: ErrFormat, Place: name, Value: "encrypted", Hint: "save it without a password"}
	}
	content, err := f.Open()
	if err != nil {
		return nil, &Error{Err: ErrFormat, Place: name, Value: err.Error()}
	}
	a.left -= int64(f.UncompressedSize64)
	return &memberReader{content, name}, nil
}

// memberReader turns what the zip reader says of damage into our errors.
type memberReader struct {
	io.ReadCloser
	name string
}

func (m *memberReader) Read(p []byte) (int, error) {
	n, err := m.ReadCloser.Read(p)
	var flaw flate.CorruptInputError
	if errors.Is(err, zip.ErrFormat) || errors.Is(err, zip.ErrChecksum) ||
		errors.Is(err, io.ErrUnexpectedEOF) || errors.As(err, &flaw) {
		err = &Error{
			Err:   ErrFormat,
			Place: m.name,
			Value: "damaged, or not as long as it declares",
			Hint:  "copy or export the file again",
		}
	}
	return n, err
}

// meteredReaderAt stops a reader that asks for more bytes than allowed.
type meteredReaderAt struct {
	io.ReaderAt
	left      int64
	unlimited bool
	exceeded  bool
}

func (m *meteredReaderAt) ReadAt(p []byte, off int64) (int, error) {
	if !m.unlimited {
		m.left -= int64(len(p))
		if m.left < 0 {
			m.exceeded = true
			return 0, ErrTooLarge
		}
	}
	return m.ReaderAt.ReadAt(p, off)
}
