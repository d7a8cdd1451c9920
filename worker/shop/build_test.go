package shop

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

const fullBuild = `
unit = "in"
scale = 2
groups = ["head", "arms"]
deadline = 2031-05-01T18:00:00

[part."arm_left.stl"]
count = 3
keep_as_is = true
role = "show"
printer = "large"
group = "arms"
unit = "cm"
scale = 0.5

[part."peg_x4.stl"]
`

func TestParseBuildReadsEveryKey(t *testing.T) {
	got, faults := ParseBuild("build.toml", []byte(fullBuild))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := Build{
		Unit: "in", Scale: 2, Groups: []string{"head", "arms"},
		Deadline: Deadline{At: time.Date(2031, 5, 1, 18, 0, 0, 0, time.UTC)},
		Parts: map[string]Part{
			"arm_left.stl": {Count: 3, Keep: true, Role: "show", Pin: "large", Group: "arms", Unit: "cm", Scale: 0.5, Line: 7, Column: 7},
			"peg_x4.stl":   {Line: 16, Column: 7},
		},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("want -, got +\n%s", diff)
	}
}

func TestEmptyBuildIsTheDefaults(t *testing.T) {
	want := Build{Scale: 1, Parts: map[string]Part{}}
	for name, file := range map[string][]byte{"empty": nil, "annotated": AnnotatedBuild()} {
		got, faults := ParseBuild("build.toml", file)
		if diff := cmp.Diff(want, got); diff != "" || len(faults) > 0 {
			t.Errorf("%s: %v\nwant -, got +\n%s", name, faults, diff)
		}
	}
}

// With the # before its header and keys taken away, as the file says, the
// example part of the annotated file is read.
func TestAnnotatedPartIsAPart(t *testing.T) {
	open := regexp.MustCompile(`(?m)^#(\S)`).ReplaceAll(AnnotatedBuild(), []byte("$1"))
	got, faults := ParseBuild("build.toml", open)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	part := got.Parts["FILE NAME"]
	part.Line, part.Column = 0, 0
	if want := (Part{Count: 2}); part != want || len(got.Parts) != 1 {
		t.Errorf("parts %+v, want one, %+v", got.Parts, want)
	}
	for _, k := range partTable().keys {
		if !strings.Contains(string(open), "\n"+k.name+" = ") {
			t.Errorf("part key %s is not in the annotated file", k.name)
		}
	}
	for _, k := range buildTable().keys {
		if !strings.Contains(string(AnnotatedBuild()), "\n"+k.name+" = ") {
			t.Errorf("key %s is not in the annotated file", k.name)
		}
	}
}

func TestFaultsOfABuildFile(t *testing.T) {
	tests := []struct {
		name, file string
		want       []string
	}{
		{"file name without quotes", "[part.arm.stl]\ncount = 2\n", []string{
			"b:1:11: part.arm.stl: unknown key (a name with a dot in it needs quotes, as in [part.\"arm.stl\"])"}},
		{"unit unknown", "unit = 'inch'\n[part.'a b.stl']\nunit = 3\nscale = -1\n", []string{
			"b:1:1: unit = \"inch\": not one of the words; allowed: \"\", \"mm\", \"cm\", \"m\", \"in\"",
			"b:3:1: part.\"a b.stl\".unit = 3: a whole number where text belongs; allowed: \"\", \"mm\", \"cm\", \"m\", \"in\"",
			"b:4:1: part.\"a b.stl\".scale = -1: too small; allowed: 0 or 0.000001 to 1000000"}},
		{"counts", "[part.a]\ncount = 0\n[part.b]\ncount = 1001\n[part.c]\ncount = '4'\n", []string{
			"b:2:1: part.a.count = 0: too small; allowed: whole number, 1 to 1000",
			"b:4:1: part.b.count = 1001: too large; allowed: whole number, 1 to 1000",
			"b:6:1: part.c.count = \"4\": text where a whole number belongs; allowed: whole number, 1 to 1000"}},
		{"role unknown", "[part.a]\nrole = 'outside'\n", []string{
			"b:2:1: part.a.role = \"outside\": not one of the words; allowed: \"\", \"show\", \"joint\", \"hidden\""}},
		{"group not listed", "groups = ['head']\n[part.a]\ngroup = 'arms'\n", []string{
			"b:3:1: part.a.group = \"arms\": not in groups; allowed: \"head\""}},
		{"no groups listed", "[part.a]\ngroup = 'arms'\n", []string{
			"b:2:1: part.a.group = \"arms\": not in groups; allowed: none"}},
		{"groups twice", "groups = ['a', 'a']\n[part.a]\ngroup = 'b'\n", []string{
			"b:1:1: groups = [\"a\", \"a\"]: name 2: a second \"a\"; allowed: list of at most 1000 different names"}},
		{"groups of numbers", "groups = [1]\n", []string{
			"b:1:1: groups = [1]: name 1: a whole number where text belongs; allowed: list of at most 1000 different names"}},
		{"deadline in quotes", "deadline = '2031-05-01'\n", []string{
			"b:1:1: deadline = \"2031-05-01\": text where a date belongs; allowed: date such as 2031-05-01, date and time such as 2031-05-01T18:00:00, both without quotes, or \"\""}},
		{"deadline of a day's time", "deadline = 18:00:00\n", []string{
			"b:1:1: deadline = 18:00:00: a time of day where a date belongs; allowed: date such as 2031-05-01, date and time such as 2031-05-01T18:00:00, both without quotes, or \"\""}},
		{"part key at the top", "count = 3\n", []string{
			"b:1:1: count: unknown key (it belongs under [part.\"FILE NAME\"])"}},
		{"build key in a part", "[part.a]\ndeadline = 2031-05-01\n", []string{
			"b:2:1: part.a.deadline: unknown key (it belongs under the top of the file, before the first header)"}},
		{"part is text", "part = 'a'\n", []string{
			"b:1:1: part: text where a table belongs (write a header such as [part.\"arm.stl\"] for each part)"}},
		{"part is a number", "part.a = 4\nparts = 1\n", []string{
			"b:1:6: part.a: a whole number where a table belongs (write its header once, as [part.\"FILE NAME\"])",
			"b:2:1: parts: unknown key (did you mean part?)"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			build, faults := ParseBuild("b", []byte(test.file))
			if diff := cmp.Diff(strings.Join(test.want, "\n"), faults.Error()); diff != "" {
				t.Errorf("want -, got +\n%s", diff)
			}
			if diff := cmp.Diff(Build{}, build); diff != "" {
				t.Error("a faulty file gave settings")
			}
		})
	}
}

