package shop

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/pelletier/go-toml/v2"
)

// good is a printer without fault in four lines; texts below start after it,
// in line 5, or with lines of the same printer.
const good = "[[printer]]\nname = 'a'\nbed_mm = [200, 100]\nheight_mm = 150\n"

func TestFaultsOfAShopFile(t *testing.T) {
	tests := []struct {
		name, file string
		want       []string
	}{
		{"no printer", "[support]\nledge_mm = 1\n", []string{
			"f: printer: no printer described (write the header [[printer]] above each printer)"}},
		{"empty file", "", []string{
			"f: printer: no printer described (write the header [[printer]] above each printer)"}},
		{"printer in single brackets", "[printer]\nname = 'a'\n", []string{
			"f:1:2: printer: a table where a list of tables belongs (write the header [[printer]] above each printer)"}},
		{"printer is a number", "printer = 3\n", []string{
			"f:1:1: printer: a whole number where a list of tables belongs (write the header [[printer]] above each printer)"}},
		{"list of no tables", "printer = [1]\n", []string{
			"f:1:1: printer = 1: a whole number where a table belongs (write the header [[printer]] above each printer)"}},
		{"table in double brackets", good + "[[support]]\n", []string{
			"f:5:3: support: a list where a table belongs (write its header once, as [support])"}},
		{"hours is text", good + "[x]\n[material]\n", []string{
			"f:5:2: x: unknown key",
			"f:6:2: material: a table where a list of tables belongs (write the header [[material]] above each material)"}},
		{"nothing given that has to be", "[[printer]]\n", []string{
			"f:1:3: printer.name: missing; allowed: 1 to 60 signs, none of them / \\ : * ? \" < > | nor a control character, no space or dot at either end",
			"f:1:3: printer.height_mm: missing; allowed: 10 to 3000 mm",
			"f:1:3: printer.bed_mm: missing; allowed: [width, depth], each 20 to 3000 mm (or give diameter_mm for a round bed)"}},

		{"unknown keys everywhere", good + "nozle_mm = 1\n[suport]\n[support]\nbrigde_mm = 1\nzzz = 1\n[hours.atended]\n[hours.running]\nmonday = []\n", []string{
			"f:5:1: printer.nozle_mm: unknown key (did you mean nozzle_mm?)",
			"f:6:2: suport: unknown key (did you mean support?)",
			"f:8:1: support.brigde_mm: unknown key (did you mean bridge_mm?)",
			"f:9:1: support.zzz: unknown key",
			"f:10:8: hours.atended: unknown key (did you mean attended?)",
			"f:12:1: hours.running.monday: unknown key"}},
		{"unit left out", good + "[support]\noverhang = 45\n", []string{
			"f:6:1: support.overhang: unknown key (did you mean overhang_deg?)"}},
		{"key in the wrong table", good + "overhang_deg = 45\n", []string{
			"f:5:1: printer.overhang_deg: unknown key (it belongs under [support])"}},
		{"capitals are another key", good + "NOZZLE_MM = 0.4\n", []string{
			"f:5:1: printer.NOZZLE_MM: unknown key (did you mean nozzle_mm?)"}},
		{"keys that need quotes", good + "\"a b\\n\" = 1\n\"\" = 1\n", []string{
			"f:5:1: printer.\"a b\\U0000000A\": unknown key",
			"f:6:1: printer.\"\": unknown key"}},

		{"wrong types", good + "gap_mm = '5'\nwalls = 2.0\nmaterial = 4\nkeep_out_mm = 2020-01-02\n[hours]\nunattended_running = 'no'\nchange_min = 00:10:00\n", []string{
			"f:5:1: printer.gap_mm = \"5\": text where a number belongs; allowed: 0 to 500 mm",
			"f:6:1: printer.walls = 2: a number where a whole number belongs; allowed: whole number, 1 to 100",
			"f:7:1: printer.material = 4: a whole number where text belongs; allowed: 1 to 60 signs, none of them / \\ : * ? \" < > | nor a control character, no space or dot at either end",
			"f:8:1: printer.keep_out_mm = 2020-01-02: a date where a list of polygons belongs; allowed: list of at most 100 polygons [[x, y], [x, y], …] of 3 to 200 corners mm",
			"f:10:1: hours.unattended_running = \"no\": text where true or false belongs; allowed: true or false",
			"f:11:1: hours.change_min = 00:10:00: a time of day where a number belongs; allowed: 0 to 240 min"}},
		{"out of range", good + "layer_mm = 0.01\nwalls = 0\nspool_left_g = -1\ntime_factor = nan\nheat_up_min = inf\ninfill_percent = 101\n[search]\ndirections = 499\nseed = -1\n", []string{
			"f:5:1: printer.layer_mm = 0.01: too small; allowed: 0.02 to 2 mm",
			"f:6:1: printer.walls = 0: too small; allowed: whole number, 1 to 100",
			"f:7:1: printer.spool_left_g = -1: too small; allowed: nan or 0 to 100000 g",
			"f:8:1: printer.time_factor = nan: not a number; allowed: 0.1 to 10",
			"f:9:1: printer.heat_up_min = +inf: too large; allowed: 0 to 240 min",
			"f:10:1: printer.infill_percent = 101: too large; allowed: 0 to 100 %",
			"f:12:1: search.directions = 499: too small; allowed: whole number, 500 to 100000",
			"f:13:1: search.seed = -1: too small; allowed: whole number, 0 to 9007199254740991"}},
		{"inline table", good + "[support]\nledge_mm = 1\n[[material]]\nname = 'PLA'\n[plate]\nmost_parts = -1\n[reserve]\n[weights]\n[bench]\nscar_show_min_cm2 = -1\n", []string{
			"f:10:1: plate.most_parts = -1: too small; allowed: whole number, 0 or 1 to 10000",
			"f:14:1: bench.scar_show_min_cm2 = -1: too small; allowed: 0 to 1000 min/cm²"}},
		{"printers in one line", "printer = [{name = 'a', bed_mm = [200, 100], height_mm = 1},\n {name = 'A', bed_mm = [1, 2, 3], height_mm = 20}]\n", []string{
			"f:1:46: printer.height_mm = 1: too small; allowed: 10 to 3000 mm",
			"f:2:3: printer.name = \"A\": used twice (first in line 1)",
			"f:2:15: printer.bed_mm = [1, 2, 3]: 3 values where two numbers belong; allowed: [width, depth], each 20 to 3000 mm"}},

		{"bed too small one way", "[[printer]]\nname = 'a'\nbed_mm = [200, 19]\nheight_mm = 150\n", []string{
			"f:3:1: printer.bed_mm = [200, 19]: too small; allowed: [width, depth], each 20 to 3000 mm"}},
		{"bed both oblong and round", good + "diameter_mm = 100\n", []string{
			"f:5:1: printer.diameter_mm = 100: bed_mm is given too; allowed: 0 mm (a bed is oblong or round)"}},
		{"margin takes the bed", good + "margin_mm = 50\n", []string{
			"f:5:1: printer.margin_mm = 50: leaves no room on the bed; allowed: less than 50 mm"}},
		{"keep-out beyond the bed", good + "keep_out_mm = [[[0,0],[9,0],[9,9]], [[0,0],[9,0],[9,101]]]\n", []string{
			"f:5:1: printer.keep_out_mm = [[[0, 0], [9, 0], [9, 9]], [[0, 0], [9, 0], [9, 101]]]: polygon 2 reaches beyond the bed; allowed: x 0 to 200, y 0 to 100 mm"}},
		{"keep-out beyond the square of a round bed", "[[printer]]\nname='a'\ndiameter_mm=50\nheight_mm=90\nkeep_out_mm=[[[0,0],[51,0],[9,9]]]\n", []string{
			"f:5:1: printer.keep_out_mm = [[[0, 0], [51, 0], [9, 9]]]: polygon 1 reaches beyond the bed; allowed: x 0 to 50, y 0 to 50 mm"}},
		{"layers higher than the nozzle", good + "layer_mm = 0.5\nfirst_layer_mm = 0.45\nline_width_mm = 0.6\n", []string{
			"f:5:1: printer.layer_mm = 0.5: higher than the nozzle is wide; allowed: at most 0.4 mm",
			"f:6:1: printer.first_layer_mm = 0.45: higher than the nozzle is wide; allowed: at most 0.4 mm"}},
		{"line narrower than the layer is high", good + "nozzle_mm = 0.8\nlayer_mm = 0.5\n", []string{
			"f:1:3: printer.line_width_mm = 0.4: less than the height of a layer; allowed: at least 0.5 mm (the default)"}},
		{"material not described", good + "material = 'PETG'\n[[material]]\nname = 'PLA'\n[[material]]\nname = 'ABS'\n", []string{
			"f:5:1: printer.material = \"PETG\": no such material; allowed: \"PLA\", \"ABS\""}},
		{"material by default not described", good + "[[material]]\nname = 'ABS'\n", []string{
			"f:1:3: printer.material = \"PLA\": no such material; allowed: \"ABS\" (the default)"}},
		{"material without a name", good + "[[material]]\n", []string{
			"f:5:3: material.name: missing; allowed: 1 to 60 signs, none of them / \\ : * ? \" < > | nor a control character, no space or dot at either end"}},
		{"names twice", good + good + "[[material]]\nname = 'PLA'\n[[material]]\nname = 'Pla'\n", []string{
			"f:6:1: printer.name = \"a\": used twice (first in line 2)",
			"f:12:1: material.name = \"Pla\": used twice (first in line 10)"}},
		{"nobody ever there", good + "[hours.attended]\nmon=[]\ntue=[]\nwed=[]\nthu=[]\nfri=[]\nsat=[]\nsun=[]\n", []string{
			"f:5:8: hours.attended: no minute of the week in which a person is there, a printer may run and a print may be started"}},
		{"change longer than any window", good + "[hours]\nchange_min = 90\nattended = {mon=[], tue=[], wed=[], thu=[], fri=[], sat=['10:00-11:00'], sun=['23:30-00:15']}\n", []string{
			"f:6:1: hours.change_min = 90: longer than the longest attended window; allowed: at most 60 min"}},
		{"all weights zero", good + "[weights]\nbench_hour=0\nmachine_hour=0\n", []string{
			"f:7:1: weights.machine_hour = 0: all weights are 0; allowed: one weight above 0"}},
		{"no such zone", good + "[hours]\ntime_zone = 'Europe/Atlantis'\n", []string{
			"f:6:1: hours.time_zone = \"Europe/Atlantis\": unknown time zone; allowed: name in the IANA time zone database, such as \"Europe/Lisbon\""}},
		{"zone of this computer", good + "[hours]\ntime_zone = 'Local'\n", []string{
			"f:6:1: hours.time_zone = \"Local\": not the name of a zone; allowed: name in the IANA time zone database, such as \"Europe/Lisbon\""}},

		{"not TOML", good + "gap_mm = \n", []string{
			"f:5:10: not well-formed TOML (unexpected character U+000A at start of value)"}},
		{"key twice", good + "height_mm = 150\n", []string{
			"f:5:1: key given a second time"}},
		{"table twice", good + "[support]\n[support]\n", []string{
			"f:6:2: table given a second time (a list of tables, such as printer or material, has its name in double brackets)"}},
		{"number too long", good + "gap_mm = 99999999999999999999\n", []string{
			"f:5:10: number with too many digits"}},
		{"not text at all", "\x00\x01", []string{
			"f:1:1: not well-formed TOML (invalid character at start of key: U+0000)"}},
		{"too large", strings.Repeat("#", 256<<10+1), []string{
			"f: larger than 256 KiB, so not a settings file"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			shop, faults := Parse("f", []byte(test.file))
			if diff := cmp.Diff(strings.Join(test.want, "\n"), faults.Error()); diff != "" {
				t.Errorf("want -, got +\n%s", diff)
			}
			if !reflect.DeepEqual(shop, Shop{}) {
				t.Error("a faulty file gave settings")
			}
		})
	}
}

