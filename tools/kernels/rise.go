package main

import (
	"github.com/mmcloughlin/avo/attr"
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// rise writes out = base + slope d, with the slopes in single precision.
func rise() {
	TEXT("riseAVX2", attr.NOSPLIT, "func(out, base, d *float64, slope *float32, n int)")
	doc("riseAVX2 is rise over n entries.")
	Pragma("noescape")
	out, base, d := Load(Param("out"), GP64()), Load(Param("base"), GP64()), Load(Param("d"), GP64())
	slope := Load(Param("slope"), GP64())
	count := Load(Param("n"), GP64())
	for _, p := range []reg.Register{out, base, d} {
		LEAQ(by(p, count, 8, 0), p)
	}
	LEAQ(by(slope, count, 4, 0), slope)
	NEGQ(count)
	four := func(l lanes, offset int) {
		s, v := l.widened(by(slope, count, 4, 4*offset)), YMM()
		VMULPD(l.operand(by(d, count, 8, 8*offset)), s, v)
		VADDPD(l.operand(by(base, count, 8, 8*offset)), v, v)
		l.store(v, by(out, count, 8, 8*offset))
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
	four(tail(count), 0)

	Label("done")
	VZEROUPPER()
	RET()
}
