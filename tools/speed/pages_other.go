//go:build !linux

package main

import (
	"math"
	"os"
	"runtime/debug"
)

// largePages returns n numbers; only Linux is asked for large pages.
func largePages(n int) []float64 { return make([]float64, n) }

// forgetMemory gives this program's memory back.
func forgetMemory() { debug.FreeOSMemory() }

// peakOf is the largest memory that a program took; it is known on Linux only.
func peakOf(*os.ProcessState) float64 { return math.NaN() }
