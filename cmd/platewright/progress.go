package main

import (
	"fmt"
	"io"
	"os"
	"sync"

	"github.com/mattn/go-isatty"
	"github.com/rs/zerolog"
	"github.com/vbauerster/mpb/v8"
	"github.com/vbauerster/mpb/v8/decor"

	"platewright/worker"
)

// config is a worker's configuration and what has to be closed before results
// are printed.
type config struct {
	worker.Config
	close func()
}

// config turns the flags into a configuration that reports progress.
func (c source) config(s streams) config {
	out := config{
		Config: worker.Config{Folder: c.Folder, Shop: c.Shop, Workers: c.Workers, Log: zerolog.Nop()},
		close:  func() {},
	}
	switch c.Log {
	case "json":
		out.Log = zerolog.New(s.err).With().Timestamp().Logger()
	case "plain":
		if terminal(s.err) {
			out.Progress, out.close = bar(s.err)
		} else {
			out.Progress = lines(s.err)
		}
	}
	return out
}

func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && isatty.IsTerminal(f.Fd())
}

// lines reports one plain line a part.
func lines(w io.Writer) worker.Progress {
	n, done := 0, 0
	return worker.Progress{
		Parts: func(count int) { n = count },
		Part: func(s worker.Step) {
			done++
			fmt.Fprintf(w, "%d of %d  %s\n", done, n, outcome(s))
		},
	}
}

// outcome says in a line how a part came out.
func outcome(s worker.Step) string {
	switch {
	case s.Err != nil:
		return fmt.Sprintf("%s: unreadable: %v", s.File, s.Err)
	case s.Options == 0:
		return fmt.Sprintf("%s: %d facets read", s.File, s.Facets)
	case s.Recalled:
		return fmt.Sprintf("%s: %s (remembered)", s.File, s.Best)
	}
	return fmt.Sprintf("%s: %s, best of %d ways up kept (%.1f s)", s.File, s.Best, s.Options, float64(s.TookMS)/1000)
}

// bar reports on one line of a terminal that is rewritten. close leaves the
// terminal as it was.
func bar(w io.Writer) (progress worker.Progress, close func()) {
	all := mpb.New(mpb.WithOutput(w), mpb.WithWidth(40))
	var b *mpb.Bar
	var once sync.Once
	name := ""
	progress = worker.Progress{
		Parts: func(n int) {
			b = all.AddBar(int64(n), mpb.BarRemoveOnComplete(),
				mpb.PrependDecorators(decor.CountersNoUnit("%d of %d parts ")),
				mpb.AppendDecorators(decor.Any(func(decor.Statistics) string { return name })))
		},
		Part: func(s worker.Step) {
			name = s.Name
			if s.Err != nil {
				fmt.Fprintln(all, outcome(s))
			}
			b.Increment()
		},
	}
	return progress, func() {
		once.Do(func() {
			if b != nil {
				b.Abort(true)
			}
			all.Wait()
		})
	}
}
