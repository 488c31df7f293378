//go:build !linux

// Package pages does nothing on this system: how to ask for large pages is known on Linux alone, see pages_linux.go.
package pages

// ForARun asks for nothing.
func ForARun() {}
