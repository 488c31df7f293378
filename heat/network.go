package heat

import (
	"math"

	"emberbank/block"
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
	T          []float64    // K, foretold, by cell
	upTo       [3][]float64 // W/m, integral of the conductivity up to T; not a number beyond the tables
	phase      []int8       // of cells that melt at one temperature: -1 frozen, 0 melting, 1 melted
	size       [3][]float64 // m, of the cells along each axis
	most       []float64    // 1/s, by plane: the largest circle
	hint       []int32      // by run of cells: the arc of the curve that was last read
	h, rate    []float64    // J/kg, J/(kg s): of the update in hand
	ahead      float64      // s
	extra      []float64    // W/K, by cell: of the bound in hand

	cells, fronts, links, rows job
	ratio                      []float64 // by medium: largest dT/dh, kg K/J
	// frontAxis is, for each cell that melts at one temperature, the direction of the largest difference of
	// temperature across it: a front inside the cell stands across that direction, and only there does its place
	// count.
	frontAxis []int8
	faceT     func(cell int, side block.Side) (float64, bool) // temperature of a free face, K
}

func newNetwork(b *body, rec *receiver.Receiver) *network {
	n := &network{b: b, pad: b.nx * b.ny, constant: true, hint: make([]int32, len(b.runs)), most: make([]float64, b.nz)}
	size := b.n + 2*n.pad
	n.gx, n.gy, n.gz = make([]float32, size), make([]float32, size), make([]float32, size)
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
	if !n.constant {
		n.T = make([]float64, b.n)
		n.upTo[0] = make([]float64, b.n)
		n.upTo[1], n.upTo[2] = n.upTo[0], n.upTo[0]
		if anisotropic {
			n.upTo[1], n.upTo[2] = make([]float64, b.n), make([]float64, b.n)
		}
	}
	if n.sharp {
		n.phase, n.frontAxis = make([]int8, b.n), make([]int8, b.n)
	}
	for a := range 3 {
		for i := range b.g.N(block.Axis(a)) {
			n.size[a] = append(n.size[a], b.g.Size(block.Axis(a), i))
		}
	}
	for _, r := range b.runs {
		if tab := &n.tables[r.medium]; tab.fixed {
			for c := r.from; c < r.to; c++ {
				n.k[0][c], n.k[1][c], n.k[2][c] = tab.solid[0][0], tab.solid[1][0], tab.solid[2][0]
			}
		}
	}
	n.cells.plane, n.fronts.plane, n.links.plane, n.rows.plane = n.cellsPlane, n.frontsPlane, n.linksPlane, n.rowsPlane
	return n
}

// update computes every conductance for the enthalpies h + ahead·rate, a prediction of the middle of the coming
// step, which keeps the scheme of second order where conductivities vary.
func (n *network) update(t *team, h, rate []float64, ahead float64) {
	if n.ready && (n.constant || n.held) {
		return
	}
	n.h, n.rate, n.ahead = h, rate, ahead
	if !n.constant {
		t.each(&n.cells)
	}
	if n.sharp {
		t.each(&n.fronts)
	}
	t.each(&n.links)
	n.ready = true
}

// at returns the foretold specific enthalpy of a cell.
func (n *network) at(c int) float64 { return n.h[c] + n.ahead*n.rate[c] }

// cellsPlane sets the foretold temperature of every cell of plane k, its conductivity and that one's integral.
func (n *network) cellsPlane(k int) {
	b := n.b
	for q := b.planeRuns[k]; q < b.planeRuns[k+1]; q++ {
		r := &b.runs[q]
		from, to := int(r.from), int(r.to)
		tab, e := &n.tables[r.medium], b.enthalpy[r.medium]
		T, h, rate := n.T[from:to], n.h[from:to], n.rate[from:to]
		for i := range T {
			T[i] = h[i] + n.ahead*rate[i]
		}
		if tab.sharp {
			phase := n.phase[from:to]
			for i, x := range T {
				switch {
				case x >= e.Hl:
					phase[i] = 1
				case x <= e.Hs:
					phase[i] = -1
				default:
					phase[i] = 0
				}
			}
		}
		n.hint[q] = b.readings[r.medium].read(T, T, n.hint[q])
		if tab.fixed {
			continue
		}
		for a := range 3 {
			if a > 0 && tab.same {
				if &n.k[a][0] != &n.k[0][0] {
					copy(n.k[a][from:to], n.k[0][from:to])
					copy(n.upTo[a][from:to], n.upTo[0][from:to])
				}
				continue
			}
			tab.follow(a, T, n.k[a][from:to], n.upTo[a][from:to])
			if tab.sharp {
				for i := range T {
					if c := from + i; n.phase[c] == 0 || math.Abs(T[i]-tab.fusion) < 1 { // the table has no step
						n.k[a][c] = tab.at(a, T[i], e.Melted(n.at(c)))
					}
				}
			}
		}
	}
}

