package main

import (
	"math"
	"os"
	"runtime/debug"
	"syscall"
	"unsafe"
)

// largePages returns n numbers in large pages where the system gives them, as the product asks for its own memory.
func largePages(n int) []float64 {
	const page = 2 << 20
	room := make([]float64, n+2*page/8)
	first := int(-uintptr(unsafe.Pointer(&room[0]))&(page-1)) / 8
	room = room[first:]
	b := unsafe.Slice((*byte)(unsafe.Pointer(&room[0])), len(room)*8&^(page-1))
	_ = syscall.Madvise(b, 14) // MADV_HUGEPAGE: a wish; its failure changes nothing
	return room[:n]
}

// forgetMemory gives this program's memory back and has the system forget its peak. A program that is started takes
// over the peak of the one that starts it, and would state that as its own where it is the larger.
func forgetMemory() {
	debug.FreeOSMemory()
	_ = os.WriteFile("/proc/self/clear_refs", []byte("5"), 0) // where it may not, the tables show too much memory, never too little
}

// peakOf is the largest memory that a program took, in bytes.
func peakOf(s *os.ProcessState) float64 {
	u, ok := s.SysUsage().(*syscall.Rusage)
	if !ok {
		return math.NaN()
	}
	return 1024 * float64(u.Maxrss)
}
