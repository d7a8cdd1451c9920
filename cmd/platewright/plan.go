package main

import (
	"context"
	"fmt"
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
	Out   string `placeholder:"FOLDER" help:"Folder to write. Without it: FOLDER-plan beside FOLDER." type:"path"`
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
	config := c.config(s)
	defer config.close()
	config.Out = c.Out
	if config.Out == "" {
		config.Out = c.Folder + "-plan"
	}
	config.State = stateFolder(c.State)
	list, err := worker.Plan(ctx, config.Config)
	if err != nil {
		return err
	}
	config.close()
	if err := joblist.WriteSummary(s.out, list); err != nil {
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
