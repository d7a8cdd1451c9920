package worker_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"platewright/worker"
)

// This file checks the times of a written result, minute by minute on the wall
// clock, from jobs.json alone.

// inWeek reports whether the wall clock, at a moment, shows a time in one of a
// week's windows; its last moment counts when last says so.
func inWeek(t *testing.T, week map[string]any, at time.Time, last bool) bool {
	t.Helper()
	days := []string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}
	second := at.Hour()*3600 + at.Minute()*60 + at.Second()
	for back := range 2 { // a window of yesterday may lead into today
		day := days[(int(at.Weekday())+7-back)%7]
		for _, w := range week[day].([]any) {
			from, to, found := strings.Cut(w.(string), "-")
			if !found {
				t.Fatalf("window %q", w)
			}
			a, b := clockSeconds(t, from), clockSeconds(t, to)
			if b <= a {
				b += 24 * 3600
			}
			now := second + back*24*3600
			if now >= a && (now < b || last && now == b) {
				return true
			}
		}
	}
	return false
}

func clockSeconds(t *testing.T, s string) int {
	t.Helper()
	hour, minute, _ := strings.Cut(s, ":")
	h, err := strconv.Atoi(hour)
	m, err2 := strconv.Atoi(minute)
	if err != nil || err2 != nil {
		t.Fatalf("clock time %q", s)
	}
	return h*3600 + m*60
}

// timedPlate is a plate as the file has it.
type timedPlate struct {
	id, printer      string
	change, from, to time.Time
	hours, grams     float64
}

// checkTimes returns every fault of the times in a result folder.
func checkTimes(t *testing.T, folder string) (faults []string) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(folder, "jobs.json"))
	if err != nil {
		t.Fatal(err)
	}
	var list struct {
		Settings struct {
			Shop struct {
				Hours   map[string]any
				Reserve map[string]float64
				Printer []struct {
					Name  string
					Spool *float64 `json:"spool_left_g"`
				}
			}
		}
		Notes  []struct{ Code, Text string }
		Plates []struct {
			ID         string
			Printer    string
			ChangeFrom *time.Time `json:"change_from"`
			Start, End *time.Time
			Hours      float64
			Filament   float64 `json:"filament_g"`
		}
	}
	if err := json.Unmarshal(data, &list); err != nil {
		t.Fatal(err)
	}
	fault := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	hours := list.Settings.Shop.Hours
	zone, err := time.LoadLocation(hours["time_zone"].(string))
	if err != nil {
		t.Fatal(err)
	}
	windows := func(name string) map[string]any { return hours[name].(map[string]any) }
	reserve := 1 + list.Settings.Shop.Reserve["time_percent"]/100
	var plates []timedPlate
	grams := map[string]float64{}
	for _, p := range list.Plates {
		grams[p.Printer] += p.Filament
		if p.Start == nil {
			if !slices.ContainsFunc(list.Notes, func(n struct{ Code, Text string }) bool { return strings.Contains(n.Text, "Plate "+p.ID+" cannot") }) {
				fault("plate %s has no time, and no note says why", p.ID)
			}
			continue
		}
		plates = append(plates, timedPlate{p.ID, p.Printer, p.ChangeFrom.In(zone), p.Start.In(zone), p.End.In(zone), p.Hours, p.Filament})
	}
	for _, p := range plates {
		if want := hours["change_min"].(float64); math.Abs(p.from.Sub(p.change).Minutes()-want) > 0.1 {
			fault("plate %s: the change takes %v, want %g min", p.id, p.from.Sub(p.change), want)
		}
		if off := p.to.Sub(p.from).Seconds() - p.hours*3600; off < -1 || off > 1.5 {
			fault("plate %s: prints for %v, and takes %g h", p.id, p.to.Sub(p.from), p.hours)
		}
		for at := p.change; at.Before(p.from); at = at.Add(time.Minute) {
			if !inWeek(t, windows("attended"), at, false) {
				fault("plate %s: nobody is there at %v, in its change", p.id, at)
				break
			}
		}
		if !inWeek(t, windows("start"), p.from, true) {
			fault("plate %s: may not be started at %v", p.id, p.from)
		}
		end := p.from.Add(time.Duration(float64(p.to.Sub(p.from)) * reserve))
		for at := p.from; at.Before(end); at = at.Add(time.Minute) {
			switch {
			case !inWeek(t, windows("running"), at, false):
				fault("plate %s: may not run at %v", p.id, at)
			case !hours["unattended_running"].(bool) && !inWeek(t, windows("attended"), at, false):
				fault("plate %s: runs unattended at %v", p.id, at)
			default:
				continue
			}
			break
		}
	}
	for i, p := range plates {
		for _, q := range plates[:i] {
			if p.change.Before(q.from) && q.change.Before(p.from) {
				fault("plates %s and %s are changed at a time", p.id, q.id)
			}
			if p.printer == q.printer && p.change.Before(q.to) && q.change.Before(p.to) {
				fault("plates %s and %s are on %s at a time", p.id, q.id, p.printer)
			}
		}
	}
	for _, m := range list.Settings.Shop.Printer {
		if m.Spool == nil {
			continue
		}
		need := grams[m.Name] + max(list.Settings.Shop.Reserve["filament_g"], grams[m.Name]*list.Settings.Shop.Reserve["filament_percent"]/100)
		told := slices.ContainsFunc(list.Notes, func(n struct{ Code, Text string }) bool {
			return n.Code == "spool short" && strings.Contains(n.Text, "spool on "+m.Name+" ")
		})
		if short := grams[m.Name] > 0 && need > *m.Spool+0.01; short != told {
			fault("spool on %s: %.1f g needed with what is kept in hand, %.1f left; told to be short: %v", m.Name, need, *m.Spool, told)
		}
	}
	return faults
}

