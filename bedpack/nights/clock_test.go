package nights

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestStretches(t *testing.T) {
	sunday := Week{6: {{1320, 1800}}} // Sunday 22:00 to Monday 06:00
	for _, c := range []struct {
		name string
		in   Week
		want []Window
	}{
		{"none", Week{}, nil},
		{"all", Always(), []Window{{0, weekLong}}},
		{"touching ones join", Week{0: {{60, 120}, {120, 180}}}, []Window{{60, 180}}},
		{"overlapping ones join, in any order", Week{0: {{100, 180}, {60, 120}}}, []Window{{60, 180}}},
		{"into the next day", Week{0: {{1380, 1500}}, 1: {{60, 120}}}, []Window{{1380, 1560}}},
		{"over the week's end", sunday, []Window{{0, 360}, {6*1440 + 1320, weekLong}}},
		{"a minute over the week's end", Week{6: {{1380, 1441}}}, []Window{{0, 1}, {6*1440 + 1380, weekLong}}},
		{"to the week's end", Week{6: {{1380, 1440}}}, []Window{{6*1440 + 1380, weekLong}}},
		{"longer than a week", Week{3: {{600, 600 + 2*weekLong}}}, []Window{{0, weekLong}}},
		{"backwards, empty, before the day, after it: none", Week{0: {{120, 60}, {60, 60}, {-5, 60}, {1440, 1500}}}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.in.stretches(); !slices.Equal(got, c.want) {
				t.Errorf("stretches = %v, want %v", got, c.want)
			}
		})
	}
}

// What a clock makes of nights in which clocks are changed. Source of the
// changes: IANA time zone database. Berlin: 29 March 2026 02:00 to 03:00, 25
// October 2026 03:00 to 02:00. Santiago: 6 September 2026 00:00 to 01:00, 5
// April 2026 00:00 to 23:00 the day before. Lord Howe, half an hour: 4 October
// 2026 02:00 to 02:30, 5 April 2026 02:00 to 01:30.
func TestClockChanges(t *testing.T) {
	for _, c := range []struct {
		name   string
		zone   string
		day    string
		window Window // of that day
		want   string // readings, with the offset from UTC in hours
	}{
		{"an ordinary night", "Europe/Berlin", "2026-03-20", Window{60, 240}, "01:00+1 to 04:00+1 3h0m0s"},
		{"over the skipped hour: an hour less", "Europe/Berlin", "2026-03-29", Window{60, 240}, "01:00+1 to 04:00+2 2h0m0s"},
		{"begins in it: begins with the jump", "Europe/Berlin", "2026-03-29", Window{150, 240}, "03:00+2 to 04:00+2 1h0m0s"},
		{"ends in it: ends with the jump", "Europe/Berlin", "2026-03-29", Window{60, 150}, "01:00+1 to 03:00+2 1h0m0s"},
		{"lies in it: is left out", "Europe/Berlin", "2026-03-29", Window{130, 170}, ""},
		{"a day of 23 hours", "Europe/Berlin", "2026-03-29", Window{0, 1439}, "00:00+1 to 23:59+2 22h59m0s"},
		{"over the doubled hour: an hour more", "Europe/Berlin", "2026-10-25", Window{60, 240}, "01:00+2 to 04:00+1 4h0m0s"},
		{"begins in it: twice", "Europe/Berlin", "2026-10-25", Window{150, 240}, "02:30+2 to 02:00+1 30m0s, 02:30+1 to 04:00+1 1h30m0s"},
		{"ends in it: twice", "Europe/Berlin", "2026-10-25", Window{60, 150}, "01:00+2 to 02:30+2 1h30m0s, 02:00+1 to 02:30+1 30m0s"},
		{"lies in it: twice", "Europe/Berlin", "2026-10-25", Window{130, 170}, "02:10+2 to 02:50+2 40m0s, 02:10+1 to 02:50+1 40m0s"},
		{"a day of 25 hours", "Europe/Berlin", "2026-10-25", Window{0, 1439}, "00:00+2 to 23:59+1 24h59m0s"},
		{"no midnight", "America/Santiago", "2026-09-05", Window{1380, 1380 + 180}, "23:00-4 to 02:00-3 2h0m0s"},
		{"begins at the midnight that is not", "America/Santiago", "2026-09-06", Window{0, 120}, "01:00-3 to 02:00-3 1h0m0s"},
		{"eleven at night twice", "America/Santiago", "2026-04-04", Window{1380, 1380 + 180}, "23:00-3 to 02:00-4 4h0m0s"},
		{"half an hour is skipped", "Australia/Lord_Howe", "2026-10-04", Window{60, 240}, "01:00+10.5 to 04:00+11 2h30m0s"},
		{"half an hour is doubled", "Australia/Lord_Howe", "2026-04-05", Window{60, 240}, "01:00+11 to 04:00+10.5 3h30m0s"},
	} {
		t.Run(c.name, func(t *testing.T) {
			z := zone(t, c.zone)
			day, err := time.ParseInLocation("2006-01-02 15", c.day+" 12", z)
			if err != nil {
				t.Fatal(err)
			}
			from, to := ceil(day.Add(-24*time.Hour)), ceil(day.Add(36*time.Hour))
			var w Week
			w[(int(day.Weekday())+6)%7] = []Window{c.window}
			k := newClock(w.stretches(), z, from)
			k.reach(to)
			var got []string
			for _, s := range k.spans {
				got = append(got, reading(s.from, z)+" to "+reading(s.to, z)+" "+(time.Duration(s.to-s.from)*time.Second).String())
			}
			if got := strings.Join(got, ", "); got != c.want {
				t.Errorf("%v is %s, want %s", c.window, got, c.want)
			}
		})
	}
}

