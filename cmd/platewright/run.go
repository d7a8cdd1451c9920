package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/alecthomas/kong"

	"platewright/worker"
)

// Exit codes; the table in help says the same.
const (
	exitPlaced      = 0
	exitNothing     = 1
	exitUsage       = 2
	exitPartly      = 3
	exitInterrupted = 130
)

const about = `Takes a folder of part files and a description of your printers; says which way
up each part prints, on which printer and plate, and writes plates that any
slicer opens.

Exit codes:
    0  every part placed
    1  nothing could be done
    2  wrong usage, or a shop or build file with faults
    3  some part not placed or unreadable; everything else is written
  130  interrupted; finished work is kept and taken up again`

// errPartly reports that some part was not placed or could not be read.
var errPartly = errors.New("some part is not placed")

// streams are where a command writes.
type streams struct{ out, err io.Writer }

type commands struct {
	Plan    planCommand    `cmd:"" help:"Plan a folder of parts: orientations, plates, job list."`
	Compare compareCommand `cmd:"" help:"Plan a folder with every part flat, every part upright, and as plan would; compare them."`
	Check   checkCommand   `cmd:"" help:"Read the parts of a folder and say what is wrong with them."`
	Shop    shopCommand    `cmd:"" help:"Write an example of a shop file, every setting explained."`
}

// leave is what kong's exit hook panics with: help has been printed.
type leave int

// run does what the arguments say and returns the exit code.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) (code int) {
	defer func() {
		if r := recover(); r != nil {
			l, ok := r.(leave)
			if !ok {
				panic(r)
			}
			code = int(l)
		}
	}()
	parser, err := kong.New(&commands{},
		kong.Name("platewright"),
		kong.Description(about),
		kong.Writers(stdout, stderr),
		kong.Exit(func(code int) { panic(leave(code)) }),
		kong.BindTo(ctx, (*context.Context)(nil)),
		kong.Bind(streams{stdout, stderr}),
		kong.ConfigureHelp(kong.HelpOptions{NoExpandSubcommands: true}),
	)
	if err != nil {
		panic(err) // the struct above is wrong
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	parsed, err := parser.Parse(args)
	if err != nil {
		fmt.Fprintf(stderr, "platewright: %v\nTry platewright --help.\n", err)
		return exitUsage
	}
	err = parsed.Run()
	switch {
	case err == nil, errors.Is(err, errPartly):
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(stderr, "platewright: interrupted; no result is written. Finished parts are remembered, the next run takes them up.")
	default:
		fmt.Fprintf(stderr, "platewright: %v\n", err)
	}
	return exitCode(err)
}

func exitCode(err error) int {
	switch {
	case err == nil:
		return exitPlaced
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.Is(err, worker.ErrUsage):
		return exitUsage
	case errors.Is(err, errPartly):
		return exitPartly
	}
	return exitNothing
}
