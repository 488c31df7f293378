package heat

import (
	"math"

	"emberbank/block"
	"emberbank/material"
	"emberbank/receiver"
)

// network is the conductances between neighbouring cells, in W/K, for the conductivities of one moment. Arrays
// carry one plane of padding at both ends, so that every neighbour can be read; a conductance into the padding
// is zero.
type network struct {
	b          *body
	pad        int
	gx, gy, gz []float32 // between cell i and its next along depth, width, height, at pad+i
	k          [3][]float64
	tables     []conductivity
	constant   bool // no conductivity depends on temperature or phase: computed once
	ready      bool
	held       bool         // a steady state's last iterations keep the conductances: else their rounding would stir it
	steady     bool         // temperatures alone tell the phase: a front inside a cell has no enthalpy to read it from
	sharp      bool         // some medium melts at one temperature
	bridge     [3][]float64 // W m/K: k·A of tube walls along an axis, by cell; nil where there are none
	rowSum     []float64    // W/K, of all conductances of a cell, free faces and tubes left out
	ratio      []float64    // by medium: largest dT/dh, kg K/J
	// frontAxis is, for each cell that melts at one temperature, the direction of the largest difference of
	// temperature across it: a front inside the cell stands across that direction, and only there does its place
	// count.
	frontAxis []int8
	faceT     func(cell int, side block.Side) (float64, bool) // temperature of a free face, K
}

// conductivity is one medium's conductivity tabulated over temperature.
type conductivity struct {
	solid, liquid [3][]float64
	passing       [3][]float64 // W/(m K), of the phase that belongs to the temperature
	integral      [3][]float64 // W/m, of passing over temperature
	same          bool         // isotropic
	melts, sharp  bool
	fusion        float64 // K
	fixed         bool
}

// The tables run from tableStart in steps of 1 K; between entries k is straight, beyond the ends constant.
const (
	tableStart = 173.15
	tableSize  = 1601
)

func newNetwork(b *body, rec *receiver.Receiver) *network {
	n := &network{b: b, pad: b.nx * b.ny, constant: true}
	size := b.n + 2*n.pad
	n.gx, n.gy, n.gz = make([]float32, size), make([]float32, size), make([]float32, size)
	n.rowSum = make([]float64, b.n)
	anisotropic := false
	for i := range rec.Media {
		m := &rec.Media[i]
		c := tabulate(m)
		anisotropic = anisotropic || !c.same
		n.constant = n.constant && c.fixed && !c.sharp
		n.sharp = n.sharp || c.sharp
		n.tables = append(n.tables, c)
		n.ratio = append(n.ratio, 1/b.enthalpy[i].MinCp)
	}
	n.k[0] = make([]float64, b.n)
	n.k[1], n.k[2] = n.k[0], n.k[0]
	if anisotropic {
		n.k[1], n.k[2] = make([]float64, b.n), make([]float64, b.n)
	}
	return n
}

func tabulate(m *material.Medium) conductivity {
	c := conductivity{same: true, fixed: true, melts: m.Latent > 0, fusion: m.Solidus}
	c.sharp = c.melts && m.Liquidus-m.Solidus < 1e-9
	for a := range 3 {
		c.solid[a] = sample(&m.Conductivity[a])
		c.liquid[a] = c.solid[a]
		if c.melts {
			c.liquid[a] = sample(&m.ConductivityMelted[a])
		}
		for i := range c.solid[a] {
			c.same = c.same && c.solid[a][i] == c.solid[0][i] && c.liquid[a][i] == c.liquid[0][i]
			c.fixed = c.fixed && c.solid[a][i] == c.solid[a][0] && c.liquid[a][i] == c.solid[a][0]
		}
	}
	if !c.fixed {
		for a := range 3 {
			c.integrate(a, m)
		}
	}
	return c
}

