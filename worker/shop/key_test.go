package shop

import (
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// extent is the memory that a key keeps its value in.
type extent struct {
	key      string
	from, to uintptr
}

// extents returns the memory of every key of a table.
func extents[T any](t table[T], of *T) []extent {
	var out []extent
	for _, k := range t.keys {
		v := reflect.ValueOf(k.field(of))
		out = append(out, extent{t.name + "." + k.name, v.Pointer(), v.Pointer() + v.Elem().Type().Size()})
	}
	return out
}

func shopExtents(s *Shop) []extent {
	out := extents(printerTable(), &s.Printers[0])
	out = append(out, extents(materialTable(), &s.Materials[0])...)
	out = append(out, extents(supportTable(), &s.Support)...)
	out = append(out, extents(searchTable(), &s.Search)...)
	out = append(out, extents(hoursTable(), &s.Hours)...)
	out = append(out, extents(attendedTable(), &s.Hours.Attended)...)
	out = append(out, extents(runningTable(), &s.Hours.Running)...)
	out = append(out, extents(startTable(), &s.Hours.Start)...)
	out = append(out, extents(benchTable(), &s.Bench)...)
	out = append(out, extents(weightsTable(), &s.Weights)...)
	out = append(out, extents(plateTable(), &s.Plate)...)
	out = append(out, extents(worriesTable(), &s.Worries)...)
	return append(out, extents(reserveTable(), &s.Reserve)...)
}

// leaves calls f with the path and address of every plain field, and of every
// slice that is no list of tables.
func leaves(path string, v reflect.Value, f func(path string, at uintptr)) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			leaves(path+"."+v.Type().Field(i).Name, v.Field(i), f)
		}
	case reflect.Array:
		for i := range v.Len() {
			leaves(path+"[]", v.Index(i), f)
		}
	case reflect.Slice:
		if name := path[strings.LastIndexByte(path, '.')+1:]; name == "Printers" || name == "Materials" {
			leaves(path, v.Index(0), f)
			return
		}
		f(path, v.Addr().Pointer())
	default:
		f(path, v.Addr().Pointer())
	}
}

// unkept returns the fields that no key keeps its value in.
func unkept(v any, kept []extent, except ...string) []string {
	var out []string
	leaves("", reflect.ValueOf(v).Elem(), func(path string, at uintptr) {
		for _, e := range kept {
			if e.from <= at && at < e.to {
				return
			}
		}
		for _, name := range except {
			if path == name {
				return
			}
		}
		out = append(out, path)
	})
	return out
}

func TestEveryFieldHasAKey(t *testing.T) {
	s := Standard()
	if got := unkept(&s, shopExtents(&s)); got != nil {
		t.Errorf("fields of Shop without a key: %v", got)
	}
	var b Build
	if got := unkept(&b, extents(buildTable(), &b), ".Parts"); got != nil {
		t.Errorf("fields of Build without a key: %v", got)
	}
	var p Part
	if got := unkept(&p, extents(partTable(), &p), ".Line", ".Column"); got != nil {
		t.Errorf("fields of Part without a key: %v", got)
	}
}

// The test above can fail: a field that is left out is found.
func TestEveryFieldHasAKeyNoticesAMissingOne(t *testing.T) {
	s := Standard()
	all := shopExtents(&s)
	for i, gone := range all {
		if gone.key == "printer.diameter_mm" {
			continue // lies within the bed, which bed_mm keeps
		}
		rest := append(append([]extent{}, all[:i]...), all[i+1:]...)
		if len(unkept(&s, rest)) == 0 {
			t.Errorf("%s is not missed", gone.key)
		}
	}
}

func TestEveryKeyStandsInTheAnnotatedFile(t *testing.T) {
	s := Standard()
	missing := map[string]bool{}
	for _, e := range shopExtents(&s) {
		missing[e.key] = true
	}
	header, comment := "", false
	for _, line := range strings.Split(string(Annotated()), "\n") {
		name, _, isKey := strings.Cut(line, " = ")
		switch {
		case strings.HasPrefix(line, "["):
			header = strings.Trim(line, "[]")
		case isKey && !strings.HasPrefix(line, "#") && comment:
			delete(missing, header+"."+name)
		}
		comment = strings.HasPrefix(line, "#")
	}
	for k := range missing {
		t.Errorf("%s is not in the annotated file, or has no comment", k)
	}
}

