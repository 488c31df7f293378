package main

import (
	"github.com/mmcloughlin/avo/attr"
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// Comparisons that are false where one side is not a number, and raise nothing.
const (
	notBelow = operand.U8(0x1d)
	below    = operand.U8(0x11)
)

// read writes the way from enthalpy to temperature: eight cells at a time while all are inside the piece, then one at
// a time up to the first that is not.
func read() {
	TEXT("readAVX2", attr.NOSPLIT, "func(out, in *float64, n int, p *Piece) int")
	doc("readAVX2 is read over n cells.")
	Pragma("noescape")
	out := Load(Param("out"), GP64())
	in := Load(Param("in"), GP64())
	n := Load(Param("n"), GP64())
	p := Dereference(Param("p"))
	field := func(name string) reg.VecVirtual { return everywhere(p.Field(name)) }
	from, to, start, slope := field("From"), field("To"), field("At"), field("Slope")

	i := GP64()
	XORQ(i, i)
	last := GP64()
	MOVQ(n, last)
	SUBQ(operand.I8(8), last)
	JL(operand.LabelRef("ones"))
	Label("eights")
	{
		const blocks = 2
		var h [blocks]reg.VecVirtual
		var inside reg.VecVirtual
		for b := range h {
			h[b] = YMM()
			low, high := YMM(), YMM()
			VMOVUPD(by(in, i, 8, 32*b), h[b])
			VCMPPD(notBelow, from, h[b], low)
			VCMPPD(below, to, h[b], high)
			VANDPD(high, low, low)
			if inside == nil {
				inside = low
			} else {
				VANDPD(low, inside, inside)
			}
		}
		all := GP32()
		VMOVMSKPD(inside, all)
		CMPL(all, operand.U8(15))
		JNE(operand.LabelRef("ones"))
		for b := range h {
			t := YMM()
			VSUBPD(from, h[b], t)
			VFMADD213PD(start, slope, t)
			VMOVUPD(t, by(out, i, 8, 32*b))
		}
		ADDQ(operand.I8(4*blocks), i)
		CMPQ(i, last)
		JLE(operand.LabelRef("eights"))
	}

	Label("ones")
	CMPQ(i, n)
	JGE(operand.LabelRef("done"))
	h := XMM()
	VMOVSD(by(in, i, 8, 0), h)
	Comment("Carry is set where h is below From, or either is not a number.")
	VUCOMISD(from.AsX(), h)
	JCS(operand.LabelRef("done"))
	Comment("Carry is set where To is above h; both are numbers here unless To is not.")
	VUCOMISD(to.AsX(), h)
	JCC(operand.LabelRef("done"))
	JPS(operand.LabelRef("done"))
	t := XMM()
	VSUBSD(from.AsX(), h, t)
	VFMADD213SD(start.AsX(), slope.AsX(), t)
	VMOVSD(t, by(out, i, 8, 0))
	INCQ(i)
	JMP(operand.LabelRef("ones"))

	Label("done")
	VZEROUPPER()
	Store(i, ReturnIndex(0))
	RET()
}
