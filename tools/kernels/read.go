package main

import (
	"fmt"

	"github.com/mmcloughlin/avo/attr"
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/gotypes"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// arcs is kernel.MostArcs.
const arcs = 3

// Comparisons that are false where one side is not a number, and raise nothing.
const (
	notBelow = operand.U8(0x1d)
	below    = operand.U8(0x11)
)

// reader is what the way from enthalpy to temperature needs in registers.
type reader struct {
	curve                  gotypes.Component
	out, a, b, n, i, nodes reg.Register
	arc                    arc
}

// arc is what is in hand of one arc in all lanes, or lane by lane of the arc on which it is. Its first node, and its last counted
// from there, are whole numbers.
type arc struct {
	from, to, inv, first, last reg.VecVirtual
}

// read writes the way from enthalpy to temperature along a curve. Nothing is fused, since the plain loop, which does
// the short stretches, must give the same bits.
//
// While the cells of a block lie all on the arc of the cell before them, its numbers stay in registers. Where they do
// not, each lane's are chosen from those of all arcs.
//
// A curve of straight arcs has a loop of its own: see lines. On others each cell's node is one load of both its numbers, which
// are then sorted into temperatures and rises: half the loads of two gathers, and measured at 0.5 to 0.6 of their time.
func read() {
	TEXT("readAVX2", attr.NOSPLIT, "func(out, a, b *float64, n int, curve *Curve) int")
	doc("readAVX2 is read over n cells.")
	Pragma("noescape")
	r := reader{
		out: Load(Param("out"), GP64()), a: Load(Param("a"), GP64()), b: Load(Param("b"), GP64()),
		n: Load(Param("n"), GP64()), i: GP64(), curve: Dereference(Param("curve")),
	}
	r.nodes = Load(r.curve.Field("Nodes").Base(), GP64())
	straight := Load(r.curve.Field("Straight"), GP8())
	XORQ(r.i, r.i)
	TESTB(straight, straight)
	JZ(operand.LabelRef("many"))
	r.lines()

	Label("many")
	r.loops()
}

// loops writes the loops over cells and the return: blocks of four cells together while all are on the arc in hand,
// then four at a time; four that are not, lane by lane; then what is left or holds a cell beside the curve, under a
// mask.
func (r *reader) loops() {
	label := func(of string) string { return "bent" + of }
	cells := func(base reg.Register, block int) operand.Mem { return by(base, r.i, 8, 32*block) }
	r.arc = arc{from: r.field("From", 0), to: r.field("From", 1), inv: r.field("Inv", 0)}
	r.arc.first, r.arc.last = numbers(r.field("First", 0), r.field("Last", 0))
	for _, many := range []int{2, 1} {
		here, next, mixed := label(fmt.Sprint("By", 4*many)), label("Fours"), label(fmt.Sprint("Mixed", 4*many))
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
				inside = r.between(h[0], r.arc.from, r.arc.to)
				continue
			}
			VANDPD(r.between(h[block], r.arc.from, r.arc.to), inside, inside)
		}
		all := GP32()
		VMOVMSKPD(inside, all)
		CMPL(all, operand.U8(15))
		JNE(operand.LabelRef(mixed))
		for block := range h {
			r.along(h[block], &r.arc)
			VMOVUPD(h[block], cells(r.out, block))
		}
		ADDQ(operand.I8(4*many), r.i)
		CMPQ(r.i, end)
		JLE(operand.LabelRef(here))
		JMP(operand.LabelRef(next))

		Label(mixed)
		one := YMM()
		VMOVUPD(cells(r.a, 0), one)
		VADDPD(cells(r.b, 0), one, one)
		VMOVMSKPD(r.onCurve(one), all)
		CMPL(all, operand.U8(15))
		JNE(operand.LabelRef(label("Rest")))
		first, last := r.choose(one, &r.arc)
		VMOVAPD(first, r.arc.first)
		VMOVAPD(last, r.arc.last)
		r.along(one, &r.arc)
		VMOVUPD(one, cells(r.out, 0))
		for _, v := range []reg.VecVirtual{r.arc.from, r.arc.to, r.arc.inv} {
			VPERMPD(operand.U8(0xff), v, v)
		}
		for _, v := range []reg.VecVirtual{r.arc.first, r.arc.last} {
			VPSHUFD(operand.U8(0xff), v, v)
		}
		ADDQ(operand.I8(4), r.i)
		CMPQ(r.i, end)
		JLE(operand.LabelRef(here))
		if many > 1 {
			Label(next)
		}
	}

	r.rest("bent", func(h reg.VecVirtual) {
		mine := arc{from: YMM(), to: YMM(), inv: YMM()}
		mine.first, mine.last = r.choose(h, &mine)
		r.along(h, &mine)
	})
}

// numbers makes whole numbers of an arc's first and last node.
func numbers(from, to reg.VecVirtual) (first, last reg.VecVirtual) {
	first, last = XMM(), XMM()
	VCVTTPD2DQY(from, first)
	VCVTTPD2DQY(to, last)
	return first, last
}

