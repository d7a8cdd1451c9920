package joblist

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestValidateTakesTheSample(t *testing.T) {
	if err := sample().Validate(); err != nil {
		t.Errorf("Validate = %v, want nil", err)
	}
	back, err := Decode(strings.NewReader(string(encoded(t, sample()))))
	if err != nil {
		t.Fatal(err)
	}
	if err := back.Validate(); err != nil {
		t.Errorf("Validate of what was written and read = %v, want nil", err)
	}
}

// fault is one way to break the sample, which Validate must name and must find
// nothing else wrong with, unless more is said to follow from it.
type fault struct {
	name  string
	spoil func(l *List)
	says  string
	more  bool // other faults follow from it
}

// addUp says that the totals are not what the row is about.
func addUp(f func(l *List)) func(l *List) {
	return func(l *List) { f(l); AddUp(l) }
}

var faults = []fault{
	{"other schema", func(l *List) { l.Schema = "x" }, `schema is "x"`, false},
	{"no time made", func(l *List) { l.Made = time.Time{} }, "made is not set", false},

	{"printer without name", func(l *List) { l.Printers = append(l.Printers, Printer{Diameter: 9}) }, "printer has no name", false},
	{"printer twice", func(l *List) { l.Printers = append(l.Printers, l.Printers[0]) }, `printer "big" stands twice`, true},
	{"printer not UTF-8", func(l *List) { l.Printers = append(l.Printers, Printer{Name: "\xff", Diameter: 9}) }, "is not UTF-8", false},
	{"bed and diameter", func(l *List) { l.Printers[0].Diameter = 300 }, "either a bed or a diameter", false},
	{"no bed", func(l *List) { l.Printers[1].Diameter = 0 }, "either a bed or a diameter", true},

	{"part twice", func(l *List) { l.Parts[3].Name = "spire" }, `part "spire" stands twice`, false},
	{"no copies", func(l *List) { l.Parts[3].Count = 0 }, "has count 0", false},
	{"too many copies", func(l *List) { l.Parts[3].Count = MaxCopies + 1 }, "has count 10001", false},
	{"chosen beyond the options", func(l *List) { l.Parts[2].Chosen = new(1) }, "chosen 1 of 1", false},
	{"chosen below the options", func(l *List) { l.Parts[2].Chosen = new(-1) }, "chosen -1 of 1", false},
	{"placed without a choice", func(l *List) { l.Parts[0].Chosen = nil }, "placed without a chosen option", false},
	{"unknown status", func(l *List) { l.Parts[2].Status = "lost" }, `status "lost"`, false},
	{"no why", func(l *List) { l.Parts[2].Why = " " }, "not placed without a why", false},
	{"unreadable with options", func(l *List) { l.Parts[3].Options = l.Parts[2].Options }, "unreadable but has options", false},
	{"up too long", func(l *List) { l.Parts[2].Options[0].Up = [3]float64{0, 0, 1.0001} }, "up is 1.0001 long", false},
	{"up not a number", func(l *List) { l.Parts[2].Options[0].Up[0] = math.NaN() }, "up is NaN long", false},
	{"option on an unknown printer", func(l *List) { l.Parts[2].Options[0].On = []On{{Printer: "x"}} }, `there is no printer "x"`, false},
	{"option on a printer twice", func(l *List) { l.Parts[2].Options[0].On = []On{{Printer: "big"}, {Printer: "big"}} }, `printer "big" stands twice`, false},

	{"copy on two plates", addUp(func(l *List) { l.Plates[1].Items[0].Copy = 1 }), `part "pane" copy 1 is on plate "01-big" and on plate "02-round"`, false},
	{"placed with a copy missing", addUp(func(l *List) { l.Parts[0].Count = 3 }), "placed with 2 of 3 copies", false},
	{"not placed with all copies", func(l *List) { l.Parts[1].Count = 2 }, "not placed with all 2 copies", false},
	{"unreadable on a plate", addUp(func(l *List) { l.Plates[1].Items[0].Part = "hook" }), "unreadable with 1 copies", true},
	{"chosen that no copy uses", func(l *List) {
		l.Parts[0].Options = append(l.Parts[0].Options, l.Parts[0].Options[1])
		l.Parts[0].Chosen = new(2)
	}, "chosen 2, which no copy uses", false},

	{"plate twice", func(l *List) { l.Plates[1].ID = "01-big" }, `plate "01-big" stands twice`, false},
	{"plate without id", func(l *List) { l.Plates[1].ID = "" }, "plate has no name", false},
	{"plate on an unknown printer", addUp(func(l *List) { l.Plates[1].Printer = "x" }), `there is no printer "x"`, true},
	{"empty plate", addUp(func(l *List) { l.Plates[1].Items = nil }), "is empty", false},
	{"file above the folder", func(l *List) { l.Plates[1].Files.STL = "../x.stl" }, `"../x.stl" is not a plain relative path`, false},
	{"file from the root", func(l *List) { l.Plates[1].Files.STL = "/x.stl" }, "is not a plain relative path", false},
	{"file of two plates", func(l *List) { l.Plates[1].Files.STL = "plates/01-big.stl" }, "stands twice", false},
	{"unknown part on a plate", addUp(func(l *List) { l.Plates[1].Items[0].Part = "x" }), `there is no part "x"`, false},
	{"unknown option on a plate", addUp(func(l *List) { l.Plates[1].Items[0].Option = 1 }), "has no option 1", false},
	{"unknown copy on a plate", func(l *List) { l.Plates[1].Items[0].Copy = 4 }, "has no copy 4", false},
	{"copy zero on a plate", func(l *List) { l.Plates[1].Items[0].Copy = 0 }, "has no copy 0", false},
	{"option that does not fit the printer", addUp(func(l *List) { l.Parts[1].Options[0].On = l.Parts[1].Options[0].On[:1] }), `does not fit on printer "round"`, false},

	{"mirror", matrix(func(m *[16]float64) { m[0], m[1], m[2] = -m[0], -m[1], -m[2] }), "no rigid transform", false},
	{"scaled", matrix(func(m *[16]float64) { m[4], m[5], m[6] = 2*m[4], 2*m[5], 2*m[6] }), "no rigid transform", false},
	{"sheared", matrix(func(m *[16]float64) { m[0] += 1e-6 }), "no rigid transform", false},
	{"perspective", matrix(func(m *[16]float64) { m[12] = 1e-9 }), "no rigid transform", false},
	{"last row scaled", matrix(func(m *[16]float64) { m[15] = 2 }), "no rigid transform", false},
	{"turn not a number", matrix(func(m *[16]float64) { m[5] = math.NaN() }), "no rigid transform", false},
	{"shift not a number", matrix(func(m *[16]float64) { m[7] = math.NaN() }), "no rigid transform", false},
	{"shift infinite", matrix(func(m *[16]float64) { m[3] = math.Inf(1) }), "no rigid transform", false},
	{"column-major", matrix(func(m *[16]float64) {
		m[1], m[4], m[2], m[8], m[6], m[9] = m[4], m[1], m[8], m[2], m[9], m[6]
	}), "does not turn option 0 upright", false},
	{"another way up", matrix(func(m *[16]float64) { *m = standing(up, 0, r3.Vec{}) }), "does not turn option 0 upright", false},
	{"upside down", matrix(func(m *[16]float64) { *m = standing([3]float64{-0.6, 0, -0.8}, 0, r3.Vec{}) }), "does not turn option 0 upright", false},

	{"box over the edge", func(l *List) { l.Plates[0].Items[0].Box = new([4]float64{280, 0, 300.1, 9}) }, "is not on the bed", false},
	{"box before the edge", func(l *List) { l.Plates[0].Items[0].Box = new([4]float64{0, -0.1, 30, 9}) }, "is not on the bed", false},
	{"box over the edge of a round bed", func(l *List) { l.Plates[1].Items[0].Box = new([4]float64{0, 0, 9, 181}) }, "is not on the bed", false},
	{"box inside out", func(l *List) { l.Plates[0].Items[0].Box = new([4]float64{30, 0, 10, 9}) }, "is not on the bed", false},
	{"box not a number", func(l *List) { l.Plates[0].Items[0].Box = new([4]float64{math.NaN(), 0, 10, 9}) }, "is not on the bed", false},

	{"only a start", addUp(func(l *List) { l.Plates[0].End = nil }), "only one of start and end", false},
	{"ends before it starts", addUp(func(l *List) { l.Plates[0].End = at("2026-05-01T07:59:00+02:00") }), "ends before it starts", false},
	{"plates overlap", addUp(func(l *List) { l.Plates[2].Start = at("2026-05-01T11:59:59+02:00") }), `plate "03-big" starts before plate "01-big" ends`, false},

	{"machine hours", func(l *List) { l.Totals.MachineHours += 0.0001 }, "machine_hours is 20.2501, and its parts add up to 20.25", false},
	{"bench hours", func(l *List) { l.Totals.BenchHours = 0 }, "bench_hours is 0, and its parts add up to 1", false},
	{"filament", func(l *List) { l.Totals.Filament -= 0.01 }, "filament_g is", false},
	{"support", func(l *List) { l.Totals.Support = 0 }, "support_g is", false},
	{"plates", func(l *List) { l.Totals.Plates = 2 }, "totals say 2 plates", false},
	{"changes", func(l *List) { l.Totals.Changes = 2 }, "and 2 changes, and there are 3 and 1", false},
	{"first start", func(l *List) { l.Totals.FirstStart = nil }, "first_start and last_end", false},
	{"last end", func(l *List) { l.Totals.LastEnd = at("2026-05-02T01:40:01+02:00") }, "first_start and last_end", false},
	{"printer's hours", func(l *List) { l.Printers[1].MachineHours = 0 }, "printer round: machine_hours is 0", false},
}

