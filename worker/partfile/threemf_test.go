package partfile

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"golang.org/x/text/encoding/unicode"
	"gonum.org/v1/gonum/spatial/r3"
)

func read3MFModel(t *testing.T, model string, limits Limits) (Part, error) {
	t.Helper()
	return readBytes("box.3mf", package3MF(t, model), limits)
}

// wantBox checks volume and bounds. Tolerance: relative 1e-12, for the few
// products of a transform.
func wantBox(t *testing.T, part Part, volumeWant float64, low, high r3.Vec) {
	t.Helper()
	if got := volume(part.Triangles); !near(got, volumeWant, 1e-12*math.Abs(volumeWant)) {
		t.Errorf("volume = %v, want %v", got, volumeWant)
	}
	box := bounds(part.Triangles)
	tol := 1e-12 * (1 + r3.Norm(low) + r3.Norm(high))
	if r3.Norm(r3.Sub(box.Min, low)) > tol || r3.Norm(r3.Sub(box.Max, high)) > tol {
		t.Errorf("bounds = %v, want %v to %v", box, low, high)
	}
	if !part.InMillimetres {
		t.Error("InMillimetres = false")
	}
}

func vec(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

// TestUnitsOf3MF: lengths from the International System and, for inch and foot,
// the international yard and pound agreement of 1959.
func TestUnitsOf3MF(t *testing.T) {
	for unit, mm := range map[string]float64{
		"": 1, "micron": 1e-3, "millimeter": 1, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000,
	} {
		t.Run(unit, func(t *testing.T) {
			attributes := ""
			if unit != "" {
				attributes = `unit="` + unit + `"`
			}
			part, err := read3MFModel(t, model(attributes, boxObject, `<item objectid="1" transform="1 0 0 0 1 0 0 0 1 4 5 6"/>`), Limits{})
			if err != nil {
				t.Fatal(err)
			}
			wantBox(t, part, 6*mm*mm*mm, vec(4*mm, 5*mm, 6*mm), vec(5*mm, 7*mm, 9*mm))
			wantNotes(t, part)
		})
	}
}

func TestPlacementIn3MF(t *testing.T) {
	component := func(id int, transform string) string {
		return fmt.Sprintf(`<component objectid="%d" transform="%s"/>`, id, transform)
	}
	const (
		quarterTurn = "0 1 0 -1 0 0 0 0 1 10 0 0" // about z; x goes to y
		double      = "2 0 0 0 2 0 0 0 2 0 0 0"
		mirror      = "-1 0 0 0 1 0 0 0 1 0 0 0"
		shear       = "1 0 0 1 1 0 0 0 1 0 0 0" // y moves x
	)
	tests := []struct {
		name      string
		resources string
		items     string
		volume    float64
		low, high r3.Vec
		notes     []string
	}{
		{"as it is", "", `<item objectid="1"/>`, 6, vec(0, 0, 0), vec(1, 2, 3), nil},
		{"quarter turn", "", `<item objectid="1" transform="` + quarterTurn + `"/>`, 6, vec(8, 0, 0), vec(10, 1, 3), nil},
		{"sheared", "", `<item objectid="1" transform="` + shear + `"/>`, 6, vec(0, 0, 0), vec(3, 2, 3), nil},
		{"mirrored", "", `<item objectid="1" transform="` + mirror + `"/>`, 6, vec(-1, 0, 0), vec(0, 2, 3), []string{NoteMirrored}},
		{"two items", "", `<item objectid="1"/><item objectid="1" transform="` + quarterTurn + `"/>`, 12,
			vec(0, 0, 0), vec(10, 2, 3), []string{NoteSeveral}},
		// First the component's transform, then the item's: doubled, then turned.
		{"component in an item", `<object id="2"><components>` + component(1, double) + `</components></object>`,
			`<item objectid="2" transform="` + quarterTurn + `"/>`, 48, vec(6, 0, 0), vec(10, 2, 6), nil},
		{"the other way round", `<object id="2"><components>` + component(1, quarterTurn) + `</components></object>`,
			`<item objectid="2" transform="` + double + `"/>`, 48, vec(16, 0, 0), vec(20, 2, 6), nil},
		{"mirrored twice", `<object id="2"><components>` + component(1, mirror) + `</components></object>`,
			`<item objectid="2" transform="` + mirror + `"/>`, 6, vec(0, 0, 0), vec(1, 2, 3), nil},
		{"components before their object", "", "", 0, r3.Vec{}, r3.Vec{}, nil},
		{"three levels", `<object id="2"><components>` + component(1, double) + component(1, mirror) + `</components></object>` +
			`<object id="3"><components>` + component(2, double) + `</components></object>`,
			`<item objectid="3"/>`, 8*48 + 8*6, vec(-2, 0, 0), vec(4, 8, 12), []string{NoteMirrored}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			in := model("", boxObject+test.resources, test.items)
			if test.items == "" {
				in = model("", `<object id="2"><components>`+component(1, double)+`</components></object>`+boxObject, `<item objectid="2"/>`)
				test.volume, test.high = 48, vec(2, 4, 6)
			}
			part, err := read3MFModel(t, in, Limits{})
			if err != nil {
				t.Fatal(err)
			}
			wantBox(t, part, test.volume, test.low, test.high)
			wantNotes(t, part, test.notes...)
		})
	}
}

