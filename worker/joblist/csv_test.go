package joblist

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestSafeCell(t *testing.T) {
	for _, row := range []struct{ name, in, want string }{
		{"empty", "", ""},
		{"plain", "arm left", "arm left"},
		{"letters of any script", "Flügel 翼", "Flügel 翼"},
		{"formula", `=HYPERLINK("http://x","y")`, `'=HYPERLINK("http://x","y")`},
		{"plus", "+1", "'+1"},
		{"minus", "-x", "'-x"},
		{"number as a name", "-3.5", "'-3.5"},
		{"at", "@SUM(A1)", "'@SUM(A1)"},
		{"full width", "＝1", "'＝1"},
		{"full width plus", "＋1", "'＋1"},
		{"full width minus", "－1", "'－1"},
		{"full width at", "＠1", "'＠1"},
		{"after a tab", "\t=1", "' =1"},
		{"after a carriage return", "\r=1", "' =1"},
		{"after a line feed", "\n=1", "' =1"},
		{"after blanks of all kinds", " \u00a0\u3000=1", "'   =1"},
		{"after a byte order mark", "\ufeff=1", "' =1"},
		{"after a quote", `"=1`, `'"=1`},
		{"after a semicolon", "a;=1", "a;'=1"},
		{"after a semicolon and a quote", `a; "=1"`, `a;' "=1"`},
		{"line break inside", "a\n=1", "a =1"},
		{"formula sign inside", "a=1", "a=1"},
		{"comma needs nothing", "a,-1", "a,-1"},
		{"escape sequence", "\x1b[31mred", " [31mred"},
		{"not UTF-8", "a\xff", "a\ufffd"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := safeCell(row.in); got != row.want {
				t.Errorf("safeCell(%q) = %q, want %q", row.in, got, row.want)
			}
		})
	}
}

// nasty returns a text of characters that matter to a spreadsheet.
func nasty(pick func(n int) int) string {
	alphabet := []rune("=+-@＝＋－＠;,\"' \t\n\r\x00\u00a0\ufeffa1|")
	out := make([]rune, pick(12))
	for i := range out {
		out[i] = alphabet[pick(len(alphabet))]
	}
	return string(out)
}

// dangerous reports whether a spreadsheet might run a cell; written apart from
// startsFormula, on the bytes of the file.
func dangerous(cell string) bool {
	for _, r := range cell {
		switch {
		case r == '"' || unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) || unicode.IsControl(r):
			continue
		case r == '=' || r == '+' || r == '-' || r == '@':
			return true
		case r == '＝' || r == '＋' || r == '－' || r == '＠':
			return true
		}
		return false
	}
	return false
}

// Laws (1) to (3) of safeCell.
func TestSafeCellLaws(t *testing.T) {
	random := dice(t)
	for range 5000 {
		in := nasty(random.IntN)
		got := safeCell(in)
		for _, cell := range strings.Split(got, ";") {
			if dangerous(cell) {
				t.Errorf("safeCell(%q) = %q, in which %q starts a formula", in, got, cell)
			}
		}
		if again := safeCell(got); again != got {
			t.Errorf("safeCell twice of %q = %q, once %q", in, again, got)
		}
		if bare := strings.ReplaceAll(got, "'", ""); bare != strings.ReplaceAll(line(in), "'", "") {
			t.Errorf("safeCell(%q) = %q, which changed more than apostrophes", in, got)
		}
	}
}

