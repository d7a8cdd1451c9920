package main

import (
	"context"
	"fmt"

	"platewright/worker"
)

type checkCommand struct{ source }

// Help is printed under the command's flags.
func (checkCommand) Help() string {
	return `Example:
  platewright check testdata/fish-lantern

Says of every file how large it is and what is wrong with it: open edges,
facets the wrong way round, shells that overlap, sizes that look like another
unit. Writes nothing. Exit code 3 when a file cannot be read.`
}

// Run checks.
func (c checkCommand) Run(ctx context.Context, s streams) error {
	config := c.config(s)
	defer config.close()
	found, err := worker.Check(ctx, config.Config)
	if err != nil {
		return err
	}
	config.close()
	unreadable := 0
	for _, p := range found.Parts {
		if p.Err != nil {
			unreadable++
			fmt.Fprintf(s.out, "%s\n  unreadable: %v\n", p.File, p.Err)
			continue
		}
		fmt.Fprintf(s.out, "%s\n  %s × %s × %s mm, %d facets, %.3g cm³\n",
			p.File, length(p.Size[0]), length(p.Size[1]), length(p.Size[2]), p.Facets, p.Volume/1000)
		for _, n := range p.Notes {
			fmt.Fprintf(s.out, "  %s: %s\n", n.Code, n.Text)
		}
	}
	for _, n := range found.Notes {
		fmt.Fprintf(s.out, "\nThe folder\n  %s: %s\n", n.Code, n.Text)
	}
	fmt.Fprintf(s.out, "\n%d of %d files can be read.\n", len(found.Parts)-unreadable, len(found.Parts))
	if unreadable > 0 {
		return errPartly
	}
	return nil
}

// length gives a length to a tenth of a millimetre; a shorter one, which hints
// at another unit, to three digits.
func length(mm float64) string {
	if mm < 1 {
		return fmt.Sprintf("%.3g", mm)
	}
	return fmt.Sprintf("%.1f", mm)
}
