//go:build !linux

package main

// largePages returns n numbers; only Linux is asked for large pages.
func largePages(n int) []float64 { return make([]float64, n) }
