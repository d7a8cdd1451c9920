package joblist

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// settingDigits keeps what a person typed, 45 or 0.2, from being written as
// 45.00000000000001 after a way through radians and back.
const settingDigits = 12

// settingsNode reads settings, already JSON, for laying out again. None at all
// are an empty object.
func settingsNode(raw []byte) (node, error) {
	if len(raw) == 0 {
		return node{open: '{'}, nil
	}
	if err := checkKeys(raw, nil); err != nil {
		return node{}, fmt.Errorf("%w: %w", ErrSettings, err)
	}
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.UseNumber()
	out, err := nextNode(decoder)
	if err != nil {
		return node{}, fmt.Errorf("%w: %w", ErrSettings, err)
	}
	if out.open != '{' {
		return node{}, ErrSettings
	}
	return out, nil
}

// nextNode reads one value.
func nextNode(decoder *json.Decoder) (node, error) {
	token, err := decoder.Token()
	if err != nil {
		return node{}, err
	}
	switch token := token.(type) {
	case json.Delim:
		return nextChildren(decoder, byte(token))
	case json.Number:
		text, err := settingNumber(token.String())
		return node{text: text, number: true}, err
	case string:
		return node{text: quote(token)}, nil
	case bool:
		return node{text: strconv.FormatBool(token)}, nil
	}
	return node{text: "null"}, nil
}

func nextChildren(decoder *json.Decoder, open byte) (node, error) {
	out := node{open: open}
	for decoder.More() {
		if open == '{' {
			key, err := decoder.Token()
			if err != nil {
				return node{}, err
			}
			out.keys = append(out.keys, quote(key.(string))) // the decoder lets nothing else be a key
		}
		kid, err := nextNode(decoder)
		if err != nil {
			return node{}, err
		}
		out.kids = append(out.kids, kid)
	}
	_, err := decoder.Token() // the closing bracket
	return out, err
}

// settingNumber writes whole numbers as they are, others with settingDigits.
func settingNumber(s string) (string, error) {
	if !strings.ContainsAny(s, ".eE") {
		if s == "-0" {
			return "0", nil
		}
		return s, nil
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return "", ErrNotFinite // the text is a number, so only its size can be wrong
	}
	if x == 0 {
		return "0", nil
	}
	return strconv.FormatFloat(x, 'g', settingDigits, 64), nil
}
