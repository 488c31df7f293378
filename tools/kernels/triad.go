package main

import (
	"github.com/mmcloughlin/avo/attr"
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// triad writes the yardstick, with ordinary stores as the other loops have them.
func triad() {
	TEXT("triadAVX2", attr.NOSPLIT, "func(a, b, c *float64, n int, s float64)")
	doc("triadAVX2 is triad over n entries.")
	Pragma("noescape")
	a, b, c := Load(Param("a"), GP64()), Load(Param("b"), GP64()), Load(Param("c"), GP64())
	count := Load(Param("n"), GP64())
	for _, p := range []reg.Register{a, b, c} {
		LEAQ(by(p, count, 8, 0), p)
	}
	NEGQ(count)
	s := everywhere(Param("s"), YMM)
	four := func(l lanes, offset int) {
		v := YMM()
		VMULPD(l.operand(by(c, count, 8, 8*offset)), s, v)
		VADDPD(l.operand(by(b, count, 8, 8*offset)), v, v)
		l.store(v, by(a, count, 8, 8*offset))
	}

	const blocks = 4
	ADDQ(operand.I8(4*blocks), count)
	JG(operand.LabelRef("fours"))
	Label("sixteens")
	for i := range blocks {
		four(lanes{}, 4*(i-blocks))
	}
	ADDQ(operand.I8(4*blocks), count)
	JLE(operand.LabelRef("sixteens"))

	Label("fours")
	SUBQ(operand.I8(4*blocks-4), count)
	JG(operand.LabelRef("rest"))
	Label("four")
	four(lanes{}, -4)
	ADDQ(operand.I8(4), count)
	JLE(operand.LabelRef("four"))

	Label("rest")
	SUBQ(operand.I8(4), count)
	JGE(operand.LabelRef("done"))
	four(leading(count), 0)

	Label("done")
	VZEROUPPER()
	RET()
}
