package main

import (
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