// linksPlane sets the conductances of the cells of plane k to their next along each axis.
func (n *network) linksPlane(k int) {
	b := n.b
	nx, plane := b.nx, b.nx*b.ny
	dz := n.size[2][k]
	for j := range b.ny {
		dy := n.size[1][j]
		base := k*plane + j*nx
		for i := range nx {
			c := base + i
			if b.medium[c] < 0 {
				continue
			}
			dx := n.size[0][i]
			if i+1 < nx && b.medium[c+1] >= 0 {
				n.link(c, c+1, 0, dx, n.size[0][i+1], dy*dz, &n.gx[n.pad+c])
			}
			if j+1 < b.ny && b.medium[c+nx] >= 0 {
				n.link(c, c+nx, 1, dy, n.size[1][j+1], dx*dz, &n.gy[n.pad+c])
			}
			if k+1 < b.nz && b.medium[c+plane] >= 0 {
				n.link(c, c+plane, 2, dz, n.size[2][k+1], dx*dy, &n.gz[n.pad+c])
			}
		}
	}
}

// link sets the conductance between neighbours c and d along axis a: the two half cells in series, and beside them
// the tube walls that run through both. Between cells of one medium both half cells have the mean conductivity
// between their temperatures, so that the heat between them is that of Kirchhoff's transform, exact in one dimension
// whatever the conductivity does.
func (n *network) link(c, d, a int, lc, ld, area float64, g *float32) {
	mc, md := n.b.medium[c], n.b.medium[d]
	tc, td := &n.tables[mc], &n.tables[md]
	var v float64
	switch {
	case n.ready && tc.fixed && td.fixed && !tc.sharp && !td.sharp:
		return
	case !n.steady && (tc.sharp && n.phase[c] == 0 || td.sharp && n.phase[d] == 0 || mc == md && tc.sharp && n.phase[c] != n.phase[d]):
		v = n.besideFront(c, d, a, lc, ld, area)
	case mc == md && !tc.fixed:
		v = n.alike(c, d, a, lc, ld, area)
	default:
		v = area / (0.5*lc/n.k[a][c] + 0.5*ld/n.k[a][d])
	}
	if br := n.bridge[a]; br != nil && br[c] > 0 && br[d] > 0 {
		v += 1 / (0.5*lc/br[c] + 0.5*ld/br[d])
	}
	*g = float32(v)
}

// alike is the conductance between two cells of one medium whose conductivity varies.
func (n *network) alike(c, d, a int, lc, ld, area float64) float64 {
	if dT := n.T[d] - n.T[c]; math.Abs(dT) > leastSpan {
		if k := (n.upTo[a][d] - n.upTo[a][c]) / dT; k > 0 { // not a number beyond the tables' ends
			return k * area / (0.5 * (lc + ld))
		}
	}
	return area / (0.5*lc/n.k[a][c] + 0.5*ld/n.k[a][d])
}

// row returns the sum of all conductances of a cell in W/K, free faces and tubes left out.
func (n *network) row(c int) float64 {
	p := n.pad + c
	return float64(n.gx[p]) + float64(n.gx[p-1]) + float64(n.gy[p]) + float64(n.gy[p-n.b.nx]) + float64(n.gz[p]) + float64(n.gz[p-n.pad])
}

// stiffness returns a bound on the spectral radius in 1/s by Gershgorin's circles: extra is what free faces and
// tubes add to a cell's row, in W/K.
func (n *network) stiffness(t *team, extra []float64) float64 {
	n.extra = extra
	t.each(&n.rows)
	rho := 0.0
	for _, v := range n.most {
		rho = math.Max(rho, v)
	}
	return rho
}

func (n *network) rowsPlane(k int) {
	b := n.b
	most := 0.0
	for _, r := range b.runs[b.planeRuns[k]:b.planeRuns[k+1]] {
		s := n.ratio[r.medium]
		for c := int(r.from); c < int(r.to); c++ {
			if v := (2*n.row(c) + n.extra[c]) * float64(b.minv[c]) * s; v > most {
				most = v
			}
		}
	}
	n.most[k] = most
}

// across returns the conductivity across a tube along axis a in cell c: the geometric mean of the two
// directions, as the spreading resistance of an anisotropic medium asks (Peaceman, SPE J. 23 (1983) 531).
func (n *network) across(c int, a block.Axis) float64 {
	u, v := (a+1)%3, (a+2)%3
	return math.Sqrt(n.k[u][c] * n.k[v][c])
}