// matrix breaks the matrix of the leaning part on the second plate.
func matrix(f func(m *[16]float64)) func(l *List) {
	return func(l *List) { f(&l.Plates[1].Items[0].Matrix) }
}

func TestValidateNamesEachFault(t *testing.T) {
	for _, row := range faults {
		t.Run(row.name, func(t *testing.T) {
			l := sample()
			row.spoil(&l)
			err := l.Validate()
			if !errors.Is(err, ErrInvalid) || !strings.Contains(err.Error(), row.says) {
				t.Fatalf("Validate = %v, want ErrInvalid that says %q", err, row.says)
			}
			if n := strings.Count(err.Error(), "\n") + 1; n > 1 && !row.more {
				t.Errorf("Validate names %d faults, want only the one:\n%v", n, err)
			}
		})
	}
}

func TestValidateNamesAllFaultsAtOnce(t *testing.T) {
	l := sample()
	l.Parts[2].Why, l.Plates[1].ID, l.Totals.Plates = "", "", 9
	if n := strings.Count(l.Validate().Error(), ErrInvalid.Error()); n != 3 {
		t.Errorf("Validate names %d faults, want 3", n)
	}
}

// A plan of nothing is a list too.
func TestValidateTakesAnEmptyList(t *testing.T) {
	l := List{Schema: SchemaID, Build: "none", Made: *at("2026-05-01T07:30:00Z"), Totals: Totals{HoursAre: Rough}}
	AddUp(&l)
	if err := l.Validate(); err != nil {
		t.Errorf("Validate = %v, want nil", err)
	}
	if err := ValidateSchema(encoded(t, l)); err != nil {
		t.Errorf("ValidateSchema = %v, want nil", err)
	}
}
