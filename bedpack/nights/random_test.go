package nights

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"
	"time"
	_ "time/tzdata" // zones, wherever the tests run
)

var seed = flag.Uint64("seed", 1, "seed of the property tests")

func TestMain(m *testing.M) {
	flag.Parse()
	code := m.Run()
	if code != 0 {
		fmt.Println("seed", *seed)
	}
	os.Exit(code)
}

// cases runs a property n times, each with its own generator.
func cases(t *testing.T, n int, property func(t *testing.T, rnd *rand.Rand)) {
	t.Helper()
	for i := range uint64(n) {
		t.Run(fmt.Sprint(i), func(t *testing.T) { property(t, rand.New(rand.NewPCG(*seed, i))) })
	}
}

// many is how many of n cases are drawn: a fifth of them in short runs.
func many(t testing.TB, n int) int {
	t.Helper()
	if testing.Short() {
		return n / 5
	}
	return n
}

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func pick[T any](rnd *rand.Rand, of ...T) T { return of[rnd.IntN(len(of))] }

// randomWeek draws hours as shops have them, some absurd.
func randomWeek(rnd *rand.Rand) Week {
	switch rnd.IntN(6) {
	case 0:
		return Always()
	case 1:
		return Daily(Window{480, 1320})
	case 2:
		return Daily(Window{420, 510}, Window{1050, 1350})
	case 3: // nights, into the next day
		return Daily(Window{1320, 1320 + 60*(1+rnd.IntN(12))})
	}
	var w Week
	for day := range w {
		for range rnd.IntN(4) {
			from := rnd.IntN(dayLong)
			w[day] = append(w[day], Window{from, from + 1 + rnd.IntN(900)})
		}
	}
	return w
}

// randomShop draws a shop, around a change of clocks as often as not.
func randomShop(t testing.TB, rnd *rand.Rand, printers int) Problem {
	p := Problem{
		Zone:       pick(rnd, time.UTC, zone(t, "Europe/Berlin"), zone(t, "Australia/Lord_Howe"), zone(t, "America/Santiago"), zone(t, "Asia/Kolkata")),
		Attended:   randomWeek(rnd),
		Start:      pick(rnd, Always(), Always(), randomWeek(rnd)),
		Awkward:    pick(rnd, Week{}, Daily(Window{1200, 1440})),
		Change:     time.Duration(rnd.IntN(30)) * time.Minute,
		Unattended: rnd.IntN(3) > 0,
		Reserve:    pick(rnd, 0, 0.1, 0.3),
	}
	if rnd.IntN(4) == 0 {
		p.Change += time.Duration(rnd.IntN(60)) * time.Second
	}
	day := pick(rnd, time.Date(2026, 3, 27, 0, 0, 0, 0, p.Zone), time.Date(2026, 10, 23, 0, 0, 0, 0, p.Zone),
		time.Date(2026, 4, 3, 0, 0, 0, 0, p.Zone), time.Date(2026, 9, 4, 0, 0, 0, 0, p.Zone))
	p.From = day.Add(time.Duration(rnd.IntN(3*24*60)) * time.Minute)
	for k := range printers {
		one := Printer{Name: fmt.Sprintf("printer %d", k), Running: pick(rnd, Always(), Always(), randomWeek(rnd)),
			Material: pick(rnd, "", "white", "black"), Swap: time.Duration(rnd.IntN(3)*5) * time.Minute}
		if rnd.IntN(3) == 0 {
			one.Free = p.From.Add(time.Duration(rnd.IntN(40*60)-600) * time.Minute)
		}
		p.Printers = append(p.Printers, one)
	}
	return p
}

// addPlates draws plates of up to so many hours.
func addPlates(rnd *rand.Rand, p *Problem, plates int, hours float64) {
	for j := range plates {
		one := Plate{ID: fmt.Sprintf("plate %02d", j), Pin: AnyPrinter, Rank: rnd.IntN(1 + rnd.IntN(3)), Material: pick(rnd, "", "white", "black")}
		base := hours * (0.1 + 0.9*rnd.Float64())
		for range p.Printers {
			h := math.Round(base*(0.8+0.4*rnd.Float64())*60) / 60
			one.Hours = append(one.Hours, pick(rnd, h, h, h, h, h+rnd.Float64(), math.NaN(), math.Inf(1)))
		}
		if rnd.IntN(5) == 0 {
			one.Earliest = p.From.Add(time.Duration(rnd.IntN(2*24*60)) * time.Minute)
		}
		if rnd.IntN(6) == 0 {
			one.Pin = rnd.IntN(len(p.Printers))
		}
		p.Plates = append(p.Plates, one)
	}
}

// addPins pins some plates to starts, on and off the hours of the shop.
func addPins(rnd *rand.Rand, p *Problem) {
	for j := range p.Plates {
		if rnd.IntN(4) == 0 {
			p.Plates[j].Pin = rnd.IntN(len(p.Printers))
			p.Plates[j].Start = p.From.Add(time.Duration(rnd.IntN(60*60)-300) * time.Minute)
		}
	}
}
