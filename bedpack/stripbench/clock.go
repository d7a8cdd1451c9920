package main

import (
	"syscall"
	"time"
)

// clock returns a clock: of the wall or, with cpu, of the processor time that
// the process has used, shared between the searches. On an idle machine with
// a processor for each search the two agree.
func clock(cpu bool) func() time.Duration {
	began := time.Now()
	if !cpu {
		return func() time.Duration { return time.Since(began) }
	}
	return func() time.Duration {
		var u syscall.Rusage
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
			return time.Since(began)
		}
		return time.Duration(u.Utime.Nano()+u.Stime.Nano()) / searches
	}
}
