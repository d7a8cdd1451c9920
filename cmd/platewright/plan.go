package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"platewright/worker"
	"platewright/worker/joblist"
)

// source is what the commands that read a folder have in common.
type source struct {
	Folder  string `arg:"" help:"Folder of part files: .stl, .3mf, .obj." type:"path"`
	Shop    string `placeholder:"FILE" help:"Shop file. Without it: shop.toml in FOLDER, else the example shop." type:"path"`
	Workers int    `placeholder:"N" help:"Parts and orientations looked at at a time. Without it: one a processor."`
	Log     string `enum:"plain,json,none" default:"plain" placeholder:"HOW" help:"Progress on standard error: plain words, json lines, none. Default plain."`
}

type planCommand struct {
	source
	target
}

// target is what the commands that write a result folder have in common.
type target struct {
	Out   string `placeholder:"FOLDER" help:"Folder to write. Without it: one beside the folder of parts." type:"path"`
	From  string `placeholder:"TIME" help:"When the plan begins, such as 2031-05-01T18:00, in the shop's time zone. Without it: now."`
	State string `placeholder:"FOLDER" help:"Where scores are remembered from run to run; none: nowhere. Without it: the user's cache folder." type:"path"`
}

// Help is printed under the command's flags.
func (planCommand) Help() string {
	return `Example:
  platewright plan testdata/fish-lantern --out lantern

Writes jobs.json, jobs.csv, plates/ and parts/ into the folder given by --out,
whole or not at all, and prints what goes where. Folders of part files may
hold a build.toml (counts, printers, sizes).`
}

// Run plans.
func (c planCommand) Run(ctx context.Context, s streams) error {
	return c.run(ctx, s, c.source, "-plan", worker.Plan, joblist.WriteSummary)
}

// run plans in one way or another, and prints what a person wants to see of it.
// Where nothing else is said, the result goes beside the folder of parts, under
// its name and an ending.
func (t target) run(
	ctx context.Context, s streams, from source, ending string,
	plan func(context.Context, worker.Config) (joblist.List, error), print func(io.Writer, joblist.List) error,
) error {
	config := from.config(s)
	defer config.close()
	config.Out = t.Out
	if config.Out == "" {
		config.Out = from.Folder + ending
	}
	config.State, config.From = stateFolder(t.State), t.From
	list, err := plan(ctx, config.Config)
	if err != nil {
		return err
	}
	config.close()
	if err := print(s.out, list); err != nil {
		return err
	}
	fmt.Fprintf(s.out, "\nWritten to %s\n", config.Out)
	for _, p := range list.Parts {
		if p.Status != joblist.Placed {
			return errPartly
		}
	}
	return nil
}

// stateFolder returns where scores are kept; "" for nowhere.
func stateFolder(given string) string {
	switch {
	case filepath.Base(given) == "none":
		return ""
	case given != "":
		return given
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		return "" // no home: plan without a memory
	}
	return filepath.Join(cache, "platewright")
}
