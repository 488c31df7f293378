package pages

import (
	"syscall"
	"unsafe"
)

const (
	grown    = 4 << 20 // bytes by which the heap grows, and to a multiple of which its parts are aligned
	laid     = 5 << 19 // bytes that other packages lay, and some more
	filler   = 1 << 18 // bytes
	collapse = 25      // MADV_COLLAPSE, Linux 6.1: make what is there a large page now
)

var (
	somewhere = new([64]byte) // in the heap
	fill      []byte
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
	for range laid/filler + 1 {
		fill = make([]byte, filler)
		if at := uintptr(unsafe.Pointer(&fill[0])); at >= end {
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

// gather makes a large page now of what is touched already of the one that holds at; it may fail, as where nothing is.
func gather(at uintptr) {
	_, _, _ = syscall.Syscall(syscall.SYS_MADVISE, at&^(Large-1), Large, collapse)
}
