package heat

import (
	"math"
	"slices"

	"emberbank/block"
	"emberbank/kernel"
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
	T          []float64    // K, foretold, by cell, when its row last moved
	upTo       [3][]float64 // W/m, integral of the conductivity up to T; not a number beyond the tables
	fresh      []float64    // K, by cell: the temperatures foretold; T keeps those with which a row's links were found
	moved      []bool       // by row: whether it moved since its links were found
	stale      []bool       // by plane: whether links changed since most was found
	still      float64      // K, by which a row may move with its links as they were
	phase      []int8       // of cells that melt at one temperature: -1 frozen, 0 melting, 1 melted
	kind       [3][]int8    // what joins a cell to its next
	size       [3][]float64 // m, of the cells along each axis
	apart      [3][]float64 // m, between the centres of a cell and its next
	near       []float64    // 1/m, the inverse of that along depth
	most       []float64    // 1/s, by plane: the largest circle
	hint       []int32      // by run of cells: the arc of the curve that was last read
	h, rate    []float64    // J/kg, J/(kg s): of the update in hand
	ahead      float64      // s
	extra      []float64    // W/K, by cell: of the bound in hand
	loops      *kernel.Set
	zeros      []float64 // as many as a plane has cells

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
	n.gx, n.gy, n.gz = b.shelf.singles(size), b.shelf.singles(size), b.shelf.singles(size)
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
	n.k[0] = b.shelf.doubles(b.n)
	n.k[1], n.k[2] = n.k[0], n.k[0]
	if anisotropic {
		n.k[1], n.k[2] = b.shelf.doubles(b.n), b.shelf.doubles(b.n)
	}
	if !n.constant {
		n.T, n.fresh = b.shelf.doubles(b.n), b.shelf.doubles(b.n)
		n.upTo[0] = b.shelf.doubles(b.n)
		n.upTo[1], n.upTo[2] = n.upTo[0], n.upTo[0]
		if anisotropic {
			n.upTo[1], n.upTo[2] = b.shelf.doubles(b.n), b.shelf.doubles(b.n)
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
	n.moved, n.stale = make([]bool, b.ny*b.nz), make([]bool, b.nz)
	n.cells.plane, n.fronts.plane, n.links.plane, n.rows.plane = n.cellsPlane, n.frontsPlane, n.linksPlane, n.rowsPlane
	return n
}

// update computes the conductances for the enthalpies h + ahead·rate, a prediction of the middle of the coming
// step, which keeps the scheme of second order where conductivities vary. Rows of cells along depth whose temperatures
// moved by less than still, and whose neighbours' did, keep theirs.
func (n *network) update(t *team, h, rate []float64, ahead float64) {
	if n.ready && (n.constant || n.held) {
		return
	}
	b := n.b
	if !n.ready { // once the tubes are laid
		n.layKinds()
	}
	n.h, n.rate, n.ahead = h, rate, ahead
	if !n.constant {
		t.each(&n.cells)
	}
	if n.sharp {
		t.each(&n.fronts)
	}
	t.each(&n.links)
	for k := range b.nz {
		near := n.moved[max(0, k-1)*b.ny : min(b.nz, k+2)*b.ny]
		n.stale[k] = n.stale[k] || !n.ready || slices.Contains(near, true)
	}
	n.ready = true
	clear(n.moved)
}

// temperature returns what cell c has at the enthalpy h + ahead·rate in K: as fresh has it, which may be nil.
func (n *network) temperature(c int, h, rate []float64, ahead float64, fresh []float64) float64 {
	if fresh != nil {
		return fresh[c]
	}
	return n.b.readings[n.b.medium[c]].at(h[c] + ahead*rate[c])
}

// at returns the foretold specific enthalpy of a cell.
func (n *network) at(c int) float64 { return n.h[c] + n.ahead*n.rate[c] }

// cellsPlane sets the foretold temperature of every cell of plane k, and where a row's temperatures moved enough, its
// conductivities and their integrals.
func (n *network) cellsPlane(k int) {
	b := n.b
	moved := n.moved[k*b.ny : (k+1)*b.ny]
	if !n.ready {
		for j := range moved {
			moved[j] = true
		}
	}
	plane, still := k*n.pad, n.still
	if n.steady {
		still = 0
	}
	for q := b.planeRuns[k]; q < b.planeRuns[k+1]; q++ {
		r := &b.runs[q]
		from, to := int(r.from), int(r.to)
		T, h, rate := n.fresh[from:to], n.h[from:to], n.rate[from:to]
		n.loops.Triad(T, h, rate, n.ahead)
		if n.tables[r.medium].sharp {
			n.phases(r, moved, plane)
		}
		n.hint[q] = b.readings[r.medium].readSum(n.loops, T, T, n.zeros[:len(T)], n.hint[q])
	}
	for j := range moved {
		from, to := plane+j*b.nx, plane+(j+1)*b.nx
		fresh, T := n.fresh[from:to], n.T[from:to]
		moved[j] = moved[j] || n.loops.Apart(fresh, T) > still
		if moved[j] {
			copy(T, fresh)
		}
	}
	for q := b.planeRuns[k]; q < b.planeRuns[k+1]; q++ {
		r := &b.runs[q]
		if tab := &n.tables[r.medium]; tab.fixed || !slices.Contains(moved[(int(r.from)-plane)/b.nx:(int(r.to)-1-plane)/b.nx+1], true) {
			continue
		}
		n.conduct(r)
	}
}

// phases sets the phases of a run of a medium that melts at one temperature, while fresh still holds enthalpies.
func (n *network) phases(r *span, moved []bool, plane int) {
	e := n.b.enthalpy[r.medium]
	for c := int(r.from); c < int(r.to); c++ {
		phase := int8(0)
		switch x := n.fresh[c]; {
		case x >= e.Hl:
			phase = 1
		case x <= e.Hs:
			phase = -1
		}
		if phase == 0 || phase != n.phase[c] {
			n.phase[c] = phase
			moved[(c-plane)/n.b.nx] = true
		}
	}
}

// conduct sets the conductivities of a run and their integrals.
func (n *network) conduct(r *span) {
	from, to := int(r.from), int(r.to)
	tab, e := &n.tables[r.medium], n.b.enthalpy[r.medium]
	T := n.T[from:to]
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

// What joins a cell to its next along an axis.
const (
	apart    int8 = iota // no solid there
	unmoved              // both conductivities are fixed: set once
	oneKind              // one medium whose conductivity varies
	twoKinds             // two media
	inside               // one medium that melts at one temperature: a front may stand between or in one of them
	maybe                // two media: a front may stand in one of them
	bridged              // beside tube walls that run through both
)

// layKinds tells for every cell and axis what joins it to its next, and sets what never moves.
func (n *network) layKinds() {
	b := n.b
	next := [3]int{1, b.nx, n.pad}
	for a := range 3 {
		n.kind[a] = make([]int8, b.n)
		N := b.g.N(block.Axis(a))
		n.apart[a] = make([]float64, N)
		for i := range N - 1 {
			n.apart[a][i] = 0.5 * (n.size[a][i] + n.size[a][i+1])
		}
	}
	n.near = make([]float64, b.nx)
	for i, d := range n.apart[0][:b.nx-1] {
		n.near[i] = 1 / d
	}
	counts := [3]int{b.nx, b.ny, b.nz}
	at := [3]int{-1}
	for c := range b.n {
		if at[0]++; at[0] == b.nx {
			at[0] = 0
			if at[1]++; at[1] == b.ny {
				at[1], at[2] = 0, at[2]+1
			}
		}
		if b.medium[c] < 0 {
			continue
		}
		for a := range 3 {
			if at[a]+1 == counts[a] || b.medium[c+next[a]] < 0 {
				continue
			}
			mc, md := b.medium[c], b.medium[c+next[a]]
			tc, td := &n.tables[mc], &n.tables[md]
			br := n.bridge[a]
			switch {
			case br != nil && br[c] > 0 && br[c+next[a]] > 0:
				n.kind[a][c] = bridged
			case tc.sharp && mc == md:
				n.kind[a][c] = inside
			case tc.sharp || td.sharp:
				n.kind[a][c] = maybe
			case tc.fixed && td.fixed:
				n.kind[a][c] = unmoved
			case mc == md:
				n.kind[a][c] = oneKind
			default:
				n.kind[a][c] = twoKinds
			}
		}
	}
}

// linksPlane sets the conductances of the cells of plane k to their next along each axis.
func (n *network) linksPlane(k int) {
	b := n.b
	nx, plane := b.nx, n.pad
	X, dz := n.size[0], n.size[2][k]
	first := !n.ready
	for j := range b.ny {
		row := k*b.ny + j
		if !first && !n.moved[row] && !(j+1 < b.ny && n.moved[row+1]) && !(k+1 < b.nz && n.moved[row+b.ny]) {
			continue
		}
		c := k*plane + j*nx
		dy := n.size[1][j]
		p := plane + c
		n.linkRow(n.gx[p:p+nx], 0, c, 1, n.near, dy*dz, j, k)
		if j+1 < b.ny {
			n.linkRow(n.gy[p:p+nx], 1, c, nx, X, dz/n.apart[1][j], j, k)
		}
		if k+1 < b.nz {
			n.linkRow(n.gz[p:p+nx], 2, c, plane, X, dy/n.apart[2][k], j, k)
		}
	}
}

// linkRow sets the conductances g of a row of cells from c on to their next along axis a, which lie step cells on. The
// area between two of them over the distance of their centres is shape times factor. What most cells need stands here;
// link knows the rest.
func (n *network) linkRow(g []float32, a, c, step int, shape []float64, factor float64, j, k int) {
	if a == 0 {
		g = g[:len(g)-1] // the last has no next
	}
	on := c + step
	kinds, shape := n.kind[a][c:][:len(g)], shape[:len(g)]
	var T0, T1, up0, up1 []float64
	if !n.constant {
		T0, T1, up0, up1 = n.T[c:][:len(g)], n.T[on:][:len(g)], n.upTo[a][c:][:len(g)], n.upTo[a][on:][:len(g)]
	}
	k0, k1 := n.k[a][c:][:len(g)], n.k[a][on:][:len(g)]
	at := [3]int{0, j, k}
	for i, single := 0, 0; i < len(g); i++ {
		if i >= single { // a stretch that the kernel takes, up to the first link that it does not
			to := n.alikeTo(kinds, i, c, on)
			if to-i >= few {
				i += n.loops.Link(g[i:to], T0[i:to], T1[i:to], up0[i:to], up1[i:to], shape[i:to], factor, leastSpan)
			}
			if single = min(to, i+few); i == len(g) {
				return
			}
		}
		at[0] = i
		switch kinds[i] {
		case apart:
			continue
		case unmoved:
			if n.ready {
				continue
			}
			lc, ld := n.size[a][at[a]], n.size[a][at[a]+1]
			g[i] = float32(2 * n.apart[a][at[a]] * (shape[i] * factor) * k0[i] * k1[i] / (lc*k1[i] + ld*k0[i]))
			continue
		case inside:
			if p := n.phase[c+i]; !n.steady && (p == 0 || p != n.phase[on+i]) {
				break
			}
			fallthrough
		case oneKind:
			if dT := T1[i] - T0[i]; dT > leastSpan || dT < -leastSpan {
				if v := (up1[i] - up0[i]) / dT * shape[i] * factor; v > 0 { // not a number beyond the tables' ends
					g[i] = float32(v)
					continue
				}
			}
			fallthrough
		case twoKinds:
			lc, ld := n.size[a][at[a]], n.size[a][at[a]+1]
			g[i] = float32(2 * n.apart[a][at[a]] * (shape[i] * factor) * k0[i] * k1[i] / (lc*k1[i] + ld*k0[i]))
			continue
		}
		area := 1.0
		for b := range 3 {
			if b != a {
				area *= n.size[b][at[b]]
			}
		}
		g[i] = float32(n.link(kinds[i], c+i, on+i, a, n.size[a][at[a]], n.size[a][at[a]+1], n.apart[a][at[a]], area))
	}
}

// alikeTo returns up to where the links of a row, from entry i on, join cells of one medium and phase whose conductivity
// varies; the row's cells begin with c, those that they are joined to with on.
func (n *network) alikeTo(kinds []int8, i, c, on int) int {
	for ; i < len(kinds); i++ {
		switch kinds[i] {
		case oneKind:
		case inside:
			if p := n.phase[c+i]; !n.steady && (p == 0 || p != n.phase[on+i]) {
				return i
			}
		default:
			return i
		}
	}
	return i
}

// link returns the conductance between neighbours c and d along axis a: the two half cells in series, and beside
// them the tube walls that run through both. Between cells of one medium both half cells have the mean conductivity
// between their temperatures, so that the heat between them is that of Kirchhoff's transform, exact in one dimension
// whatever the conductivity does.
func (n *network) link(kind int8, c, d, a int, lc, ld, between, area float64) (v float64) {
	mc, md := n.b.medium[c], n.b.medium[d]
	tc, td := &n.tables[mc], &n.tables[md]
	switch {
	case !n.steady && (tc.sharp && n.phase[c] == 0 || td.sharp && n.phase[d] == 0 || mc == md && tc.sharp && n.phase[c] != n.phase[d]):
		v = n.besideFront(c, d, a, lc, ld, area)
	case mc == md && !tc.fixed:
		v = n.alike(c, d, a, lc, ld, between, area)
	default:
		v = n.series(c, d, a, lc, ld, area)
	}
	if kind == bridged {
		br := n.bridge[a]
		v += 1 / (0.5*lc/br[c] + 0.5*ld/br[d])
	}
	return v
}

// alike is the conductance between two cells of one medium whose conductivity varies.
func (n *network) alike(c, d, a int, lc, ld, between, area float64) float64 {
	up := n.upTo[a]
	if dT := n.T[d] - n.T[c]; dT > leastSpan || dT < -leastSpan {
		if g := (up[d] - up[c]) * area / (dT * between); g > 0 { // not a number beyond the tables' ends
			return g
		}
	}
	return n.series(c, d, a, lc, ld, area)
}

// series is the conductance of two half cells, each with its own conductivity.
func (n *network) series(c, d, a int, lc, ld, area float64) float64 {
	kc, kd := n.k[a][c], n.k[a][d]
	return 2 * area * kc * kd / (lc*kd + ld*kc)
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
	n.extra = nil
	for k := range n.stale {
		n.stale[k] = true // most counts extra
	}
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
			v := 2 * n.row(c)
			if n.extra != nil {
				v += n.extra[c]
			}
			if v *= float64(b.minv[c]) * s; v > most {
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

// across is the same of a medium at the temperature T (K), in the phase that belongs to it.
func (c *conductivity) across(a block.Axis, T float64) float64 {
	u, v := (a+1)%3, (a+2)%3
	f := 0.0
	if c.melts && T > c.fusion {
		f = 1
	}
	return math.Sqrt(c.at(int(u), T, f) * c.at(int(v), T, f))
}
