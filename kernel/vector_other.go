//go:build !amd64

package kernel

// vector returns the vector twins: there are none for this platform.
func vector() *Set { return nil }
