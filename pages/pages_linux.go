// Package pages has memory come in large pages, where the system gives them to those who ask: otherwise each 4 kB cost a page
// fault when they are first touched. Where the wish is not granted nothing changes.
//
// What packages lay when they are initialised, some 2 MB in all, comes so by this package's own initialisation, which is early,
// since it needs little but the system's calls.
//
// Measured on a virtual machine (two cores of an AMD EPYC, Linux 6.18) on which a fault costs 12 µs: 1092 faults before a command
// begins without it, 829 with it, 35.7 and 33.6 ms.
package pages

import (
	"syscall"
	"unsafe"
)

const (
	large    = 2 << 20 // bytes, of a large page
	grown    = 4 << 20 // bytes by which the heap grows, and to a multiple of which it is aligned
	collapse = 25      // MADV_COLLAPSE, Linux 6.1: make what is there a large page now
)

var somewhere = new([64]byte) // in the heap

func init() {
	at := uintptr(unsafe.Pointer(somewhere))
	_, _, _ = syscall.Syscall(syscall.SYS_MADVISE, at&^(grown-1), grown, syscall.MADV_HUGEPAGE)
	_, _, _ = syscall.Syscall(syscall.SYS_MADVISE, at&^(large-1), large, collapse)
}
