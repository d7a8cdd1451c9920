package shop

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/spatial/r2"

	"platewright/orient/printer"
	"platewright/support/plane"
)

var update = flag.Bool("update", false, "rewrite the files in testdata")

// everything sets every key of a shop file to something other than its default.
const everything = `
[[printer]]
name = "round one"
diameter_mm = 180
height_mm = 300.5
keep_out_mm = [[[0, 0], [0, 10], [10, 0]]]
margin_mm = 3
gap_mm = 4
material = "PETG clear"
spool_left_g = 412.5
nozzle_mm = 0.6
line_width_mm = 0.65
layer_mm = 0.3
first_layer_mm = 0.25
walls = 2
skins = 5
infill_percent = 7
support_density_percent = 12.5
wall_speed_mm_s = 41
skin_speed_mm_s = 42
infill_speed_mm_s = 43
support_speed_mm_s = 44
travel_speed_mm_s = 45
first_layer_speed_mm_s = 46
acceleration_mm_s2 = 501
travel_acceleration_mm_s2 = 502
corner_speed_mm_s = 6
heat_up_min = 9
layer_change_s = 1.5
minimum_layer_time_s = 11
time_factor = 1.25

[[printer]]
name = "oblong one"
bed_mm = [210.5, 190]
height_mm = 200
material = "PETG clear"

[[material]]
name = "PETG clear"
density_g_cm3 = 1.27
diameter_mm = 2.85
price_per_kg = 25.9
flow_limit_mm3_s = 8

[support]
overhang_deg = 60
ledge_mm = 0.5
bridge_mm = 5

[search]
directions = 1000
options_kept = 5
safe_tip_deg = 12.5
seed = 99

[hours]
time_zone = "Europe/Lisbon"
unattended_running = true
change_min = 15
attended = {mon = ["18:00-22:30", "07:00-08:00"], tue = [], wed = [], thu = [], fri = [], sat = ["09:00-24:00"], sun = ["22:00-06:00"]}
[hours.running]
mon = []
tue = ["00:00-12:00"]
wed = ["06:00-23:00"]
thu = ["06:00-23:01"]
fri = ["06:00-23:02"]
sat = ["06:00-23:03"]
sun = ["06:00-23:04"]
[hours.start]
mon = ["08:01-20:00"]
tue = ["08:02-20:00"]
wed = ["08:03-20:00"]
thu = ["08:04-20:00"]
fri = ["08:05-20:00"]
sat = ["08:06-20:00"]
sun = ["08:07-20:00"]

[bench]
scar_show_min_cm2 = 1
scar_joint_min_cm2 = 3
scar_hidden_min_cm2 = 5
sand_show_min_mm3 = 0.25
sand_joint_min_mm3 = 0.125
sand_hidden_min_mm3 = 0.0625

[weights]
machine_hour = 2
bench_hour = 3
overhang_h_cm2 = 4
support_h_cm3 = 5
layer_h = 6
footprint_h_dm2 = 7

[plate]
most_parts = 12
most_time_h = 20
most_filament_g = 800
failure_percent_h = 0.5
tip_percent = 12

[reserve]
filament_g = 30
filament_percent = 10
time_percent = 25

[worries]
slim_mm = 6
slim_times = 2.5
flat_mm = 90
flat_cm2 = 50
tall_times = 5
`

