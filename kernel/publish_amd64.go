//go:build !race

package kernel

import (
	"sync/atomic"
	"unsafe"
)

// publishAMD64 takes an atomic number for what it holds.
var _ [8]byte = [unsafe.Sizeof(atomic.Uint64{})]byte{}

// Publish stores v where others load it: whoever sees it there sees all that was written before. Other than by Store, the
// processor need not wait until that has left it, nor hold back what comes after.
func Publish(at *atomic.Uint64, v uint64) { publishAMD64((*uint64)(unsafe.Pointer(at)), v) }
