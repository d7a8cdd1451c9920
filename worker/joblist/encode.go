package joblist

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"
)

// Reasons for a list that cannot be written.
var (
	ErrNotFinite = errors.New("joblist: number is not finite")
	ErrTime      = errors.New("joblist: time cannot be written in RFC 3339")
	ErrSettings  = errors.New("joblist: settings are not a plain JSON object")
)

// Encode writes l as jobs.json: keys in the order of the types, numbers with
// their stated decimals, −0 as 0, UTF-8, a newline at the end. Settings keep
// their own key order. Encode does not Validate.
//
// Laws: (1) equal lists give equal bytes; (2) what Encode wrote, Decode reads,
// and Encode writes again the same.
// Errors: ErrNotFinite, ErrTime, ErrSettings, each with the way to the value;
// then nothing is written. Else what w returned.
func Encode(w io.Writer, l List) error {
	root, err := object(reflect.ValueOf(l))
	if err != nil {
		return fmt.Errorf("encode job list: %w", err)
	}
	var out bytes.Buffer
	root.write(&out, 0, 0)
	out.WriteByte('\n')
	_, err = w.Write(out.Bytes())
	return err
}

var (
	timeType = reflect.TypeFor[time.Time]()
	rawType  = reflect.TypeFor[json.RawMessage]()
)

// build turns a value of the list's types into a node; tag is the tag of the
// field it is in.
func build(v reflect.Value, tag reflect.StructTag) (node, error) {
	switch {
	case v.Type() == timeType:
		return timeNode(v.Interface().(time.Time))
	case v.Type() == rawType:
		return settingsNode(v.Bytes())
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return node{text: "null"}, nil
		}
		return build(v.Elem(), tag)
	case reflect.Struct:
		return object(v)
	case reflect.Slice, reflect.Array:
		return array(v, tag)
	case reflect.String:
		if v.Len() == 0 && tag.Get("empty") == "null" {
			return node{text: "null"}, nil
		}
		return node{text: quote(v.String())}, nil
	case reflect.Int, reflect.Int64:
		return node{text: strconv.FormatInt(v.Int(), 10), number: true}, nil
	case reflect.Float64:
		return float(v.Float(), placesOf(tag)[0])
	}
	panic("joblist: no rule to write a " + v.Type().String())
}

func object(v reflect.Value) (node, error) {
	out := node{open: '{'}
	for i := range v.NumField() {
		field := v.Type().Field(i)
		key, options, _ := strings.Cut(field.Tag.Get("json"), ",")
		if options == "omitzero" && v.Field(i).IsZero() {
			continue
		}
		kid, err := build(v.Field(i), field.Tag)
		if err != nil {
			return node{}, fmt.Errorf("%s: %w", key, err)
		}
		out.keys = append(out.keys, quote(key))
		out.kids = append(out.kids, kid)
	}
	return out, nil
}

func array(v reflect.Value, tag reflect.StructTag) (node, error) {
	out := node{open: '['}
	floats := v.Type().Elem().Kind() == reflect.Float64
	for i := range v.Len() {
		var kid node
		var err error
		if floats {
			places := placesOf(tag)
			kid, err = float(v.Index(i).Float(), places[i%len(places)])
		} else {
			kid, err = build(v.Index(i), tag)
		}
		if err != nil {
			return node{}, fmt.Errorf("%d: %w", i, err)
		}
		out.kids = append(out.kids, kid)
	}
	return out, nil
}

// placesOf reads the decimals from a field's tag.
func placesOf(tag reflect.StructTag) []int {
	var out []int
	for _, s := range strings.Split(tag.Get("places"), ",") {
		n, err := strconv.Atoi(s)
		if err != nil {
			panic("joblist: field without places: " + string(tag))
		}
		out = append(out, n)
	}
	return out
}

func float(x float64, places int) (node, error) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return node{}, ErrNotFinite
	}
	return node{text: decimal(x, places), number: true}, nil
}

// decimal prints x rounded to the decimals given, without idle zeros.
func decimal(x float64, places int) string {
	s := strconv.FormatFloat(x, 'f', places, 64)
	if strings.ContainsRune(s, '.') {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// rounded returns x as it will be read back from the list.
func rounded(x float64, places int) float64 {
	out, err := strconv.ParseFloat(decimal(x, places), 64)
	if err != nil {
		return math.NaN() // only what is not finite prints as no number
	}
	return out
}

func timeNode(t time.Time) (node, error) {
	s := t.Format(time.RFC3339)
	// Years beyond 9999 and zones that are off by seconds do not survive.
	back, err := time.Parse(time.RFC3339, s)
	if err != nil || !back.Equal(t.Truncate(time.Second)) {
		return node{}, fmt.Errorf("%w: %v", ErrTime, t)
	}
	return node{text: quote(s)}, nil
}

// quote writes a JSON string; what is not UTF-8 in it becomes U+FFFD.
func quote(s string) string {
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false) // the list is no web page; names stay readable
	if err := encoder.Encode(s); err != nil {
		panic("joblist: a string cannot be quoted: " + err.Error())
	}
	return strings.TrimSuffix(out.String(), "\n")
}
