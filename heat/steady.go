package heat

import (
	"context"
	"fmt"
	"math"

	"emberbank/duty"
)

// steady solves for the state in which every cell's heat flows balance, under the duty at time 0.
//
// Newton's method on the temperatures with the conductivities and films of the last iterate; each linear system
// (conduction, free faces, and the water that carries heat from tube to tube) is solved by BiCGStab (van der
// Vorst, SIAM J. Sci. Stat. Comput. 13 (1992) 631) with an incomplete Cholesky factor of conduction and faces
// as preconditioner (Meijerink & van der Vorst, Math. Comput. 31 (1977) 148).
func (m *march) steady(ctx context.Context) (*Result, error) {
	m.apply(m.player.Fire(0))
	if err := m.water(true); err != nil {
		return nil, err
	}
	s := m.s
	m.net.steady = true
	q := newSteadySystem(m)
	scale := 0.0
	change := inf
	for it := 0; ; it++ {
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("solving for the steady state, iteration %d: %w", it, err)
		}
		if it > 300 {
			return nil, fmt.Errorf("the steady state was not found in 300 iterations: the last changed temperatures by %.3g K; march in time instead (until: a time)", change)
		}
		if err := m.balanceAt(q); err != nil {
			return nil, err
		}
		most := 0.0
		for c := range s.b.n {
			most = math.Max(most, math.Abs(q.residual[c]))
		}
		scale = 0
		for i := range s.r.slices {
			scale += math.Abs(s.rr[i])
		}
		for i := s.r.slices; i < s.r.n; i++ {
			scale += math.Abs(s.rr[i])
		}
		if change < 1e-7 && most <= 1e-11*scale || scale == 0 && most == 0 {
			break
		}
		if !q.held() {
			return nil, fmt.Errorf("there is no steady state: nothing leads heat out of the body (every side is adiabatic and no tube takes heat)")
		}
		q.factor()
		if err := q.solve(); err != nil {
			return nil, err
		}
		m.steps++
		change = 0
		for c := range s.b.n {
			if s.b.medium[c] < 0 {
				continue
			}
			d := clamp(q.x[c], -300, 300)
			change = math.Max(change, math.Abs(d))
			T := math.Max(1, s.t0[s.pad+c]+d)
			q.T[c] = T
			s.y0[c] = s.b.enthalpy[s.b.medium[c]].Of(T)
		}
		m.net.held = m.net.held || change < 1e-4 && it > 3
		if change < 1e-7 && it > 3 && most <= 1e-8*scale+m.net.rounding() {
			break
		}
		if m.p.Progress != nil {
			m.p.Progress(0)
		}
	}
	m.player.Judge(0, m.watch)
	m.warnFilms()
	for _, w := range m.streams {
		w.lasts = w.state != duty.Drained
	}
	if err := m.present(); err != nil {
		return nil, err
	}
	// A steady state has no history: the ledger's amounts are heat flow rates.
	copy(m.total, m.rec.present.rates)
	if p := m.skin.pane; p != nil {
		m.rec.paneLost, _ = p.loss(p.T)
		m.rec.paneLight = p.absorbed
	}
	for i, w := range m.streams {
		m.rec.uses[i].count(w, m.tubes, 0, func(slice int) float64 { return m.tubes.slices[slice].heat })
		w.carried = 0
		for _, si := range w.slices {
			w.carried += m.tubes.slices[si].heat
		}
	}
	m.rec.start = m.rec.present.content
	for _, v := range m.total {
		m.moved += math.Abs(v)
	}
	m.rec.residual = math.Abs(m.rec.imbalance(m.rec.present.content.total())) / math.Max(m.moved, 1e-300)
	m.rec.watchLimits()
	m.rec.keepNow(keep{row: true, profile: true})
	m.rec.kept = append(m.rec.kept, m.field())
	res := m.rec.result()
	res.Ledger.Steady = true
	return res, nil
}

// rounding returns the heat flow, in W, that rounding alone leaves in a cell's balance: some last digits of a
// temperature over the largest row of conductances.
func (n *network) rounding() float64 {
	most := 0.0
	for c := range n.b.n {
		most = math.Max(most, n.row(c))
	}
	return 1e-12 * most
}

