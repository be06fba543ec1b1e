package table

import (
	"syscall"
	"testing"
	"time"
)

// cpuTime is what the process has taken of the processors, which other work on
// the machine does not change.
func cpuTime(b *testing.B) time.Duration {
	process, err := syscall.GetCurrentProcess()
	must(b, err)
	var created, ended, kernel, user syscall.Filetime
	must(b, syscall.GetProcessTimes(process, &created, &ended, &kernel, &user))
	ticks := int64(kernel.HighDateTime)<<32 + int64(kernel.LowDateTime) + int64(user.HighDateTime)<<32 + int64(user.LowDateTime)
	return time.Duration(ticks * 100) // a tick is 100 ns
}
