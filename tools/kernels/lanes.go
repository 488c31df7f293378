package main

import (
	"github.com/mmcloughlin/avo/attr"
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// lanes says which cells of a block of four are wanted: all, or those under masks for doubles and for floats. What is
// not wanted is neither read nor written, and is zero in a register.
type lanes struct{ wide, narrow reg.VecVirtual }

var wide, narrow operand.Mem

// masks writes two tables, for doubles and for floats: four entries of ones, then four of zeros.
func masks() {
	wide = GLOBL("wide", attr.RODATA|attr.NOPTR)
	for i := range 8 {
		DATA(8*i, operand.U64(ones(i)))
	}
	narrow = GLOBL("narrow", attr.RODATA|attr.NOPTR)
	for i := range 8 {
		DATA(4*i, operand.U32(uint32(ones(i))))
	}
}

func ones(entry int) uint64 {
	if entry < 4 {
		return ^uint64(0)
	}
	return 0
}

// tail returns the masks for the last cells: count holds minus their number, one to three.
func tail(count reg.Register) lanes {
	l := lanes{YMM(), XMM()}
	table := GP64()
	LEAQ(wide, table)
	VMOVUPD(by(table, count, 8, 32), l.wide)
	LEAQ(narrow, table)
	VMOVUPS(by(table, count, 4, 16), l.narrow)
	return l
}

// leading returns the mask of the first lanes for doubles: count holds minus their number, none to four.
func leading(count reg.Register) lanes {
	l := lanes{wide: YMM()}
	table := GP64()
	LEAQ(wide, table)
	VMOVUPD(by(table, count, 8, 32), l.wide)
	return l
}

func (l lanes) load(m operand.Mem, v reg.VecVirtual) {
	if l.wide == nil {
		VMOVUPD(m, v)
	} else {
		VMASKMOVPD(m, l.wide, v)
	}
}

func (l lanes) store(v reg.VecVirtual, m operand.Mem) {
	if l.wide == nil {
		VMOVUPD(v, m)
	} else {
		VMASKMOVPD(v, l.wide, m)
	}
}

func (lanes) cells() int                    { return 4 }
func (lanes) register() reg.VecVirtual      { return YMM() }
func (lanes) clear(v reg.VecVirtual)        { VXORPD(v, v, v) }
func (lanes) rest(count reg.Register) block { return tail(count) }

func (lanes) follow(x, next, out reg.VecVirtual) {
	VPERM2F128(operand.U8(0x21), next, x, out) // the last two of x, the first two of next
	VSHUFPD(operand.U8(5), out, x, out)
}

func (lanes) lag(before, x, out reg.VecVirtual) {
	VPERM2F128(operand.U8(0x21), x, before, out) // the last two of before, the first two of x
	VSHUFPD(operand.U8(5), x, out, out)
}

// operand returns four doubles as an operand: memory itself, or a register where lanes are masked.
func (l lanes) operand(m operand.Mem) operand.Op {
	if l.wide == nil {
		return m
	}
	v := YMM()
	l.load(m, v)
	return v
}

// widened returns four floats as doubles.
func (l lanes) widened(m operand.Mem) reg.VecVirtual {
	v := YMM()
	if l.narrow == nil {
		VCVTPS2PD(m, v)
		return v
	}
	f := XMM()
	VMASKMOVPS(m, l.narrow, f)
	VCVTPS2PD(f, v)
	return v
}
