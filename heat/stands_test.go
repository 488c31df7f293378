package heat

import (
	"fmt"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
)

// stepping is a march of p that has made n steps of at most tau (s).
func stepping(t *testing.T, p *Problem, n int, tau float64) *march {
	t.Helper()
	m, err := newMarch(p)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(m.s.team.stop)
	m.apply(m.player.Fire(0))
	if err := m.water(true); err != nil {
		t.Fatal(err)
	}
	for range n {
		if err := m.step(m.t + tau); err != nil {
			t.Fatal(err)
		}
	}
	return m
}

// A refused attempt leaves nothing behind: the step that follows is the one that would have been made without it.
func TestARefusedAttemptLeavesNoTrace(t *testing.T) {
	for _, wild := range []bool{false, true} {
		p, q := b1(1), b1(1)
		for _, p := range []*Problem{&p, &q} {
			p.Grid.Counts = [3]int{8, 6, 6}
			m := &p.Receiver.Media[0]
			for a := range 3 {
				m.Conductivity[a], m.ConductivityMelted[a] = slanting(300, 400, 800, 40), slanting(300, 400, 800, 40)
			}
			p.every(1e6, 1e6)
			p.Output = p.Output[:1]
		}
		refused, direct := stepping(t, &p, 30, 5), stepping(t, &q, 30, 5)
		refused.wanted = 3000
		if wild { // as where a step was unstable
			tau := refused.fit(3000)
			if err := refused.prepare(tau); err != nil {
				t.Fatal(err)
			}
			refused.attempt(tau)
			for c := range refused.s.f1 {
				refused.s.f1[c] = math.NaN()
			}
			refused.refuse()
		}
		before := refused.rejected
		if err := refused.step(refused.t + 3000); err != nil {
			t.Fatal(err)
		}
		if refused.rejected == before {
			t.Fatal("no attempt was refused")
		}
		direct.wanted = refused.last.tau
		if err := direct.step(direct.t + refused.last.tau); err != nil {
			t.Fatal(err)
		}
		if direct.rejected != 0 || math.Abs(direct.last.tau-refused.last.tau) > 1e-9 {
			t.Fatalf("steps of %g s and %g s, %d refused", refused.last.tau, direct.last.tau, direct.rejected)
		}
		worst := 0.0
		for c := range direct.s.y0 {
			worst = math.Max(worst, math.Abs(direct.s.y0[c]-refused.s.y0[c]))
		}
		t.Logf("off by %.3g J/kg in a step of %.3g s", worst, direct.last.tau)
		if !(worst < 20) { // J/kg or mK: rows that moved by less than half the tolerance keep their conductances
			t.Errorf("wild %v: off by %.3g J/kg after a step of %.3g s", wild, worst, direct.last.tau)
		}
	}
}

// What keeps its conductances while it stands still has nearly those that it would be given anew: the heat between any
// two cells is that of a difference of temperature which is off by no more than what counts as standing still, on either
// side.
func TestKeptConductancesAreNearlyThoseOfTheMoment(t *testing.T) {
	for _, seed := range []float64{0.3, 0.7, 1} {
		p := b1(1)
		p.Grid.Counts = [3]int{12, 9, 9}
		m := &p.Receiver.Media[0]
		m.Liquidus = m.Solidus
		for a := range 3 {
			m.Conductivity[a], m.ConductivityMelted[a] = slanting(300, 130, 800, 100*seed), slanting(300, 60, 800, 50)
		}
		p.Initial = m.Solidus + 8*seed
		for i := range p.Receiver.Passes {
			p.Receiver.Passes[i].Line *= 0.2 * seed
		}
		p.every(1e6, 1e6)
		p.Output = p.Output[:1]
		r := stepping(t, &p, 1, 5)
		n, s := r.net, r.s
		kept := [3][]float32{}
		for step := range 600 {
			if err := r.step(r.t + 100); err != nil {
				t.Fatal(err)
			}
			ahead := 0.5 * r.wanted
			n.update(s.team, s.y0, s.f1, ahead)
			for a, g := range [3][]float32{n.gx, n.gy, n.gz} {
				kept[a] = append(kept[a][:0], g...)
			}
			for i := range n.moved {
				n.moved[i] = true
			}
			n.update(s.team, s.y0, s.f1, ahead)
			if bad := n.apartFrom(kept, 2*n.still); bad != "" {
				t.Fatalf("seed %g, step %d: %s", seed, step, bad)
			}
		}
	}
}

// apartFrom names a link whose conductance differs from the one kept by more than slack (K) accounts for.
func (n *network) apartFrom(kept [3][]float32, slack float64) string {
	step := [3]int{1, n.b.nx, n.pad}
	for a, g := range [3][]float32{n.gx, n.gy, n.gz} {
		for c := range n.b.n {
			was, is := float64(kept[a][n.pad+c]), float64(g[n.pad+c])
			if was == is {
				continue
			}
			d := c + step[a]
			dT := math.Abs(n.fresh[c] - n.fresh[d])
			if off := math.Abs(was-is) * dT; off > slack*max(was, is) {
				return fmt.Sprintf("cells %d and %d along axis %d have %.6g W/K, anew %.6g W/K, over %.3g K; phases %d and %d", c, d, a, was, is, dT, n.phase[c], n.phase[d])
			}
		}
	}
	return ""
}