// everythingRead is what everything says, written down by hand.
func everythingRead() Shop {
	second := printerTable().fresh()
	second.Name, second.Bed, second.Height, second.Material = "oblong one", printer.Bed{Width: 210.5, Depth: 190}, 200, "PETG clear"
	return Shop{
		Printers: []printer.Printer{{
			Name: "round one", Bed: printer.Bed{Width: 180, Depth: 180, Diameter: 180}, Height: 300.5,
			KeepOut: []plane.Ring{{r2.Vec{X: 10}, r2.Vec{Y: 10}, r2.Vec{}}}, // turned counter-clockwise
			Margin:  3, Gap: 4, Material: "PETG clear", SpoolLeft: 412.5,
			Nozzle: 0.6, LineWidth: 0.65, Layer: 0.3, FirstLayer: 0.25, Walls: 2, Skins: 5, Infill: 0.07, SupportDensity: 0.125,
			WallSpeed: 41, SkinSpeed: 42, InfillSpeed: 43, SupportSpeed: 44, TravelSpeed: 45, FirstLayerSpeed: 46,
			Acceleration: 501, TravelAcceleration: 502, CornerSpeed: 6,
			HeatUp: 9, LayerChange: 1.5, LeastLayerTime: 11, TimeFactor: 1.25,
		}, second},
		Materials: []printer.Material{{Name: "PETG clear", Density: 1.27, Diameter: 2.85, Price: 25.9, FlowLimit: 8}},
		Support:   Support{Overhang: plane.Angle(math.Pi / 3), Ledge: 0.5, Bridge: 5},
		Search:    Search{Directions: 1000, Options: 5, SafeTip: plane.Angle(12.5) * plane.Degree, Seed: 99},
		Hours: Hours{
			Zone: "Europe/Lisbon", Unattended: true, Change: 15,
			Attended: Week{0: {{420, 480}, {1080, 1350}}, 5: {{540, 1440}}, 6: {{1320, 1800}}},
			Running:  Week{1: {{0, 720}}, 2: {{360, 1380}}, 3: {{360, 1381}}, 4: {{360, 1382}}, 5: {{360, 1383}}, 6: {{360, 1384}}},
			Start:    Week{{{481, 1200}}, {{482, 1200}}, {{483, 1200}}, {{484, 1200}}, {{485, 1200}}, {{486, 1200}}, {{487, 1200}}},
		},
		Bench:   Bench{Scar: Roles{0.01, 0.03, 0.05}, Cusp: Roles{0.25, 0.125, 0.0625}},
		Weights: Weights{Machine: 2, Bench: 3, Overhang: 0.04, Support: 0.005, Layer: 6, Footprint: 0.0007},
		Plate:   Plate{Parts: 12, Hours: 20, Grams: 800, Failure: 0.005, Tip: 0.12},
		Reserve: Reserve{Grams: 30, Filament: 0.1, Time: 0.25},
		Worries: Worries{Thick: 6, Slender: 2.5, FlatLength: 90, FlatArea: 5000, Tall: 5},
	}
}

// same compares two shops; a round trip through percent or degrees may cost
// the last digit.
func same(a, b any) string {
	return cmp.Diff(a, b, cmpopts.EquateNaNs(), cmpopts.EquateApprox(1e-13, 0), cmpopts.EquateEmpty(),
		cmp.Transformer("radians", func(a plane.Angle) float64 { return float64(a) }))
}

func TestParseReadsEveryKeyIntoItsField(t *testing.T) {
	got, faults := Parse("shop.toml", []byte(everything))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if diff := same(everythingRead(), got); diff != "" {
		t.Errorf("Parse(everything): want -, got +\n%s", diff)
	}
}

// The text above must set every key, and each to something else than its
// default, or a key that is never read would go unseen.
func TestEverythingLeavesNoKeyAtItsDefault(t *testing.T) {
	got, _ := Parse("shop.toml", []byte(everything))
	effective, standard := got.Effective(), Standard().Effective()
	for name, v := range flatten("", effective) {
		if strings.HasPrefix(name, "printer.1.") || name == "printer.0.bed_mm" {
			continue // a second printer, mostly by default
		}
		if same(v, flatten("", standard)[name]) == "" {
			t.Errorf("%s is at its default, %v", name, v)
		}
	}
}

// flatten returns every value of nested settings under its path.
func flatten(path string, v any) map[string]any {
	out := map[string]any{}
	add := func(name string, inner any) {
		for k, x := range flatten(name, inner) {
			out[k] = x
		}
	}
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			add(strings.TrimPrefix(path+"."+k, "."), x)
		}
	case []any:
		if len(v) == 0 || reflect.TypeOf(v[0]) != reflect.TypeOf(map[string]any{}) {
			out[path] = v
			break
		}
		for i, x := range v {
			add(fmt.Sprintf("%s.%d", path, i), x)
		}
	default:
		out[path] = v
	}
	return out
}

