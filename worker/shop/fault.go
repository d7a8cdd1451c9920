package shop

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing wrong with a settings file, told so that a person can
// mend it. Line and Column count from 1, columns in bytes; both are zero when
// the fault is of the file as a whole.
type Fault struct {
	File         string
	Line, Column int
	Key          string // with its table, such as "printer.layer_mm"
	Value        string // as it would be written in the file; "" when nothing was given
	Wrong        string // what is wrong, in a few words
	Allowed      string // what would be right; "" when no range says it
	Unit         string // of Value and Allowed; "" when they have none
	Hint         string // what to try; may be empty
}

// String returns the fault on one line:
//
//	FILE:LINE:COLUMN: KEY = VALUE: WRONG; allowed: RANGE UNIT (HINT)
func (f Fault) String() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", f.Line, f.Column)
	}
	b.WriteString(": ")
	if f.Key != "" {
		b.WriteString(f.Key)
		if f.Value != "" {
			b.WriteString(" = " + f.Value)
		}
		b.WriteString(": ")
	}
	b.WriteString(f.Wrong)
	if f.Allowed != "" {
		b.WriteString("; allowed: " + strings.TrimSpace(f.Allowed+" "+f.Unit))
	}
	if f.Hint != "" {
		b.WriteString(" (" + f.Hint + ")")
	}
	return b.String()
}

// Faults are all faults of a file, in the order in which they stand in it.
type Faults []Fault

// Error returns the faults, one a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, one := range f {
		lines[i] = one.String()
	}
	return strings.Join(lines, "\n")
}

// Err returns f as an error, and nil when there is no fault.
func (f Faults) Err() error {
	if len(f) == 0 {
		return nil
	}
	return f
}

// sort puts the faults in file order; equal places keep the order of finding.
func (f Faults) sort() {
	slices.SortStableFunc(f, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
}
