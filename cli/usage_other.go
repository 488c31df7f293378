//go:build !unix

package cli

import (
	"runtime"

	"emberbank/account"
)

// usage returns what the run took: its wall time, and the memory that Go has got from the system, which is the
// largest it has used up to small change. Processor time is not known here.
func usage(wall float64, threads int) account.Performance {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return account.Performance{Wall: wall, Threads: threads, PeakMemory: int64(m.Sys)}
}
