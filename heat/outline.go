package heat

import (
	"emberbank/block"
	"emberbank/kernel"
	"emberbank/receiver"
)

// outline is what the rows within one step need of the cells without going over all of them. Along the bowed chord of a
// step (see tally.rowWithin) a cell's enthalpy is
//
//	h(x) = h₀ + x (h₁ − h₀) + 4x (1 − x) u
//
// with u the bow in the step's middle, and so are sums over cells. Where all cells of a lot stay on one straight piece of
// their medium's curve, temperatures are such sums too, and what is melted does not change: such a lot is plain, its sums
// are made once for all rows, and each row reads the temperatures of those of its cells only at which something looks: tubes
// and probes. Outside the block, whose mean a row shows, a lot is plain wherever its medium does not melt meanwhile. Free faces
// are seen to by themselves: see facing.
type outline struct {
	of     bool        // of the step in hand
	plain  []bool      // by lot
	volume []float64   // m³, by lot
	planes []planeSums // of plain lots
	looked []int32     // cells at which something looks, by lot
	first  []int32     // by lot, in looked; one more at the end
	// Of looked cells, side by side: enthalpies and rates at the step's start and end, and what they come to in a row.
	start, end, leaving, arriving, h, temperature []float64
	facing                                        facing
	brief                                         bool // so little is read in a row that one worker does it sooner than several
	lay, whole                                    job
}

// planeSums are sums over the plain lots of a plane: at the step's start, the change over it, and the bow in its middle.
type planeSums struct {
	roles          [5][3]float64 // J above 20 °C
	mean           [3]float64    // m³ K, of the block
	latent, melted float64       // J
}

// fewRows is how many rows within a step are too few for an outline: to make one takes a little longer than a row over all cells (the small
// benchmark B1, by the profile). Where the last one left rows with much to read, they took half as long as rows over all cells, and
// fewRowsRead are too few.
const (
	fewRows     = 1
	fewRowsRead = 6
)

// outlined makes an outline of the last step, whose start and end are in ya and yb, for so many rows within it. It takes y0 for
// scratch. Where fronts go on within a step, and where a probe follows one, every row goes over all cells.
func (t *tally) outlined(m *march, rows int) {
	o := &t.outline
	o.of = false
	tooFew := fewRows
	if o.planes != nil && !o.brief {
		tooFew = fewRowsRead
	}
	if rows <= tooFew || m.net.sharp {
		return
	}
	for i := range m.p.Probes {
		if m.p.Probes[i].Kind == Front {
			return
		}
	}
	if o.planes == nil {
		t.layOutline(m)
	}
	t.curve = kernel.Course{Bow: 0.25 * m.last.tau, Inv: 1 / m.last.tau}
	o.facing.lit = m.mayShine()
	t.s.team.each(&o.lay)
	o.of, o.brief = true, t.reads() <= fewReads
}

// fewReads is how many cells a row reads at the most that is not shared among workers: two that start and wait for each other
// take about as long for it.
const fewReads = 1500

// reads returns how many temperatures a row by the outline reads.
func (t *tally) reads() int {
	o := &t.outline
	n := o.facing.reads()
	for i := range t.lots {
		if o.plain[i] {
			n += int(o.first[i+1] - o.first[i])
		} else {
			n += int(t.lots[i].to - t.lots[i].from)
		}
	}
	return n
}

// layOutline lists the cells at which something looks.
func (t *tally) layOutline(m *march) {
	o := &t.outline
	o.plain, o.volume = make([]bool, len(t.lots)), make([]float64, len(t.lots))
	o.planes, o.first = make([]planeSums, t.b.nz), make([]int32, len(t.lots)+1)
	looked := m.looked()
	o.facing.lay(m)
	for i := range t.lots {
		l := &t.lots[i]
		for c := l.from; c < l.to; c++ {
			o.volume[i] += t.b.volume[c]
			if looked[c] {
				o.looked = append(o.looked, c)
			}
		}
		o.first[i+1] = int32(len(o.looked))
	}
	for _, v := range []*[]float64{&o.start, &o.end, &o.leaving, &o.arriving, &o.h, &o.temperature} {
		*v = make([]float64, len(o.looked))
	}
	o.lay.plane, o.whole.plane = t.outlinePlane, t.withinPlane
}

// looked tells of every cell whether a row needs its temperature beside those at free faces: of those at tubes and around probes.
func (m *march) looked() []bool {
	b := m.b
	at := make([]bool, b.n)
	for i := range m.tubes.links {
		at[m.tubes.links[i].cell] = true
	}
	for i := range m.tubes.lone {
		at[m.tubes.lone[i].cell] = true
	}
	m.probed(at)
	return at
}

