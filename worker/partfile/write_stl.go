package partfile

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"iter"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// WriteSTL writes facets triangles as binary STL, in constant memory. Name goes
// into the header, reduced to ASCII. On an error the file is not whole and must
// be thrown away.
//
// Shape: 84 + 50·facets bytes; coordinates are rounded to 32 bits; the normal
// of a facet without area is zero; spare bytes are zero.
// Laws: same triangles and name, same bytes; the header does not begin with
// "solid", which would make others take the file for text.
// Errors: *Error around ErrEmpty, ErrTooLarge for more than 2³² − 1 facets,
// ErrNotFinite, ErrCount if triangles has more or fewer than facets; or w's own.
func WriteSTL(w io.Writer, name string, facets int, triangles iter.Seq[mesh.Triangle]) error {
	return about("write", name, writeSTL(w, name, facets, triangles))
}

func writeSTL(w io.Writer, name string, facets int, triangles iter.Seq[mesh.Triangle]) error {
	if facets < 1 {
		return &Error{Err: ErrEmpty}
	}
	if int64(facets) > math.MaxUint32 {
		return tooLarge("facets", int64(facets), math.MaxUint32)
	}
	out := bufio.NewWriterSize(w, 1<<16)
	if _, err := out.Write(stlHead(name, uint32(facets))); err != nil {
		return err
	}
	n := 0
	var record [stlFacet]byte
	for t := range triangles {
		if n++; n > facets {
			break
		}
		for _, v := range t {
			if !usable(v) {
				return &Error{Err: ErrNotFinite, Place: facet(n), Value: fmt.Sprint(v)}
			}
		}
		putFacet(&record, t)
		if _, err := out.Write(record[:]); err != nil {
			return err
		}
	}
	if n != facets {
		return &Error{Err: ErrCount, Value: fmt.Sprintf("%d facets announced, %d or more given", facets, n)}
	}
	return out.Flush()
}

func stlHead(name string, facets uint32) []byte {
	head := make([]byte, stlHeader)
	copy(head[:stlHeader-4], "Platewright, binary STL: "+plainASCII(name))
	binary.LittleEndian.PutUint32(head[stlHeader-4:], facets)
	return head
}

// plainASCII keeps letters, digits and a few marks: some readers take words
// like COLOR= in the header for settings.
func plainASCII(name string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', strings.ContainsRune(" .-_+()", c):
			return c
		}
		return '_'
	}, name)
}

func putFacet(record *[stlFacet]byte, t mesh.Triangle) {
	normal := r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))
	if direction, err := mesh.NewDirection(normal); err == nil {
		normal = direction.Vec()
	} else {
		normal = r3.Vec{}
	}
	for i, v := range [...]r3.Vec{normal, t[0], t[1], t[2]} {
		for k, x := range [...]float64{v.X, v.Y, v.Z} {
			binary.LittleEndian.PutUint32(record[12*i+4*k:], math.Float32bits(float32(x)))
		}
	}
}
