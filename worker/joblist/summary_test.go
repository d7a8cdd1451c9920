package joblist

import (
	"bytes"
	"errors"
	"math"
	"math/big"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/mattn/go-runewidth"
)

func summaryOf(t *testing.T, l List) string {
	t.Helper()
	var out bytes.Buffer
	if err := WriteSummary(&out, l); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// Laws (1) and (2) of shares.
func TestShares(t *testing.T) {
	random := dice(t)
	for range 500 {
		in := make([]float64, random.IntN(30))
		total := 0.0
		for i := range in {
			in[i] = math.Round(random.Float64()*1e6) / 1e4
			total += in[i]
		}
		exact := new(big.Rat)
		for i, x := range shares(in) {
			if math.Abs(x-in[i]) >= 0.1+1e-9 { // the last bits of a difference of sums
				t.Errorf("shares(%v)[%d] = %v, off by a tenth or more", in, i, x)
			}
			tenth, _ := new(big.Rat).SetString(tenths(x))
			exact.Add(exact, tenth)
		}
		if got, want := exact.FloatString(1), tenths(rounded(total, 6)); got != want {
			t.Errorf("shares(%v) add up to %s, want %s", in, got, want)
		}
	}
}

func TestTenths(t *testing.T) {
	for _, row := range []struct {
		in   float64
		want string
	}{{0, "0.0"}, {0.05, "0.1"}, {-0.04, "0.0"}, {math.Copysign(0, -1), "0.0"}, {12.34, "12.3"}, {-1.25, "-1.3"}, {1e12, "1e+12"}} {
		if got := tenths(row.in); got != row.want {
			t.Errorf("tenths(%v) = %s, want %s", row.in, got, row.want)
		}
	}
}

func TestShorten(t *testing.T) {
	for _, row := range []struct {
		name, in string
		limit    int
		want     string
	}{
		{"fits", "arm", 3, "arm"},
		{"end stays", "left_arm_upper_plate_07", 12, "left_ar…e_07"},
		{"wide characters count twice", "翼翼翼翼翼", 7, "翼翼…翼"},
		{"one column", "arm", 1, "…"},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := shorten(row.in, row.limit)
			if got != row.want || width(got) > row.limit {
				t.Errorf("shorten(%q, %d) = %q, want %q", row.in, row.limit, got, row.want)
			}
		})
	}
}

func TestWrap(t *testing.T) {
	for _, row := range []struct {
		name, in string
		limit    int
		want     []string
	}{
		{"nothing", " \n ", 10, nil},
		{"fits", "one two", 7, []string{"one two"}},
		{"between words", "one two", 6, []string{"one", "two"}},
		{"inside a long word", "a abcdefgh b", 3, []string{"a", "abc", "def", "gh", "b"}},
		{"blanks and breaks", "a\n\n b\tc", 9, []string{"a b c"}},
		{"wide characters", "翼翼翼", 4, []string{"翼翼", "翼"}},
		{"character wider than the line", "翼翼", 1, []string{"翼", "翼"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := wrap(row.in, row.limit); !slices.Equal(got, row.want) {
				t.Errorf("wrap(%q, %d) = %q, want %q", row.in, row.limit, got, row.want)
			}
		})
	}
}

// A row of a table stays one line, whatever the name in it: it is the name that
// gives way.
func TestTableShortensNames(t *testing.T) {
	var p page
	p.table(4, [][]string{{strings.Repeat("n", 300), "1 of 2", strings.Repeat("9", 20)}, {"short", "10 of 10", "1.0"}})
	lines := strings.Split(strings.TrimSuffix(p.String(), "\n"), "\n")
	if len(lines) != 2 || width(lines[0]) != pageWidth || width(lines[1]) != pageWidth {
		t.Errorf("table of two rows has lines %q, want two of %d columns", lines, pageWidth)
	}
}

// Whatever the names and texts, no line is wider than the page, and nothing but
// printing characters and line feeds comes out.
func TestSummaryKeepsToThePage(t *testing.T) {
	random := dice(t)
	alphabet := []rune("abc _-.翼é\x1b\t\n\r\u202e\u200d🦊")
	text := func() string {
		out := make([]rune, random.IntN(200))
		for i := range out {
			out[i] = alphabet[random.IntN(len(alphabet))]
		}
		return string(out)
	}
	for range 200 {
		l := sample()
		l.Build, l.Totals.HoursAre, l.Notes[0].Text = text(), text(), text()
		l.Printers[0].Name, l.Plates[0].Printer = l.Plates[0].ID, l.Plates[0].ID
		l.Plates[0].ID = text()
		for i := range l.Parts {
			l.Parts[i].Name, l.Parts[i].Why = text(), text()
			l.Parts[i].Notes = []Note{{"x", text()}, {"y", text()}}
		}
		l.Plates[0].Items[0].Part = l.Parts[0].Name
		l.Plates[0].Hours = 1e12 * random.Float64()
		for _, line := range strings.Split(summaryOf(t, l), "\n") {
			if columns := columnsOf(line); columns > 100 {
				t.Errorf("line of %d columns: %q", columns, line)
			}
			if strings.ContainsFunc(line, func(r rune) bool { return !unicode.IsGraphic(r) }) {
				t.Errorf("line with what does not print: %q", line)
			}
			if strings.HasSuffix(line, " ") {
				t.Errorf("line with blanks at its end: %q", line)
			}
		}
	}
}

