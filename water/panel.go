package water

import "math"

// nodes is the number of places of a panel at which the equations are evaluated.
const nodes = 8

// polynomial is Σ c[i] t^i, with t within 0..1 over the panel.
type polynomial [nodes]float64

// at and slope give the value and its derivative by t. Pairs are summed first, which a processor does side by side.
func (c *polynomial) at(t float64) float64 {
	u := t * t
	return (c[0] + c[1]*t) + (c[2]+c[3]*t)*u + ((c[4]+c[5]*t)+(c[6]+c[7]*t)*u)*(u*u)
}

func (c *polynomial) slope(t float64) float64 {
	u := t * t
	return (c[1] + 2*c[2]*t) + (3*c[3]+4*c[4]*t)*u + ((5*c[5]+6*c[6]*t)+7*c[7]*u)*(u*u)
}

// panel is a stretch of enthalpy over which each property is one polynomial.
type panel struct {
	low, inv float64 // J/kg, kg/J: of the start, and 1 over the length

	T, v, s    polynomial
	rate       polynomial // 1/cp, kg K/J
	fluidity   polynomial // 1/μ, 1/(Pa s)
	background polynomial // of the conductivity, W/(m K)
	excess     polynomial // Δχ of the conductivity's critical part
	critical   polynomial // that part over √Δχ
}

// leastExcess bounds Δχ from below where the critical part is divided by its root.
const leastExcess = 1e-5

// newPanel lays the polynomials through eight states of rising enthalpy.
func newPanel(f *[nodes]phase) panel {
	b := panel{low: f[0].h, inv: 1 / (f[nodes-1].h - f[0].h)}
	var t [nodes]float64
	for i := range f {
		q := &f[i]
		t[i] = (q.h - b.low) * b.inv
		rho := 1 / q.v
		b.T[i], b.v[i], b.s[i], b.rate[i] = q.T, q.v, q.s, 1/q.cp
		mu := viscosity(rho, q.T)
		b.fluidity[i] = 1 / mu
		b.background[i] = conductivityBackground(rho, q.T)
		e := compressibilityExcess(rho, q.T, q.drhodp)
		b.excess[i] = e
		e = math.Max(e, leastExcess)
		b.critical[i] = conductivityEnhancement(e, rho, q.T, q.cp, q.cv, mu) / math.Sqrt(e)
	}
	// Newton's divided differences, then powers of t. The reciprocals serve all properties.
	var over [nodes][nodes]float64
	for k := 1; k < nodes; k++ {
		for i := k; i < nodes; i++ {
			over[k][i] = 1 / (t[i] - t[i-k])
		}
	}
	for _, c := range []*polynomial{&b.T, &b.v, &b.s, &b.rate, &b.fluidity, &b.background, &b.excess, &b.critical} {
		for k := 1; k < nodes; k++ {
			for i := nodes - 1; i >= k; i-- {
				c[i] = (c[i] - c[i-1]) * over[k][i]
			}
		}
		for k := nodes - 2; k >= 0; k-- {
			for i := k; i < nodes-1; i++ {
				c[i] -= t[k] * c[i+1]
			}
		}
	}
	return b
}

// branch is the table of the liquid or of the vapour: panels in rising enthalpy.
type branch struct {
	low, high    float64 // J/kg
	cold, hot    float64 // K
	panels       []panel
	byH, byT     steps
	fromH, fromT []float64 // where each panel but the first starts
}

// steps finds a panel: for each of equal steps, the first that may hold it.
type steps struct {
	low, perStep float64
	first        [64]uint8
}

func (s *steps) lay(low, high float64, from []float64) {
	s.low, s.perStep = low, float64(len(s.first))/(high-low)
	i := 0
	for k := range s.first {
		for i < len(from) && from[i] <= low+float64(k)/s.perStep {
			i++
		}
		s.first[k] = uint8(max(i-1, 0))
	}
}

