// The generator of the vector twins in kernel/. It is a module of its own, so that its library is in no other's go.mod.
module emberbank/tools/kernels

go 1.26.0

require github.com/mmcloughlin/avo v0.5.0

require (
	golang.org/x/mod v0.41.0 // indirect
	golang.org/x/sync v0.23.0 // indirect
	golang.org/x/tools v0.51.0 // indirect
)
