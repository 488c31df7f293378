package main

import (
	"github.com/mmcloughlin/avo/attr"
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// discrepancy writes the sum of the squared error: 16 partial sums, cell c adding to the sum c modulo 16, but the
// last cells that fill no 16 to the first four.
func discrepancy() {
	TEXT("discrepancyAVX2", attr.NOSPLIT, "func(y0, y1, f0, f1, v *float64, n int, a, b float64) float64")
	doc("discrepancyAVX2 returns Σ v e² over n cells, e = a (y0 - y1) + b (f0 + f1).")
	Pragma("noescape")
	load := func(name string) reg.Register { return Load(Param(name), GP64()) }
	y0, y1, f0, f1, v, count := load("y0"), load("y1"), load("f0"), load("f1"), load("v"), load("n")
	for _, p := range []reg.Register{y0, y1, f0, f1, v} {
		LEAQ(by(p, count, 8, 0), p)
	}
	NEGQ(count)
	a, b := everywhere(Param("a")), everywhere(Param("b"))

	const blocks = 4
	var sum [blocks]reg.VecVirtual
	for i := range sum {
		sum[i] = YMM()
		VXORPD(sum[i], sum[i], sum[i])
	}
	block := func(l lanes, offset int, sum reg.VecVirtual) {
		cell := func(p reg.Register) operand.Mem { return by(p, count, 8, 8*offset) }
		e, f := YMM(), YMM()
		l.load(cell(y0), e)
		VSUBPD(l.double(cell(y1)), e, e)
		l.load(cell(f0), f)
		VADDPD(l.double(cell(f1)), f, f)
		VMULPD(a, e, e)
		VFMADD231PD(f, b, e)
		VMULPD(e, e, e)
		VFMADD231PD(l.double(cell(v)), e, sum)
	}

	ADDQ(operand.I8(4*blocks), count)
	JG(operand.LabelRef("fours"))
	Label("sixteens")
	for i := range sum {
		block(lanes{}, 4*(i-blocks), sum[i])
	}
	ADDQ(operand.I8(4*blocks), count)
	JLE(operand.LabelRef("sixteens"))

	Label("fours")
	SUBQ(operand.I8(4*blocks-4), count)
	JG(operand.LabelRef("rest"))
	Label("four")
	block(lanes{}, -4, sum[0])
	ADDQ(operand.I8(4), count)
	JLE(operand.LabelRef("four"))

	Label("rest")
	SUBQ(operand.I8(4), count)
	JGE(operand.LabelRef("add"))
	block(tail(count), 0, sum[0])

	Label("add")
	VADDPD(sum[1], sum[0], sum[0])
	VADDPD(sum[3], sum[2], sum[2])
	VADDPD(sum[2], sum[0], sum[0])
	low, high := sum[0].AsX(), XMM()
	VEXTRACTF128(operand.U8(1), sum[0], high)
	VADDPD(high, low, low)
	VPERMILPD(operand.U8(1), low, high)
	VADDSD(high, low, low)
	VZEROUPPER()
	Store(low, ReturnIndex(0))
	RET()
}