func TestObjectTypesOf3MF(t *testing.T) {
	typed := func(kind string) string { return strings.Replace(boxObject, `"model"`, `"`+kind+`"`, 1) }
	box2 := strings.Replace(boxObject, `id="1"`, `id="2"`, 1)
	wrapped := `<object id="3" type="%s"><components><component objectid="1"/><component objectid="2"/></components></object>`
	both := `<item objectid="1"/><item objectid="2"/>`
	tests := []struct {
		name      string
		resources string
		items     string
		volume    float64
		notes     []string
		err       error
	}{
		{"model and support", typed("support") + box2, both, 6, []string{NoteSupport}, nil},
		{"model and solid support", typed("solidsupport") + box2, both, 6, []string{NoteSupport}, nil},
		{"support within a model", typed("support") + box2 + fmt.Sprintf(wrapped, "model"), `<item objectid="3"/>`, 6, []string{NoteSupport}, nil},
		{"model within support", boxObject + box2 + fmt.Sprintf(wrapped, "support"), `<item objectid="3"/><item objectid="2"/>`, 6, []string{NoteSupport}, nil},
		{"surface", typed("surface"), `<item objectid="1"/>`, 6, []string{NoteSurface}, nil},
		{"other, not built", typed("other") + box2, `<item objectid="2"/>`, 6, nil, nil},
		{"other", typed("other"), `<item objectid="1"/>`, 0, nil, ErrFormat},
		{"other within a model", typed("other") + box2 + fmt.Sprintf(wrapped, "model"), `<item objectid="3"/>`, 0, nil, ErrFormat},
		{"unknown type", typed("part"), `<item objectid="1"/>`, 0, nil, ErrFormat},
		{"support alone", typed("support"), `<item objectid="1"/>`, 0, nil, ErrEmpty},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			part, err := read3MFModel(t, model("", test.resources, test.items), Limits{})
			if test.err != nil {
				wantError(t, err, test.err)
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := volume(part.Triangles); got != test.volume {
				t.Errorf("volume = %v, want %v", got, test.volume)
			}
			wantNotes(t, part, test.notes...)
			if part.Items != 1 {
				t.Errorf("Items = %d, want 1", part.Items)
			}
		})
	}
}