// integrate lays the conductivity of the phase that belongs to each temperature, along axis a, and its integral.
func (c *conductivity) integrate(a int, m *material.Medium) {
	const parts = 16
	at := func(T float64) float64 {
		f := 0.0
		if c.melts {
			switch {
			case T >= m.Liquidus:
				f = 1
			case T > m.Solidus:
				f = (T - m.Solidus) / (m.Liquidus - m.Solidus)
			}
		}
		return c.at(a, T, f)
	}
	c.passing[a], c.integral[a] = make([]float64, tableSize), make([]float64, tableSize)
	c.passing[a][0] = at(tableStart)
	for i := 1; i < tableSize; i++ {
		sum := 0.0
		for j := range parts {
			sum += at(tableStart+float64(i-1)+(float64(j)+0.5)/parts) / parts
		}
		c.passing[a][i] = at(tableStart + float64(i))
		c.integral[a][i] = c.integral[a][i-1] + sum
	}
}

// mean returns the mean conductivity along axis a between two temperatures of one medium: with it, the heat
// between two cells is that of Kirchhoff's transform, exact in one dimension whatever the conductivity does.
func (c *conductivity) mean(a int, T1, T2 float64) float64 {
	return (c.upTo(a, T2) - c.upTo(a, T1)) / (T2 - T1)
}

// upTo returns the integral up to T, inside the table: between entries the conductivity runs straight.
func (c *conductivity) upTo(a int, T float64) float64 {
	x := T - tableStart
	i := int(x)
	f := x - float64(i)
	k0, k1 := c.passing[a][i], c.passing[a][i+1]
	whole := c.integral[a][i+1] - c.integral[a][i]
	return c.integral[a][i] + whole*f*(k0+0.5*f*(k1-k0))/(0.5*(k0+k1))
}

func sample(c *material.Curve) []float64 {
	out := make([]float64, tableSize)
	for i := range out {
		out[i] = c.At(tableStart + float64(i))
	}
	return out
}

func read(t []float64, T float64) float64 {
	x := T - tableStart
	if x <= 0 {
		return t[0]
	}
	i := int(x)
	if i >= len(t)-1 {
		return t[len(t)-1]
	}
	f := x - float64(i)
	return t[i] + f*(t[i+1]-t[i])
}

// at returns the conductivity along axis a at temperature T and melted fraction f.
func (c *conductivity) at(a int, T, f float64) float64 {
	switch {
	case f <= 0:
		return read(c.solid[a], T)
	case f >= 1:
		return read(c.liquid[a], T)
	}
	return (1-f)*read(c.solid[a], T) + f*read(c.liquid[a], T)
}

// update computes every conductance for the enthalpies h + ahead·rate, a prediction of the middle of the coming
// step, which keeps the scheme of second order where conductivities vary.
func (n *network) update(t *team, h, rate []float64, ahead float64) {
	if n.ready && (n.constant || n.held) {
		return
	}
	b := n.b
	plane := b.nx * b.ny
	predict := func(c int, e *material.Enthalpy) (T, f float64) {
		x := h[c] + ahead*rate[c]
		return e.Temperature(x), e.Melted(x)
	}
	t.run(func(k0, k1 int) {
		for _, r := range b.runs[b.planeRuns[k0]:b.planeRuns[k1]] {
			tab, e := &n.tables[r.medium], b.enthalpy[r.medium]
			for c := int(r.from); c < int(r.to); c++ {
				if tab.fixed {
					n.k[0][c], n.k[1][c], n.k[2][c] = tab.solid[0][0], tab.solid[1][0], tab.solid[2][0]
					if tab.same {
						continue
					}
				}
				T, f := predict(c, e)
				n.k[0][c] = tab.at(0, T, f)
				if !tab.same {
					n.k[1][c], n.k[2][c] = tab.at(1, T, f), tab.at(2, T, f)
				} else {
					n.k[1][c], n.k[2][c] = n.k[0][c], n.k[0][c]
				}
			}
		}
	})
	n.findAxes(t, h, rate, ahead)
	t.run(func(k0, k1 int) {
		for k := k0; k < k1; k++ {
			dz := b.g.Size(2, k)
			for j := range b.ny {
				dy := b.g.Size(1, j)
				base := k*plane + j*b.nx
				for i := range b.nx {
					c := base + i
					if b.medium[c] < 0 {
						continue
					}
					dx := b.g.Size(0, i)
					if i+1 < b.nx && b.medium[c+1] >= 0 {
						n.gx[n.pad+c] = float32(n.between(c, c+1, 0, dx, b.g.Size(0, i+1), dy*dz, h, rate, ahead))
					}
					if j+1 < b.ny && b.medium[c+b.nx] >= 0 {
						n.gy[n.pad+c] = float32(n.between(c, c+b.nx, 1, dy, b.g.Size(1, j+1), dx*dz, h, rate, ahead))
					}
					if k+1 < b.nz && b.medium[c+plane] >= 0 {
						n.gz[n.pad+c] = float32(n.between(c, c+plane, 2, dz, b.g.Size(2, k+1), dx*dy, h, rate, ahead))
					}
				}
			}
		}
	})
	t.run(func(k0, k1 int) {
		for c := k0 * plane; c < k1*plane; c++ {
			p := n.pad + c
			n.rowSum[c] = float64(n.gx[p]) + float64(n.gx[p-1]) + float64(n.gy[p]) + float64(n.gy[p-b.nx]) + float64(n.gz[p]) + float64(n.gz[p-plane])
		}
	})
	n.ready = true
}