const (
	workdays = "attended = {mon=['06:30-07:30','18:00-22:00'], tue=['06:30-07:30','18:00-22:00'], wed=['06:30-07:30','18:00-22:00'], " +
		"thu=['06:30-07:30','18:00-22:00'], fri=['06:30-07:30','18:00-22:00'], sat=['09:00-23:00'], sun=['09:00-22:00']}\n"
	twoBeds = "[[printer]]\nname = 'a'\nbed_mm = [110, 110]\nheight_mm = 120\nspool_left_g = 30\n" +
		"[[printer]]\nname = 'b'\nbed_mm = [110, 110]\nheight_mm = 120\nspool_left_g = 2000\n[plate]\nmost_parts = 2\n"
)

// Shops of many kinds of hours, also over both switches of the clock: no written
// plan breaks a rule of its shop.
func TestWrittenTimesKeepToTheShop(t *testing.T) {
	state := t.TempDir()
	for _, c := range []struct{ name, from, hours string }{
		{"attended only", "2027-03-01T18:00", "[hours]\n" + workdays},
		{"through the night", "2027-03-01T21:55", "[hours]\nunattended_running = true\n" + workdays},
		{"not at night", "2027-03-06T20:00", "[hours]\nunattended_running = true\nrunning = {mon=['07:00-23:00'],tue=['07:00-23:00'],wed=['07:00-23:00'],thu=['07:00-23:00'],fri=['07:00-23:00'],sat=['07:00-23:00'],sun=['07:00-23:00']}\n"},
		{"into summer", "2027-03-27T21:00", "[hours]\ntime_zone = 'Europe/Berlin'\nunattended_running = true\nattended = {mon=[],tue=[],wed=[],thu=[],fri=[],sat=['21:00-02:30'],sun=['01:00-04:00','09:00-22:00']}\n"},
		{"out of summer", "2027-10-30T22:00", "[hours]\ntime_zone = 'Europe/Berlin'\nchange_min = 25\nattended = {mon=['01:00-12:00'],tue=[],wed=[],thu=[],fri=[],sat=['22:00-04:30'],sun=['09:00-22:00']}\n"},
		{"starts by day only", "2027-06-04T12:00", "[hours]\nunattended_running = true\nattended = {mon=['00:00-24:00'],tue=['00:00-24:00'],wed=['00:00-24:00'],thu=['00:00-24:00'],fri=['00:00-24:00'],sat=['00:00-24:00'],sun=['00:00-24:00']}\nstart = {mon=['08:00-20:00'],tue=['08:00-20:00'],wed=['08:00-20:00'],thu=['08:00-20:00'],fri=['08:00-20:00'],sat=[],sun=[]}\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			list, out := plan(t, folderOf(t, someParts(), map[string]string{"shop.toml": twoBeds + c.hours}), func(cfg *worker.Config) { cfg.State, cfg.From = state, c.from })
			timed := 0
			for _, p := range list.Plates {
				if p.Start != nil {
					timed++
				}
			}
			if timed < 3 {
				t.Errorf("%d of %d plates have a time", timed, len(list.Plates))
			}
			for _, f := range checkTimes(t, out) {
				t.Error(f)
			}
		})
	}
}