// badWindows are values of one weekday and what is wrong with them.
func TestFaultsOfWindows(t *testing.T) {
	for value, want := range map[string]string{
		`"08:00-09:00"`:                  `text where a list of windows belongs`,
		`[8]`:                            `window 1: a whole number where text belongs`,
		`["08:00"]`:                      `window 1: no dash between two times`,
		`["08:00-09:00", "8:00-9:00"]`:   `window 2: "8:00" is no time of day from 00:00 to 23:59`,
		`["24:00-09:00"]`:                `window 1: "24:00" is no time of day from 00:00 to 23:59`,
		`["08:00-24:01"]`:                `window 1: "24:01" is no time of day from 00:00 to 24:00`,
		`["08:60-09:00"]`:                `window 1: "08:60" is no time of day from 00:00 to 23:59`,
		`["08:00-09:00-10:00"]`:          `window 1: "09:00-10:00" is no time of day from 00:00 to 24:00`,
		`["+8:00-09:00"]`:                `window 1: "+8:00" is no time of day from 00:00 to 23:59`,
		`["08:00-08:00"]`:                `window 1: ends when it begins; a whole day is 00:00-24:00`,
		`["10:00-12:00", "08:00-10:01"]`: `08:00-10:01 and 10:00-12:00 overlap`,
		`["22:00-06:00", "23:00-23:30"]`: `22:00-06:00 and 23:00-23:30 overlap`,
		`["07:00 - 08:00"]`:              `window 1: "07:00 " is no time of day from 00:00 to 23:59`,
		`["ab:cd-ef:gh"]`:                `window 1: "ab:cd" is no time of day from 00:00 to 23:59`,
		`["` + strings.Repeat("é", 99) + `-` + `"]`: `window 1: "ééééééééééé…" is no time of day from 00:00 to 23:59`,
	} {
		_, faults := Parse("f", []byte(good+"[hours.start]\nfri = "+value+"\n"))
		if len(faults) != 1 || faults[0].Wrong != want || faults[0].Line != 6 || faults[0].Key != "hours.start.fri" {
			t.Errorf("fri = %s: %v, want %q in line 6", value, faults, want)
		}
	}
}

