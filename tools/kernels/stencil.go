package main

import (
	"github.com/mmcloughlin/avo/attr"
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
	"github.com/mmcloughlin/avo/reg"
)

// grid is where a stencil's loads come from. Count runs from minus the number of cells up to nothing; what is named
// by an end lies there after the last cell. The z pointers move along instead, because then one register with the
// plane's size reaches the cells below, here and above: there are too few registers for an address of each.
type grid struct {
	count          reg.Register
	plane          reg.Register // 4 times the cells in a plane
	below, gBelow  reg.Register // moving: T and Gz of the cell one plane below
	front, behind  reg.Register // ends: T of the cells one row back and one on
	gx, gy, gFront reg.Register // ends: Gx, Gy here and Gy one row back
	w              reg.Register // end
	ya, f0, y      reg.Register // ends
	mu, nu         reg.Register // the weights, in all lanes
	mt, gt         reg.Register
}

// block is some cells side by side, as many as a register takes: lanes of AVX2 or of AVX-512.
type block interface {
	cells() int
	register() reg.VecVirtual
	load(m operand.Mem, v reg.VecVirtual)
	operand(m operand.Mem) operand.Op      // doubles: memory itself, or a register where a mask hides some
	widened(m operand.Mem) reg.VecVirtual  // floats, as doubles
	store(v reg.VecVirtual, m operand.Mem) // of what is wanted
	follow(x, next, out reg.VecVirtual)    // out: all of x but its first, then the first of next
	lag(before, x, out reg.VecVirtual)     // out: the last of before, then all of x but its last
	clear(v reg.VecVirtual)                // zeros
	rest(count reg.Register) block         // the last ones of a stretch, fewer than cells: count holds minus their number
}

// stencil writes flow, or with weights stage, for blocks of a kind. Every cell goes through the same operations in the same order in
// each kind, so that its bits are the same. With ahead, neighbours on along depth are put together from two blocks, not loaded.
func stencil(name, text string, all block, stage, ahead bool) {
	TEXT(name, attr.NOSPLIT, "func(s *Sweep, from, to int)")
	doc(text)
	Pragma("noescape")
	g := layGrid(stage, all.register)
	count, n := g.count, all.cells()

	Comment("What crosses into the first cell from the one before.")
	crossing := all.register()
	{
		c, x, f := crossing.AsX(), XMM(), XMM()
		VXORPS(f, f, f)
		VCVTSS2SD(by(g.gx, count, 4, -4), f, f)
		VMOVSD(by(g.below, g.plane, 2, -8), x)
		VSUBSD(by(g.below, g.plane, 2, 0), x, x)
		VMULSD(f, x, c)
		VBROADCASTSD(c, crossing)
	}

	here, next := by(g.below, g.plane, 2, 0), by(g.below, g.plane, 2, 8)
	onward := func() {
		ADDQ(operand.I8(8*n), g.below)
		ADDQ(operand.I8(4*n), g.gBelow)
		ADDQ(operand.I8(n), count)
	}
	if ahead {
		Comment("A block a turn while another follows.")
		x, following, on := all.register(), all.register(), all.register()
		ADDQ(operand.I8(2*n), count)
		JG(operand.LabelRef("last"))
		VMOVUPD(here, x)
		Label("ahead")
		VMOVUPD(by(g.below, g.plane, 2, 8*n), following)
		all.follow(x, following, on)
		g.cells(all, -2*n, x, on, crossing, stage)
		VMOVAPD(following, x)
		onward()
		JLE(operand.LabelRef("ahead"))
		Label("last")
		SUBQ(operand.I8(n), count)
	} else {
		ADDQ(operand.I8(n), count)
	}
	JG(operand.LabelRef("rest"))

	Label("one")
	x := all.register()
	VMOVUPD(here, x)
	g.cells(all, -n, x, next, crossing, stage)
	onward()
	JLE(operand.LabelRef("one"))

	Label("rest")
	SUBQ(operand.I8(n), count)
	JGE(operand.LabelRef("done"))
	some := all.rest(count)
	x = some.register()
	some.load(here, x)
	g.cells(some, 0, x, some.operand(next), crossing, stage)

	Label("done")
	VZEROUPPER()
	RET()
}