func TestModelsThatAreRefused(t *testing.T) {
	loop := `<object id="2"><components><component objectid="3"/></components></object>` +
		`<object id="3"><components><component objectid="2"/></components></object>`
	tests := []struct {
		name  string
		model string
		err   error
		text  string
	}{
		{"no build", strings.NewReplacer("<build>", "", "</build>", "", `<item objectid="1"/>`, "").Replace(boxModel), ErrFormat, "no build"},
		{"two builds", with("</build>", "</build><build/>"), ErrFormat, "two build"},
		{"nothing built", with(`<item objectid="1"/>`, ""), ErrEmpty, "no build items"},
		{"nothing in the object", model("", `<object id="1"/>`, `<item objectid="1"/>`), ErrEmpty, "without facets"},
		{"unknown unit", model(`unit="yard"`, boxObject, `<item objectid="1"/>`), ErrFormat, `unit "yard"`},
		{"vertex without z", with(`y="2" z="0"`, `y="2"`), ErrFormat, "line 3: partfile: not what the format allows: vertex without z"},
		{"triangle without v3", with(`v2="2" v3="1"`, `v2="2"`), ErrFormat, "triangle without v3"},
		{"object without id", with(`<object id="1"`, `<object`), ErrFormat, "object without id"},
		{"item without object", with(` objectid="1"`, ``), ErrFormat, "item without objectid"},
		{"id 0", with(`<object id="1"`, `<object id="0"`), ErrFormat, `"0"`},
		{"id of words", with(`<object id="1"`, `<object id="one"`), ErrFormat, `"one"`},
		{"NaN", with(`y="2"`, `y="NaN"`), ErrNotFinite, `3D/3dmodel.model line 3: `},
		{"infinity", with(`y="2"`, `y="INF"`), ErrNotFinite, "INF"},
		{"too large", with(`y="2"`, `y="1e39"`), ErrNotFinite, "1e39"},
		{"too large once placed", with(`<item objectid="1"/>`, `<item objectid="1" transform="1e38 0 0 0 1e38 0 0 0 1e38 0 0 1e38"/>`), ErrNotFinite, "object 1 facet"},
		{"hexadecimal", with(`y="2"`, `y="0x2"`), ErrFormat, "0x2"},
		{"decimal comma", with(`y="2"`, `y="2,0"`), ErrFormat, "not a comma"},
		{"vertex 8 of 8", with(`v2="2" v3="1"`, `v2="2" v3="8"`), ErrIndex, "object 1 facet 1: "},
		{"vertex −1", with(`v2="2" v3="1"`, `v2="2" v3="-1"`), ErrFormat, `"-1"`},
		{"vertex of 5 billion", with(`v2="2" v3="1"`, `v2="2" v3="5000000000"`), ErrFormat, `v3 "5000000000"`},
		{"unknown object", with(`objectid="1"`, `objectid="7"`), ErrIndex, "object 7"},
		{"unknown component", model("", `<object id="2"><components><component objectid="7"/></components></object>`, `<item objectid="2"/>`), ErrIndex, "object 7"},
		{"two objects with one id", model("", boxObject+boxObject, `<item objectid="1"/>`), ErrFormat, "id 1"},
		{"object and materials with one id", model("", `<basematerials id="1"/>`+boxObject, `<item objectid="1"/>`), ErrFormat, "id 1"},
		{"object and resource of an extension with one id", model(`xmlns:m="`+materialNS+`"`, boxObject+`<m:colorgroup id="1"/>`, `<item objectid="1"/>`), ErrFormat, "id 1"},
		{"resource of an extension and object with one id", model(`xmlns:m="`+materialNS+`"`, `<m:colorgroup id="1"/>`+boxObject, `<item objectid="1"/>`), ErrFormat, "id 1"},
		{"two meshes", with(`</mesh>`, `</mesh><mesh/>`), ErrFormat, "two shapes"},
		{"object in itself", model("", `<object id="2"><components><component objectid="2"/></components></object>`, `<item objectid="2"/>`), ErrCycle, "object 2"},
		{"objects in each other", model("", loop, `<item objectid="2"/>`), ErrCycle, "object 2"},
		{"eleven numbers", with(`<item objectid="1"/>`, `<item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0"/>`), ErrFormat, "twelve"},
		{"thirteen numbers", with(`<item objectid="1"/>`, `<item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0 0 1"/>`), ErrFormat, "twelve"},
		{"flat transform", with(`<item objectid="1"/>`, `<item objectid="1" transform="1 0 0 0 1 0 0 0 0 0 0 0"/>`), ErrFormat, "flat"},
		{"transform of NaN", with(`<item objectid="1"/>`, `<item objectid="1" transform="nan 0 0 0 1 0 0 0 1 0 0 0"/>`), ErrNotFinite, "nan"},
		{"unknown required extension", model(`requiredextensions="q" xmlns:q="http://example.com/quilts"`, boxObject, `<item objectid="1"/>`), ErrExtension, `"http://example.com/quilts"`},
		{"required extension without a namespace", model(`requiredextensions="q"`, boxObject, `<item objectid="1"/>`), ErrExtension, `"q"`},
		{"shape in another member", model(`xmlns:p="`+productionNS+`"`, boxObject, `<item objectid="1" p:path="/3D/more.model"/>`), ErrExtension, "more.model"},
		{"namespace of another format", strings.Replace(boxModel, coreNS, "http://example.com/core", 1), ErrFormat, "example.com"},
		{"another document", `<?xml version="1.0"?><html/>`, ErrFormat, `"html"`},
		{"nothing", ``, ErrTruncated, "no model"},
		{"two documents", boxModel + "<model/>", ErrFormat, "outermost"},
		{"cut short", boxModel[:len(boxModel)/2], ErrTruncated, ""},
		{"not well-formed", with(`</mesh>`, `</mash>`), ErrFormat, "XML"},
		{"xml:space", model(`xml:space="preserve"`, boxObject, `<item objectid="1"/>`), ErrFormat, "xml:space"},
		{"attribute of another namespace on vertices", with(`<vertices>`, `<vertices xmlns:q="http://example.com/q" q:novel="1">`), ErrFormat, "novel"},
		{"document type", strings.Replace(boxModel, "<model", "<!DOCTYPE model [<!ENTITY a 'b'>]><model", 1), ErrFormat, "document type"},
		{"undefined entity", with(`name="box"`, `name="&lol;"`), ErrFormat, "XML"},
		{"other encoding", strings.Replace(boxModel, "UTF-8", "ISO-8859-1", 1), ErrFormat, "ISO-8859-1"},
		{"metadata twice", strings.Replace(boxModel, "<resources>", `<metadata name="Title">a</metadata><metadata name="Title">b</metadata><resources>`, 1), ErrFormat, "Title"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := read3MFModel(t, test.model, Limits{})
			wantError(t, err, test.err, "read box.3mf: ", test.text)
		})
	}
}

