package partfile

import (
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// Part is what one file holds.
type Part struct {
	// Name is the name the file itself gives the part; empty if it gives none
	// or holds several things. Cut to 80 bytes.
	Name string
	// Triangles are all facets, in the order of the file; never empty.
	Triangles []mesh.Triangle
	// Items is how many solids (STL), build items (3MF) or objects (OBJ) were
	// merged; at least 1.
	Items int
	// InMillimetres tells that the file states its unit and Triangles have
	// been converted; otherwise they are in whatever the file was drawn in.
	InMillimetres bool
	// Notes are what a person should know though the part could be read.
	Notes []Note
}

// Note is a remark about a file that could be read. Code is one of the Note
// constants, Text is for people.
type Note struct {
	Code string
	Text string
}

// Codes of notes.
const (
	NoteStrayBytes = "stray bytes"         // bytes after the last facet left out
	NoteSeveral    = "several in one file" // solids, build items or objects merged
	NoteSupport    = "support left out"    // support objects of a 3MF file left out
	NoteSurface    = "open surface"        // 3MF object declared as a surface
	NoteMirrored   = "mirrored"            // a 3MF transform mirrors; winding turned
	NoteMaterial   = "material left out"   // colours and materials not read
	NoteExtension  = "extension left out"  // 3MF content of another namespace
	NoteRepeated   = "repeated corner"     // facets that name a corner twice
	NoteCrossed    = "crossed polygon"     // polygons that no clean cut exists for
	NoteNotFaces   = "not faces left out"  // lines, points, curves of an OBJ file
	NoteFewCorners = "too few corners"     // OBJ faces of fewer than three corners
)

// Limits bound what one file may take. A zero field means its default.
type Limits struct {
	FileBytes     int64 // size on disk; default 1 GiB
	UnpackedBytes int64 // what a 3MF file may unpack to; default 1 GiB
	Facets        int   // after merging, 72 bytes each; default 10,000,000
	Instances     int   // objects placed by 3MF items and components; default 10,000
	Depth         int   // components within components; default 32
	Corners       int   // of one OBJ polygon; default 4,096
}

func (l Limits) orDefault() Limits {
	return Limits{
		FileBytes:     orElse(l.FileBytes, 1<<30),
		UnpackedBytes: orElse(l.UnpackedBytes, 1<<30),
		Facets:        orElse(l.Facets, 10_000_000),
		Instances:     orElse(l.Instances, 10_000),
		Depth:         orElse(l.Depth, 32),
		Corners:       orElse(l.Corners, 4096),
	}
}

func orElse[T int | int64](value, otherwise T) T {
	if value > 0 {
		return value
	}
	return otherwise
}

// vertices is how many corners may be kept. More than three for each allowed
// facet cannot be used.
func (l Limits) vertices() int { return 3 * l.Facets }

// Read reads a part of size bytes from r. The ending of name tells the format
// and name stands in errors; nothing is opened by it.
//
// Errors: *Error around ErrUnknownKind, ErrEmpty, ErrTruncated, ErrCount,
// ErrNotFinite, ErrTooLarge, ErrFormat, ErrIndex, ErrCycle, ErrExtension, or
// around r's own error.
// Cost: O(size), for OBJ also O(corners²) for each polygon that is not convex.
func Read(name string, r io.ReaderAt, size int64, limits Limits) (Part, error) {
	part, err := read(name, r, size, limits.orDefault())
	if err != nil {
		return Part{}, about("read", name, err)
	}
	return part, nil
}

func read(name string, r io.ReaderAt, size int64, limits Limits) (Part, error) {
	var reader func(io.ReaderAt, int64, Limits) (Part, error)
	switch strings.ToLower(filepath.Ext(name)) {
	case ".stl":
		reader = readSTL
	case ".3mf":
		reader = read3MF
	case ".obj":
		reader = readOBJ
	default:
		return Part{}, &Error{Err: ErrUnknownKind, Hint: "convert the part to one of them"}
	}
	if size <= 0 {
		return Part{}, &Error{Err: ErrEmpty, Value: "0 bytes", Hint: "export the part again"}
	}
	if size > limits.FileBytes {
		return Part{}, tooLarge("bytes", size, limits.FileBytes)
	}
	part, err := reader(r, size, limits)
	if err != nil {
		return Part{}, err
	}
	if len(part.Triangles) == 0 {
		return Part{}, &Error{Err: ErrEmpty, Hint: "export the part again"}
	}
	return part, nil
}

// Open reads the part file at path; see Read. Only regular files are opened,
// as a pipe would make the caller wait and a device has no size.
func Open(path string, limits Limits) (Part, error) {
	name := filepath.Base(path)
	info, err := os.Stat(path)
	if err != nil {
		return Part{}, about("read", name, err)
	}
	if !info.Mode().IsRegular() {
		return Part{}, about("read", name, &Error{Err: ErrFormat, Value: "not a regular file"})
	}
	file, err := os.Open(path)
	if err != nil {
		return Part{}, about("read", name, err)
	}
	defer func() { _ = file.Close() }() // only read from: nothing to lose
	return Read(name, file, info.Size(), limits)
}

func tooLarge[T int | int64](what string, got, limit T) error {
	return &Error{
		Err:   ErrTooLarge,
		Value: fmt.Sprintf("%d %s, limit %d", got, what, limit),
		Hint:  "simplify or split the part",
	}
}

// maxCoordinate is the largest value that an STL file can hold. Beyond it a
// part could be read but not written, and its volume would overflow.
const maxCoordinate = math.MaxFloat32

// usable tells whether all coordinates are numbers an STL file can hold.
func usable(v r3.Vec) bool {
	return math.Abs(v.X) <= maxCoordinate && math.Abs(v.Y) <= maxCoordinate &&
		math.Abs(v.Z) <= maxCoordinate
}
