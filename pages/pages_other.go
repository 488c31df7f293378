//go:build !linux

package pages

// How to ask for large pages is known on Linux alone.
func ask(from, bytes uintptr) bool { return false }

func gather(uintptr) {}
