//go:build unix

package press_test

import (
	"syscall"
	"time"
)

// worked is the processor's time that this program has taken, which hangs less on who else works on the machine than the clock does.
func worked() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
