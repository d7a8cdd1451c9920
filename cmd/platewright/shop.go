package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"platewright/worker"
	"platewright/worker/shop"
)

type shopCommand struct {
	File string `arg:"" optional:"" help:"File to write; never one that is there already. Without it: standard output." type:"path"`
}

// Help is printed under the command's flags.
func (shopCommand) Help() string {
	return `Example:
  platewright shop shop.toml

Writes a shop file with two invented printers, every setting with its meaning,
unit, range and default. Change it to your own printers.`
}

// Run writes the example.
func (c shopCommand) Run(s streams) error {
	if c.File == "" {
		_, err := s.out.Write(shop.Annotated())
		return err
	}
	f, err := os.OpenFile(c.File, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%w: %s is there already and is left alone; give another name", worker.ErrUsage, c.File)
	}
	if err != nil {
		return fmt.Errorf("%w: %w", worker.ErrUsage, err)
	}
	if _, err := f.Write(shop.Annotated()); err != nil {
		return errors.Join(err, f.Close(), os.Remove(c.File))
	}
	return f.Close()
}