func TestFaultsOfPolygons(t *testing.T) {
	many := "[" + strings.Repeat("[[0,0],[1,0],[0,1]],", mostPolygons+1) + "]"
	long := "[[" + strings.Repeat("[0,0],", mostCorners+1) + "]]"
	for value, want := range map[string]string{
		`[3]`:                         `polygon 1: a whole number where a list of corners belongs`,
		`[[[0,0],[1,0]]]`:             `polygon 1: fewer than 3 corners`,
		`[[0,0],[1,0],[0,1]]`:         `polygon 1: fewer than 3 corners`, // one bracket too few
		`[[[0,0],[1,0],3]]`:           `polygon 1: corner 3: a whole number where a list of two numbers belongs`,
		`[[[0,0],[1,0],[0,'1']]]`:     `polygon 1: corner 3: text where a number belongs`,
		`[[[0,0],[1,0],[0,nan]]]`:     `polygon 1: corner 3: not a number`,
		`[[[0,0],[1,0],[0,inf]]]`:     `polygon 1: corner 3: too large`,
		`[[[0,0],[1,0],[0]]]`:         `polygon 1: corner 3: 1 values where two numbers belong`,
		`[[[0,0],[1,1],[2,2]]]`:       `polygon 1: bounds no area`,
		`[[[0,0],[4,4],[4,0],[0,3]]]`: `polygon 1: its edges cross`,
		many:                          `too many polygons`,
		long:                          `polygon 1: too many corners`,
	} {
		_, faults := Parse("f", []byte(good+"keep_out_mm = "+value+"\n"))
		if len(faults) != 1 || faults[0].Wrong != want || faults[0].Line != 5 || faults[0].Key != "printer.keep_out_mm" {
			t.Errorf("keep_out_mm = %s: %v, want %q in line 5", shorten(value, 40), faults, want)
		}
	}
}

