package block

import "math"

// patchMatrix is the conduction through the cells of a patch that stay, before any link, ready to be linked to a tube in
// many ways. The tube's wall is at 0; beyond the patch's edge stands the exact field.
type patchMatrix struct {
	n, band int
	a       []float64         // see banded; factored once it is laid
	free    []float64         // temperature of each cell without links
	edges   []edge            // where the patch ends
	answers map[int][]float64 // that were asked for
}

// edge joins a cell to the field beyond the patch.
type edge struct {
	cell    int
	g, x, y float64
}

func newPatchMatrix(c *patch, removed []place) *patchMatrix {
	m := &patchMatrix{n: c.nx * c.ny, band: c.nx, answers: map[int][]float64{}}
	m.a = make([]float64, m.n*(m.band+1))
	rhs := make([]float64, m.n)
	gone := make([]bool, m.n)
	for _, q := range removed {
		gone[q.i+c.nx*q.j] = true
	}
	w := m.band + 1
	couple := func(p, q int, g float64) {
		if gone[p] || gone[q] {
			return
		}
		m.a[p*w+m.band] += g
		m.a[q*w+m.band] += g
		m.a[q*w+m.band-(q-p)] -= g
	}
	border := func(p int, g, x, y float64) {
		if gone[p] {
			return
		}
		m.a[p*w+m.band] += g
		rhs[p] += g * c.exact(x, y)
		m.edges = append(m.edges, edge{p, g, x, y})
	}
	last := func(l []float64, i int) float64 { return l[i+1] - l[i] }
	for j := 0; j < c.ny; j++ {
		for i := 0; i < c.nx; i++ {
			p := i + c.nx*j
			wx, wy := last(c.x, i), last(c.y, j)
			if i+1 < c.nx {
				couple(p, p+1, c.kx*wy/(c.cx(i+1)-c.cx(i)))
			} else {
				border(p, c.kx*wy/wx, c.cx(i)+wx, c.cy(j))
			}
			if i == 0 {
				border(p, c.kx*wy/wx, c.cx(i)-wx, c.cy(j))
			}
			if j+1 < c.ny {
				couple(p, p+c.nx, c.ky*wx/(c.cy(j+1)-c.cy(j)))
			} else {
				border(p, c.ky*wx/wy, c.cx(i), c.cy(j)+wy)
			}
			if j == 0 {
				border(p, c.ky*wx/wy, c.cx(i), c.cy(j)-wy)
			}
			if gone[p] {
				m.a[p*w+m.band] = 1
			}
		}
	}
	m.factor()
	m.free = m.solve(rhs)
	return m
}

// answer is the temperature of each cell per watt put into one of them, without links.
func (m *patchMatrix) answer(cell int) []float64 {
	t, known := m.answers[cell]
	if !known {
		one := make([]float64, m.n)
		one[cell] = 1
		t = m.solve(one)
		m.answers[cell] = t
	}
	return t
}

// linked is a patch with links from some of its cells to the tube. Links change the diagonal at their cells alone, so that
// what is asked for follows from the few cells that have one (the formula of Sherman, Morrison and Woodbury).
type linked struct {
	m     *patchMatrix
	cells []int
	shape []float64   // nominal, of each link
	free  []float64   // temperature without links, of each linked cell
	g     [][]float64 // temperature of one linked cell per watt put into another, without links
}

func (m *patchMatrix) linked(c *patch, links []reach) *linked {
	l := &linked{m: m}
	for _, k := range links {
		cell := k.i + c.nx*k.j
		l.cells, l.shape, l.free = append(l.cells, cell), append(l.shape, k.shape), append(l.free, m.free[cell])
	}
	for _, cell := range l.cells {
		t := m.answer(cell)
		row := make([]float64, len(l.cells))
		for i, other := range l.cells {
			row[i] = t[other]
		}
		l.g = append(l.g, row)
	}
	return l
}

// within solves for the temperatures of the linked cells, with a factor on the links, from those without links.
func (l *linked) within(factor float64, free ...[]float64) [][]float64 {
	k := len(l.cells)
	root := make([]float64, k)
	for i, s := range l.shape {
		root[i] = math.Sqrt(factor * s)
	}
	f := banded{k, k - 1, make([]float64, k*k)}
	for i := range k {
		for j := range i + 1 {
			f.l[i*k+k-1-(i-j)] = root[i] * l.g[i][j] * root[j]
		}
		f.l[i*k+k-1]++
	}
	f.factor()
	var out [][]float64
	for _, t := range free {
		y := make([]float64, k)
		for i := range k {
			y[i] = root[i] * t[i]
		}
		y = f.solve(y)
		for i := range k {
			y[i] /= root[i]
		}
		out = append(out, y)
	}
	return out
}

// pulled is the temperature of the linked cells where their links give a watt for each unit of shape, without links.
func (l *linked) pulled() []float64 {
	out := make([]float64, len(l.cells))
	for i, row := range l.g {
		for j, g := range row {
			out[i] += g * l.shape[j]
		}
	}
	return out
}

// flow returns the heat flow into the tube and its derivative by the factor on the links.
func (l *linked) flow(factor float64) (flow, slope float64) {
	t := l.within(factor, l.free, l.pulled())
	for i, s := range l.shape {
		flow += factor * s * t[0][i]
		slope += s * t[0][i] * (1 - factor*t[1][i])
	}
	return flow, slope
}

// influence is the heat flow into the tube, at 0, per watt put into each cell.
func (l *linked) influence() []float64 {
	out := make([]float64, l.m.n)
	t := l.within(1, l.pulled())[0]
	for i, cell := range l.cells {
		share := l.shape[i] * (1 - t[i])
		for p, a := range l.m.answer(cell) {
			out[p] += share * a
		}
	}
	return out
}

func (m *patchMatrix) factor() { banded{m.n, m.band, m.a}.factor() }

func (m *patchMatrix) solve(b []float64) []float64 { return banded{m.n, m.band, m.a}.solve(b) }

// banded is a symmetric matrix within its band, or its Cholesky factor: the lower band by rows, in which
// l[i*(band+1)+band-(i-j)] is element (i, j).
type banded struct {
	n, band int
	l       []float64
}

// factor decomposes the matrix in its place.
func (f banded) factor() {
	w, l := f.band+1, f.l
	for i := 0; i < f.n; i++ {
		row := l[i*w : i*w+w]
		lo := max(0, i-f.band)
		for j := lo; j < i; j++ {
			other := l[j*w : j*w+w]
			from := max(lo, j-f.band)
			s := row[f.band-(i-j)]
			mine := row[f.band-(i-from) : f.band-(i-j)]
			its := other[f.band-(j-from) : f.band]
			for k, v := range its {
				s -= mine[k] * v
			}
			row[f.band-(i-j)] = s / other[f.band]
		}
		s := row[f.band]
		for _, v := range row[f.band-(i-lo) : f.band] {
			s -= v * v
		}
		row[f.band] = math.Sqrt(s)
	}
}

func (f banded) solve(b []float64) []float64 {
	w := f.band + 1
	x := append([]float64(nil), b...)
	for i := 0; i < f.n; i++ {
		for j := max(0, i-f.band); j < i; j++ {
			x[i] -= f.l[i*w+f.band-(i-j)] * x[j]
		}
		x[i] /= f.l[i*w+f.band]
	}
	for i := f.n - 1; i >= 0; i-- {
		x[i] /= f.l[i*w+f.band]
		for j := max(0, i-f.band); j < i; j++ {
			x[j] -= f.l[i*w+f.band-(i-j)] * x[i]
		}
	}
	return x
}
