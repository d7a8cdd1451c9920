package joblist

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
)

// Reasons for JSON that two readers could understand in two ways.
var (
	errDeep     = errors.New("nested too deep")
	errTwice    = errors.New("key stands twice")
	errCase     = errors.New("key differs from a known one only in case")
	errTrailing = errors.New("something follows the value")
)

// maxDepth is far above what a list needs and far below what a reader that
// calls itself would mind.
const maxDepth = 64

// freeKey is the one key whose value has keys that are none of our business.
const freeKey = "settings"

// checkKeys refuses JSON that is nested too deep, has a key twice in one
// object, or is followed by something. Outside settings it also refuses a key
// that is not in known but would be but for its case: encoding/json takes it
// for the known one, other readers do not. A nil known knows nothing.
func checkKeys(data []byte, known map[string]bool) error {
	decoder := json.NewDecoder(bytes.NewReader(data))
	decoder.UseNumber()
	c := keyCheck{decoder, known}
	if err := c.value(maxDepth); err != nil {
		return err
	}
	if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
		return errTrailing
	}
	return nil
}

type keyCheck struct {
	decoder *json.Decoder
	known   map[string]bool
}

func (c keyCheck) value(depth int) error {
	token, err := c.decoder.Token()
	if err != nil {
		return err
	}
	open, nested := token.(json.Delim)
	if !nested {
		return nil
	}
	if depth == 0 {
		return errDeep
	}
	if open == '{' {
		err = c.object(depth)
	} else {
		for err == nil && c.decoder.More() {
			err = c.value(depth - 1)
		}
	}
	if err != nil {
		return err
	}
	_, err = c.decoder.Token() // the closing bracket
	return err
}

func (c keyCheck) object(depth int) error {
	seen := map[string]bool{}
	for c.decoder.More() {
		token, err := c.decoder.Token()
		if err != nil {
			return err
		}
		key := token.(string) // the decoder lets nothing else be a key
		switch {
		case seen[key]:
			return fmt.Errorf("%w: %.80q", errTwice, key)
		case !c.known[key] && c.known[fold(key)]:
			return fmt.Errorf("%w: %.80q", errCase, key)
		}
		seen[key] = true
		below := c
		if key == freeKey {
			below.known = nil
		}
		if err := below.value(depth - 1); err != nil {
			return err
		}
	}
	return nil
}

// fold maps all letters that encoding/json takes for one another to one: going
// up first catches the long s, going down then catches the Kelvin sign.
func fold(key string) string { return strings.ToLower(strings.ToUpper(key)) }

// listKeys returns every key of the list's types, all of which are lower case.
func listKeys() map[string]bool {
	out := map[string]bool{}
	addKeys(reflect.TypeFor[List](), out)
	return out
}

func addKeys(t reflect.Type, out map[string]bool) {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array:
		addKeys(t.Elem(), out)
	case reflect.Struct:
		if t == timeType {
			return
		}
		for i := range t.NumField() {
			key, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
			out[key] = true
			addKeys(t.Field(i).Type, out)
		}
	}
}