func TestFaultsOfNames(t *testing.T) {
	for name, want := range map[string]string{
		"":                      "empty",
		strings.Repeat("é", 61): "too long",
		" a":                    "a space or dot at an end",
		"a.":                    "a space or dot at an end",
		"a/b":                   "a sign that file names cannot hold",
		`a\b`:                   "a sign that file names cannot hold",
		"a\u200bb":              "a control character",
		"a\tb":                  "a control character",
		strings.Repeat("é", 60): "",
		"Zoë's 2nd, (old)":      "",
	} {
		if got := ruleOfTitle(name); got != want {
			t.Errorf("name %q: %q, want %q", name, got, want)
		}
	}
}

// What looks like a fault and is none.
func TestHarmlessOddities(t *testing.T) {
	for name, lines := range map[string]string{
		"windows that touch":           "[hours.start]\nfri = ['10:00-12:00', '08:00-10:00', '12:00-24:00']\n",
		"windows that overlap at dawn": "[hours.start]\nfri = ['20:00-08:00']\nsat = ['07:00-09:00']\n",
		"a day without windows":        "[hours.attended]\nfri = []\n",
		"dented keep-out":              "keep_out_mm = [[[0,0],[40,0],[40,10],[10,10],[10,40],[0,40]]]\n",
		"comb-shaped keep-out":         "keep_out_mm = [[[0,0],[50,0],[50,20],[40,20],[40,10],[30,10],[30,20],[20,20],[20,10],[10,10],[10,20],[0,20]]]\n",
		"keep-out up to the edges":     "keep_out_mm = [[[0,0],[200,0],[200,100]]]\n",
		"whole numbers for lengths":    "gap_mm = 4\n[[material]]\nname = 'PLA'\ndensity_g_cm3 = 1\n",
		"layer as high as the nozzle":  "layer_mm = 0.4\nfirst_layer_mm = 0.4\n",
		"change as long as the window": "[hours]\nchange_min = 10\nattended = {mon=['08:00-08:10'],tue=[],wed=[],thu=[],fri=[],sat=[],sun=[]}\n",
		"one weight":                   "[weights]\nbench_hour=0\nmachine_hour=0\nsupport_h_cm3=0.1\n",
		"empty tables":                 "[support]\n[hours]\n[hours.start]\n",
		"dotted keys":                  "[hours]\nstart.mon = []\n",
	} {
		if _, faults := Parse("f", []byte(good+lines)); len(faults) > 0 {
			t.Errorf("%s: %v", name, faults)
		}
	}
}