// layGrid loads the addresses, and for a stage the weights into all lanes of registers.
func layGrid(stage bool, lanes func() reg.VecVirtual) grid {
	s := Dereference(Param("s"))

	var g grid
	from := Load(Param("from"), GP64())
	to := Load(Param("to"), GP64())
	count := GP64()
	MOVQ(from, count)
	SUBQ(to, count)
	g.count = count

	Comment("Addresses that move: one plane below.")
	g.below = pointer(s.Field("T"), from, 8)
	g.gBelow = pointer(s.Field("Gz"), from, 4)

	if stage {
		weight := func(field string) reg.Register { return everywhere(s.Field(field), lanes) }
		g.mu, g.nu, g.mt, g.gt = weight("Mu"), weight("Nu"), weight("Mt"), weight("Gt")
	}

	Comment("Addresses of ends.")
	plane := Load(s.Field("Plane"), GP64())
	row := Load(s.Field("Row"), GP64())
	ADDQ(plane, to)
	g.gx = pointer(s.Field("Gx"), to, 4)
	g.gy = pointer(s.Field("Gy"), to, 4)
	ADDQ(row, to)
	g.behind = pointer(s.Field("T"), to, 8)
	SUBQ(row, to)
	SUBQ(row, to)
	g.front = pointer(s.Field("T"), to, 8)
	g.gFront = pointer(s.Field("Gy"), to, 4)
	ADDQ(row, to)
	SUBQ(plane, to)
	SHLQ(operand.U8(2), plane)
	g.plane = plane
	g.w = pointer(s.Field("W"), to, 4)
	if stage {
		g.ya = pointer(s.Field("Ya"), to, 8)
		g.f0 = pointer(s.Field("F0"), to, 8)
	}
	g.y = pointer(s.Field("Y"), to, 8)
	return g
}

// cells writes the instructions for a block, the first at count plus offset from where addresses end, and right at
// those that move. X holds their temperatures, on those of the next along depth. Crossing holds in its last lane what
// crosses from the cell before into the first, and is left so for the next block.
//
// What leaves a cell is summed in this order: to the next along depth less what comes from the one before, then by
// fused multiply-adds along width back and on, then along height below and above.
func (g grid) cells(l block, offset int, x reg.VecVirtual, on operand.Op, crossing reg.VecVirtual, stage bool) {
	double := func(base reg.Register) operand.Mem { return by(base, g.count, 8, 8*offset) }
	single := func(base reg.Register) operand.Mem { return by(base, g.count, 4, 4*offset) }

	left, flux := l.register(), l.register()
	VSUBPD(on, x, flux)
	VMULPD(l.widened(single(g.gx)), flux, flux)
	l.lag(crossing, flux, left)
	VMOVAPD(flux, crossing)
	VSUBPD(left, flux, left)

	face := func(t, conductance operand.Mem) {
		d := l.register()
		VSUBPD(l.operand(t), x, d)
		VFMADD231PD(l.widened(conductance), d, left)
	}
	face(double(g.front), single(g.gFront))
	face(double(g.behind), single(g.gy))
	face(at(g.below, 0), at(g.gBelow, 0))
	face(by(g.below, g.plane, 4, 0), by(g.gBelow, g.plane, 1, 0))

	result := l.register()
	w := l.widened(single(g.w))
	if stage {
		VMULPD(left, w, left)
		VMULPD(l.operand(double(g.ya)), g.mu, result)
		VFMADD231PD(l.operand(double(g.y)), g.nu, result)
		VFMADD231PD(l.operand(double(g.f0)), g.gt, result)
		VFNMADD231PD(left, g.mt, result)
	} else {
		l.clear(result)
		VFNMADD231PD(left, w, result)
	}
	l.store(result, double(g.y))
}
