package nights

import (
	"math/rand/v2"
	"testing"
	"time"
)

// put by hand: Monday 08:00, attended 08:00-22:00, changes of 10 minutes.
func TestPut(t *testing.T) {
	shop := func(change func(*Problem)) Problem {
		p := shopOf(hoursOfPlates(2)...)
		p.Unattended = true
		p.Printers[0].Swap = 5 * time.Minute
		p.Printers[0].Material = "white"
		change(&p)
		return p
	}
	for _, c := range []struct {
		name   string
		in     Problem
		ready  time.Duration // of the printer, after 08:00
		person time.Duration
		want   string // of the first plate: change and end
	}{
		{"at once", shop(func(*Problem) {}), 0, 0, "Mon 08:00 to Mon 10:10"},
		{"when the printer is ready", shop(func(*Problem) {}), time.Hour, 0, "Mon 09:00 to Mon 11:10"},
		{"when the person is free", shop(func(*Problem) {}), time.Hour, 2 * time.Hour, "Mon 10:00 to Mon 12:10"},
		{"when the plate may", shop(func(p *Problem) { p.Plates[0].Earliest = monday(9) }), 0, 0, "Mon 08:50 to Mon 11:00"},
		{"too late for today", shop(func(*Problem) {}), 13*time.Hour + 51*time.Minute, 0, "Tue 08:00 to Tue 10:10"},
		{"just in time for today", shop(func(*Problem) {}), 13*time.Hour + 50*time.Minute, 0, "Mon 21:50 to Tue 00:00"},
		{"the same material", shop(func(p *Problem) { p.Plates[0].Material = "white" }), 0, 0, "Mon 08:00 to Mon 10:10"},
		{"another: a swap", shop(func(p *Problem) { p.Plates[0].Material = "black" }), 0, 0, "Mon 08:00 to Mon 10:15"},
		{"nothing known to be loaded: no swap", shop(func(p *Problem) { p.Plates[0].Material = "black"; p.Printers[0].Material = "" }), 0, 0, "Mon 08:00 to Mon 10:10"},
		{"a swap is too late for today", shop(func(p *Problem) { p.Plates[0].Material = "black" }), 13*time.Hour + 50*time.Minute, 0, "Tue 08:00 to Tue 10:15"},
		// Pinned to 11:00 on the same printer, changed from 10:50: 08:00 to 10:10 fits, an hour later does not.
		{"before a pinned plate", shop(pinAt(11)), 0, 0, "Mon 08:00 to Mon 10:10"},
		{"after it", shop(pinAt(11)), time.Hour, 0, "Mon 12:00 to Mon 14:10"},
		{"after it because of the reserve", shop(func(p *Problem) { pinAt(11)(p); p.Reserve = 0.5 }), 0, 0, "Mon 12:00 to Mon 14:10"},
		{"round a pinned change of another printer", shop(func(p *Problem) {
			p.Printers = append(p.Printers, Printer{Name: "right", Running: Always()})
			p.Plates = append(p.Plates, Plate{ID: "pin", Hours: []float64{0, 1}, Pin: 1, Start: monday(8).Add(15 * time.Minute)})
		}), 0, 0, "Mon 08:15 to Mon 10:25"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := newModel(&c.in)
			at := m.machines[0].track
			at.ready += seconds(c.ready)
			one := m.put(0, 0, &at, m.from+seconds(c.person))
			if got := clockOf(one.change.in(time.UTC)) + " to " + clockOf(one.end.in(time.UTC)); got != c.want {
				t.Errorf("put = %s, want %s", got, c.want)
			}
			if at.ready != one.end {
				t.Errorf("the printer is ready at %v, want %v", at.ready, one.end)
			}
		})
	}
}

// pinAt pins a plate of an hour to an hour of Monday.
func pinAt(hour int) func(*Problem) {
	return func(p *Problem) {
		p.Plates = append(p.Plates, Plate{ID: "pin", Hours: []float64{1}, Pin: 0, Start: monday(hour)})
	}
}

// The law that everything rests on: who is ready earlier is never later.
func TestPutIsMonotone(t *testing.T) {
	later := 0
	cases(t, 200, func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1+rnd.IntN(3))
		addPlates(rnd, &p, 8, 8)
		addPins(rnd, &p)
		m := newModel(&p)
		for j := range m.tasks {
			for k := range m.machines {
				if !m.fits(j, k) {
					continue
				}
				early := m.machines[k].track
				early.ready += instant(rnd.IntN(5 * 24 * 3600))
				late := early
				late.ready += instant(rnd.IntN(24 * 3600))
				person := m.from + instant(rnd.IntN(5*24*3600))
				a := m.put(j, k, &early, person)
				b := m.put(j, k, &late, person+instant(rnd.IntN(24*3600)))
				if b.change < a.change && a.swap == b.swap || early.ready != a.end {
					t.Errorf("ready later, plate %d on %d is changed at %v, not %v", j, k, b.change, a.change)
				}
				if b.change > a.change {
					later++
				}
			}
		}
	})
	if later < 200 {
		t.Errorf("%d were later: the draw tests too little", later)
	}
}

// A plan put again by the order of its changes ends no plate later.
func TestPuttingAgainLosesNothing(t *testing.T) {
	cases(t, 100, func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1+rnd.IntN(3))
		addPlates(rnd, &p, 10, 8)
		m := newModel(&p)
		if len(m.tasks) == 0 {
			return
		}
		s := newSearch(m)
		s.shorten(rnd.IntN(1000), m.from, early, hour)
		plan := append([]placed(nil), s.plan()...)
		person := m.from
		tracks := make([]track, len(m.machines))
		for k := range tracks {
			tracks[k] = m.machines[k].track
		}
		for _, one := range plan {
			again := m.put(one.task, one.machine, &tracks[one.machine], person)
			if again.end > one.end {
				t.Errorf("task %d ends at %v, put again at %v", one.task, one.end, again.end)
			}
			person = again.start
		}
	})
}
