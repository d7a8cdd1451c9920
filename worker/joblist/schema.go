package joblist

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"strings"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// ErrSchema reports JSON that breaks the schema of jobs.json version 1.
var ErrSchema = errors.New("joblist: does not follow the schema")

//go:embed jobs.schema.json
var schemaText []byte

const schemaURL = "urn:platewright:jobs:1"

// messageLimit keeps the report on a badly broken list readable.
const messageLimit = 2000 // bytes

// Schema returns the JSON Schema (draft 2020-12) of jobs.json version 1.
func Schema() []byte { return bytes.Clone(schemaText) }

// compiled is built once, for compiling costs more than checking a small list.
var compiled = sync.OnceValues(func() (*jsonschema.Schema, error) {
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(schemaText))
	if err != nil {
		return nil, err
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat() // else date-time is a remark, not a rule
	if err := compiler.AddResource(schemaURL, document); err != nil {
		return nil, err
	}
	return compiler.Compile(schemaURL)
})

// ValidateSchema checks that data is JSON that follows the schema.
//
// Errors: ErrSchema, with the places and the reasons. Safe for concurrent use.
func ValidateSchema(data []byte) error {
	schema, err := compiled()
	if err != nil {
		panic("joblist: the embedded schema is broken: " + err.Error())
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		return fmt.Errorf("%w: %s", ErrSchema, cut(err.Error()))
	}
	if err := schema.Validate(document); err != nil {
		return fmt.Errorf("%w: %s", ErrSchema, cut(err.Error()))
	}
	return nil
}

func cut(message string) string {
	if len(message) <= messageLimit {
		return message
	}
	return strings.ToValidUTF8(message[:messageLimit], "") + " …"
}
