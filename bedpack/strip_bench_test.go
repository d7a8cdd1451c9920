package bedpack

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// The density reached stands beside the time, so that neither is bought with
// the other.
func BenchmarkPackStrip(b *testing.B) {
	for _, n := range []int{10, 40} {
		b.Run(fmt.Sprint("parts=", n), func(b *testing.B) {
			rnd := rand.New(rand.NewPCG(1, uint64(n)))
			s := Strip{Height: 100}
			area := 0.0
			for range n {
				it := StripItem{Outline: randomOutline(rnd, 10+20*rnd.Float64())}
				s.Items = append(s.Items, it)
				area += it.Outline.Area()
			}
			const rounds = 100
			var l StripLayout
			b.ReportAllocs()
			for b.Loop() {
				l = PackStrip(s, Budget{Seed: 1, Spent: Rounds(rounds)})
			}
			b.ReportMetric(float64(rounds*b.N)/b.Elapsed().Seconds(), "rounds/s")
			b.ReportMetric(100*area/(s.Height*l.Length), "%full")
		})
	}
}