// The checker sees what it is there for: each rule broken by hand in a written
// list is found.
func TestTimesCheckerSeesFaults(t *testing.T) {
	_, out := plan(t, folderOf(t, someParts(), map[string]string{"shop.toml": twoBeds + "[hours]\nunattended_running = true\n" + workdays}), nil)
	path := filepath.Join(out, "jobs.json")
	sound, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if faults := checkTimes(t, out); len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, c := range []struct {
		name, fault string
		spoil       func(list map[string]any)
	}{
		{"moved into the night", "nobody is there", func(l map[string]any) { shift(l, 0, 6*time.Hour) }},
		{"longer than told", "prints for", func(l map[string]any) { plateAt(l, 0)["hours"] = 1 + plateAt(l, 0)["hours"].(float64) }},
		{"two at a time", "at a time", func(l map[string]any) {
			for _, key := range []string{"change_from", "start", "end"} {
				plateAt(l, 1)[key] = plateAt(l, 0)[key]
			}
		}},
		{"no time and no word", "no note", func(l map[string]any) { plateAt(l, 0)["start"] = nil }},
		{"not to run", "runs unattended", func(l map[string]any) { hoursOf(l)["unattended_running"] = false; shift(l, 0, 3*time.Hour) }},
		{"not to start", "may not be started", func(l map[string]any) {
			for _, day := range []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"} {
				hoursOf(l)["start"].(map[string]any)[day] = []any{}
			}
		}},
		{"spool untold", "spool on a", func(l map[string]any) { l["notes"] = []any{} }},
	} {
		var list map[string]any
		if err := json.Unmarshal(sound, &list); err != nil {
			t.Fatal(err)
		}
		c.spoil(list)
		data, err := json.Marshal(list)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		if faults := checkTimes(t, out); !slices.ContainsFunc(faults, func(f string) bool { return strings.Contains(f, c.fault) }) {
			t.Errorf("%s: faults %q, want one with %q", c.name, faults, c.fault)
		}
	}
}

func plateAt(list map[string]any, i int) map[string]any {
	return list["plates"].([]any)[i].(map[string]any)
}

func hoursOf(list map[string]any) map[string]any {
	return list["settings"].(map[string]any)["shop"].(map[string]any)["hours"].(map[string]any)
}

// shift moves a plate in time.
func shift(list map[string]any, i int, by time.Duration) {
	for _, key := range []string{"change_from", "start", "end"} {
		at, err := time.Parse(time.RFC3339, plateAt(list, i)[key].(string))
		if err != nil {
			panic(err)
		}
		plateAt(list, i)[key] = at.Add(by).Format(time.RFC3339)
	}
}
