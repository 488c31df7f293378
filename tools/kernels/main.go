// Kernels writes the vector twins of the loops in package kernel: assembly for amd64 with AVX2 and FMA,
// and of a stage's loops with AVX-512.
//
// It reads the layout of kernel.Sweep and kernel.Curve from the package itself, so that a changed field moves the
// loads with it. Every block of four or eight cells, and what is left of one, goes through the same instructions; the
// remainder only loads and stores under a mask. A cell's bits are therefore the same wherever it stands.
//
// What it writes is copied into place only when it is whole, by make kernels:
//
//	go run . -out ../../build/_kernels/twins_amd64.s -stubs ../../build/_kernels/twins_amd64.go -pkg kernel
package main

import (
	"log"
	"os"
	"strings"

	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/gotypes"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

func main() {
	load()
	masks()
	masks512()
	// A stage is bound by its loads, two in a cycle, and gains by neighbours that are put together at the cost of two shuffles; with
	// AVX2 flow, with four loads less, measured slower so. Neither gained from more cells in a turn or from prefetching.
	const checked = "for cells from..to, which the caller has checked against the slices."
	stencil("flowAVX2", "flowAVX2 is flow "+checked, lanes{}, false, false)
	stencil("stageAVX2", "stageAVX2 is stage "+checked, lanes{}, true, true)
	stencil("flowAVX512", "flowAVX512 is flow "+checked, whole8, false, true)
	stencil("stageAVX512", "stageAVX512 is stage "+checked, whole8, true, true)
	read()
	rise()
	lines512()
	rise512()
	within()
	misses()
	sums()
	pull()
	glow()
	link()
	triad()
	publish()
	Generate()
}

// load reads package kernel from the product's module, two folders up. It looks at it as a platform without twins
// builds it, so that what this program writes is no condition for running it.
func load() {
	arch, had := os.LookupEnv("GOARCH")
	check(os.Setenv("GOARCH", "arm64"))
	check(os.Chdir("../.."))
	Package("emberbank/kernel")
	check(os.Chdir("tools/kernels"))
	if had {
		check(os.Setenv("GOARCH", arch))
	} else {
		check(os.Unsetenv("GOARCH"))
	}
}

func check(err error) {
	if err != nil {
		log.Fatalf("writing kernels: %v", err)
	}
}

// doc breaks a comment into lines.
func doc(text string) {
	const width = 110
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > width {
			lines = append(lines, line)
			line = ""
		}
		line = strings.TrimSpace(line + " " + word)
	}
	Doc(append(lines, line)...)
}

// at is memory at base plus an offset in bytes.
func at(base reg.Register, offset int) operand.Mem { return operand.Mem{Base: base, Disp: offset} }

// by is memory at base plus index times scale plus an offset in bytes.
func by(base, index reg.Register, scale uint8, offset int) operand.Mem {
	return operand.Mem{Base: base, Index: index, Scale: scale, Disp: offset}
}

// pointer loads the address of a slice's entry, its number in a register, with entries of size bytes.
func pointer(slice gotypes.Component, entry reg.Register, size uint8) reg.GPVirtual {
	p := Load(slice.Base(), GP64()).(reg.GPVirtual)
	LEAQ(by(p, entry, size, 0), p)
	return p
}

// everywhere loads one double into all lanes.
func everywhere(value gotypes.Component, lanes func() reg.VecVirtual) reg.VecVirtual {
	a, err := value.Resolve()
	check(err)
	v := lanes()
	VBROADCASTSD(a.Addr, v)
	return v
}
