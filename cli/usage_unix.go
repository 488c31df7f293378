//go:build unix

package cli

import (
	"runtime"
	"syscall"

	"emberbank/dossier"
)

// usage returns what the run took: its wall time, and the process's processor time and largest memory so far.
func usage(wall float64, threads int) dossier.Performance {
	p := dossier.Performance{Wall: wall, Threads: threads}
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return p
	}
	seconds := func(t syscall.Timeval) float64 { return float64(t.Sec) + 1e-6*float64(t.Usec) }
	p.CPU = seconds(u.Utime) + seconds(u.Stime)
	p.PeakMemory = int64(u.Maxrss) // bytes on macOS, KiB elsewhere
	if runtime.GOOS != "darwin" && runtime.GOOS != "ios" {
		p.PeakMemory *= 1024
	}
	return p
}
