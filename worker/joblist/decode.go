package joblist

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

var (
	// ErrVersion reports JSON that does not call itself jobs.json version 1.
	ErrVersion = errors.New("joblist: not a job list of this version")
	// ErrTooLarge reports a list of more bytes than Decode reads.
	ErrTooLarge = errors.New("joblist: list is too large")
)

// maxBytes bounds what Decode reads: a thousand parts with fifty options each
// come to about 40 MB.
const maxBytes = 256 << 20

// Decode reads jobs.json. It accepts only this version, requires every key of
// the schema, and passes over keys that it does not know. It does not Validate.
//
// Errors: ErrVersion, ErrSchema, ErrTooLarge; else whatever r returned.
func Decode(r io.Reader) (List, error) { return decode(r, maxBytes) }

func decode(r io.Reader, limit int) (List, error) {
	data, err := io.ReadAll(io.LimitReader(r, int64(limit)+1))
	if err != nil {
		return List{}, err
	}
	if len(data) > limit {
		return List{}, fmt.Errorf("%w: above %d bytes", ErrTooLarge, limit)
	}
	if err := checkVersion(data); err != nil {
		return List{}, err
	}
	if err := checkKeys(data, listKeys()); err != nil {
		return List{}, fmt.Errorf("%w: %s", ErrSchema, cut(err.Error()))
	}
	if err := ValidateSchema(data); err != nil {
		return List{}, err
	}
	return fromJSON(data)
}

// checkVersion comes first: of a list of another version, that is all there is
// to say.
func checkVersion(data []byte) error {
	var head struct {
		Schema *string `json:"schema"`
	}
	if err := json.Unmarshal(data, &head); err != nil {
		return fmt.Errorf("%w: %s", ErrVersion, cut(err.Error()))
	}
	if head.Schema == nil {
		return fmt.Errorf("%w: it names no schema", ErrVersion)
	}
	if *head.Schema != SchemaID {
		return fmt.Errorf("%w: it is %.80q, and this reads %q", ErrVersion, *head.Schema, SchemaID)
	}
	return nil
}

// fromJSON fills the types. What the schema let through can still be too large
// for them.
func fromJSON(data []byte) (List, error) {
	var l List
	if err := json.Unmarshal(data, &l); err != nil {
		return List{}, fmt.Errorf("%w: %s", ErrSchema, cut(err.Error()))
	}
	if _, err := settingsNode(l.Settings); err != nil {
		return List{}, fmt.Errorf("%w: %s", ErrSchema, cut(err.Error()))
	}
	return l, nil
}