// findAxes sets the direction of the front in every cell that melts at one temperature.
func (n *network) findAxes(t *team, h, rate []float64, ahead float64) {
	if !n.sharp {
		return
	}
	b := n.b
	if n.frontAxis == nil {
		n.frontAxis = make([]int8, b.n)
	}
	t.run(func(k0, k1 int) {
		for _, r := range b.runs[b.planeRuns[k0]:b.planeRuns[k1]] {
			if !n.tables[r.medium].sharp {
				continue
			}
			for c := int(r.from); c < int(r.to); c++ {
				n.frontAxis[c] = n.axisOf(c, h, rate, ahead)
			}
		}
	})
}

func (n *network) axisOf(c int, h, rate []float64, ahead float64) int8 {
	b := n.b
	own := b.enthalpy[b.medium[c]].Temperature(h[c] + ahead*rate[c])
	i, j, k := b.g.Place(c)
	at := func(s block.Side) float64 {
		if d, inside := b.neighbour(c, i, j, k, s); inside && b.medium[d] >= 0 {
			return b.enthalpy[b.medium[d]].Temperature(h[d] + ahead*rate[d])
		}
		if T, ok := n.faceT(c, s); ok {
			return T
		}
		return own
	}
	best, most := int8(0), -1.0
	for a := int8(0); a < 3; a++ {
		if d := math.Abs(at(block.Side(2*a+1)) - at(block.Side(2*a))); d > most {
			best, most = a, d
		}
	}
	return best
}

// between returns the conductance between neighbours c and d along axis a: the two half cells in series, and
// beside them the tube walls that run through both.
//
// In a cell that is melting at one temperature the phase change takes place at a front, not at the cell's
// centre: towards a melted neighbour the way is the melted share of the cell, towards a frozen one the frozen
// share. In one dimension the front then moves through a cell as in the exact solution of Stefan's problem,
// instead of in steps of half a cell.
func (n *network) between(c, d, a int, lc, ld, area float64, h, rate []float64, ahead float64) float64 {
	kc, kd := n.k[a][c], n.k[a][d]
	wc, wd := 0.5*lc, 0.5*ld
	mc, md := n.b.medium[c], n.b.medium[d]
	if !n.steady && (n.tables[mc].sharp || n.tables[md].sharp) {
		hc, hd := h[c]+ahead*rate[c], h[d]+ahead*rate[d]
		if mc == md && int(n.frontAxis[c]) == a && int(n.frontAxis[d]) == a {
			if g := n.abrupt(mc, a, lc, ld, hc, hd); g > 0 {
				return g * area
			}
		}
		wc, kc = n.front(c, a, lc, hc, n.warmer(d, hd, n.tables[mc].fusion))
		wd, kd = n.front(d, a, ld, hd, n.warmer(c, hc, n.tables[md].fusion))
	}
	if mc == md && !n.tables[mc].fixed && wc == 0.5*lc && wd == 0.5*ld {
		Tc, Td := n.temperature(c, h, rate, ahead), n.temperature(d, h, rate, ahead)
		if math.Abs(Td-Tc) > leastSpan && within(Tc) && within(Td) {
			kc = n.tables[mc].mean(a, Tc, Td)
			kd = kc
		}
	}
	g := area / (wc/kc + wd/kd)
	if br := n.bridge[a]; br != nil && br[c] > 0 && br[d] > 0 {
		g += 1 / (0.5*lc/br[c] + 0.5*ld/br[d])
	}
	return g
}

