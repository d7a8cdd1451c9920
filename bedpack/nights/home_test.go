package nights

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// kind is how a maker lives.
type kind int

const (
	atHome    kind = iota // 08:00-22:00, printers run overnight
	evenings              // 07:00-08:30 and 17:30-22:30, printers run on
	byDay                 // 08:00-22:00, nothing runs unattended
	weekender             // an hour in the morning and evenings on workdays, Saturday and Sunday from 09:00
)

func kinds() []kind { return []kind{atHome, evenings, byDay, weekender} }

func (k kind) String() string { return [...]string{"at home", "evenings", "by day", "weekender"}[k] }

// homeShop draws a shop and plates of 1.5 to 12 h, up to 9 h when they must fit
// a day. Printers differ in speed by up to a half, plates by a tenth more; one
// in six plates cannot go on a printer.
func homeShop(rnd *rand.Rand, k kind, plates, printers int) Problem {
	p := Problem{From: monday(9), Change: 10 * time.Minute, Unattended: k != byDay, Reserve: 0.1, Start: Always(), Attended: Daily(Window{480, 1320})}
	switch k {
	case evenings:
		p.Attended = Daily(Window{420, 510}, Window{1050, 1350})
	case weekender:
		p.Attended = Daily(Window{420, 480}, Window{1080, 1380})
		p.Attended[5], p.Attended[6] = []Window{{540, 1380}}, []Window{{540, 1380}}
	}
	var speed []float64
	for i := range printers {
		p.Printers = append(p.Printers, Printer{Name: fmt.Sprintf("printer %d", i), Running: Always()})
		speed = append(speed, 0.8+0.4*rnd.Float64())
	}
	for j := range plates {
		h := 1.5 + 8*rnd.Float64()
		if k == byDay {
			h = min(h, 9)
		}
		one := Plate{ID: fmt.Sprintf("plate %03d", j), Pin: AnyPrinter}
		for i := range printers {
			hours := math.Round(60*h*speed[i]*(0.95+0.1*rnd.Float64())) / 60
			if rnd.IntN(6) == 0 && i != j%printers {
				hours = math.NaN()
			}
			one.Hours = append(one.Hours, hours)
		}
		p.Plates = append(p.Plates, one)
	}
	return p
}

// gap returns by what share a plan is longer than its bound.
func gap(p Problem, s Schedule) float64 {
	return float64(s.End.Sub(s.Bound)) / float64(s.Bound.Sub(p.From))
}

// reached is the share above the bound that no kind is beyond today.
const reached = 0.08

// 60 plates on 5 printers are to come within 3 % of the bound. Today some kinds
// do not: by the first of each they end up to 7.9 % above it. Whether plans or
// bound are to blame is open. The test keeps what there is from getting worse.
// BenchmarkNights60 has more shops.
func TestNights60(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: takes half a minute")
	}
	for _, k := range kinds() {
		t.Run(k.String(), func(t *testing.T) {
			p := homeShop(rand.New(rand.NewPCG(*seed, uint64(k))), k, 60, 5)
			s := Plan(p, Effort{})
			if err := Verify(p, s); err != nil {
				t.Error(err)
			}
			t.Logf("ends after %v, bound %v, %.2f %% above", s.End.Sub(p.From), s.Bound.Sub(p.From), 100*gap(p, s))
			if len(s.Refused) > 0 || gap(p, s) > reached {
				t.Errorf("%d plates refused, %.2f %% above the bound, want none and %g at most", len(s.Refused), 100*gap(p, s), 100*reached)
			}
		})
	}
}

// BenchmarkNights60 reports by what share plans of 60 plates on 5 printers are
// longer than the bound; "gap%" is the mean over the rounds, "worst%" the
// worst. Every round is another shop.
func BenchmarkNights60(b *testing.B) {
	for _, k := range kinds() {
		b.Run(k.String(), func(b *testing.B) {
			sum, worst, n := 0.0, 0.0, 0
			for b.Loop() {
				p := homeShop(rand.New(rand.NewPCG(100+uint64(n), uint64(k))), k, 60, 5)
				g := 100 * gap(p, Plan(p, Effort{}))
				sum, worst, n = sum+g, max(worst, g), n+1
			}
			b.ReportMetric(sum/float64(n), "gap%")
			b.ReportMetric(worst, "worst%")
		})
	}
}
