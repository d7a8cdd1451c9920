package nights

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

const minuteLong = time.Minute

func TestPrintTime(t *testing.T) {
	for _, c := range []struct {
		name  string
		hours float64
		want  time.Duration
	}{
		{"an hour", 1, time.Hour},
		{"41 minutes by division", 41.0 / 60, 41 * time.Minute},
		{"a third of an hour", 1.0 / 3, 20 * time.Minute},
		{"a part of a second counts", 1 + 0.1/3600, time.Hour + time.Second},
		{"a ten-thousandth of a second does not", 1 + 1e-4/3600, time.Hour},
		{"next to nothing is a second", 1e-9, time.Second},
		{"six weeks", 1000, 1000 * time.Hour},
	} {
		if got := PrintTime(c.hours); got != c.want {
			t.Errorf("%s: PrintTime(%v) = %v, want %v", c.name, c.hours, got, c.want)
		}
	}
}

// Moments within a second count as the next one.
func TestPartsOfASecond(t *testing.T) {
	p := shopOf(hoursOfPlates(1)...)
	p.From = p.From.Add(time.Nanosecond)
	p.Change = 600*time.Second + time.Millisecond
	s := Plan(p, Effort{})
	one := s.Starts[0]
	if !one.ChangeFrom.Equal(monday(8).Add(time.Second)) || one.At.Sub(one.ChangeFrom) != 601*time.Second {
		t.Errorf("changed from %v to %v, want 08:00:01 to 08:10:02", one.ChangeFrom, one.At)
	}
	if err := Verify(p, s); err != nil {
		t.Errorf("Verify: %v", err)
	}
	if got := ceil(time.Unix(-1, 5)); got != 0 {
		t.Errorf("ceil of a moment before 1970 is %v, want 0", got)
	}
}

func TestModelIsInOrderOfNames(t *testing.T) {
	p := machines([][]float64{{60, 120, 180}, {61, 121, 181}})
	p.Printers[0].Name, p.Printers[1].Name = "z", "a"
	p.Plates[0].ID, p.Plates[1].ID, p.Plates[2].ID = "q", "q", "b"
	p.Plates[0].Rank, p.Plates[1].Rank, p.Plates[2].Rank = 100, -5, 100
	m := newModel(&p)
	var tasks, ranks []int
	for _, one := range m.tasks {
		tasks, ranks = append(tasks, one.index), append(ranks, one.rank)
	}
	if !slices.Equal(tasks, []int{2, 0, 1}) || !slices.Equal(ranks, []int{1, 1, 0}) || m.ranks != 2 {
		t.Errorf("tasks %v of ranks %v, want 2, 0, 1 of 1, 1, 0", tasks, ranks)
	}
	if m.machines[0].index != 1 || m.tasks[0].print[0] != 181*minute {
		t.Errorf("first printer is %d with %v, want 1 with 181 minutes", m.machines[0].index, m.tasks[0].print[0])
	}
}

// Slots are made once for plates and printers that share them.
func TestWorkshopSharesSlots(t *testing.T) {
	p := machines([][]float64{{60, 60, 90}, {60, 61, 90}})
	m := newModel(&p)
	if m.slots[0][0][0] != m.slots[1][0][0] || m.slots[0][0][0] != m.slots[0][1][0] {
		t.Error("prints of the same length on printers with the same hours do not share slots")
	}
	if m.slots[0][0][0] == m.slots[2][0][0] || m.slots[0][0][0] == m.slots[1][1][0] {
		t.Error("prints of different length share slots")
	}
}

func TestCommon(t *testing.T) {
	for _, c := range []struct{ a, b, want []Window }{
		{nil, []Window{{0, 10}}, nil},
		{[]Window{{0, 10}}, []Window{{10, 20}}, nil},
		{[]Window{{0, 10}}, []Window{{5, 20}}, []Window{{5, 10}}},
		{[]Window{{0, 10}, {20, 30}}, []Window{{5, 25}}, []Window{{5, 10}, {20, 25}}},
		{[]Window{{0, 100}}, []Window{{5, 10}, {20, 30}}, []Window{{5, 10}, {20, 30}}},
	} {
		if got := common(c.a, c.b); !slices.Equal(got, c.want) {
			t.Errorf("common(%v, %v) = %v, want %v", c.a, c.b, got, c.want)
		}
		if got := common(c.b, c.a); !slices.Equal(got, c.want) {
			t.Errorf("common(%v, %v) = %v, want %v", c.b, c.a, got, c.want)
		}
	}
}

// Minute by minute, common is what both have and merged what any has.
func TestCommonAndMergedAgainstMinutes(t *testing.T) {
	cases(t, 60, func(t *testing.T, rnd *rand.Rand) {
		v, w := randomWeek(rnd), randomWeek(rnd)
		a, b := minutesOf(v), minutesOf(w)
		both := minutesIn(common(v.stretches(), w.stretches()))
		any := minutesIn(merged(append(v.stretches(), w.stretches()...)))
		for m := range weekLong {
			if both[m] != (a[m] && b[m]) || any[m] != (a[m] || b[m]) {
				t.Fatalf("minute %d: both %v, any %v; want %v, %v", m, both[m], any[m], a[m] && b[m], a[m] || b[m])
			}
		}
	})
}

func minutesIn(stretches []Window) (in [weekLong]bool) {
	for _, w := range stretches {
		for m := w.From; m < w.To; m++ {
			in[m] = true
		}
	}
	return in
}

// covers and touches against asking every second.
func TestCoversAndTouches(t *testing.T) {
	k := newClock([]Window{{0, 2}, {3, 4}, {5, 6}}, time.UTC, aMonday)
	in := func(s instant) bool { return s < 120 || s >= 180 && s < 240 || s >= 300 && s < 360 }
	for from := instant(0); from < 400; from += 7 {
		for to := from + 1; to < 400; to += 11 {
			all, any := true, false
			for s := from; s < to; s++ {
				all, any = all && in(s), any || in(s)
			}
			if got := k.covers(aMonday+from, aMonday+to); got != all {
				t.Errorf("covers(%d, %d) = %v, want %v", from, to, got, all)
			}
			if got := k.touches(aMonday+from, aMonday+to); got != any {
				t.Errorf("touches(%d, %d) = %v, want %v", from, to, got, any)
			}
		}
	}
}
