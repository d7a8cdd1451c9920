package joblist

import (
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"
)

// document returns the sample as any JSON reader sees it.
func document(t *testing.T) map[string]any {
	t.Helper()
	var out map[string]any
	if err := json.Unmarshal(encoded(t, sample()), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// check writes the document as it is now and holds it against the schema.
func check(t *testing.T, document any) error {
	t.Helper()
	data, err := json.Marshal(document)
	if err != nil {
		t.Fatal(err)
	}
	return ValidateSchema(data)
}

// objects calls f with every object of a value outside settings.
func objects(v any, path string, f func(path string, object map[string]any)) {
	switch v := v.(type) {
	case map[string]any:
		f(path, v)
		for _, key := range slices.Sorted(maps.Keys(v)) {
			if key != freeKey {
				objects(v[key], path+"/"+key, f)
			}
		}
	case []any:
		for _, kid := range v {
			objects(kid, path, f)
		}
	}
}

func TestSchemaTakesTheSample(t *testing.T) {
	if err := ValidateSchema(encoded(t, sample())); err != nil {
		t.Errorf("ValidateSchema = %v, want nil", err)
	}
}

func TestSchemaMissesEveryKey(t *testing.T) {
	doc, n := document(t), 0
	objects(doc, "", func(path string, object map[string]any) {
		for _, key := range slices.Sorted(maps.Keys(object)) {
			old := object[key]
			delete(object, key)
			if err := check(t, doc); !errors.Is(err, ErrSchema) {
				t.Errorf("without %s/%s: %v, want ErrSchema", path, key, err)
			}
			object[key] = old
			n++
		}
	})
	if n < 200 {
		t.Errorf("tried %d keys, too few to be all of them", n)
	}
}

func TestSchemaAllowsMoreKeys(t *testing.T) {
	doc := document(t)
	objects(doc, "", func(path string, object map[string]any) {
		object["added_later"] = map[string]any{"a": []any{1.5, nil}}
		if err := check(t, doc); err != nil {
			t.Errorf("with a new key in %q: %v, want nil", path, err)
		}
		delete(object, "added_later")
	})
}

// nullable and whole are written out here, not read from the schema, so that a
// slip there is seen.
var (
	nullable = []string{"first_start", "last_end", "bound_hours", "idle_hours", "sha256", "chosen", "change_from", "start", "end", "3mf", "stl", "box_mm"}
	whole    = []string{"seed", "plates", "changes", "count", "triangles", "chosen", "layers", "copy", "option"}
	signed   = []string{"seed", "volume_mm3", "up", "matrix", "box_mm"}
)

// wrong returns values that a key may not have when it has v.
func wrong(key string, v any) []any {
	all := map[string]any{"object": map[string]any{}, "array": []any{}, "text": "text", "number": 1.0, "truth": true}
	var out []any
	switch v := v.(type) {
	case map[string]any:
		delete(all, "object")
	case []any:
		// A list of a fixed length may not be empty; a table may.
		if len(v) == 0 || key == "printers" || key == "parts" || key == "plates" || key == "notes" || key == "options" || key == "on" {
			delete(all, "array")
		}
	case string:
		delete(all, "text")
	case float64:
		delete(all, "number")
		if slices.Contains(whole, key) {
			out = append(out, 1.5)
		}
		if !slices.Contains(signed, key) {
			out = append(out, -1.0)
		}
	case nil:
		delete(all, "text")
		delete(all, "number")
		delete(all, "array")
	}
	if !slices.Contains(nullable, key) {
		all["null"] = nil
	}
	return slices.AppendSeq(out, maps.Values(all))
}

func TestSchemaRefusesWrongTypes(t *testing.T) {
	doc, n := document(t), 0
	objects(doc, "", func(path string, object map[string]any) {
		for _, key := range slices.Sorted(maps.Keys(object)) {
			old := object[key]
			for _, bad := range wrong(key, old) {
				object[key] = bad
				if err := check(t, doc); !errors.Is(err, ErrSchema) {
					t.Errorf("with %s/%s = %#v: %v, want ErrSchema", path, key, bad, err)
				}
				n++
			}
			object[key] = old
		}
	})
	if n < 1000 {
		t.Errorf("tried %d values, too few to be all of them", n)
	}
}

func TestSchemaTakesNullWhereItMay(t *testing.T) {
	doc := document(t)
	objects(doc, "", func(path string, object map[string]any) {
		for _, key := range nullable {
			// plates is also a number of the totals, start only of plates.
			if old, has := object[key]; has {
				object[key] = nil
				if err := check(t, doc); err != nil {
					t.Errorf("with %s/%s = null: %v, want nil", path, key, err)
				}
				object[key] = old
			}
		}
	})
}

func TestSchemaRefusesValues(t *testing.T) {
	for _, row := range []struct {
		name string
		to   func(doc map[string]any)
	}{
		{"other schema", func(d map[string]any) { d["schema"] = "platewright.jobs/2" }},
		{"no build name", func(d map[string]any) { d["build"] = "" }},
		{"status of our own making", func(d map[string]any) { first(d, "parts")["status"] = "lost" }},
		{"no copies", func(d map[string]any) { first(d, "parts")["count"] = 0 }},
		{"too many copies", func(d map[string]any) { first(d, "parts")["count"] = MaxCopies + 1 }},
		{"hash too short", func(d map[string]any) { first(d, "parts")["sha256"] = "00" }},
		{"tip above a right angle", func(d map[string]any) { first(first(d, "parts"), "options")["tip_deg"] = 91 }},
		{"up of two", func(d map[string]any) { first(first(d, "parts"), "options")["up"] = []any{0, 1} }},
		{"up too long", func(d map[string]any) { first(first(d, "parts"), "options")["up"] = []any{0, 1.5, 0} }},
		{"text in a matrix", func(d map[string]any) { first(first(d, "plates"), "items")["matrix"].([]any)[3] = "x" }},
		{"empty plate", func(d map[string]any) { first(d, "plates")["items"] = []any{} }},
		{"printer without width", func(d map[string]any) { first(d, "printers")["bed_mm"] = []any{0, 10} }},
		{"end is no time", func(d map[string]any) { first(d, "plates")["end"] = "tomorrow" }},
	} {
		t.Run(row.name, func(t *testing.T) {
			doc := document(t)
			row.to(doc)
			if err := check(t, doc); !errors.Is(err, ErrSchema) {
				t.Errorf("ValidateSchema = %v, want ErrSchema", err)
			}
		})
	}
}

func first(object map[string]any, key string) map[string]any {
	return object[key].([]any)[0].(map[string]any)
}

// The schema and the Go types name the same keys, and every one is required but
// the two of which a printer has one.
func TestSchemaAndTypesAgree(t *testing.T) {
	var schema map[string]any
	if err := json.Unmarshal(Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	inSchema := map[string]bool{}
	var walk func(v any)
	walk = func(v any) {
		if list, is := v.([]any); is {
			for _, kid := range list {
				walk(kid)
			}
		}
		object, is := v.(map[string]any)
		if !is {
			return
		}
		if properties, is := object["properties"].(map[string]any); is {
			for key := range properties {
				inSchema[key] = true
				required, _ := object["required"].([]any)
				if !slices.Contains(required, any(key)) && key != "bed_mm" && key != "diameter_mm" && key != "layouts" {
					t.Errorf("schema does not require %s", key)
				}
			}
		}
		for _, kid := range object {
			walk(kid)
		}
	}
	walk(schema)
	if !maps.Equal(inSchema, listKeys()) {
		t.Errorf("keys of the schema %q, of the types %q",
			slices.Sorted(maps.Keys(inSchema)), slices.Sorted(maps.Keys(listKeys())))
	}
	for key := range listKeys() {
		if key != strings.ToLower(key) {
			t.Errorf("key %s is not lower case, which checkKeys relies on", key)
		}
	}
}

func TestSchemaMessageIsShort(t *testing.T) {
	err := ValidateSchema([]byte(`{"schema":"` + strings.Repeat("x", 1<<20) + `"}`))
	if !errors.Is(err, ErrSchema) || len(err.Error()) > 2*messageLimit {
		t.Errorf("ValidateSchema's message has %d bytes, want at most %d", len(err.Error()), 2*messageLimit)
	}
}