// probed notes the cells around probes.
func (m *march) probed(at []bool) {
	b := m.b
	for i := range m.p.Probes {
		p := m.p.Probes[i].At
		var lo, hi [3]int
		for a := range lo {
			c := b.g.Find(block.Axis(a), p[a])
			lo[a], hi[a] = max(0, c-3), min(b.g.N(block.Axis(a))-1, c+3) // a probe in a bore looks two cells away, and at their neighbours
		}
		for k := lo[2]; k <= hi[2]; k++ {
			for j := lo[1]; j <= hi[1]; j++ {
				for i := lo[0]; i <= hi[0]; i++ {
					if c := b.g.Index(i, j, k); b.medium[c] >= 0 {
						at[c] = true
					}
				}
			}
		}
	}
}

// outlinePlane finds which lots of plane k are plain, adds those up, and gathers the cells at which something looks.
func (t *tally) outlinePlane(k int) {
	b, s, o := t.b, t.s, &t.outline
	for i := o.first[t.planes[k]]; i < o.first[t.planes[k+1]]; i++ {
		c := o.looked[i]
		o.start[i], o.end[i], o.leaving[i], o.arriving[i] = s.ya[c], s.yb[c], s.f0[c], s.f1[c]
	}
	o.facing.plane(t, k)
	sum := &o.planes[k]
	*sum = planeSums{}
	for i := t.planes[k]; i < t.planes[k+1]; i++ {
		l := &t.lots[i]
		start, end, middle := s.ya[l.from:l.to], s.yb[l.from:l.to], s.y0[l.from:l.to]
		s.loops.Within(middle, start, end, s.f0[l.from:l.to], s.f1[l.from:l.to], t.curve)
		high, low := s.loops.Extremes(start, -inf, inf)
		high, low = s.loops.Extremes(end, high, low)
		bow := s.loops.Apart(middle, start)
		low, high = low-bow, high+bow
		inBlock := l.role == receiver.RoleBlock
		c, slope, straight := b.readings[l.medium].line(low, high)
		melted, solid, steady := 0.0, 0.0, true // J
		if e := b.enthalpy[l.medium]; b.rec.Media[l.medium].Latent > 0 {
			latent := b.rec.Media[l.medium].Latent * l.mass
			if low >= e.Hl {
				melted = latent
			}
			steady = high <= e.Hs || low >= e.Hl
			solid = latent * e.Melted(0)
		}
		o.plain[i] = steady && (straight || !inBlock)
		if !o.plain[i] {
			continue
		}
		sum.latent += melted - solid
		addParts(&sum.roles[l.role], t.parts(b.mass[l.from:l.to], start, end, middle), 1)
		if inBlock {
			sum.melted += melted
			addParts(&sum.mean, t.parts(b.volume[l.from:l.to], start, end, middle), slope)
			sum.mean[0] += c * o.volume[i]
		}
	}
}

// parts weighs the three parts of the enthalpies of a lot.
func (t *tally) parts(weight, start, end, middle []float64) [3]float64 {
	var p [3]exact
	for i, h := range [][]float64{start, end, middle} {
		p[i].weigh(t.s.loops, weight, h)
	}
	return [3]float64{p[0].value(), p[1].value() - p[0].value(), p[2].value() - p[0].value()}
}

func addParts(to *[3]float64, parts [3]float64, times float64) {
	for i, v := range parts {
		to[i] += times * v
	}
}

// at returns what three parts come to at the fraction x of the step.
func at(parts *[3]float64, x float64) float64 {
	return parts[0] + x*parts[1] + 4*x*(1-x)*parts[2]
}

// outlineRow is rowPlane of a step that has an outline.
func (t *tally) outlineRow(k int) {
	s, o := t.s, &t.outline
	p, x := &o.planes[k], t.curve.On
	sum := &t.sums[k]
	*sum = sums{}
	for i := range p.roles {
		sum.roles[i].add(at(&p.roles[i], x))
	}
	sum.mean.add(at(&p.mean, x))
	sum.latent.add(p.latent)
	sum.melted.add(p.melted)
	from, to := o.first[t.planes[k]], o.first[t.planes[k+1]]
	s.loops.Within(o.h[from:to], o.start[from:to], o.end[from:to], o.leaving[from:to], o.arriving[from:to], t.curve)
	T := s.t0[s.pad:]
	for i := t.planes[k]; i < t.planes[k+1]; i++ {
		l := &t.lots[i]
		r := &t.b.readings[l.medium]
		if !o.plain[i] {
			y := s.y0[l.from:l.to]
			s.loops.Within(y, s.ya[l.from:l.to], s.yb[l.from:l.to], s.f0[l.from:l.to], s.f1[l.from:l.to], t.curve)
			r.readSum(s.loops, T[l.from:l.to], y, s.zeros[:len(y)], 0)
			t.addLot(l, sum)
			continue
		}
		from, to := o.first[i], o.first[i+1]
		h, read := o.h[from:to], o.temperature[from:to]
		r.readSum(s.loops, read, h, s.zeros[:len(h)], 0)
		for at, c := range o.looked[from:to] {
			T[c] = read[at]
		}
	}
}

// whole sets the enthalpies and temperatures of all cells at the last row's moment, for who looks at them.
func (t *tally) whole() {
	if t.outline.of {
		t.s.team.each(&t.outline.whole)
	}
}
