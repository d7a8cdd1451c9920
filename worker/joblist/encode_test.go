package joblist

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"
	"unicode/utf8"
)

func TestDecimal(t *testing.T) {
	for _, row := range []struct {
		name   string
		in     float64
		places int
		want   string
	}{
		{"whole", 3, 6, "3"},
		{"idle zeros go", 2.5, 6, "2.5"},
		{"tens keep their zero", 100, 0, "100"},
		{"tens keep their zero behind a point", 100, 2, "100"},
		{"rounded down", 1.2345674, 6, "1.234567"},
		{"rounded up", 1.2345676, 6, "1.234568"},
		{"rounded to the next whole", 0.99999999, 6, "1"},
		{"minus zero", math.Copysign(0, -1), 6, "0"},
		{"rounds to minus zero", -1e-9, 6, "0"},
		{"negative", -0.5, 4, "-0.5"},
		{"never an exponent, small", 1e-7, 9, "0.0000001"},
		{"never an exponent, large", 1e21, 2, "1000000000000000000000"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := decimal(row.in, row.places); got != row.want {
				t.Errorf("decimal(%v, %d) = %s, want %s", row.in, row.places, got, row.want)
			}
		})
	}
}

// What is written differs from what was meant by half a step at most, and is
// written the same once it was read back.
func TestDecimalIsNearAndStays(t *testing.T) {
	random := dice(t)
	for range 2000 {
		x := random.NormFloat64() * math.Pow(10, float64(random.IntN(16)-6))
		places := random.IntN(10)
		got := rounded(x, places)
		// Half a step, and the last bit of the number itself.
		if tolerance := 0.5*math.Pow(10, -float64(places)) + math.Abs(x)*0x1p-52; math.Abs(got-x) > tolerance {
			t.Errorf("rounded(%v, %d) = %v, further off than %v", x, places, got, tolerance)
		}
		if decimal(got, places) != decimal(x, places) {
			t.Errorf("decimal(%v, %d) = %s, and %s when read back", x, places, decimal(x, places), decimal(got, places))
		}
	}
}

// floatsOf calls f with every number of a list that can be set.
func floatsOf(v reflect.Value, path string, f func(path string, x reflect.Value)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			floatsOf(v.Elem(), path, f)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			floatsOf(v.Index(i), path, f)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				floatsOf(v.Field(i), path+"."+v.Type().Field(i).Name, f)
			}
		}
	case reflect.Float64:
		f(path, v)
	}
}

func TestEncodeRefusesNumbersThatAreNotFinite(t *testing.T) {
	l, n := sample(), 0
	floatsOf(reflect.ValueOf(&l), "List", func(path string, x reflect.Value) {
		n++
		for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			old := x.Float()
			x.SetFloat(bad)
			var out bytes.Buffer
			if err := Encode(&out, l); !errors.Is(err, ErrNotFinite) {
				t.Errorf("Encode with %s = %v: error %v, want ErrNotFinite", path, bad, err)
			}
			if out.Len() > 0 {
				t.Errorf("Encode with %s = %v wrote %d bytes, want none", path, bad, out.Len())
			}
			x.SetFloat(old)
		}
	})
	if n < 150 {
		t.Errorf("tried %d numbers, too few to be all of them", n)
	}
}

// No number of a list is written with a sign alone, an exponent, or more
// decimals than any of the tags allows.
func TestEncodeWritesPlainNumbers(t *testing.T) {
	random := dice(t)
	for range 100 {
		l := sample()
		l.Settings = nil
		floatsOf(reflect.ValueOf(&l), "List", func(_ string, x reflect.Value) {
			x.SetFloat(random.NormFloat64() * math.Pow(10, float64(random.IntN(20)-12)))
		})
		decoder := json.NewDecoder(bytes.NewReader(encoded(t, l)))
		decoder.UseNumber()
		for {
			token, err := decoder.Token()
			if err != nil {
				break
			}
			number, is := token.(json.Number)
			if !is {
				continue
			}
			_, decimals, _ := strings.Cut(number.String(), ".")
			if strings.ContainsAny(number.String(), "eE") || number == "-0" || len(decimals) > 9 {
				t.Errorf("number written as %s", number)
			}
		}
	}
}