// rows returns what the tables say of each key, for the checks below.
func rows[T any](t table[T]) []key[any] {
	var out []key[any]
	for _, k := range t.keys {
		out = append(out, key[any]{name: t.name + "." + k.name, kind: k.kind, standard: k.standard, about: k.about, source: k.source})
	}
	return out
}

func allRows() []key[any] {
	out := rows(printerTable())
	for _, more := range [][]key[any]{
		rows(materialTable()), rows(supportTable()), rows(searchTable()), rows(hoursTable()), rows(attendedTable()), rows(runningTable()),
		rows(startTable()), rows(benchTable()), rows(weightsTable()), rows(plateTable()), rows(reserveTable()), rows(worriesTable()), rows(buildTable()), rows(partTable()),
	} {
		out = append(out, more...)
	}
	return out
}

// suffixes are the ends of keys and the units that they stand for.
var suffixes = map[string]string{
	"_mm": "mm", "_cm2": "cm²", "_mm_s": "mm/s", "_mm_s2": "mm/s²", "_mm3_s": "mm³/s", "_g_cm3": "g/cm³", "_g": "g", "_s": "s", "_min": "min", "_h": "h",
	"_deg": "degrees from the vertical", "_percent": "%", "_percent_h": "%/h", "_min_cm2": "min/cm²", "_min_mm3": "min/mm³",
	"_h_cm2": "h/cm²", "_h_cm3": "h/cm³", "_h_dm2": "h/dm²", "_per_kg": "currency of the shop/kg",
}

func TestKeysEndInTheirUnit(t *testing.T) {
	for _, k := range allRows() {
		longest := ""
		for end := range suffixes {
			if strings.HasSuffix(k.name, end) && len(end) > len(longest) {
				longest = end
			}
		}
		if unit := k.kind.unit(); unit != suffixes[longest] {
			t.Errorf("%s has the unit %q, its name says %q", k.name, unit, suffixes[longest])
		}
	}
}

func TestKeysAreLowerCaseAndExplained(t *testing.T) {
	for _, k := range allRows() {
		name := k.name[strings.LastIndexByte(k.name, '.')+1:]
		if strings.Trim(name, "abcdefghijklmnopqrstuvwxyz0123456789_") != "" {
			t.Errorf("%s: not lower case", k.name)
		}
		if !strings.HasSuffix(k.about, ".") {
			t.Errorf("%s: %q is no sentence", k.name, k.about)
		}
		if k.kind.allowed() == "" {
			t.Errorf("%s: no range", k.name)
		}
	}
}

func TestDefaultOutOfRangePanics(t *testing.T) {
	defer func() {
		if got, want := recover(), "shop: default of x.y: too large"; got != want {
			t.Errorf("panic %v, want %v", got, want)
		}
	}()
	bad := table[float64]{name: "x", keys: []key[float64]{
		{"y", number{least: 0, most: 1}, 2.0, "", "", func(f *float64) any { return f }},
	}}
	bad.fresh()
}

func TestCommentsWrapBefore79Letters(t *testing.T) {
	for _, file := range [][]byte{Annotated(), AnnotatedBuild()} {
		for i, line := range strings.Split(string(file), "\n") {
			if n := len([]rune(line)); n > 78 {
				t.Errorf("line %d has %d letters: %s", i+1, n, line)
			}
		}
	}
}

func TestStandardIsMadeAnewEachTime(t *testing.T) {
	a := Standard()
	a.Hours.Attended[0][0].From = 1
	a.Printers[0].Name = "changed"
	if diff := cmp.Diff(Standard().Hours.Attended, attendedTable().fresh()); diff != "" {
		t.Error(diff)
	}
}
