package main

import (
	"github.com/mmcloughlin/avo/attr"
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// Blocks of eight cells, and the loops over them, for processors with AVX-512. Every cell goes through the operations of the loops
// for AVX2 in their order, so that its bits are the same.

// eight says which cells of a block of eight are wanted: all, or, with a mask, its first. What is not wanted is neither
// read nor written, and is zero in a register.
type eight struct{ mask reg.OpmaskVirtual }

var few operand.Mem

// masks512 writes a table of masks for the first seven cells down to the first one.
func masks512() {
	few = GLOBL("few", attr.RODATA|attr.NOPTR)
	for n := 7; n > 0; n-- {
		DATA(7-n, operand.U8(uint8(1<<n-1)))
	}
}

// lastOf returns the last cells of a stretch: count holds minus their number, one to seven.
func lastOf(count reg.Register) eight {
	mask, table := K(), GP64()
	LEAQ(few, table)
	KMOVB(by(table, count, 1, 7), mask)
	return eight{mask}
}

func (eight) cells() int                    { return 8 }
func (eight) register() reg.VecVirtual      { return ZMM() }
func (eight) clear(v reg.VecVirtual)        { VPXORQ(v, v, v) }
func (eight) rest(count reg.Register) block { return lastOf(count) }

func (eight) follow(x, next, out reg.VecVirtual) { VALIGNQ(operand.U8(1), x, next, out) }
func (eight) lag(before, x, out reg.VecVirtual)  { VALIGNQ(operand.U8(7), before, x, out) }

func (e eight) load(m operand.Mem, v reg.VecVirtual) {
	if e.mask == nil {
		VMOVUPD(m, v)
	} else {
		VMOVUPD_Z(m, e.mask, v)
	}
}

// operand returns eight doubles as an operand: memory itself, or a register where a mask hides some.
func (e eight) operand(m operand.Mem) operand.Op {
	if e.mask == nil {
		return m
	}
	v := ZMM()
	e.load(m, v)
	return v
}

// widened returns eight floats as doubles.
func (e eight) widened(m operand.Mem) reg.VecVirtual {
	v := ZMM()
	if e.mask == nil {
		VCVTPS2PD(m, v)
	} else {
		VCVTPS2PD_Z(m, e.mask, v)
	}
	return v
}

func (e eight) store(v reg.VecVirtual, m operand.Mem) {
	if e.mask == nil {
		VMOVUPD(v, m)
	} else {
		VMOVUPD(v, e.mask, m)
	}
}

// whole8 is every cell of a block of eight.
var whole8 = eight{}

// leading8 returns the first cells of a block of eight: as many as count says, eight at most.
func leading8(count reg.GPVirtual) eight {
	mask, all := K(), GP32()
	MOVL(operand.U32(0xff), all)
	BZHIL(count.As32(), all, all)
	KMOVW(all, mask)
	return eight{mask}
}

// lines512 writes the way from enthalpy to temperature along straight arcs, as lines does.
func lines512() {
	TEXT("linesAVX512", attr.NOSPLIT, "func(out, a, b *float64, n int, curve *Curve) int")
	doc("linesAVX512 is read over n cells along a curve of straight arcs.")
	Pragma("noescape")
	out, a, b, n := Load(Param("out"), GP64()), Load(Param("a"), GP64()), Load(Param("b"), GP64()), Load(Param("n"), GP64())
	curve := Dereference(Param("curve"))
	i := GP64()
	XORQ(i, i)
	field := func(name string, arc int) reg.VecVirtual { return everywhere(curve.Field(name).Index(arc), ZMM) }
	var ends, c, s [arcs + 1]reg.VecVirtual
	for arc := range ends {
		ends[arc] = field("From", arc)
	}
	for arc := range arcs {
		c[arc], s[arc] = field("C", arc), field("S", arc)
	}
	// inside sets a mask to where h is on the curve.
	inside := func(h reg.VecVirtual) reg.OpmaskVirtual {
		from, on := K(), K()
		VCMPPD(notBelow, ends[0], h, from)
		VCMPPD(below, ends[arcs], h, from, on)
		return on
	}
	along := func(h reg.VecVirtual) {
		start, slope := ZMM(), ZMM()
		second, third := K(), K()
		VCMPPD(notBelow, ends[1], h, second)
		VCMPPD(notBelow, ends[2], h, third)
		VBLENDMPD(c[1], c[0], second, start)
		VBLENDMPD(s[1], s[0], second, slope)
		VMOVAPD(c[2], third, start)
		VMOVAPD(s[2], third, slope)
		VMULPD(slope, h, h)
		VADDPD(start, h, h)
	}
	end := GP64()
	MOVQ(n, end)
	SUBQ(operand.I8(8), end)
	CMPQ(i, end)
	JG(operand.LabelRef("rest"))
	Label("eights")
	h := ZMM()
	VMOVUPD(by(a, i, 8, 0), h)
	VADDPD(by(b, i, 8, 0), h, h)
	on := inside(h)
	KORTESTB(on, on) // carries where all are
	JCC(operand.LabelRef("rest"))
	along(h)
	VMOVUPD(h, by(out, i, 8, 0))
	ADDQ(operand.I8(8), i)
	CMPQ(i, end)
	JLE(operand.LabelRef("eights"))

	Label("rest")
	left, most, done := GP64(), GP64(), GP64()
	MOVQ(n, left)
	SUBQ(i, left)
	JZ(operand.LabelRef("done"))
	MOVQ(operand.U32(8), most)
	CMPQ(left, most)
	CMOVQGT(most, left)
	wanted := leading8(left)
	h = ZMM()
	wanted.load(by(a, i, 8, 0), h)
	VADDPD(wanted.operand(by(b, i, 8, 0)), h, h)
	Comment("The first cell beside the curve, eight where there is none.")
	KMOVB(inside(h), done.As32())
	XORL(operand.U32(0xff), done.As32())
	ORL(operand.U32(0x100), done.As32())
	BSFQ(done, done)
	CMPQ(done, left)
	CMOVQGT(left, done)
	along(h)
	leading8(done).store(h, by(out, i, 8, 0))
	ADDQ(done, i)
	CMPQ(done, left)
	JEQ(operand.LabelRef("rest"))
	Label("done")
	VZEROUPPER()
	Store(i, ReturnIndex(0))
	RET()
}

// rise512 writes out = base + slope d, as rise does.
func rise512() {
	TEXT("riseAVX512", attr.NOSPLIT, "func(out, base, d *float64, slope *float32, n int)")
	doc("riseAVX512 is rise over n entries.")
	Pragma("noescape")
	p := pointers("out", "base", "d")
	slope := Load(Param("slope"), GP64())
	n, i := Load(Param("n"), GP64()), GP64()
	XORQ(i, i)
	block := func(e eight, offset int) {
		s := e.widened(by(slope, i, 4, 4*offset))
		VMULPD(e.operand(by(p[2], i, 8, 8*offset)), s, s)
		VADDPD(e.operand(by(p[1], i, 8, 8*offset)), s, s)
		e.store(s, by(p[0], i, 8, 8*offset))
	}
	SUBQ(operand.I8(16), n)
	JL(operand.LabelRef("last"))
	Label("sixteens")
	block(whole8, 0)
	block(whole8, 8)
	ADDQ(operand.I8(16), i)
	CMPQ(i, n)
	JLE(operand.LabelRef("sixteens"))
	Label("last")
	Comment("None to fifteen: eight, and what is left.")
	ADDQ(operand.I8(8), n)
	CMPQ(i, n)
	JG(operand.LabelRef("rest"))
	block(whole8, 0)
	ADDQ(operand.I8(8), i)
	Label("rest")
	ADDQ(operand.I8(8), n)
	SUBQ(i, n)
	JZ(operand.LabelRef("done"))
	block(leading8(n.(reg.GPVirtual)), 0)
	Label("done")
	VZEROUPPER()
	RET()
}
