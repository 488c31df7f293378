//go:build !linux

package main

import "runtime/debug"

// largePages returns n numbers; only Linux is asked for large pages.
func largePages(n int) []float64 { return make([]float64, n) }

// forgetMemory gives this program's memory back.
func forgetMemory() { debug.FreeOSMemory() }
