package worker

import (
	"errors"
	"fmt"
	"runtime"
	"time"

	"github.com/rs/zerolog"

	"platewright/worker/partfile"
)

// Errors that a caller may branch on.
var (
	// ErrUsage reports a folder, shop file or build file that has to be put
	// right before anything can be done.
	ErrUsage = errors.New("worker: wrong usage")
	// ErrNothing reports that no part of the folder could be used.
	ErrNothing = errors.New("worker: nothing could be done")
)

// Config says what to plan and how. Folder is required; the zero value of the
// others means the default given.
type Config struct {
	Folder  string           // of part files
	Shop    string           // shop file; default: shop.toml in Folder, else the standard shop
	Out     string           // folder to write; default: Folder's name with "-plan" behind it
	State   string           // folder of remembered scores; "": none are kept
	From    string           // when the plan begins, such as 2031-05-01T18:00 in the shop's zone; default: now
	Workers int              // parts and orientations looked at at a time; default: all processors
	Limits  partfile.Limits  // of one part file
	Now     func() time.Time // the clock; default: time.Now
	Log     zerolog.Logger   // what a machine reads; zerolog.Nop() for none
	Progress
}

// Progress is told how the work goes on. Calls come from one goroutine at a
// time. The zero Progress tells nobody.
type Progress struct {
	// Parts is called once, when the number of files is known.
	Parts func(n int)
	// Part is called when a part is done with, well or badly.
	Part func(Step)
}

// Step is how one part came out.
type Step struct {
	Name     string
	File     string
	Facets   int
	Options  int    // orientations in the choice set
	Recalled bool   // taken from remembered scores
	Err      error  // nil when all went well
	TookMS   int64  // wall clock
	Best     string // the chosen way up in a few words
}

func (c Config) workers() int {
	if c.Workers > 0 {
		return c.Workers
	}
	return runtime.GOMAXPROCS(0)
}

func (c Config) out() string {
	if c.Out != "" {
		return c.Out
	}
	return c.Folder + "-plan"
}

// usageError is an ErrUsage that says no more than what is wrong.
type usageError struct{ error }

func (usageError) Is(target error) bool { return target == ErrUsage }
func (u usageError) Unwrap() error      { return u.error }

// nothingError is an ErrNothing that says why.
type nothingError struct{ error }

func (nothingError) Is(target error) bool { return target == ErrNothing }
func (n nothingError) Unwrap() error      { return n.error }

func usage(format string, args ...any) error { return usageError{fmt.Errorf(format, args...)} }
