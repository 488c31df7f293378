//go:build unix

package cli

import (
	"bytes"
	"os"
	"runtime"
	"strconv"
	"syscall"

	"emberbank/account"
)

// statusFile tells on Linux, among other things, a process's largest memory so far.
const statusFile = "/proc/self/status"

// usage returns what the run took: its wall time, and the process's processor time and largest memory so far. On Linux
// getrusage counts the peak of the program that started this one as this one's; the status file does not.
func usage(wall float64, threads int) account.Performance {
	p := account.Performance{Wall: wall, Threads: threads}
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
	if status, err := os.ReadFile(statusFile); err == nil {
		if peak, ok := peakIn(status); ok {
			p.PeakMemory = peak
		}
	}
	return p
}

// peakIn finds the largest resident memory, in bytes, in a status file of Linux: the line "VmHWM: 1234 kB", whose kB
// are KiB. It answers false where there is no such line.
//
// Source: Linux manual pages, proc_pid_status(5), VmHWM (from memory).
func peakIn(status []byte) (int64, bool) {
	for line := range bytes.Lines(status) {
		fields := bytes.Fields(line)
		if len(fields) != 3 || string(fields[0]) != "VmHWM:" || string(fields[2]) != "kB" {
			continue
		}
		n, err := strconv.ParseInt(string(fields[1]), 10, 64)
		return n << 10, err == nil && n > 0
	}
	return 0, false
}