func TestEncodeTimes(t *testing.T) {
	for _, row := range []struct {
		name string
		in   time.Time
		want string // empty: ErrTime
	}{
		{"zone", *at("2026-05-01T07:30:00+02:00"), "2026-05-01T07:30:00+02:00"},
		{"UTC", *at("2026-05-01T07:30:00Z"), "2026-05-01T07:30:00Z"},
		{"parts of a second go", *at("2026-05-01T07:30:00.9Z"), "2026-05-01T07:30:00Z"},
		{"year of five digits", time.Date(12345, 1, 1, 0, 0, 0, 0, time.UTC), ""},
		{"zone off by seconds", time.Date(2026, 1, 1, 0, 0, 0, 0, time.FixedZone("", 3601)), ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			l := sample()
			l.Made = row.in
			var out bytes.Buffer
			err := Encode(&out, l)
			if row.want == "" {
				if !errors.Is(err, ErrTime) {
					t.Errorf("Encode = %v, want ErrTime", err)
				}
				return
			}
			if err != nil || !strings.Contains(out.String(), `"made": "`+row.want+`"`) {
				t.Errorf("Encode(%v) = %v, want it to write %s", row.in, err, row.want)
			}
		})
	}
}

func TestEncodeSettings(t *testing.T) {
	for _, row := range []struct{ name, in, want string }{
		{"none", ``, `{}`},
		{"own order", `{"b":1,"a":2}`, `{"b": 1, "a": 2}`},
		{"names that differ in case", `{"a":1,"A":2}`, `{"a": 1, "A": 2}`},
		{"dust of a conversion", `{"a":45.00000000000001}`, `{"a": 45}`},
		{"minus zeros", `{"a":-0,"b":-0.0}`, `{"a": 0, "b": 0}`},
		{"long whole number", `{"a":12345678901234567890}`, `{"a": 12345678901234567890}`},
		{"all kinds", `{"a":[true,null,"<&>",{}]}`, `{"a": [true, null, "<&>", {}]}`},
		{"no object", `[1]`, ""},
		{"not JSON", `{"a":}`, ""},
		{"key twice", `{"a":1,"a":2}`, ""},
		{"something after it", `{} {}`, ""},
		{"number too large", `{"a":1e999}`, ""},
		{"too deep", strings.Repeat(`{"a":`, maxDepth+1) + "1" + strings.Repeat("}", maxDepth+1), ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			l := sample()
			l.Settings = json.RawMessage(row.in)
			var out bytes.Buffer
			err := Encode(&out, l)
			if row.want == "" {
				if err == nil {
					t.Errorf("Encode = nil, want an error; wrote %s", out.String())
				}
				return
			}
			if err != nil || !strings.Contains(out.String(), `"settings": `+row.want+",\n") {
				t.Errorf("Encode(%s) = %v, want it to write %s", row.in, err, row.want)
			}
		})
	}
}

// Law (1) of Encode, and its form: UTF-8, one newline at the end, no tabs, no
// line longer than it need be.
func TestEncodeForm(t *testing.T) {
	l := sample()
	l.Parts[0].Why = "bytes that are not UTF-8: \xff"
	data := encoded(t, l)
	if again := encoded(t, l); !bytes.Equal(data, again) {
		t.Error("two runs of Encode differ")
	}
	if !utf8.Valid(data) || !bytes.HasSuffix(data, []byte("}\n")) || bytes.Contains(data, []byte("\t")) {
		t.Error("the list is not UTF-8, has tabs, or does not end in one newline")
	}
	for _, line := range strings.Split(string(data), "\n") {
		scalar := !strings.Contains(strings.TrimSpace(line), `": {`) && !strings.Contains(line, `": [`)
		if len(line) > lineWidth && !scalar && !strings.Contains(line, `"matrix"`) {
			t.Errorf("line of %d bytes: %s", len(line), line)
		}
	}
}

func TestEncodeReturnsTheWritersError(t *testing.T) {
	if err := Encode(brokenWriter{}, sample()); !errors.Is(err, errBroken) {
		t.Errorf("Encode = %v, want the writer's error", err)
	}
}

var errBroken = errors.New("pipe is gone")

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errBroken }
