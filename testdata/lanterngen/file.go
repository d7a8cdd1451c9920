package main

import (
	"encoding/binary"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/testdata/lanterngen/lantern"
)

// stl returns a part as a binary STL file. It is written here and not by the
// program's own writer, so that a fault in that one cannot hide in the demo.
func stl(p lantern.Part) []byte {
	n := p.Mesh.NumFaces()
	out := make([]byte, 80, 84+50*n)
	// A file that begins with "solid" may be taken for the text form.
	copy(out, "binary, mm, lantern fish demo, "+p.Name)
	out = binary.LittleEndian.AppendUint32(out, uint32(n))
	for i, t := range p.Mesh.Triangles() {
		out = appendVec(out, p.Mesh.Normal(mesh.FaceID(i)))
		for _, v := range t {
			out = appendVec(out, v)
		}
		out = append(out, 0, 0)
	}
	return out
}

func appendVec(out []byte, v r3.Vec) []byte {
	for _, x := range [3]float64{v.X, v.Y, v.Z} {
		// Adding zero turns −0 into 0, which mirroring makes.
		out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(x)+0))
	}
	return out
}

// roles returns a line of text for each facet, after a heading.
func roles(p lantern.Part) []byte {
	out := []byte("role\n")
	for _, r := range p.Roles {
		out = append(append(out, r.String()...), '\n')
	}
	return out
}
