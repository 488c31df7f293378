package block

import "math"

// patchMatrix is the conduction through the cells of a patch, ready to be solved for any factor on the links.
// The tube's wall is at 0; beyond the patch's edge stands the exact field.
type patchMatrix struct {
	n, band int
	a       []float64 // lower band by rows: a[i*(band+1)+band-(i-j)] is element (i, j)
	rhs     []float64
	link    []float64 // nominal shape by cell
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
	edge := func(p int, g, t float64) {
		if gone[p] {
			return
		}
		m.a[p*w+m.band] += g
		m.rhs[p] += g * t
	}
	last := func(l []float64, i int) float64 { return l[i+1] - l[i] }
	for j := 0; j < c.ny; j++ {
		for i := 0; i < c.nx; i++ {
			p := i + c.nx*j
			wx, wy := last(c.x, i), last(c.y, j)
			if i+1 < c.nx {
				couple(p, p+1, c.kx*wy/(c.cx(i+1)-c.cx(i)))
			} else {
				edge(p, c.kx*wy/wx, c.exact(c.cx(i)+wx, c.cy(j)))
			}
			if i == 0 {
				edge(p, c.kx*wy/wx, c.exact(c.cx(i)-wx, c.cy(j)))
			}
			if j+1 < c.ny {
				couple(p, p+c.nx, c.ky*wx/(c.cy(j+1)-c.cy(j)))
			} else {
				edge(p, c.ky*wx/wy, c.exact(c.cx(i), c.cy(j)+wy))
			}
			if j == 0 {
				edge(p, c.ky*wx/wy, c.exact(c.cx(i), c.cy(j)-wy))
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
	w := m.band + 1
	l := append([]float64(nil), m.a...)
	for p, s := range m.link {
		l[p*w+m.band] += factor * s
	}
	// Cholesky within the band.
	for i := 0; i < m.n; i++ {
		row := l[i*w : i*w+w]
		lo := max(0, i-m.band)
		for j := lo; j <= i; j++ {
			other := l[j*w : j*w+w]
			s := row[m.band-(i-j)]
			for k := max(lo, j-m.band); k < j; k++ {
				s -= row[m.band-(i-k)] * other[m.band-(j-k)]
			}
			if j < i {
				row[m.band-(i-j)] = s / other[m.band]
			} else {
				row[m.band] = math.Sqrt(s)
			}
		}
	}
	solve := func(b []float64) []float64 {
		x := append([]float64(nil), b...)
		for i := 0; i < m.n; i++ {
			for j := max(0, i-m.band); j < i; j++ {
				x[i] -= l[i*w+m.band-(i-j)] * x[j]
			}
			x[i] /= l[i*w+m.band]
		}
		for i := m.n - 1; i >= 0; i-- {
			x[i] /= l[i*w+m.band]
			for j := max(0, i-m.band); j < i; j++ {
				x[j] -= l[i*w+m.band-(i-j)] * x[i]
			}
		}
		return x
	}
	t, e := solve(m.rhs), solve(m.link)
	for p, s := range m.link {
		flow += factor * s * t[p]
		slope += s * t[p] * (1 - factor*e[p])
	}
	return flow, slope
}
