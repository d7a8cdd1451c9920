// Command lanterngen writes the parts of the demo lantern as binary STL files.
// Run it from the repository's top folder:
//
//	go run ./testdata/lanterngen -out DIR [-mm 2.5] [-facets N] [-roles] [-part NAME]
//
// Without -mm and -facets the files are those of testdata/fish-lantern. With
// -facets 100000 every part gets as many facets, for benchmarks. -roles writes
// beside each part a file with the true role of each facet, one line a facet
// in the order of the STL file.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"

	"platewright/testdata/lanterngen/lantern"
)

func main() {
	if err := run(os.Args[1:], os.Stdout, os.Stderr); err != nil {
		if !errors.Is(err, flag.ErrHelp) {
			fmt.Fprintln(os.Stderr, "lanterngen:", err)
		}
		os.Exit(2)
	}
}

// order is what to make and where to put it.
type order struct {
	out    string
	mm     float64
	facets int
	roles  bool
	part   string
}

func run(args []string, stdout, stderr io.Writer) error {
	var o order
	flags := flag.NewFlagSet("lanterngen", flag.ContinueOnError)
	flags.SetOutput(stderr)
	flags.StringVar(&o.out, "out", "", "`folder` to write to, made if need be")
	flags.Float64Var(&o.mm, "mm", lantern.Resolution, "spacing of the lattice in `mm`")
	flags.IntVar(&o.facets, "facets", 0, "facets of each part; 0 is as in the demo")
	flags.BoolVar(&o.roles, "roles", false, "write the role of each facet too")
	flags.StringVar(&o.part, "part", "", "make this part only")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if o.out == "" || flags.NArg() > 0 || o.facets < 0 {
		return errors.New("want -out FOLDER, no other arguments, and facets not negative")
	}
	return o.make(stdout)
}

// make makes the parts side by side and reports them in order.
func (o order) make(stdout io.Writer) error {
	names := lantern.Names()
	if o.part != "" {
		if !slices.Contains(names, o.part) {
			return fmt.Errorf("no part named %q; there are %q", o.part, names)
		}
		names = []string{o.part}
	}
	if err := os.MkdirAll(o.out, 0o755); err != nil {
		return err
	}
	notes, errs := make([]string, len(names)), make([]error, len(names))
	var wait sync.WaitGroup
	places := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, name := range names {
		wait.Go(func() {
			places <- struct{}{}
			defer func() { <-places }()
			notes[i], errs[i] = o.makePart(name)
		})
	}
	wait.Wait()
	for _, note := range notes {
		fmt.Fprint(stdout, note)
	}
	return errors.Join(errs...)
}

func (o order) makePart(name string) (note string, err error) {
	p, err := lantern.Make(name, o.mm, o.facets)
	if err != nil {
		return "", err
	}
	stem := filepath.Join(o.out, name)
	if err := os.WriteFile(stem+".stl", stl(p), 0o644); err != nil {
		return "", err
	}
	if o.roles {
		if err := os.WriteFile(stem+".roles.csv", roles(p), 0o644); err != nil {
			return "", err
		}
	}
	return fmt.Sprintf("%s: %d facets\n", name, p.Mesh.NumFaces()), nil
}
