package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"platewright": func() {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
			defer stop()
			os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
		},
		// platewright-exit CODE ARGS... runs the program and fails unless it
		// exits with CODE: testscript's own ! does not tell 1 from 3.
		"platewright-exit": func() {
			code := run(context.Background(), os.Args[2:], os.Stdout, os.Stderr)
			if fmt.Sprint(code) != os.Args[1] {
				fmt.Fprintf(os.Stderr, "exit code %d, want %s\n", code, os.Args[1])
				os.Exit(1)
			}
		},
	})
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("XDG_CACHE_HOME", e.WorkDir+"/.cache")
			return os.WriteFile(e.WorkDir+"/block.stl", []byte(block("block", 20, 30, 10)), 0o644)
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			// block FILE X Y Z writes a block as ASCII STL.
			"block": func(ts *testscript.TestScript, _ bool, args []string) {
				var x, y, z float64
				_, err := fmt.Sscan(strings.Join(args[1:], " "), &x, &y, &z)
				ts.Check(err)
				ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(block("block", x, y, z)), 0o644))
			},
		},
	})
}

// block returns a block as ASCII STL.
func block(name string, x, y, z float64) string {
	corner := func(i int) string {
		return fmt.Sprintf("vertex %g %g %g\n", x*float64(i&1), y*float64(i>>1&1), z*float64(i>>2&1))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "solid %s\n", name)
	for _, quad := range [][4]int{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		for _, t := range [][3]int{{quad[0], quad[1], quad[2]}, {quad[0], quad[2], quad[3]}} {
			b.WriteString("facet normal 0 0 0\nouter loop\n" + corner(t[0]) + corner(t[1]) + corner(t[2]) + "endloop\nendfacet\n")
		}
	}
	fmt.Fprintf(&b, "endsolid %s\n", name)
	return b.String()
}