// balanceAt evaluates the residual and the linearised system at the present temperatures.
func (m *march) balanceAt(q *steadySystem) error {
	s := m.s
	clear(s.f1)
	m.readTemperatures()
	m.net.update(s.team, s.y0, s.f1, 0)
	m.tubes.couple(m.net)
	m.skin.couple(m.s.team, m.net, s.y0, s.f1, 0, nil, false)
	m.tubes.measure(s.t0, s.pad)
	w := WeatherAt(&m.p.Duty, 0)
	if err := m.flows(w.Tilt, 0); err != nil {
		return err
	}
	for _, st := range m.streams {
		if st.state == duty.Flowing {
			st.start(m.tubes)
		}
	}
	if p := m.skin.pane; p != nil {
		p.absorbed = m.inPane * m.lightAt(0)
	}
	m.skin.meet(w, m.player.Switches.CoverShut, 0, 0)
	if p := m.skin.pane; p != nil {
		p.T = p.ahead
	}
	for i, on := range m.player.Switches.Heaters {
		s.heaters[i] = 0
		if on {
			s.heaters[i] = m.p.Duty.Heaters[i].At(0)
		}
	}
	s.light = m.perWatt * m.lightAt(0)
	s.tau = 0
	s.skin.expand(s, 0, s.light, m.mayShine(), nil)
	s.evaluate(q.residual, s.rr, true)
	for c := range s.b.n {
		if s.b.medium[c] >= 0 {
			q.residual[c] *= s.b.mass[c]
		} else {
			q.residual[c] = 0
		}
	}
	q.linearise()
	return nil
}

// steadySystem is the linear system for the change of temperature x: A x = residual, with A the negative of the
// residual's derivative.
type steadySystem struct {
	m            *march
	residual, x  []float64 // W, K
	T            []float64
	diag, pivot  []float64 // W/K
	r, rh, p, v  []float64
	s, t, ph, sh []float64
	tubes        float64 // W/K, all that tubes add
	faces        float64
	pad          []float64 // padded copy of a vector for the stencil
}

func newSteadySystem(m *march) *steadySystem {
	q := &steadySystem{m: m}
	for _, v := range []*[]float64{&q.residual, &q.x, &q.T, &q.diag, &q.pivot, &q.r, &q.rh, &q.p, &q.v, &q.s, &q.t, &q.ph, &q.sh} {
		*v = make([]float64, m.b.n)
	}
	q.pad = make([]float64, m.b.n+2*m.s.pad)
	return q
}

// linearise sets the diagonal: conduction and free faces; tubes act in apply and, roughly, in the factor.
func (q *steadySystem) linearise() {
	m := q.m
	b, s := m.b, m.s
	for c := range q.diag {
		q.diag[c] = m.net.row(c)
	}
	q.faces, q.tubes = 0, 0
	for i := range b.faces {
		f := &b.faces[i]
		g := s.skin.half[i]
		if c := &s.skin.conds[f.patch]; !c.fixed {
			T := s.skin.T[i]
			out := f.area * (c.h + 4*c.eps*5.670374419e-8*T*T*T)
			g = g * out / (g + out)
		}
		q.diag[f.cell] += g
		q.faces += g
	}
	for i := range m.tubes.slices {
		q.tubes += m.tubes.slices[i].u
	}
}

// held tells whether anything fixes the level of the temperatures.
func (q *steadySystem) held() bool { return q.faces+q.tubes > 0 }

// factor computes the incomplete Cholesky pivots.
func (q *steadySystem) factor() {
	m := q.m
	b, n := m.b, m.net
	plane := b.nx * b.ny
	extra := make([]float64, b.n)
	for i := range m.tubes.links {
		l := &m.tubes.links[i]
		s := &m.tubes.slices[l.slice]
		extra[l.cell] += l.k
		for a, w := range s.way {
			extra[l.cell] += w * l.side[a] * l.side[a]
		}
	}
	for c := range b.n {
		if b.medium[c] < 0 {
			q.pivot[c] = 1
			continue
		}
		d := q.diag[c] + extra[c]
		p := n.pad + c
		if g := float64(n.gx[p-1]); g > 0 {
			d -= g * g / q.pivot[c-1]
		}
		if g := float64(n.gy[p-b.nx]); g > 0 {
			d -= g * g / q.pivot[c-b.nx]
		}
		if g := float64(n.gz[p-plane]); g > 0 {
			d -= g * g / q.pivot[c-plane]
		}
		q.pivot[c] = math.Max(d, 1e-12*q.diag[c]+1e-300)
	}
}

// precondition solves L D Lᵀ z = r.
func (q *steadySystem) precondition(z, r []float64) {
	b, n := q.m.b, q.m.net
	plane := b.nx * b.ny
	for c := range b.n {
		p := n.pad + c
		x := r[c]
		if g := float64(n.gx[p-1]); g > 0 {
			x += g * z[c-1]
		}
		if g := float64(n.gy[p-b.nx]); g > 0 {
			x += g * z[c-b.nx]
		}
		if g := float64(n.gz[p-plane]); g > 0 {
			x += g * z[c-plane]
		}
		z[c] = x / q.pivot[c]
	}
	for c := b.n - 1; c >= 0; c-- {
		p := n.pad + c
		x := 0.0
		if g := float64(n.gx[p]); g > 0 {
			x += g * z[c+1]
		}
		if g := float64(n.gy[p]); g > 0 {
			x += g * z[c+b.nx]
		}
		if g := float64(n.gz[p]); g > 0 {
			x += g * z[c+plane]
		}
		z[c] += x / q.pivot[c]
	}
}

