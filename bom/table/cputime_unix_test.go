//go:build unix

package table

import (
	"syscall"
	"testing"
	"time"
)

// cpuTime is what the process has taken of the processors, which other work on
// the machine does not change.
func cpuTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	must(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