func TestCheck(t *testing.T) {
	b, faults := ParseBuild("b", []byte("[part.'arm.stl']\nprinter = 'small'\n[part.'leg.stl']\nprinter = 'huge'\n[part.'haed.stl']\n[part.'zzzzzzzz']\n"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	got := b.Check("b", Standard(), []string{"arm.stl", "leg.stl", "head.stl"})
	want := "b:3:7: part.\"leg.stl\".printer = \"huge\": no such printer; allowed: \"small\", \"large\"\n" +
		"b:5:7: part.\"haed.stl\": no such file in the build (did you mean \"head.stl\"?)\n" +
		"b:6:7: part.\"zzzzzzzz\": no such file in the build"
	if diff := cmp.Diff(want, got.Error()); diff != "" {
		t.Errorf("want -, got +\n%s", diff)
	}
	delete(b.Parts, "leg.stl")
	if got := b.Check("b", Standard(), []string{"arm.stl", "haed.stl", "zzzzzzzz"}); got.Err() != nil {
		t.Errorf("faults of a good build: %v", got)
	}
}

func TestFactor(t *testing.T) {
	const inch = 25.4
	tests := []struct {
		name, file string
		own, want  float64
	}{
		{"nothing said", "", 1, 1},
		{"the file's own unit", "", inch, inch},
		{"the build overrules it", "unit = 'mm'", inch, 1},
		{"centimetres", "unit = 'cm'", 1, 10},
		{"metres", "unit = 'm'", 1, 1000},
		{"inches, twice as large", "unit = 'in'\nscale = 2", 1, 2 * inch},
		{"the part overrules the build", "unit = 'in'\nscale = 2\n[part.'a.stl']\nunit = 'cm'", 1, 20},
		{"the part's scale instead of the build's", "unit = 'in'\nscale = 2\n[part.'a.stl']\nscale = 4", 1, 4 * inch},
		{"another part", "[part.'b.stl']\nscale = 3", 1, 1},
	}
	for _, test := range tests {
		b, faults := ParseBuild("b", []byte(test.file))
		if got := b.Factor("a.stl", test.own); got != test.want || len(faults) > 0 {
			t.Errorf("%s: factor = %g, want %g %v", test.name, got, test.want, faults)
		}
	}
}

func TestCount(t *testing.T) {
	b, _ := ParseBuild("b", []byte("[part.'peg_x4.stl']\ncount = 7\n[part.'arm_x2.stl']\nkeep_as_is = true\n"))
	for file, want := range map[string]int{"peg_x4.stl": 7, "arm_x2.stl": 2, "leg_x3.stl": 3, "head.stl": 1} {
		if got := b.Count(file); got != want {
			t.Errorf("Count(%s) = %d, want %d", file, got, want)
		}
	}
}

func TestDeadline(t *testing.T) {
	zone := time.FixedZone("two hours east", 2*60*60)
	tests := []struct {
		value, want string // want in UTC
	}{
		{`""`, "0001-01-01T00:00:00Z"},
		{"2031-05-01", "2031-05-01T22:00:00Z"}, // the end of that day, there
		{"2031-05-01T18:00:00", "2031-05-01T16:00:00Z"},
		{"2031-05-01 18:00:00.5", "2031-05-01T16:00:00.5Z"},
		{"2031-05-01T18:00:00Z", "2031-05-01T18:00:00Z"},
		{"2031-05-01T18:00:00-05:00", "2031-05-01T23:00:00Z"},
	}
	for _, test := range tests {
		b, faults := ParseBuild("b", []byte("deadline = "+test.value))
		got := b.Deadline.In(zone).UTC().Format(time.RFC3339Nano)
		if got != test.want || len(faults) > 0 || b.Deadline.Given() != (test.value != `""`) {
			t.Errorf("deadline = %s: %s, want %s %v", test.value, got, test.want, faults)
		}
	}
}

func TestEffectiveBuild(t *testing.T) {
	b, _ := ParseBuild("b", []byte(fullBuild))
	got, err := json.Marshal(b.Effective())
	want := `{"deadline":"2031-05-01T18:00:00","groups":["head","arms"],"part":{` +
		`"arm_left.stl":{"count":3,"group":"arms","keep_as_is":true,"printer":"large","role":"show","scale":0.5,"unit":"cm"},` +
		`"peg_x4.stl":{"count":null,"group":"","keep_as_is":false,"printer":"","role":"","scale":0,"unit":""}},` +
		`"scale":2,"unit":"in"}`
	if string(got) != want || err != nil {
		t.Errorf("Effective = %s %v, want %s", got, err, want)
	}
}

func ExampleBuild_Factor() {
	b, _ := ParseBuild("build.toml", []byte("unit = \"in\"\n"))
	fmt.Println(b.Factor("arm.stl", 1), "mm for each unit of the file")
	// Output: 25.4 mm for each unit of the file
}