// table writes a list and reads it back: headings to the cells of each row.
func table(t *testing.T, l List) (rows []map[string]string, raw string) {
	t.Helper()
	var out bytes.Buffer
	if err := WriteCSV(&out, l); err != nil {
		t.Fatal(err)
	}
	records, err := csv.NewReader(bytes.NewReader(out.Bytes())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, cell := range record {
			row[records[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows, out.String()
}

// Whatever names and texts a list has, no cell of the file starts a formula,
// read with commas or with semicolons, but for plain numbers.
func TestCSVIsSafeToOpen(t *testing.T) {
	random := dice(t)
	for n := range 200 {
		l := sample()
		text := func() string { return nasty(random.IntN) }
		if n == 0 {
			text = func() string { return `=HYPERLINK("http://x")` }
		}
		l.Parts[0].Name, l.Parts[1].Name = text(), text()
		l.Plates[0].Items[0].Part = l.Parts[0].Name
		l.Plates[0].ID, l.Plates[0].Printer = text(), text()
		l.Parts[1].File, l.Parts[2].Why, l.Totals.HoursAre = text(), text(), text()
		l.Parts[1].Notes[0].Text, l.Parts[1].Notes[1].Text = text(), text()
		l.Parts[3].Status = Status(text())
		rows, raw := table(t, l)
		for _, row := range rows {
			for head, cell := range row {
				if _, err := strconv.ParseFloat(cell, 64); err != nil && dangerous(cell) {
					t.Errorf("cell %s = %q starts a formula", head, cell)
				}
			}
		}
		for i, cell := range strings.Split(raw, ";") {
			if i > 0 && dangerous(cell) {
				t.Errorf("after a semicolon %.20q starts a formula", cell)
			}
		}
	}
}

func TestCSVHasOneRowForEachCopy(t *testing.T) {
	rows, _ := table(t, sample())
	var got []string
	for _, row := range rows {
		got = append(got, fmt.Sprintf("%s %s/%s %s %s", row["part"], row["copy"], row["copies"], row["status"], row["plate"]))
	}
	want := []string{
		"base 1/2 placed 01-big", "base 2/2 placed 03-big",
		"pane 1/3 placed 01-big", "pane 2/3 placed 02-round", "pane 3/3 not placed ",
		"spire 1/1 not placed ", "hook 1/2 unreadable ", "hook 2/2 unreadable ",
	}
	if !slices.Equal(got, want) {
		t.Errorf("rows = %q, want %q", got, want)
	}
}

// Copies of one part that lie differently have each their own figures.
func TestCSVTakesTheOptionOfTheCopy(t *testing.T) {
	rows, _ := table(t, sample())
	for i, want := range []map[string]string{
		{"height_mm": "30.123456", "bench_hours": "0.25", "up_z": "1", "x_mm": "25", "y_mm": "35", "start": "2026-05-01T08:00:00+02:00"},
		{"height_mm": "30", "bench_hours": "0.5", "up_x": "1", "x_mm": "15", "y_mm": "15", "end": "2026-05-02T01:40:00+02:00"},
	} {
		for head, cell := range want {
			if rows[i][head] != cell {
				t.Errorf("row %d %s = %q, want %q", i, head, rows[i][head], cell)
			}
		}
	}
}

// The turn that is written is the turn the matrix was made with.
func TestCSVTurn(t *testing.T) {
	random := dice(t)
	turns := []float64{0, 90, 180, 270, 359.9999}
	for range 100 {
		turns = append(turns, float64(random.IntN(3600000))/10000)
	}
	for _, up := range [][3]float64{up, lying, lean, {0, 0, -1}, {-0.6, 0, -0.8}, {0.36, 0.48, -0.8}} {
		for _, turn := range turns {
			l := sample()
			l.Parts[0].Options[1].Up = up
			l.Plates[0].Items[0].Matrix = standing(up, turn, r3.Vec{X: 5})
			rows, _ := table(t, l)
			if got, want := rows[0]["turn_deg"], decimal(turn, 4); got != want {
				t.Errorf("turn of up %v = %s, want %s", up, got, want)
			}
		}
	}
}

func TestCSVTurnOfNoDirectionIsEmpty(t *testing.T) {
	l := sample()
	l.Parts[0].Options[1].Up = [3]float64{}
	if rows, _ := table(t, l); rows[0]["turn_deg"] != "" {
		t.Errorf("turn of no direction = %q, want an empty cell", rows[0]["turn_deg"])
	}
}

func TestCSVIsBounded(t *testing.T) {
	l := sample()
	l.Parts[3].Count = 1 << 40
	if rows, _ := table(t, l); len(rows) != 6+MaxCopies {
		t.Errorf("rows = %d, want %d", len(rows), 6+MaxCopies)
	}
}

func TestCSVReturnsTheWritersError(t *testing.T) {
	if err := WriteCSV(brokenWriter{}, sample()); !errors.Is(err, errBroken) {
		t.Errorf("WriteCSV = %v, want the writer's error", err)
	}
}
