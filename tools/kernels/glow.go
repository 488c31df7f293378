package main

import (
	"math"

	"github.com/mmcloughlin/avo/attr"
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// glow writes the temperatures of faces that radiate. Each lane keeps what it has once it is found, so that a face's bits do not hang on
// who is beside it.
func glow() {
	TEXT("glowAVX2", attr.NOSPLIT, "func(x, lost, s, half, area *float64, n int, to *Glow)")
	doc("glowAVX2 is glow over n entries, a multiple of four and above none.")
	Pragma("noescape")
	p := pointers("x", "lost", "s", "half", "area")
	count := Load(Param("n"), GP64())
	to := Dereference(Param("to"))
	air, sky := everywhere(to.Field("Air"), YMM), everywhere(to.Field("Sky"), YMM)
	coldest, settled, four, size := number(1), number(3e-5), number(4), unsigned()
	for _, v := range p {
		LEAQ(by(v, count, 8, 0), v)
	}
	NEGQ(count)
	Label("four")
	x, g, hA, eA := YMM(), YMM(), YMM(), YMM()
	VMOVUPD(by(p[0], count, 8, 0), x)
	VMOVUPD(by(p[3], count, 8, 0), g)
	VMULPD(by(p[4], count, 8, 0), everywhere(to.Field("H"), YMM), hA)
	VMULPD(by(p[4], count, 8, 0), everywhere(to.Field("E"), YMM), eA)
	left := GP64()
	MOVQ(operand.U32(50), left)
	moves := YMM() // all ones in lanes that still move
	VPCMPEQQ(moves, moves, moves)
	Label("turn")
	{
		cube, off, part, slope := YMM(), YMM(), YMM(), YMM()
		VMULPD(x, x, cube)
		VMULPD(x, cube, cube)
		VMULPD(x, g, off)
		VSUBPD(air, x, part)
		VMULPD(part, hA, part)
		VADDPD(part, off, off)
		VMULPD(x, cube, part)
		VSUBPD(sky, part, part)
		VMULPD(part, eA, part)
		VADDPD(part, off, off)
		VSUBPD(by(p[2], count, 8, 0), off, off)
		VMULPD(eA, four, slope)
		VMULPD(cube, slope, slope)
		VADDPD(hA, g, part)
		VADDPD(slope, part, slope)
		VDIVPD(slope, off, off)
		VSUBPD(off, x, part)
		Comment("Where it is no number, the second operand, here written first, stays.")
		VMAXPD(part, coldest, part)
		VBLENDVPD(moves, part, x, x)
		VANDPD(size, off, off)
		VMULPD(part, settled, part)
		Comment("What is no number moves on to the last turn.")
		VCMPPD(notUnder, part, off, part)
		VANDPD(part, moves, moves)
		some := GP32()
		VMOVMSKPD(moves, some)
		TESTL(some, some)
		JZ(operand.LabelRef("found"))
		DECQ(left)
		JNZ(operand.LabelRef("turn"))
	}
	Label("found")
	lost, part := YMM(), YMM()
	VMOVUPD(x, by(p[0], count, 8, 0))
	VMULPD(x, x, lost)
	VMULPD(x, lost, lost)
	VMULPD(x, lost, lost)
	VSUBPD(sky, lost, lost)
	VMULPD(lost, eA, lost)
	VSUBPD(air, x, part)
	VMULPD(part, hA, part)
	VADDPD(lost, part, lost)
	VMOVUPD(lost, by(p[1], count, 8, 0))
	ADDQ(operand.I8(4), count)
	JL(operand.LabelRef("four"))
	VZEROUPPER()
	RET()
}

// number is a constant in each lane.
func number(v float64) reg.VecVirtual {
	bits, lanes := GP64(), YMM()
	MOVQ(operand.U64(math.Float64bits(v)), bits)
	VMOVQ(bits, lanes.AsX())
	VBROADCASTSD(lanes.AsX(), lanes)
	return lanes
}
