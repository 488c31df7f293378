package block

import "math"

// patchMatrix is the conduction through the cells of a patch, ready to be solved for any factor on the links.
// The tube's wall is at 0; beyond the patch's edge stands the exact field.
type patchMatrix struct {
	n, band int
	a       []float64 // lower band by rows: a[i*(band+1)+band-(i-j)] is element (i, j)
	rhs     []float64
	link    []float64 // nominal shape by cell
	edges   []edge    // where the patch ends
}

// edge joins a cell to the field beyond the patch.
type edge struct {
	cell    int
	g, x, y float64
}

func newPatchMatrix(c *patch, links []reach, removed []place) *patchMatrix {
	m := &patchMatrix{n: c.nx * c.ny, band: c.nx}
	m.a = make([]float64, m.n*(m.band+1))
	m.rhs = make([]float64, m.n)
	m.link = make([]float64, m.n)
	gone := make([]bool, m.n)
	for _, q := range removed {
		gone[q.i+c.nx*q.j] = true
	}
	for _, k := range links {
		m.link[k.i+c.nx*k.j] = k.shape
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
		m.rhs[p] += g * c.exact(x, y)
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
	return m
}

// flow solves the patch and returns the heat flow into the tube and its derivative by the factor on the links.
func (m *patchMatrix) flow(factor float64) (flow, slope float64) {
	f := m.factor(factor)
	t, e := f.solve(m.rhs), f.solve(m.link)
	for p, s := range m.link {
		flow += factor * s * t[p]
		slope += s * t[p] * (1 - factor*e[p])
	}
	return flow, slope
}

// influence is the heat flow into the tube, at 0, per watt put into each cell.
func (m *patchMatrix) influence() []float64 { return m.factor(1).solve(m.link) }

// banded is a Cholesky factor within its band.
type banded struct {
	n, band int
	l       []float64
}

// factor decomposes the matrix with a factor on the links.
func (m *patchMatrix) factor(factor float64) banded {
	w := m.band + 1
	l := append([]float64(nil), m.a...)
	for p, s := range m.link {
		l[p*w+m.band] += factor * s
	}
	for i := 0; i < m.n; i++ {
		row := l[i*w : i*w+w]
		lo := max(0, i-m.band)
		for j := lo; j < i; j++ {
			other := l[j*w : j*w+w]
			from := max(lo, j-m.band)
			s := row[m.band-(i-j)]
			mine := row[m.band-(i-from) : m.band-(i-j)]
			its := other[m.band-(j-from) : m.band]
			for k, v := range its {
				s -= mine[k] * v
			}
			row[m.band-(i-j)] = s / other[m.band]
		}
		s := row[m.band]
		for _, v := range row[m.band-(i-lo) : m.band] {
			s -= v * v
		}
		row[m.band] = math.Sqrt(s)
	}
	return banded{m.n, m.band, l}
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
