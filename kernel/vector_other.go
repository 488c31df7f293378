//go:build !amd64

package kernel

// twins returns the vector twins: there are none for this platform.
func twins() []*Set { return nil }
