// The measuring of speed. It is a module of its own, so that what reads profiles is in no other's go.mod; its
// yardstick is the product's own triad.
module emberbank/tools/speed

go 1.26.0

require (
	emberbank v0.0.0
	github.com/google/pprof v0.0.0-20261105003125-4bf881d7fb0b
)

require golang.org/x/sys v0.50.0 // indirect

replace emberbank => ../..
