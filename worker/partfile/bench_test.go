package partfile

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
)

// gridMesh is a wavy sheet of 2·n·n facets from a fixed seed.
func gridMesh(t testing.TB, n int) *mesh.Mesh {
	t.Helper()
	random := rand.New(rand.NewPCG(15, 16))
	var vertices []r3.Vec
	for y := range n + 1 {
		for x := range n + 1 {
			vertices = append(vertices, r3.Vec{X: 0.1 * float64(x), Y: 0.1 * float64(y), Z: random.Float64()})
		}
	}
	faces := make([][3]mesh.VertexID, 0, 2*n*n)
	for y := range n {
		for x := range n {
			v := mesh.VertexID(y*(n+1) + x)
			up := v + mesh.VertexID(n) + 1
			faces = append(faces, [3]mesh.VertexID{v, v + 1, up}, [3]mesh.VertexID{v + 1, up + 1, up})
		}
	}
	m, err := mesh.New(vertices, faces)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

var ladder = []struct {
	name string
	side int // gridMesh of 2·side² facets
}{{"10k", 71}, {"100k", 224}, {"1M", 708}}

func benchmarkRead(b *testing.B, name string, encode func(*mesh.Mesh) []byte, most int) {
	for _, step := range ladder {
		if step.side > most {
			continue
		}
		b.Run("tris="+step.name, func(b *testing.B) {
			m := gridMesh(b, step.side)
			data := encode(m)
			b.ReportAllocs()
			b.SetBytes(int64(len(data)))
			for b.Loop() {
				part, err := readBytes(name, data, Limits{})
				if err != nil || len(part.Triangles) != m.NumFaces() {
					b.Fatal(len(part.Triangles), err)
				}
			}
			b.ReportMetric(float64(m.NumFaces())*float64(b.N)/b.Elapsed().Seconds(), "tris/s")
		})
	}
}

func BenchmarkReadBinarySTL(b *testing.B) {
	benchmarkRead(b, "x.stl", func(m *mesh.Mesh) []byte {
		return binarySTL("bench", uint32(m.NumFaces()), m.Triangles())
	}, 1000)
}

func BenchmarkReadTextSTL(b *testing.B) {
	benchmarkRead(b, "x.stl", func(m *mesh.Mesh) []byte { return []byte(textSTL("bench", m.Triangles())) }, 300)
}

func BenchmarkRead3MF(b *testing.B) {
	benchmarkRead(b, "x.3mf", func(m *mesh.Mesh) []byte {
		return write3MFBytes(b, Plate{Copies: []Copy{{Mesh: m, Pose: mesh.Pose{Frame: mesh.Identity()}}}})
	}, 300)
}

func BenchmarkReadOBJ(b *testing.B) {
	benchmarkRead(b, "x.obj", func(m *mesh.Mesh) []byte {
		var out bytes.Buffer
		for _, v := range m.Vertices() {
			fmt.Fprintf(&out, "v %g %g %g\n", v.X, v.Y, v.Z)
		}
		for _, f := range m.Faces() {
			fmt.Fprintf(&out, "f %d %d %d\n", f[0]+1, f[1]+1, f[2]+1)
		}
		return out.Bytes()
	}, 300)
}

func BenchmarkWrite3MF(b *testing.B) {
	for _, step := range ladder {
		b.Run("tris="+step.name, func(b *testing.B) {
			m := gridMesh(b, step.side)
			plate := Plate{Copies: []Copy{{Mesh: m, Pose: mesh.Pose{Frame: mesh.Identity()}}}}
			b.ReportAllocs()
			for b.Loop() {
				if err := Write3MF(io.Discard, plate); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(m.NumFaces())*float64(b.N)/b.Elapsed().Seconds(), "tris/s")
		})
	}
}