func TestModelsThatAreReadWithNotes(t *testing.T) {
	material := `xmlns:m="` + materialNS + `"`
	tests := []struct {
		name  string
		model string
		notes []string
	}{
		{"white space in numbers", with(`x="1" y="2"`, `x=" 1 " y=" 2.0 "`), nil},
		{"name with entities", with(`name="box"`, `name="&lt;b&gt; &#x263A;"`), nil},
		{"byte order mark", "\xef\xbb\xbf" + boxModel, nil},
		{"base materials", model("", `<basematerials id="9"><base name="red" displaycolor="#FF0000"/></basematerials>`+boxObject, `<item objectid="1"/>`), []string{NoteMaterial}},
		{"material extension", model(material, `<m:colorgroup id="9"><m:color color="#FF0000"/></m:colorgroup>`+boxObject, `<item objectid="1"/>`), []string{NoteMaterial}},
		{"material extension required", model(material+` requiredextensions="m"`, boxObject, `<item objectid="1"/>`), nil},
		{"broken material extension", model(material, `<m:colorgroup id="9"/><m:colorgroup id="9"/><m:oddity/>`+boxObject, `<item objectid="1"/>`), []string{NoteMaterial}},
		{"production ids", model(`xmlns:p="`+productionNS+`" requiredextensions="p"`, boxObject, `<item objectid="1" p:UUID="x"/>`), nil},
		{"other namespace", model(`xmlns:q="http://example.com/q"`, `<q:quilt id="5"><q:patch/></q:quilt>`+boxObject, `<item objectid="1" q:x="1"/>`), []string{NoteExtension}},
		{"repeated corner", with(`</triangles>`, `<triangle v1="1" v2="1" v3="2"/></triangles>`), []string{NoteRepeated}},
		{"unknown core element", with(`<build>`, `<novelty><x/></novelty><build>`), nil},
		{"build before resources", model("", "", "") + "", nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if test.name == "build before resources" {
				test.model = fmt.Sprintf(`<model xmlns="%s"><build><item objectid="1"/></build><resources>%s</resources></model>`, coreNS, boxObject)
			}
			part, err := read3MFModel(t, test.model, Limits{})
			if err != nil {
				t.Fatal(err)
			}
			wantBox(t, part, 6, r3.Vec{}, vec(1, 2, 3))
			wantNotes(t, part, test.notes...)
		})
	}
}

