package nights

import (
	"fmt"
	"testing"
	"time"
)

// presence is a published instance of plates through attended hours, optimum
// proven by two exact methods. Minutes; day 0 begins at 0.
type presence struct {
	Name    string
	Print   [][]float64 `json:"print_minutes_machine_job"`
	Change  int         `json:"change_minutes"`
	Windows [][2]int    `json:"presence_windows"`
	Optimal int         `json:"optimal_makespan"`
}

// problem returns the instance as a Problem that begins at midnight of day 0.
// The windows are the same every day, which is checked.
func (in presence) problem(t *testing.T) Problem {
	var daily []Window
	for _, w := range in.Windows {
		if w[0] < dayLong {
			daily = append(daily, Window{w[0], w[1]})
		}
	}
	for i, w := range in.Windows {
		one, shift := daily[i%len(daily)], i/len(daily)*dayLong
		if w != [2]int{one.From + shift, one.To + shift} {
			t.Fatalf("window %d is %v: not the same every day", i, w)
		}
	}
	p := machines(in.Print)
	p.Attended, p.Change = Daily(daily...), time.Duration(in.Change)*time.Minute
	return p
}

// machines returns a shop that never rests: print minutes by machine and job.
func machines(minutes [][]float64) Problem {
	p := Problem{From: time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC), Unattended: true, Attended: Always(), Start: Always()}
	for k := range minutes {
		p.Printers = append(p.Printers, Printer{Name: fmt.Sprint(k), Running: Always()})
	}
	for j := range minutes[0] {
		one := Plate{ID: fmt.Sprint(j), Pin: AnyPrinter}
		for k := range minutes {
			one.Hours = append(one.Hours, minutes[k][j]/60)
		}
		p.Plates = append(p.Plates, one)
	}
	return p
}

func TestPresenceInstances(t *testing.T) {
	var all []presence
	shared(t, &all, "schedules", "presence_small.json")
	if len(all) < 4 {
		t.Fatalf("%d instances, want 4 or more", len(all))
	}
	for _, in := range all {
		t.Run(in.Name, func(t *testing.T) { checkOptimum(t, in.problem(t), in.Optimal) })
	}
}

func TestUnrelatedMachines(t *testing.T) {
	var all []struct {
		Name    string
		P       [][]float64 `json:"p_machine_job"`
		Optimal int         `json:"optimal_makespan"`
	}
	shared(t, &all, "schedules", "rcmax_small.json")
	if len(all) < 8 {
		t.Fatalf("%d instances, want 8 or more", len(all))
	}
	for _, in := range all {
		t.Run(in.Name, func(t *testing.T) { checkOptimum(t, machines(in.P), in.Optimal) })
	}
}

// checkOptimum plans with the default effort and wants the optimum, proven.
func checkOptimum(t *testing.T, p Problem, minutes int) {
	t.Helper()
	began := time.Now()
	s := Plan(p, Effort{})
	t.Logf("%v, %v, bound %v, proven %v, best %v, %d partial plans, %v", p.From, s.End.Sub(p.From), s.Bound.Sub(p.From), s.Proven, s.Best, s.Nodes, time.Since(began))
	if got, want := s.End.Sub(p.From), time.Duration(minutes)*time.Minute; got != want || !s.Proven {
		t.Errorf("Plan ends after %v, proven %v; want %v, proven", got, s.Proven, want)
	}
}