// find returns the panel that holds x.
func (s *steps) find(x float64, from []float64) int {
	i := int(s.first[min(max(int((x-s.low)*s.perStep), 0), len(s.first)-1)])
	for i < len(from) && from[i] <= x {
		i++
	}
	return i
}

// join appends panels; where they meet others at a border of regions, whose enthalpies step, the mean parts them.
func (b *branch) join(more []panel, from, to phase) {
	if len(b.panels) == 0 {
		b.low, b.cold = from.h, from.T
	} else {
		b.fromH = append(b.fromH, 0.5*(b.high+from.h))
		b.fromT = append(b.fromT, from.T)
	}
	for i := 1; i < len(more); i++ {
		b.fromH = append(b.fromH, more[i].low)
		b.fromT = append(b.fromT, more[i].T[0])
	}
	b.panels = append(b.panels, more...)
	b.high, b.hot = to.h, to.T
}

func (b *branch) index() {
	b.byH.lay(b.low, b.high, b.fromH)
	b.byT.lay(b.cold, b.hot, b.fromT)
}

// places are the nodes of a panel over 0..1: the extremes of a Chebyshev polynomial.
var places = func() (x [nodes]float64) {
	for i := range x {
		x[i] = 0.5 - 0.5*math.Cos(math.Pi*float64(i)/(nodes-1))
	}
	x[nodes-1] = 1
	return x
}()

// crowding is where n panels end: their lengths grow by the same amount from one to the next, away from the start or
// from the end. first is the shortest's over the mean length, less 1/n.
type crowding struct {
	n       int
	first   float64
	fromEnd bool
}

// end returns the end of panel i, as a share of the whole.
func (c crowding) end(i int) float64 {
	x := float64(i) / float64(c.n)
	if c.fromEnd {
		x = 1 - x
		return 1 - x*(c.first+(1-c.first)*x)
	}
	return x * (c.first + (1-c.first)*x)
}

// alongTemperature lays panels from the state a to b, with nodes set by temperature: one evaluation each.
func alongTemperature(basic func(T float64) phase, a, b phase, c crowding) []panel {
	n := c.n
	panels := make([]panel, n)
	end := func(i int) float64 { return a.T + (b.T-a.T)*c.end(i) }
	var f [nodes]phase
	f[nodes-1] = a
	for i := range panels {
		f[0] = f[nodes-1]
		low, high := f[0].T, end(i+1)
		for k := 1; k < nodes-1; k++ {
			f[k] = basic(low + (high-low)*places[k])
		}
		if f[nodes-1] = b; i < n-1 {
			f[nodes-1] = basic(high)
		}
		panels[i] = newPanel(&f)
	}
	return panels
}

// alongEnthalpy lays panels of region 3 at p from the state a to b, with nodes set by enthalpy, for near the critical
// point enthalpy runs away from temperature. dense tells which side of saturation they are on, as for density3.
func alongEnthalpy(p float64, a, b phase, c crowding, dense bool) []panel {
	n := c.n
	panels := make([]panel, n)
	end := func(i int) float64 { return a.h + (b.h-a.h)*c.end(i) }
	var f [nodes]phase
	f[nodes-1] = a
	last, T, v := a, 0.0, 0.0 // the state before, and the slopes by enthalpy there
	T, v = 1/a.cp, a.dvdT/a.cp
	for i := range panels {
		f[0] = f[nodes-1]
		low, high := f[0].h, end(i+1)
		for k := 1; k < nodes; k++ {
			h := low + (high-low)*places[k]
			next, ok := b, i == n-1 && k == nodes-1
			if !ok {
				step := h - last.h
				next, ok = newton3(p, h, byEnthalpy, 1/(last.v+v*step), last.T+T*step, &a, &b)
			}
			if !ok {
				next = invert3(p, h, byEnthalpy, &a, &b, dense)
			}
			next.h = h
			last, f[k] = next, next
			T, v = 1/next.cp, next.dvdT/next.cp
		}
		if i == n-1 {
			f[nodes-1] = b
		}
		panels[i] = newPanel(&f)
	}
	return panels
}
