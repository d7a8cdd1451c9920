package nights

import (
	"testing"
	"time"
)

// How the checker reads clocks, by hand: it has to be right by itself.
func TestVerifierReadsTheWallClock(t *testing.T) {
	berlin := zone(t, "Europe/Berlin")
	v := verifier{zone: berlin}
	week := minutesOf(Week{0: {{480, 1080}, {1380, 1500}}, 6: {{1380, 1500}, {150, 180}}})
	at := func(day, hour, minute, second int) time.Time {
		return time.Date(2026, 3, day, hour, minute, second, 0, berlin)
	}
	for _, c := range []struct {
		name string
		at   time.Time
		want bool
	}{ // 23 March 2026 is a Monday
		{"before", at(23, 7, 59, 59), false},
		{"the first moment", at(23, 8, 0, 0), true},
		{"within", at(23, 12, 30, 1), true},
		{"the last second", at(23, 17, 59, 59), true},
		{"the end is out", at(23, 18, 0, 0), false},
		{"late", at(23, 23, 0, 0), true},
		{"past midnight", at(24, 0, 59, 0), true},
		{"past its end", at(24, 1, 0, 0), false},
		{"another day", at(25, 12, 0, 0), false},
		{"Sunday into Monday", at(23, 0, 30, 0), true},
		{"and no longer", at(23, 1, 0, 0), false},
		{"Sunday at 02:45 in a usual week", at(22, 2, 45, 0), true},
		{"02:45 that is 03:45: out", at(29, 1, 59, 59).Add(46 * time.Minute), false},
	} {
		if got := v.at(&week, c.at); got != c.want {
			t.Errorf("%s: at(%v) = %v, want %v", c.name, c.at, got, c.want)
		}
	}
}

func TestVerifierReadsStretches(t *testing.T) {
	v := verifier{zone: time.UTC}
	day, early := minutesOf(Daily(Window{480, 1080})), minutesOf(Daily(Window{420, 600}))
	for _, c := range []struct {
		name     string
		from, to time.Time
		all, any bool
	}{
		{"the whole window", monday(8), monday(18), true, true},
		{"a second more", monday(8), monday(18).Add(time.Second), false, true},
		{"a second before", monday(8).Add(-time.Second), monday(9), false, true},
		{"nothing", monday(9), monday(9), true, false},
		{"none of it", monday(18), monday(20), false, false},
		{"into it from an odd second", monday(8).Add(-59 * time.Second), monday(8).Add(1), false, true},
		{"over the night", monday(17), monday(17).Add(16 * time.Hour), false, true},
	} {
		if got := v.all(c.from, c.to, &day); got != c.all {
			t.Errorf("%s: all = %v, want %v", c.name, got, c.all)
		}
		if got := v.any(c.from, c.to, &day); got != c.any {
			t.Errorf("%s: any = %v, want %v", c.name, got, c.any)
		}
	}
	if !v.all(monday(8), monday(10), &day, &early) || v.all(monday(8), monday(11), &day, &early) {
		t.Error("both weeks have 08:00-10:00 and no more")
	}
}

// The seconds that the checker finds in a row, over the week's end too.
func TestVerifierMeasuresStretches(t *testing.T) {
	in := minutesOf(Week{6: {{1380, 1500}}, 2: {{0, 10}}}) // Sunday 23:00 to Monday 01:00, Wednesday 00:00-00:10
	s := stretchesFrom(&in)
	const sunday, wednesday = 6 * 1440, 2 * 1440
	for _, c := range []struct{ second, want int }{
		{(sunday + 1380) * 60, 7200}, {(sunday+1380)*60 - 1, 0}, {(sunday+1380)*60 + 90, 7110}, {0, 3600}, {3599, 1}, {3600, 0},
		{wednesday * 60, 600}, {wednesday*60 + 599, 1},
	} {
		if got := left(&s, c.second); got != c.want {
			t.Errorf("left(%d) = %d, want %d", c.second, got, c.want)
		}
	}
	always := minutesOf(Always())
	if s := stretchesFrom(&always); s[0] != 10*weekLong*60 {
		t.Errorf("without a gap there are %d s, want ten weeks", s[0])
	}
}

func TestVerifierRoundsUp(t *testing.T) {
	second := time.Unix(100, 0)
	for _, c := range []struct{ in, want time.Time }{{second, second}, {second.Add(1), second.Add(time.Second)}, {second.Add(-1), second}} {
		if got := whole(c.in); !got.Equal(c.want) {
			t.Errorf("whole(%v) = %v, want %v", c.in, got, c.want)
		}
	}
	for _, c := range []struct{ in, want time.Duration }{{0, 0}, {1, time.Second}, {time.Second, time.Second}, {1001 * time.Millisecond, 2 * time.Second}} {
		if got := wholeLength(c.in); got != c.want {
			t.Errorf("wholeLength(%v) = %v, want %v", c.in, got, c.want)
		}
	}
}
