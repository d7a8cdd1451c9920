// Command platewright plans how the parts of a large prop print: which way up,
// on which printer, beside what.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

func main() {
	// A plan of fine meshes holds much that lives long and makes much that does
	// not: collecting at half as much again instead of twice keeps the peak below
	// 200 bytes a facet, for a few percent of time.
	debug.SetGCPercent(50)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program at once
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}
