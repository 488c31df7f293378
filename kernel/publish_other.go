//go:build !amd64 || race

package kernel

import "sync/atomic"

// Publish stores v where others load it: whoever sees it there sees all that was written before.
func Publish(at *atomic.Uint64, v uint64) { at.Store(v) }
