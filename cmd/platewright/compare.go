package main

import (
	"context"

	"platewright/worker"
	"platewright/worker/joblist"
)

type compareCommand struct {
	source
	target
}

// Help is printed under the command's flags.
func (compareCommand) Help() string {
	return `Example:
  platewright compare testdata/fish-lantern --out lantern

Plans the folder three ways: every part flat (least height), every part upright
(least footprint that stands safely), and as plan would. Prints machine hours,
layers, support, scars on show, sanding, plates and nights of each, in all and
part by part. Writes what plan writes, and compare.csv beside it.`
}

// Run compares.
func (c compareCommand) Run(ctx context.Context, s streams) error {
	return c.run(ctx, s, c.source, "-compared", worker.Compare, joblist.WriteComparison)
}