// A front that turns has its links found anew though no temperature moved.
func TestAFrontThatTurnsMovesItsRow(t *testing.T) {
	p := b1(1)
	p.Grid.Counts = [3]int{12, 9, 9}
	m := &p.Receiver.Media[0]
	m.Liquidus = m.Solidus
	p.every(1e6, 1e6)
	p.Output = p.Output[:1]
	r := stepping(t, &p, 0, 0)
	n, s := r.net, r.s
	e := r.b.enthalpy[0]
	for c := range s.y0 { // melted in front, frozen behind: no cell is melting
		if s.y0[c] = e.Hl + 2000; c%r.b.nx >= 6 {
			s.y0[c] = e.Hs - 5000
		}
	}
	anew := func() {
		for i := range n.moved {
			n.moved[i] = true
		}
	}
	anew()
	n.update(s.team, s.y0, s.f1, 0)
	right := append([]float32(nil), n.gx...)
	turned := 0
	for c, axis := range n.frontAxis {
		n.frontAxis[c] = (axis + 1) % 3
	}
	anew()
	s.team.each(&n.links)
	clear(n.moved)
	for i, g := range n.gx {
		if g != right[i] {
			turned++
		}
	}
	if turned == 0 {
		t.Fatal("no link depends on how a front stands")
	}
	n.update(s.team, s.y0, s.f1, 0)
	for i, g := range n.gx {
		if g != right[i] {
			t.Fatalf("link %d along depth has %g W/K, wanted %g", i-n.pad, g, right[i])
		}
	}
}

// Rows that the history reads leave no mark on the conductivities that the march goes on with.
func TestARowLeavesConductivitiesAsTheyWere(t *testing.T) {
	p := b1(1)
	p.Grid.Counts = [3]int{8, 6, 6}
	m := &p.Receiver.Media[0]
	for a := range 3 {
		m.Conductivity[a], m.ConductivityMelted[a] = slanting(300, 400, 800, 40), slanting(300, 400, 800, 40)
	}
	p.every(1e6, 1e6)
	p.Output = p.Output[:1]
	r := stepping(t, &p, 30, 5)
	n, s := r.net, r.s
	for _, ahead := range []float64{0, 0.5 * r.last.tau} {
		n.update(s.team, s.y0, s.f1, ahead)
		kept := append([]float64(nil), n.k[0]...)
		if err := r.present(); err != nil {
			t.Fatal(err)
		}
		n.update(s.team, s.y0, s.f1, ahead)
		for c := range kept {
			if d := math.Abs(n.k[0][c] - kept[c]); d > 0.8*n.still { // W/(m K): the slope is 0.72 W/(m K²)
				t.Fatalf("cell %d: %.9g W/(m K) after a row, %.9g before", c, n.k[0][c], kept[c])
			}
		}
	}
}

// No step is accepted whose implicit parts were not solved: sheets that melt at one temperature try Newton's method.
func TestImplicitPartsAreSolved(t *testing.T) {
	for _, tolerance := range []float64{0.1, 5} {
		p := sheeted()
		m := &p.Receiver.Media[1]
		m.Latent, m.Solidus, m.Liquidus = 5e4, 420, 420
		p.Tolerance = tolerance
		r := stepping(t, &p, 0, 0)
		for r.t < p.Until {
			if err := r.step(p.Until); err != nil {
				t.Fatal(err)
			}
			if r.s.thin == nil {
				t.Fatal("no links are implicit")
			}
			if off := r.s.thin.mismatch(); off > tolerance {
				t.Fatalf("tolerance %g K: a step to %.4g s was accepted with %.3g K left in its parts", tolerance, r.t, off)
			}
		}
	}
}

// The bound of the spectral radius lies above what repeated application of the cells' own equations finds, and not far:
// around a dry tube, whose bore joins the cells around it, and without one.
func TestTheBoundLiesAboveTheSpectralRadius(t *testing.T) {
	for _, tube := range []bool{false, true} {
		p := cuboid(block.Point{0.1, 0.1, 0.1}, [3]int{}, plain(2000, 1000, 100))
		p.Grid.Size = 0.012
		p.Initial = 400
		if tube {
			p.tube("a", block.Height, block.Point{0.05, 0.05, 0})
			p.circuit(0.02, 290, 1e6, through(&p, 0, false))
			p.Duty.Switches.Water[0] = duty.Drained
		}
		p.Until = 1
		m := stepping(t, &p, 0, 0)
		m.restart()
		if err := m.prepare(1); err != nil {
			t.Fatal(err)
		}
		s := m.s
		s.tau = 1
		T, f, found := s.t0[s.pad:s.pad+m.b.n], s.f1, 0.0
		for c := range T {
			T[c] = 400 + math.Sin(float64(c*c))
		}
		for range 3000 {
			s.evaluate(f, s.rr, false)
			size := 0.0
			for _, v := range f {
				size = math.Max(size, math.Abs(v)/1000)
			}
			found = size
			for c, v := range f {
				if m.b.medium[c] >= 0 {
					T[c] = 400 + v/1000/size
				}
			}
		}
		if !(found <= m.rho*(1+1e-6)) || found < 0.6*m.rho {
			t.Errorf("tube %v: the spectral radius is %.4g 1/s, bound %.4g", tube, found, m.rho)
		}
		t.Logf("tube %v: %.4g, bound %.4g", tube, found, m.rho)
	}
}