// columnsOf measures by characters as a person sees them, and not, as width
// does, by code points.
func columnsOf(line string) int { return (&runewidth.Condition{}).StringWidth(line) }

// The figures a person reads add up to the totals they read.
func TestSummaryAddsUp(t *testing.T) {
	random := dice(t)
	plate := regexp.MustCompile(`(?m)^  Plate .*: ([0-9.]+) h rough, ([0-9.]+) g`)
	printer := regexp.MustCompile(`(?m)^  \d+ plates?, ([0-9.]+) h rough, ([0-9.]+) g`)
	item := regexp.MustCompile(`(?m)^    \S+ +\d of \d +[0-9.]+ +([0-9.]+) +[0-9.]+ +([0-9.]+)$`)
	machine := regexp.MustCompile(`(?m)^  Machine +([0-9.]+) h rough$`)
	filament := regexp.MustCompile(`(?m)^  Filament +([0-9.]+) g, of it ([0-9.]+) g support$`)
	bench := regexp.MustCompile(`(?m)^  Bench +([0-9.]+) h$`)
	for range 100 {
		l := sample()
		for i := range l.Plates {
			l.Plates[i].Hours, l.Plates[i].Filament = 10*random.Float64(), 100*random.Float64()
		}
		for i := range l.Parts {
			for j := range l.Parts[i].Options {
				o := &l.Parts[i].Options[j]
				o.BenchHours = random.Float64()
				for k := range o.On {
					o.On[k].Support = 10 * random.Float64()
				}
			}
		}
		AddUp(&l)
		text := summaryOf(t, l)
		for _, row := range []struct {
			name         string
			parts, total *regexp.Regexp
			group, of    int
			exact        float64
			count        int
		}{
			{"hours of plates", plate, machine, 1, 1, l.Totals.MachineHours, 3},
			{"hours of printers", printer, machine, 1, 1, l.Totals.MachineHours, 2},
			{"filament of plates", plate, filament, 2, 1, l.Totals.Filament, 3},
			{"filament of printers", printer, filament, 2, 1, l.Totals.Filament, 2},
			{"support", item, filament, 1, 2, l.Totals.Support, 4},
			{"bench hours", item, bench, 2, 1, l.Totals.BenchHours, 4},
		} {
			parts := row.parts.FindAllStringSubmatch(text, -1)
			if len(parts) != row.count {
				t.Fatalf("%s: found %d figures, want %d, in:\n%s", row.name, len(parts), row.count, text)
			}
			sum := new(big.Rat)
			for _, p := range parts {
				x, _ := new(big.Rat).SetString(p[row.group])
				sum.Add(sum, x)
			}
			total := row.total.FindStringSubmatch(text)[row.of]
			if sum.FloatString(1) != total {
				t.Errorf("%s add up to %s, and the total is %s", row.name, sum.FloatString(1), total)
			}
			shown, _ := new(big.Rat).SetString(total)
			if f, _ := shown.Float64(); math.Abs(f-row.exact) > 0.05+0.02 { // half a tenth, and four halves of a gram's step
				t.Errorf("%s: total %s, in the list %v", row.name, total, row.exact)
			}
		}
	}
}

func TestSummarySaysWhatIsMissing(t *testing.T) {
	text := summaryOf(t, sample())
	for _, want := range []string{
		"8 copies: 4 on plates, 4 not", "20.3 h rough",
		"  pane, 1 of 3 copies\n      the spool on round lasts for 2 of the 3\n",
		"  hook, 2 of 2 copies\n      the file ends inside facet 17\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("summary lacks %q", want)
		}
	}
	l := sample()
	l.Totals.HoursAre = "learned from 12 prints"
	if text := summaryOf(t, l); strings.Contains(strings.ToLower(text), "rough") || !strings.Contains(text, "20.3 h learned from 12 prints") {
		t.Errorf("summary of hours that are not rough:\n%s", text)
	}
}

func TestSummaryOfAnEmptyList(t *testing.T) {
	if text := summaryOf(t, List{Build: "none"}); !strings.Contains(text, "0 files, 0 copies") {
		t.Errorf("summary of nothing:\n%s", text)
	}
}

func TestSummaryReturnsTheWritersError(t *testing.T) {
	if err := WriteSummary(brokenWriter{}, sample()); !errors.Is(err, errBroken) {
		t.Errorf("WriteSummary = %v, want the writer's error", err)
	}
}