// apply computes out = A v, the water's share included: what a warmer cell gives to a tube warms the water that
// reaches the cells downstream.
func (q *steadySystem) apply(out, v []float64) {
	m := q.m
	b, n := m.b, m.net
	plane := b.nx * b.ny
	x := q.pad
	copy(x[n.pad:], v)
	m.s.team.run(func(k0, k1 int) {
		for c := k0 * plane; c < k1*plane; c++ {
			p := n.pad + c
			out[c] = q.diag[c]*v[c] - float64(n.gx[p-1])*x[p-1] - float64(n.gx[p])*x[p+1] -
				float64(n.gy[p-b.nx])*x[p-b.nx] - float64(n.gy[p])*x[p+b.nx] -
				float64(n.gz[p-plane])*x[p-plane] - float64(n.gz[p])*x[p+plane]
		}
	})
	change := func(s *slice, dh, u, flow, slope float64) (next float64) {
		mean, weight := 0.0, 0.0
		var round [2]float64
		for i := s.first; i < s.last; i++ {
			l := &m.tubes.links[i]
			mean += l.g * v[l.cell]
			weight += l.g
			for a := range round {
				round[a] += s.way[a] * l.side[a] * v[l.cell]
			}
		}
		if weight > 0 {
			mean /= weight
		}
		heat := u * mean
		next = dh
		if flow > 0 {
			if slope > 0 {
				u = effective(u, flow/slope)
			}
			next = (flow*dh + u*mean) / (flow + u*slope)
			heat = flow * (next - dh)
		}
		for i := s.first; i < s.last; i++ {
			l := &m.tubes.links[i]
			out[l.cell] += l.share*heat + l.k*(v[l.cell]-mean) + l.side[0]*round[0] + l.side[1]*round[1]
		}
		return next
	}
	for _, w := range m.streams {
		dh := 0.0
		for i, si := range w.slices {
			s := &m.tubes.slices[si]
			if w.state != duty.Flowing { // water that stands takes no heat any more, but the hole is there
				change(s, 0, 0, 0, 0)
				continue
			}
			dh = change(s, dh, s.u, w.flow, w.at[i].slope(w.h[i]))
		}
	}
	for _, si := range m.tubes.fixed {
		s := &m.tubes.slices[si]
		change(s, 0, s.u, 0, 0)
	}
}

// solve finds x by BiCGStab.
func (q *steadySystem) solve() error {
	n := q.m.b.n
	dot := func(a, b []float64) float64 {
		s := 0.0
		for i := range a {
			s += a[i] * b[i]
		}
		return s
	}
	clear(q.x)
	copy(q.r, q.residual)
	copy(q.rh, q.r)
	clear(q.p)
	clear(q.v)
	start := math.Sqrt(dot(q.r, q.r))
	if start == 0 {
		return nil
	}
	rho, alpha, omega, norm := 1.0, 1.0, 1.0, start*start
	from := start // of the residual from which directions are judged
	for it := 0; it < 5000; it++ {
		rho1 := dot(q.rh, q.r)
		beta := rho1 / rho * alpha / omega
		if it == 0 {
			beta = 0
		} else if math.Abs(rho1) <= 1e-14*from*math.Sqrt(norm) { // no way on from the first residual: begin anew
			copy(q.rh, q.r)
			rho1, from, beta = norm, math.Sqrt(norm), 0
		}
		rho = rho1
		for i := range n {
			q.p[i] = q.r[i] + beta*(q.p[i]-omega*q.v[i])
		}
		q.precondition(q.ph, q.p)
		q.apply(q.v, q.ph)
		alpha = rho / dot(q.rh, q.v)
		for i := range n {
			q.s[i] = q.r[i] - alpha*q.v[i]
		}
		q.precondition(q.sh, q.s)
		q.apply(q.t, q.sh)
		omega = dot(q.t, q.s) / math.Max(dot(q.t, q.t), 1e-300)
		norm = 0
		for i := range n {
			q.x[i] += alpha*q.ph[i] + omega*q.sh[i]
			q.r[i] = q.s[i] - omega*q.t[i]
			norm += q.r[i] * q.r[i]
		}
		q.m.s.evaluations++
		if math.Sqrt(norm) < 1e-10*start {
			return nil
		}
		if math.IsNaN(norm) || omega == 0 {
			break
		}
	}
	norm = math.Sqrt(dot(q.r, q.r))
	if norm < 1e-3*start { // enough for Newton's method to go on
		return nil
	}
	return fmt.Errorf("the linear system of the steady state did not converge: the residual fell only from %.3g to %.3g W", start, norm)
}
