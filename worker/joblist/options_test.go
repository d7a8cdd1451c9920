package joblist

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"testing"
)

func TestOptionsCSV(t *testing.T) {
	l := sample()
	var out bytes.Buffer
	if err := WriteOptionsCSV(&out, l); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, head := range rows[0] {
		column[head] = i
	}
	// base lying on big, base upright on big and round, pane on both, spire on none.
	if len(rows) != 1+1+2+2+1 {
		t.Fatalf("%d rows", len(rows))
	}
	for i, want := range []map[string]string{
		{"part": "base", "option": "0", "chosen": "no", "printer": "big", "until_paint_hours": "3.0625", "machine_hours": "2.5", "scar_hours": "0.125", "sanding_hours": "0.375", "loss_hours": "0.0625"},
		{"part": "base", "option": "1", "chosen": "yes", "printer": "big", "height_mm": "30.123456"},
		{"part": "base", "option": "1", "chosen": "yes", "printer": "round", "machine_hours": "2.75", "loss_hours": "0.07"},
		{"part": "pane", "option": "0", "chosen": "yes", "printer": "big"},
		{"part": "pane", "option": "0", "chosen": "yes", "printer": "round", "up_x": "0.6"},
		{"part": "spire", "option": "0", "chosen": "yes", "printer": "", "until_paint_hours": "", "height_mm": "460"},
	} {
		for head, cell := range want {
			if got := rows[i+1][column[head]]; got != cell {
				t.Errorf("row %d, %s = %q, want %q", i+1, head, got, cell)
			}
		}
	}
}

// A layout says in all what its parts say one by one.
func TestLayoutAddsUp(t *testing.T) {
	l := sample()
	got := LayoutOf(Chosen, l)
	if got.Hours != l.Totals.MachineHours || got.Plates != len(l.Plates) || got.Bench != l.Totals.BenchHours {
		t.Errorf("LayoutOf = %+v, totals %+v", got, l.Totals)
	}
	layers, scar, sand, support := 0, 0.0, 0.0, 0.0
	for _, p := range got.Parts {
		layers, scar, sand, support = layers+p.Layers, scar+p.ScarShow, sand+p.SandHours, support+p.Support
	}
	if layers != got.Layers || rounded(scar, 3) != got.ScarShow || rounded(sand, 4) != got.SandHours || rounded(support, 2) != got.Support {
		t.Errorf("parts add up to %d layers, %g mm², %g h, %g g; in all %d, %g, %g, %g",
			layers, scar, sand, support, got.Layers, got.ScarShow, got.SandHours, got.Support)
	}
	// From 1 May 08:00 to 2 May 01:40 there is one midnight.
	if got.Nights == nil || *got.Nights != 1 {
		t.Errorf("nights = %v, want 1", got.Nights)
	}
}

func TestComparisonCSV(t *testing.T) {
	l := sample()
	l.Layouts = []Layout{LayoutOf(Flat, l), LayoutOf(Chosen, l)}
	var out, text bytes.Buffer
	if err := WriteComparisonCSV(&out, l); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if want := 1 + 2*(1+len(l.Parts)); len(rows) != want {
		t.Fatalf("%d rows, want %d", len(rows), want)
	}
	if hours, err := strconv.ParseFloat(rows[1][4], 64); err != nil || hours != l.Totals.MachineHours {
		t.Errorf("machine hours in all = %q, want %g", rows[1][4], l.Totals.MachineHours)
	}
	if err := WriteComparison(&text, l); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"planned 2 ways", "flat", "chosen", "nights", "not placed"} {
		if !bytes.Contains(text.Bytes(), []byte(want)) {
			t.Errorf("comparison lacks %q:\n%s", want, text.String())
		}
	}
	encodedList := encoded(t, l)
	if got, err := Decode(bytes.NewReader(encodedList)); err != nil || len(got.Layouts) != 2 {
		t.Errorf("Decode of a compared list: %d layouts, %v", len(got.Layouts), err)
	}
}