// leastSpan is the difference of temperature, in K, from which the mean conductivity between two cells is taken from
// the integral; below, the cells' own conductivities say the same with less rounding.
const leastSpan = 0.01

// within tells whether a temperature lies inside the tables.
func within(T float64) bool { return T > tableStart && T < tableStart+tableSize-2 }

func (n *network) temperature(c int, h, rate []float64, ahead float64) float64 {
	return n.b.enthalpy[n.b.medium[c]].Temperature(h[c] + ahead*rate[c])
}

// abrupt returns the conductance, in W/(m² K), between a melted and a frozen cell of one medium that melts at one
// temperature, 0 for any other pair. The front stands at their common face, at the melting point: where more
// heat reaches it than leads on, it is about to enter the frozen cell, and all of that heat goes there; where
// less does, it is about to enter the melted one. So the larger of the two flows crosses the face.
func (n *network) abrupt(m int16, a int, lc, ld, hc, hd float64) float64 {
	e, tab := n.b.enthalpy[m], &n.tables[m]
	if hc < hd {
		hc, hd, lc, ld = hd, hc, ld, lc
	}
	if hc < e.Hl || hd > e.Hs {
		return 0
	}
	above, below := e.Temperature(hc)-tab.fusion, tab.fusion-e.Temperature(hd)
	if above+below < 1e-9 {
		return 0
	}
	to := read(tab.liquid[a], tab.fusion) * above / (0.5 * lc)
	on := read(tab.solid[a], tab.fusion) * below / (0.5 * ld)
	return math.Max(to, on) / (above + below)
}

// warmer tells on which side of a melting point cell d lies at specific enthalpy x: +1 melted or hotter, -1
// frozen or cooler, 0 at it, melting.
func (n *network) warmer(d int, x, fusion float64) int {
	m := n.b.medium[d]
	e := n.b.enthalpy[m]
	switch T := e.Temperature(x); {
	case T > fusion:
		return 1
	case T < fusion:
		return -1
	case x >= e.Hl:
		return 1
	case x <= e.Hs:
		return -1
	}
	return 0
}

// shortest is the least way inside a melting cell, as a share of its size, that front returns: it bounds the
// conductance while a front is still at the cell's face.
const shortest = 0.05

// front returns the way from a face into cell c along axis a, and the conductivity along it: half the cell, or
// up to the front where the cell melts at one temperature and what lies beyond the face is warmer (+1) or
// cooler (-1) than that.
func (n *network) front(c, a int, size, x float64, beyond int) (way, k float64) {
	m := n.b.medium[c]
	tab, e := &n.tables[m], n.b.enthalpy[m]
	if !tab.sharp || beyond == 0 || x <= e.Hs || x >= e.Hl || int(n.frontAxis[c]) != a {
		return 0.5 * size, n.k[a][c]
	}
	f := e.Melted(x)
	if beyond > 0 {
		return math.Max(f, shortest) * size, read(tab.liquid[a], tab.fusion)
	}
	return math.Max(1-f, shortest) * size, read(tab.solid[a], tab.fusion)
}

// stiffness returns a bound on the spectral radius in 1/s by Gershgorin's circles: extra is what free faces and
// tubes add to a cell's row, in W/K.
func (n *network) stiffness(t *team, extra []float64) float64 {
	b := n.b
	most := make([]float64, b.nz)
	t.run(func(k0, k1 int) {
		for k := k0; k < k1; k++ {
			for _, r := range b.runs[b.planeRuns[k]:b.planeRuns[k+1]] {
				s := n.ratio[r.medium]
				for c := r.from; c < r.to; c++ {
					if v := (2*n.rowSum[c] + extra[c]) * float64(b.minv[c]) * s; v > most[k] {
						most[k] = v
					}
				}
			}
		}
	})
	rho := 0.0
	for _, v := range most {
		rho = math.Max(rho, v)
	}
	return rho
}

// across returns the conductivity across a tube along axis a in cell c: the geometric mean of the two
// directions, as the spreading resistance of an anisotropic medium asks (Peaceman, SPE J. 23 (1983) 531).
func (n *network) across(c int, a block.Axis) float64 {
	u, v := (a+1)%3, (a+2)%3
	return math.Sqrt(n.k[u][c] * n.k[v][c])
}
