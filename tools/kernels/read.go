package main

import (
	"fmt"

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

// reader is what the way from enthalpy to temperature needs in registers.
type reader struct {
	out, a, b, n, i reg.Register
	from, to, inv   reg.VecVirtual
}

// read writes the way from enthalpy to temperature along an arc. Nothing is fused, since the plain loop, which does
// the short stretches, must give the same bits.
//
// An arc of one node is a straight line and has a loop of its own. On others each cell's node is one load of both its
// numbers, which are then sorted into temperatures and rises: half the loads of two gathers, and measured at 0.5 to
// 0.6 of their time.
func read() {
	TEXT("readAVX2", attr.NOSPLIT, "func(out, a, b *float64, n int, arc *Arc) int")
	doc("readAVX2 is read over n cells.")
	Pragma("noescape")
	r := reader{
		out: Load(Param("out"), GP64()), a: Load(Param("a"), GP64()), b: Load(Param("b"), GP64()),
		n: Load(Param("n"), GP64()), i: GP64(),
	}
	arc := Dereference(Param("arc"))
	field := func(name string) reg.VecVirtual { return everywhere(arc.Field(name)) }
	r.from, r.to, r.inv = field("From"), field("To"), field("Inv")
	nodes := Load(arc.Field("Nodes").Base(), GP64())
	last := Load(arc.Field("Nodes").Len(), GP64()).(reg.GPVirtual)
	XORQ(r.i, r.i)
	DECQ(last)
	JNZ(operand.LabelRef("many"))

	start, rise := YMM(), YMM()
	VBROADCASTSD(at(nodes, 0), start)
	VBROADCASTSD(at(nodes, 8), rise)
	r.loops("straight", 4, func(x reg.VecVirtual) {
		VMULPD(rise, x, x)
		VADDPD(start, x, x)
	})

	Label("many")
	most := XMM()
	VMOVD(last.As32(), most)
	VPBROADCASTD(most, most)
	r.loops("bent", 2, func(x reg.VecVirtual) {
		k, whole := XMM(), YMM()
		Comment("What is no whole number comes as one with the highest bit, which without a sign is beyond all nodes.")
		VCVTTPD2DQY(x, k)
		VPMINUD(most, k, k)
		VCVTDQ2PD(k, whole)
		VSUBPD(whole, x, x)
		start, rise := YMM(), YMM()
		VPADDD(k, k, k) // two doubles a node
		two, four := GP64(), GP64()
		VMOVQ(k, two)
		VPEXTRQ(operand.U8(1), k, four)
		node := func(both reg.GPVirtual, high bool) operand.Mem {
			if high {
				SHRQ(operand.U8(32), both)
				return by(nodes, both, 8, 0)
			}
			one := GP64()
			MOVL(both.As32(), one.As32())
			return by(nodes, one, 8, 0)
		}
		even, odd := YMM(), YMM()
		VBROADCASTF128(node(two, false), even)
		VINSERTF128(operand.U8(1), node(four, false), even, even)
		VBROADCASTF128(node(two, true), odd)
		VINSERTF128(operand.U8(1), node(four, true), odd, odd)
		VUNPCKLPD(odd, even, start)
		VUNPCKHPD(odd, even, rise)
		VMULPD(rise, x, x)
		VADDPD(start, x, x)
	})
}

// loops writes the loops over cells and the return: blocks of four cells together while all are on the arc, then four
// at a time, then what is left or holds a cell beside the arc, under a mask. Onward turns x into temperatures.
func (r *reader) loops(name string, blocks int, onward func(x reg.VecVirtual)) {
	label := func(of string) string { return name + of }
	cells := func(base reg.Register, block int) operand.Mem { return by(base, r.i, 8, 32*block) }
	for _, many := range []int{blocks, 1} {
		here, next := label(fmt.Sprint("By", 4*many)), label("Fours")
		if many == 1 {
			next = label("Rest")
		}
		end := GP64()
		MOVQ(r.n, end)
		SUBQ(operand.I8(4*many), end)
		CMPQ(r.i, end)
		JG(operand.LabelRef(next))
		Label(here)
		h, inside := make([]reg.VecVirtual, many), YMM()
		for block := range h {
			h[block] = YMM()
			VMOVUPD(cells(r.a, block), h[block])
			VADDPD(cells(r.b, block), h[block], h[block])
			if block == 0 {
				r.inside(h[0], inside)
				continue
			}
			also := YMM()
			r.inside(h[block], also)
			VANDPD(also, inside, inside)
		}
		all := GP32()
		VMOVMSKPD(inside, all)
		CMPL(all, operand.U8(15))
		JNE(operand.LabelRef(label("Rest")))
		for block := range h {
			r.along(h[block])
			onward(h[block])
			VMOVUPD(h[block], cells(r.out, block))
		}
		ADDQ(operand.I8(4*many), r.i)
		CMPQ(r.i, end)
		JLE(operand.LabelRef(here))
		if many > 1 {
			Label(next)
		}
	}

	Label(label("Rest"))
	left, four, done := GP64(), GP64(), GP64()
	MOVQ(r.n, left)
	SUBQ(r.i, left)
	JZ(operand.LabelRef(label("Done")))
	MOVQ(operand.U32(4), four)
	CMPQ(left, four)
	CMOVQGT(four, left)
	MOVQ(left, done)
	NEGQ(done)
	l := leading(done)
	h := YMM()
	l.load(cells(r.a, 0), h)
	VADDPD(l.double(cells(r.b, 0)), h, h)
	Comment("The first cell beside the arc, four where there is none.")
	inside, beside := YMM(), GP64()
	r.inside(h, inside)
	VMOVMSKPD(inside, beside.As32())
	XORL(operand.I8(15), beside.As32())
	ORL(operand.I8(16), beside.As32())
	BSFQ(beside, done)
	CMPQ(done, left)
	CMOVQGT(left, done)
	r.along(h)
	onward(h)
	NEGQ(done)
	leading(done).store(h, cells(r.out, 0))
	SUBQ(done, r.i)
	ADDQ(left, done)
	JZ(operand.LabelRef(label("Rest")))
	Label(label("Done"))
	VZEROUPPER()
	Store(r.i, ReturnIndex(0))
	RET()
}

// inside writes all ones where h is on the arc.
func (r *reader) inside(h, inside reg.VecVirtual) {
	high := YMM()
	VCMPPD(notBelow, r.from, h, inside)
	VCMPPD(below, r.to, h, high)
	VANDPD(high, inside, inside)
}

// along turns h into x.
func (r *reader) along(h reg.VecVirtual) {
	VSUBPD(r.from, h, h)
	VMULPD(r.inv, h, h)
}