func TestDefaultsAreTheDocumentedNumbers(t *testing.T) {
	s, faults := Parse("shop.toml", []byte("[[printer]]\nname = 'a'\nbed_mm = [100, 120]\nheight_mm = 90\n"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p := s.Printers[0]
	for _, test := range []struct {
		name      string
		got, want float64
		src       string
	}{
		{"overhang", s.Support.Overhang.Degrees(), 45, "brief: 45° from the vertical, common practice"},
		{"overhang in radians", float64(s.Support.Overhang), math.Pi / 4, "45° = π/4"},
		{"ledge", s.Support.Ledge, 1, "MEASURES, spared overhang"},
		{"bridge", s.Support.Bridge, 20, "MEASURES, spared overhang"},
		{"directions", float64(s.Search.Directions), 500, "at least 500"},
		{"nozzle", p.Nozzle, 0.4, "101 of 108 configurations"},
		{"filament", s.Materials[0].Diameter, 1.75, "102 of 108 configurations"},
		{"density", s.Materials[0].Density, 1.24, "PLA, filament grade"},
		{"flow limit", s.Materials[0].FlowLimit, 11, "standard hot end"},
		{"corner speed", p.CornerSpeed, 5, "default of an open firmware"},
		{"infill", p.Infill, 0.15, "0 to 15 %"},
		{"time factor", p.TimeFactor, 1, "nothing learned"},
		{"one in a hundred an hour", s.Plate.Failure, 0.01, "12 h fail 11 %, 30 h 26 %"},
	} {
		if math.Abs(test.got-test.want) > 1e-15 {
			t.Errorf("%s = %g, want %g (%s)", test.name, test.got, test.want, test.src)
		}
	}
	if s.Hours.Unattended {
		t.Error("unattended running is allowed by default")
	}
	if !math.IsNaN(p.SpoolLeft) {
		t.Errorf("spool not weighed = %g g, want NaN", p.SpoolLeft)
	}
}

func TestAnnotatedParsesToStandard(t *testing.T) {
	got, faults := Parse("shop.toml", Annotated())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if diff := cmp.Diff(Standard(), got, cmpopts.EquateNaNs(), cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("Parse(Annotated()): want -, got +\n%s", diff)
	}
	bare, faults := Parse("shop.toml", []byte("[[printer]]\nname='small'\nbed_mm=[200,160]\nheight_mm=150\n"+
		"[[printer]]\nname='large'\nbed_mm=[250,250]\nheight_mm=260\n"))
	if diff := cmp.Diff(bare, got, cmpopts.EquateNaNs(), cmpopts.EquateEmpty()); diff != "" || len(faults) > 0 {
		t.Errorf("a file that gives only what has to be given: %v\nwant -, got +\n%s", faults, diff)
	}
}

func TestAnnotatedIsTheGoldenFile(t *testing.T) {
	golden(t, "testdata/annotated_shop.toml", Annotated())
	golden(t, "testdata/annotated_build.toml", AnnotatedBuild())
}

func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s: want -, got + (rewrite with -update)\n%s", file, diff)
	}
}

func TestWrittenShopReadsBackTheSame(t *testing.T) {
	for name, want := range map[string]Shop{"everything": everythingRead(), "standard": Standard()} {
		var b bytes.Buffer
		writeShop(&b, want, false)
		got, faults := Parse("shop.toml", b.Bytes())
		if len(faults) > 0 {
			t.Fatalf("%s: %v\n%s", name, faults, b.String())
		}
		if diff := same(want, got); diff != "" {
			t.Errorf("%s: want -, got +\n%s", name, diff)
		}
	}
}

func TestEffectiveIsJSONInTheUnitsOfTheFile(t *testing.T) {
	s, _ := Parse("shop.toml", []byte(everything))
	data, err := json.Marshal(s.Effective())
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`"overhang_deg":60}`, `"infill_percent":7,`, `"diameter_mm":180,`, `"bed_mm":null,`, `"bed_mm":[210.5,190],`,
		`"spool_left_g":412.5,`, `"spool_left_g":null,`, `"sun":["22:00-06:00"]`, `"scar_show_min_cm2":1}`, `"seed":99}`,
		`"keep_out_mm":[[[10,0],[0,10],[0,0]]]`, `"failure_percent_h":0.5,`,
	} {
		if !bytes.Contains(data, []byte(want)) {
			t.Errorf("no %s in\n%s", want, data)
		}
	}
}

func ExampleParse() {
	_, faults := Parse("shop.toml", []byte("[[printer]]\nname = \"tall\"\nbed_mm = [200, 200]\nhigth_mm = 400\nlayer_mm = 5\n"))
	fmt.Println(faults.Error())
	// Output:
	// shop.toml:1:3: printer.height_mm: missing; allowed: 10 to 3000 mm
	// shop.toml:4:1: printer.higth_mm: unknown key (did you mean height_mm?)
	// shop.toml:5:1: printer.layer_mm = 5: too large; allowed: 0.02 to 2 mm
}