// Every number of every table is refused just outside its range and taken at
// its ends.
func TestRangesEndWhereTheySay(t *testing.T) {
	for _, k := range allRows() {
		if w, isWhole := k.kind.(whole); isWhole {
			wholeEnds(t, k.name, w)
		}
		n, isNumber := k.kind.(number)
		if !isNumber {
			continue
		}
		var x float64
		for v, want := range map[float64]string{
			n.least: "", n.most: "", n.least - 1e-9: "too small", n.most * (1 + 1e-9): "too large",
		} {
			if v == 0 && n.orZero {
				want = ""
			}
			if got := n.read(v, &x); got != want {
				t.Errorf("%s = %v: %q, want %q", k.name, v, got, want)
			}
		}
	}
}

func wholeEnds(t *testing.T, name string, w whole) {
	t.Helper()
	var x int64
	for v, want := range map[int64]string{w.least: "", w.most: "", w.least - 1: "too small", w.most + 1: "too large"} {
		if v == 0 && w.orZero {
			want = ""
		}
		if got := w.read(v, &x); got != want {
			t.Errorf("%s = %v: %q, want %q", name, v, got, want)
		}
	}
}

func TestFaultLeavesTheDefault(t *testing.T) {
	file := top("f", map[string]any{"ledge_mm": int64(-3)}, &spot{}, nil)
	if got := read(file, supportTable()); got.Ledge != 1 || len(*file.faults) != 1 {
		t.Errorf("ledge = %g after a fault, want the default 1; faults %v", got.Ledge, *file.faults)
	}
}

