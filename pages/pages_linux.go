package pages

import (
	"syscall"
	"unsafe"
)

const (
	known    = true
	laid     = 5 << 18 // bytes: most of what other packages lay
	filler   = 1 << 18 // bytes
	collapse = 25      // MADV_COLLAPSE, Linux 6.1: make what is there a large page now
)

// Both are kept: what was free above the end of the heap would be cleared, all of it, for the next one who asks for much.
var (
	somewhere = new([64]byte) // in the heap
	fill      [laid/filler + 1][]byte
)

// The heap begins anywhere in its first part. Where little of that is left, it is passed over, untouched, and the next one asked for.
func init() {
	at := uintptr(unsafe.Pointer(somewhere))
	end := at&^(grown-1) + grown
	ask(end-grown, grown)
	gather(at)
	if end-at >= laid {
		return
	}
	for i := range fill {
		fill[i] = make([]byte, filler)
		if at := uintptr(unsafe.Pointer(&fill[i][0])); at >= end {
			ask(at&^(grown-1), grown)
			return
		}
	}
}

// ask has the pages of so many bytes be large once they are touched.
func ask(from, bytes uintptr) bool {
	_, _, failed := syscall.Syscall(syscall.SYS_MADVISE, from, bytes, syscall.MADV_HUGEPAGE)
	return failed == 0
}

// gather makes a large page now of what is touched already of the one that holds at. It tells whether it could.
func gather(at uintptr) bool {
	_, _, failed := syscall.Syscall(syscall.SYS_MADVISE, at&^(Large-1), Large, collapse)
	return failed == 0
}
