package worker_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/rs/zerolog"

	"platewright/testdata/lanterngen/lantern"
	"platewright/worker"
	"platewright/worker/partfile"
)

// BenchmarkPlan plans the demo as it is committed and with 100,000 facets a
// part, files and all, nothing remembered.
func BenchmarkPlan(b *testing.B) {
	b.Run("tris=demo", func(b *testing.B) { benchmarkPlan(b, filepath.Join("..", "testdata", "fish-lantern")) })
	b.Run("tris=100k", func(b *testing.B) { benchmarkPlan(b, fineDemo(b, 100_000)) })
}

func benchmarkPlan(b *testing.B, folder string) {
	b.ReportAllocs()
	plates, hours := 0, 0.0
	for b.Loop() {
		list, err := worker.Plan(context.Background(), worker.Config{
			Folder: folder, Out: filepath.Join(b.TempDir(), "out"), Log: zerolog.Nop(),
		})
		if err != nil {
			b.Fatal(err)
		}
		plates, hours = list.Totals.Plates, list.Totals.MachineHours
	}
	// Quality beside time, so that neither is bought with the other.
	b.ReportMetric(float64(plates), "plates")
	b.ReportMetric(hours, "machine-h")
}

// fineDemo writes the demo with so many facets a part into a folder.
func fineDemo(b *testing.B, facets int) string {
	b.Helper()
	folder := filepath.Join(b.TempDir(), "fish-lantern")
	if err := os.Mkdir(folder, 0o755); err != nil {
		b.Fatal(err)
	}
	parts, err := lantern.Parts(lantern.Resolution, facets)
	if err != nil {
		b.Fatal(err)
	}
	for _, p := range parts {
		f, err := os.Create(filepath.Join(folder, p.Name+".stl"))
		if err != nil {
			b.Fatal(err)
		}
		triangles := p.Mesh.Triangles()
		if err := partfile.WriteSTL(f, fmt.Sprintf("demo %s", p.Name), len(triangles), slices.Values(triangles)); err != nil {
			b.Fatal(err)
		}
		if err := f.Close(); err != nil {
			b.Fatal(err)
		}
	}
	return folder
}