func TestManyNamespacesMakeOneShortNote(t *testing.T) {
	var b strings.Builder
	for i := range 1000 {
		fmt.Fprintf(&b, `<q xmlns="http://example.com/%d"/>`, i)
	}
	part, err := read3MFModel(t, model("", b.String()+boxObject, `<item objectid="1"/>`), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	wantNotes(t, part, NoteExtension)
	if got := len(part.Notes[0].Text); got > 500 {
		t.Errorf("note of %d bytes", got)
	}
}

func TestNamesOf3MFParts(t *testing.T) {
	part, err := read3MFModel(t, with(`name="box"`, `name="&lt;b&gt; &#x263A;"`), Limits{})
	if want := "<b> \u263a"; err != nil || part.Name != want {
		t.Errorf("name = %q, %v, want %q", part.Name, err, want)
	}
	part, err = read3MFModel(t, with(`name="box"`, `name="`+strings.Repeat("\u263a", 100)+`"`), Limits{})
	if err != nil || len(part.Name) > maxQuoted+3 || !strings.HasSuffix(part.Name, "\u263a\u2026") {
		t.Errorf("name = %q, %v, want it cut between characters", part.Name, err)
	}
}

func TestModelInUTF16(t *testing.T) {
	for _, order := range []unicode.Endianness{unicode.LittleEndian, unicode.BigEndian} {
		encoder := unicode.UTF16(order, unicode.UseBOM).NewEncoder()
		text, err := encoder.String(strings.Replace(boxModel, "UTF-8", "UTF-16", 1))
		if err != nil {
			t.Fatal(err)
		}
		part, err := read3MFModel(t, text, Limits{})
		if err != nil {
			t.Fatal(err)
		}
		wantBox(t, part, 6, r3.Vec{}, vec(1, 2, 3))
	}
}

// doubled nests objects so that each holds the one before it twice.
func doubled(levels int, leaf string) string {
	var b strings.Builder
	b.WriteString(leaf)
	for i := 2; i <= levels+1; i++ {
		fmt.Fprintf(&b, `<object id="%d"><components><component objectid="%d"/><component objectid="%d"/></components></object>`, i, i-1, i-1)
	}
	return model("", b.String(), fmt.Sprintf(`<item objectid="%d"/>`, levels+1))
}

func TestComponentsThatMultiplyAreRefused(t *testing.T) {
	tests := []struct {
		name   string
		model  string
		limits Limits
		text   string
	}{
		{"2³⁰ boxes", doubled(30, boxObject), Limits{}, "facets"},
		{"2³⁰ empty objects", doubled(30, `<object id="1"/>`), Limits{}, "placed objects, limit 10000"},
		{"deep", doubled(33, boxObject), Limits{}, "components more than 32 deep"},
		{"facets", doubled(3, boxObject), Limits{Facets: 95}, "96 facets, limit 95"},
		{"instances", doubled(3, boxObject), Limits{Instances: 14}, "15 placed objects, limit 14"},
		{"items", model("", boxObject, strings.Repeat(`<item objectid="1"/>`, 4)), Limits{Instances: 3}, "more than 3 build items"},
		{"triangles in the file", boxModel, Limits{Facets: 11}, "12 facets and more, limit 11"},
		{"vertices in the file", boxModel, Limits{Facets: 2}, "7 vertices and more, limit 6"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := read3MFModel(t, test.model, test.limits)
			wantError(t, err, ErrTooLarge, test.text)
		})
	}
	part, err := read3MFModel(t, doubled(3, boxObject), Limits{Facets: 96, Instances: 15, Depth: 3})
	if err != nil || len(part.Triangles) != 96 {
		t.Errorf("at the limits: %d facets, %v, want 96", len(part.Triangles), err)
	}
}

// TestDepthCountsFromTheItem reaches a deep object by a short way first, when
// its depth is still unknown, and by a long way after.
func TestDepthCountsFromTheItem(t *testing.T) {
	in := strings.Replace(doubled(6, boxObject), "<build>", `<build><item objectid="4"/>`, 1)
	_, err := read3MFModel(t, in, Limits{Depth: 5})
	wantError(t, err, ErrTooLarge, "5 deep")
	if _, err := read3MFModel(t, in, Limits{Depth: 6}); err != nil {
		t.Errorf("at the limit: %v", err)
	}
}
