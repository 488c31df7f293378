//go:build !race

package kernel

import (
	"sync/atomic"
	"unsafe"
)

// Publish stores v where others load it: whoever sees it there sees all that was written before. Other than by Store, the
// processor need not wait until that has left it, nor hold back what comes after.
func Publish(at *atomic.Uint64, v uint64) { publishAMD64((*uint64)(unsafe.Pointer(at)), v) }
