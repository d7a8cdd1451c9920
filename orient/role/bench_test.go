package role

import (
	"fmt"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"platewright/support/mesh"
	"platewright/support/mesh/solid"
)

// balls returns eighteen half shells that make nine balls in a row, each part
// of about the given number of facets.
func balls(facets int) []Part {
	n := 1
	for 8*(n+1)*(n+1) <= facets {
		n++
	}
	upper := solid.HemisphericalShell(50, 46, n)
	lower := upper.Moved(mesh.Pose{Frame: mesh.Frame{X: r3.Vec{X: 1}, Y: r3.Vec{Y: -1}, Z: r3.Vec{Z: -1}}})
	var meshes []*mesh.Mesh
	for i := range 9 {
		meshes = append(meshes, solid.At(upper, 110*float64(i), 0, 0), solid.At(lower, 110*float64(i), 0, 0))
	}
	return partsOf(meshes...)
}

func BenchmarkClassify(b *testing.B) {
	for _, size := range []struct {
		name   string
		facets int
	}{{"18x1k", 1_000}, {"18x10k", 10_000}, {"18x100k", 100_000}} {
		parts := balls(size.facets)
		all := 0
		for _, p := range parts {
			all += p.Mesh.NumFaces()
		}
		b.Run(fmt.Sprintf("tris=%s", size.name), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if a := Classify(parts, Settings{}); len(a.Meetings) != 9 {
					b.Fatalf("%d meetings", len(a.Meetings))
				}
			}
			b.ReportMetric(float64(all)*float64(b.N)/b.Elapsed().Seconds(), "tris/s")
		})
	}
}