// reading writes what the wall clock shows, with the offset from UTC.
func reading(t instant, z *time.Location) string {
	at := t.in(z)
	offset := at.Format("-07")
	offset = strings.Replace(strings.Replace(offset, "+0", "+", 1), "-0", "-", 1)
	if _, s := at.Zone(); s%3600 != 0 {
		offset += ".5"
	}
	return at.Format("15:04") + offset
}

// Minute after minute, the clock says what the wall clock shows.
func TestClockIsTheWallClock(t *testing.T) {
	cases(t, 60, func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1)
		v := verifier{zone: p.Zone}
		in := minutesOf(p.Attended)
		from := ceil(p.From)
		k := newClock(p.Attended.stretches(), p.Zone, from)
		for reached := from; reached < from+14*24*hour; reached += instant(1 + rnd.IntN(int(3*24*hour))) {
			k.reach(reached) // in pieces of any length
		}
		i := 0
		for at := from; at < k.until; at += minute {
			for i < len(k.spans) && k.spans[i].to <= at {
				i++
			}
			got := i < len(k.spans) && k.spans[i].from <= at
			if want := v.at(&in, at.in(p.Zone)); got != want {
				t.Fatalf("at %v the clock says %v, the wall clock %v", at.in(p.Zone), got, want)
			}
		}
		for i := 1; i < len(k.spans); i++ {
			if k.spans[i].from <= k.spans[i-1].to {
				t.Fatalf("spans %v and %v touch", k.spans[i-1], k.spans[i])
			}
		}
	})
}

// The next slot and the last, against asking every minute.
func TestSlotsAgainstEveryMinute(t *testing.T) {
	found := 0
	cases(t, many(t, 50), func(t *testing.T, rnd *rand.Rand) {
		p := randomShop(t, rnd, 1)
		p.Change = p.Change.Truncate(time.Minute)
		b := newBrute(p)
		b.p.Plates = []Plate{{Hours: []float64{1 + 6*rnd.Float64()}, Pin: AnyPrinter}}
		b.p.Plates[0].Hours[0] = float64(int(60*b.p.Plates[0].Hours[0])) / 60
		b.v.p = b.p
		m := &model{problem: &b.p}
		_, hold := m.lengths(b.p.Plates[0].Hours[0])
		from := ceil(p.From)
		s := newWorkshop(&b.p, p.Zone, from).slots(0, seconds(p.Change), hold)
		const minutes = 2 * 24 * 60
		next, last := make([]instant, minutes), make([]instant, minutes)
		before := -never
		for i := range minutes {
			at := (from + instant(i)*minute).in(p.Zone)
			if b.allowed(Start{ChangeFrom: at, At: at.Add(p.Change)}) {
				before = from + instant(i)*minute
				found++
			}
			last[i] = before
		}
		after := never
		for i := minutes - 1; i >= 0; i-- {
			if t := from + instant(i)*minute; last[i] == t {
				after = t
			}
			next[i] = after
		}
		for i := range minutes {
			at := from + instant(i)*minute
			if got := s.last(at); got != last[i] && (got < last[i] || got >= last[i]+minute) { // it may end within a minute
				t.Fatalf("last(%v) = %v, want %v", at.in(p.Zone), got, last[i])
			}
			if got := s.next(at); next[i] != never && got != next[i] || got < from+minutes*minute && next[i] == never {
				t.Fatalf("next(%v) = %v, want %v", at.in(p.Zone), got, next[i])
			}
		}
	})
	if found < many(t, 1000) {
		t.Errorf("%d minutes would do: the draw tests too little", found)
	}
}
