package joblist

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
)

// Law (2) of Encode, and that nothing is lost but what rounding takes.
func TestDecodeReadsWhatEncodeWrote(t *testing.T) {
	random := dice(t)
	for n := range 100 {
		l := sample()
		if n > 0 {
			floatsOf(reflect.ValueOf(&l.Parts), "", func(path string, x reflect.Value) {
				if !strings.HasSuffix(path, ".Up") && !strings.HasSuffix(path, ".Tip") && !strings.HasSuffix(path, ".Held") {
					x.SetFloat(math.Abs(random.NormFloat64()) * math.Pow(10, float64(random.IntN(12)-6)))
				}
			})
		}
		data := encoded(t, l)
		got, err := Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("Decode = %v, want nil", err)
		}
		if again := encoded(t, got); !bytes.Equal(data, again) {
			t.Fatalf("written again (-first +second):\n%s", cmp.Diff(string(data), string(again)))
		}
		nearlyEqual(t, l, got)
	}
}

// nearlyEqual compares two lists but for the coarsest step of all, and for
// settings, which are compared as JSON.
func nearlyEqual(t *testing.T, want, got List) {
	t.Helper()
	near := cmp.Comparer(func(a, b float64) bool {
		return math.Abs(a-b) <= 0.5e-2+math.Abs(a)*0x1p-52 // half a step of grams
	})
	asJSON := cmp.Transformer("JSON", func(raw json.RawMessage) (v map[string]any) {
		if json.Unmarshal(raw, &v) != nil {
			t.Error("settings are not JSON")
		}
		return v
	})
	none := cmp.Transformer("none", func(in []Note) []Note { return append([]Note{}, in...) })
	if diff := cmp.Diff(want, got, near, asJSON, cmp.FilterPath(emptySlice, cmp.Ignore()), none); diff != "" {
		t.Errorf("list (-want +got):\n%s", diff)
	}
}

// emptySlice tells nil from empty lists apart no more: both are written [].
func emptySlice(p cmp.Path) bool {
	x, y := p.Last().Values()
	return x.IsValid() && y.IsValid() && x.Kind() == reflect.Slice && x.Len() == 0 && y.Len() == 0
}

func TestDecodeRefuses(t *testing.T) {
	good := string(encoded(t, sample()))
	change := func(from, to string) string {
		if !strings.Contains(good, from) {
			t.Fatalf("sample has no %s", from)
		}
		return strings.Replace(good, from, to, 1)
	}
	for _, row := range []struct {
		name, in string
		want     error
	}{
		{"nothing", "", ErrVersion},
		{"no JSON", "part,copy\n", ErrVersion},
		{"no object", "[]", ErrVersion},
		{"no schema", `{"build":"x"}`, ErrVersion},
		{"other version", change(SchemaID, "platewright.jobs/2"), ErrVersion},
		{"other case", change(SchemaID, "Platewright.jobs/1"), ErrVersion},
		{"cut off", good[:len(good)/2], ErrVersion},
		{"only the schema", `{"schema":"platewright.jobs/1"}`, ErrSchema},
		{"something after it", good + "{}", ErrVersion},
		{"key twice", change(`"seed": 7`, `"seed": 7, "seed": 8`), ErrSchema},
		{"key in another case", change(`"hours_are"`, `"HOURS_ARE": "exact", "hours_are"`), ErrSchema},
		{"key with a long s", change(`"seed": 7`, `"seed": 7, "ſeed": 8`), ErrSchema},
		{"whole number too large", change(`"seed": 7`, `"seed": 99999999999999999999`), ErrSchema},
		{"number too large", change(`"machine_hours": 20`, `"machine_hours": 1e999, "x": 20`), ErrSchema},
		{"setting too large", change(`"overhang_deg": 45`, `"overhang_deg": 1e999`), ErrSchema},
		{"negative hours", change(`"machine_hours": `, `"machine_hours": -`), ErrSchema},
		{"bad time", change(`"2026-05-01T07:30:00+02:00"`, `"1 May"`), ErrSchema},
		{"upper-case hash", change(`0123456789abcdef`, `0123456789ABCDEF`), ErrSchema},
		{"both bed and diameter", change(`"bed_mm"`, `"diameter_mm": 9, "bed_mm"`), ErrSchema},
		{"matrix of 15", change(`0, 0, 0, 1]`, `0, 0, 1]`), ErrSchema},
	} {
		t.Run(row.name, func(t *testing.T) {
			if _, err := Decode(strings.NewReader(row.in)); !errors.Is(err, row.want) {
				t.Errorf("Decode = %v, want %v", err, row.want)
			}
		})
	}
}

