//go:build !linux

package cli

// largePages asks for nothing: how to ask for large pages is known on Linux alone.
func largePages() {}
