package main

import (
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// fours writes a loop over count entries, a multiple of four: so many blocks of four in a turn, then four at a time. Every
// block goes through the same instructions. It moves the pointers, to doubles and to floats, to their ends and counts from
// there.
func fours(count reg.Register, blocks int, doubles, floats []reg.Register, block func(offset, turn int)) {
	for _, p := range doubles {
		LEAQ(by(p, count, 8, 0), p)
	}
	for _, p := range floats {
		LEAQ(by(p, count, 4, 0), p)
	}
	NEGQ(count)
	ADDQ(operand.I8(4*blocks), count)
	JG(operand.LabelRef("fours"))
	Label("many")
	for i := range blocks {
		block(4*(i-blocks), i)
	}
	ADDQ(operand.I8(4*blocks), count)
	JLE(operand.LabelRef("many"))

	Label("fours")
	SUBQ(operand.I8(4*blocks-4), count)
	JG(operand.LabelRef("done"))
	Label("four")
	block(-4, 0)
	ADDQ(operand.I8(4), count)
	JLE(operand.LabelRef("four"))
	Label("done")
}

// pointers loads parameters that are pointers.
func pointers(names ...string) []reg.Register {
	var all []reg.Register
	for _, name := range names {
		all = append(all, Load(Param(name), GP64()))
	}
	return all
}

// unsigned returns all ones but the sign's bit in each lane.
func unsigned() reg.VecVirtual {
	v := YMM()
	VPCMPEQQ(v, v, v)
	VPSRLQ(operand.U8(1), v, v)
	return v
}

// Comparisons that are false where one side is not a number, and raise nothing.
const (
	atMost = operand.U8(0x12)
	above  = operand.U8(0x1e)
	under  = operand.U8(0x11)

	notUnder = operand.U8(0x15) // true where one side is not a number
)
