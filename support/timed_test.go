package support_test

import "time"

// timed returns how long f takes, in nanoseconds.
func timed(f func()) int64 {
	start := time.Now()
	f()
	return time.Since(start).Nanoseconds()
}