func TestErrIsNilWithoutFaults(t *testing.T) {
	if err := (Faults{}).Err(); err != nil {
		t.Errorf("Err of no faults = %v, want nil", err)
	}
	var faults Faults
	if err := (Faults{{File: "f", Wrong: "bad"}}).Err(); !errors.As(err, &faults) || err.Error() != "f: bad" {
		t.Errorf("Err = %v", err)
	}
}

// strictFields returns a struct type with a field of any type for each key of
// the tables, for the library to decode into.
func strictFields(names []string, types map[string]reflect.Type) reflect.Type {
	var fields []reflect.StructField
	for i, n := range names {
		of := types[n]
		if of == nil {
			of = reflect.TypeFor[any]()
		}
		fields = append(fields, reflect.StructField{Name: fmt.Sprintf("F%d", i), Type: of, Tag: reflect.StructTag(`toml:"` + n + `"`)})
	}
	return reflect.StructOf(fields)
}

func strictShop() reflect.Type {
	week := strictFields(days[:], nil)
	return strictFields(shopTables, map[string]reflect.Type{
		"printer":  reflect.SliceOf(strictFields(printerTable().names(), nil)),
		"material": reflect.SliceOf(strictFields(materialTable().names(), nil)),
		"support":  strictFields(supportTable().names(), nil),
		"search":   strictFields(searchTable().names(), nil),
		"hours":    strictFields(hoursTable().names(), map[string]reflect.Type{"attended": week, "running": week, "start": week}),
		"bench":    strictFields(benchTable().names(), nil),
		"weights":  strictFields(weightsTable().names(), nil),
		"plate":    strictFields(plateTable().names(), nil),
		"reserve":  strictFields(reserveTable().names(), nil),
		"worries":  strictFields(worriesTable().names(), nil),
	})
}

// The library's strict mode finds the same unknown keys in the same places.
// Keys that differ from known ones in capitals only are left out: the library
// takes them.
func TestUnknownKeysAgreeWithStrictMode(t *testing.T) {
	file := everything
	for i, key := range []string{"printer", "[material", "directions", "tue", "scar_joint_min_cm2", "[weights", "most_parts", "wall_speed_mm_s", "sun"} {
		file = strings.ReplaceAll(file, "\n"+key, fmt.Sprintf("\n%s%d", key, i))
		file = strings.ReplaceAll(file, key+" = [], wed", fmt.Sprintf("%s%d = [], wed", key, i))
	}
	file += "[[printer]]\nx.y.z = 1\n[new.table]\nx = 1\n"

	target := reflect.New(strictShop()).Interface()
	err := toml.NewDecoder(bytes.NewReader([]byte(file))).DisallowUnknownFields().Decode(target)
	var strict *toml.StrictMissingError
	if !errors.As(err, &strict) {
		t.Fatalf("strict mode: %v", err)
	}
	var want []string
	for i := range strict.Errors {
		line, column := strict.Errors[i].Position()
		want = append(want, fmt.Sprintf("%d:%d", line, column))
	}
	_, faults := Parse("f", []byte(file))
	var got []string
	for _, f := range faults {
		if f.Wrong == "unknown key" {
			got = append(got, fmt.Sprintf("%d:%d", f.Line, f.Column))
		}
	}
	slices.Sort(want)
	slices.Sort(got)
	if diff := cmp.Diff(want, got); diff != "" || len(want) < 10 {
		t.Errorf("%d unknown keys: strict mode -, ours +\n%s\n%v", len(want), diff, strict.String())
	}
}