func TestDecodePassesOverUnknownKeys(t *testing.T) {
	data := strings.Replace(string(encoded(t, sample())), `"seed": 7`, `"seed": 7, "Seeds": [1], "later": {"a": null}`, 1)
	got, err := Decode(strings.NewReader(data))
	if err != nil {
		t.Fatalf("Decode = %v, want nil", err)
	}
	if again := encoded(t, got); !bytes.Equal(again, encoded(t, sample())) {
		t.Error("unknown keys changed what was read")
	}
}

// Keys of settings are the business of whoever wrote them: names of parts, say.
func TestDecodeTakesAnyKeyInSettings(t *testing.T) {
	l := sample()
	l.Settings = json.RawMessage(`{"Seed": 1, "parts": {"Up": 2, "up": 3}}`)
	got, err := Decode(bytes.NewReader(encoded(t, l)))
	if err != nil {
		t.Fatalf("Decode = %v, want nil", err)
	}
	if !bytes.Equal(encoded(t, got), encoded(t, l)) {
		t.Errorf("settings read as %s, want %s", got.Settings, l.Settings)
	}
}

func TestDecodeIsBounded(t *testing.T) {
	good := encoded(t, sample())
	if _, err := decode(bytes.NewReader(good), len(good)); err != nil {
		t.Errorf("decode of as much as may be = %v, want nil", err)
	}
	if _, err := decode(bytes.NewReader(good), len(good)-1); !errors.Is(err, ErrTooLarge) {
		t.Errorf("decode of one byte more = %v, want ErrTooLarge", err)
	}
	// An endless reader must not be read to its end.
	if _, err := decode(endless{}, 1000); !errors.Is(err, ErrTooLarge) {
		t.Errorf("decode of what never ends = %v, want ErrTooLarge", err)
	}
}

type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

func TestDecodeReturnsTheReadersError(t *testing.T) {
	if _, err := Decode(iotest.ErrReader(errBroken)); !errors.Is(err, errBroken) {
		t.Errorf("Decode = %v, want the reader's error", err)
	}
}

// FuzzDecode: whatever Decode takes, Encode writes so that it follows the schema
// and is read and written the same again, and nothing panics on it.
func FuzzDecode(f *testing.F) {
	good := encoded(f, sample())
	f.Add(good)
	f.Add([]byte(`{"schema":"platewright.jobs/1","build":"b","made":"0000-01-01T00:00:00.5Z","seed":-1,"settings":{"a":-0.0},` +
		`"totals":{"machine_hours":0,"bench_hours":0,"filament_g":1e300,"support_g":0,"plates":0,"changes":0,"first_start":null,` +
		`"last_end":null,"bound_hours":null,"hours_are":"x"},"printers":[],"parts":[],"plates":[]}`))
	f.Add([]byte(`{"schema":"platewright.jobs/1"}`))
	f.Add(bytes.ReplaceAll(good, []byte("pane"), []byte(`=\u0001\ud800`)))
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := Decode(bytes.NewReader(data))
		if err != nil {
			return
		}
		once := encoded(t, l)
		if err := ValidateSchema(once); err != nil {
			t.Fatalf("written again it breaks the schema: %v", err)
		}
		back, err := Decode(bytes.NewReader(once))
		if err != nil {
			t.Fatalf("written again it is not read: %v", err)
		}
		if twice := encoded(t, back); !bytes.Equal(once, twice) {
			t.Fatalf("written twice (-first +second):\n%s", cmp.Diff(string(once), string(twice)))
		}
		_ = l.Validate()
		var out bytes.Buffer
		if err := WriteSummary(&out, l); err != nil {
			t.Fatal(err)
		}
		for i := range l.Parts {
			l.Parts[i].Count = min(l.Parts[i].Count, 3) // keeps the table small
		}
		if err := WriteCSV(&out, l); err != nil {
			t.Fatal(err)
		}
	})
}
