// Stripbench fills the strips of published instances and tells how densely.
//
//	go run ./bedpack/stripbench [-seconds N] [-seed N] [-cpu] [-out DIR] FILE.json...
//
// It prints a line an instance: its name, the seconds spent, the seed, the
// length used and the density: 100·area of the parts / (height·length). Two
// searches run side by side, with different seeds; the shorter strip counts.
// With -out it writes the placements to DIR/NAME.json.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"time"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("stripbench", flag.ContinueOnError)
	flags.SetOutput(stderr)
	seconds := flags.Float64("seconds", 120, "time for each instance, s")
	seed := flags.Uint64("seed", 1, "seed of the search")
	cpu := flags.Bool("cpu", false, "count processor time of both searches, halved, not the clock: for a machine that is shared")
	out := flags.String("out", "", "folder for the placements; none are written without")
	if err := flags.Parse(args); err != nil {
		return 2
	}
	if flags.NArg() == 0 || *seconds <= 0 {
		fmt.Fprintln(stderr, "usage: stripbench [-seconds N] [-seed N] [-out DIR] FILE.json...")
		return 2
	}
	for _, path := range flags.Args() {
		in, err := readInstance(path)
		if err != nil {
			fmt.Fprintln(stderr, err)
			return 1
		}
		began := time.Now()
		r := in.pack(*seed, time.Duration(*seconds*float64(time.Second)), clock(*cpu))
		fmt.Fprintf(stdout, "%-12s %5.0f s  seed %d  length %10.3f  density %.2f\n",
			in.Name, time.Since(began).Seconds(), *seed, r.Length, in.density(r.Length))
		if *out == "" {
			continue
		}
		if err := r.write(*out); err != nil {
			fmt.Fprintln(stderr, err)
			return 1
		}
	}
	return 0
}