// lines writes the loop over cells on straight arcs, T = c + s h, and the return. Cells lie on this arc and that where a body
// melts, so that a branch between arcs would be foretold wrongly at every front; here each lane's c and s are chosen without one.
func (r *reader) lines() {
	var ends, c, s [arcs + 1]reg.VecVirtual
	for i := range ends {
		ends[i] = r.field("From", i)
	}
	for i := range arcs {
		c[i], s[i] = r.field("C", i), r.field("S", i)
	}
	along := func(h reg.VecVirtual) {
		start, slope, beyond := YMM(), YMM(), YMM()
		VCMPPD(notBelow, ends[1], h, beyond)
		VBLENDVPD(beyond, c[1], c[0], start)
		VBLENDVPD(beyond, s[1], s[0], slope)
		VCMPPD(notBelow, ends[2], h, beyond)
		VBLENDVPD(beyond, c[2], start, start)
		VBLENDVPD(beyond, s[2], slope, slope)
		VMULPD(slope, h, h)
		VADDPD(start, h, h)
	}
	end := GP64()
	MOVQ(r.n, end)
	SUBQ(operand.I8(4), end)
	CMPQ(r.i, end)
	JG(operand.LabelRef("linesRest"))
	Label("lines")
	h, all := YMM(), GP32()
	VMOVUPD(by(r.a, r.i, 8, 0), h)
	VADDPD(by(r.b, r.i, 8, 0), h, h)
	VMOVMSKPD(r.between(h, ends[0], ends[arcs]), all)
	CMPL(all, operand.U8(15))
	JNE(operand.LabelRef("linesRest"))
	along(h)
	VMOVUPD(h, by(r.out, r.i, 8, 0))
	ADDQ(operand.I8(4), r.i)
	CMPQ(r.i, end)
	JLE(operand.LabelRef("lines"))
	r.rest("lines", along)
}

// rest writes what the loops leave, four cells at a time under a mask up to the first beside the curve, and the return.
func (r *reader) rest(name string, along func(h reg.VecVirtual)) {
	label := func(of string) string { return name + of }
	cells := func(base reg.Register) operand.Mem { return by(base, r.i, 8, 0) }
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
	l.load(cells(r.a), h)
	VADDPD(l.operand(cells(r.b)), h, h)
	Comment("The first cell beside the curve, four where there is none.")
	beside := GP64()
	VMOVMSKPD(r.onCurve(h), beside.As32())
	XORL(operand.I8(15), beside.As32())
	ORL(operand.I8(16), beside.As32())
	BSFQ(beside, done)
	CMPQ(done, left)
	CMOVQGT(left, done)
	along(h)
	NEGQ(done)
	leading(done).store(h, cells(r.out))
	SUBQ(done, r.i)
	ADDQ(left, done)
	JZ(operand.LabelRef(label("Rest")))
	Label(label("Done"))
	VZEROUPPER()
	Store(r.i, ReturnIndex(0))
	RET()
}

// field loads a field's entry for arc i into all lanes.
func (r *reader) field(name string, i int) reg.VecVirtual {
	return everywhere(r.curve.Field(name).Index(i), YMM)
}

// choose sets what is in hand lane by lane to the arc on which h is, and returns its nodes' numbers; what is beside the curve gets
// one of its ends.
func (r *reader) choose(h reg.VecVirtual, of *arc) (first, last reg.VecVirtual) {
	var masks []reg.VecVirtual
	for i := 1; i < arcs; i++ {
		m := YMM()
		VCMPPD(notBelow, r.field("From", i), h, m)
		masks = append(masks, m)
	}
	pick := func(name string, offset int) reg.VecVirtual {
		v := r.field(name, offset)
		for i, m := range masks {
			VBLENDVPD(m, r.field(name, offset+i+1), v, v)
		}
		return v
	}
	VMOVAPD(pick("From", 0), of.from)
	VMOVAPD(pick("From", 1), of.to)
	VMOVAPD(pick("Inv", 0), of.inv)
	return numbers(pick("First", 0), pick("Last", 0))
}

// onCurve returns all ones where h is on the curve.
func (r *reader) onCurve(h reg.VecVirtual) reg.VecVirtual {
	return r.between(h, r.field("From", 0), r.field("From", arcs))
}

// between returns all ones where from <= h < to.
func (r *reader) between(h, from, to reg.VecVirtual) reg.VecVirtual {
	low, high := YMM(), YMM()
	VCMPPD(notBelow, from, h, low)
	VCMPPD(below, to, h, high)
	VANDPD(high, low, low)
	return low
}

// along turns h into the temperature there.
func (r *reader) along(h reg.VecVirtual, on *arc) {
	VSUBPD(on.from, h, h)
	VMULPD(on.inv, h, h)
	k, whole := XMM(), YMM()
	Comment("What is no whole number comes as one with the highest bit, which without a sign is beyond all nodes.")
	VCVTTPD2DQY(h, k)
	VPMINUD(on.last, k, k)
	VCVTDQ2PD(k, whole)
	VSUBPD(whole, h, h)
	VPADDD(on.first, k, k)
	start, rise := YMM(), YMM()
	VPADDD(k, k, k) // two doubles a node
	two, four := GP64(), GP64()
	VMOVQ(k, two)
	VPEXTRQ(operand.U8(1), k, four)
	node := func(both reg.GPVirtual, high bool) operand.Mem {
		if high {
			SHRQ(operand.U8(32), both)
			return by(r.nodes, both, 8, 0)
		}
		one := GP64()
		MOVL(both.As32(), one.As32())
		return by(r.nodes, one, 8, 0)
	}
	even, odd := YMM(), YMM()
	VBROADCASTF128(node(two, false), even)
	VINSERTF128(operand.U8(1), node(four, false), even, even)
	VBROADCASTF128(node(two, true), odd)
	VINSERTF128(operand.U8(1), node(four, true), odd, odd)
	VUNPCKLPD(odd, even, start)
	VUNPCKHPD(odd, even, rise)
	VMULPD(rise, h, h)
	VADDPD(start, h, h)
}
