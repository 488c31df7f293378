package heat

import (
	"math"
	"testing"

	"emberbank/film"
)

// Within a step a row shows what faces lose by the openings that the step holds, and solves only those through which a front
// may have come in. With the others solved too, behind the half cells that the step holds, it would show the same but for a
// fiftieth of what the tolerance of the step lets a face be off. The light is switched on and off, so that steps are short
// and long and faces jump.
func TestLossesWithinAStepAreThoseOfSolvedFaces(t *testing.T) {
	p := rich()
	for i := range p.Receiver.Parts[1:] { // hot layers of some mass, that radiate what they have
		p.Receiver.Parts[1+i].Initial = 1100
	}
	p.Receiver.Media[2] = plain(300, 800, 1)
	for a := range 3 {
		p.Receiver.Media[2].Conductivity[a] = slanting(300, 0.3, 1100, 2)
	}
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	defer m.s.team.stop()
	m.apply(m.player.Fire(0))
	if err := m.water(true); err != nil {
		t.Fatal(err)
	}
	s, n := m.s, m.rec.moment
	worst := 0.0
	solved, opened, rows := 0, 0, 0
	melts := make([]bool, s.r.absorbed) // by path: solving these anew goes on from what was solved
	for i := range m.b.faces {
		if path := m.b.patches[m.b.faces[i].patch].path; m.skin.open[i].melts {
			melts[path] = true
		}
	}
	for step := range 120 {
		if step%40 == 39 {
			m.player.Switches.Light = !m.player.Switches.Light
			m.restart()
		}
		if err := m.step(m.t + 600); err != nil {
			t.Fatal(err)
		}
		now, end := &m.last.end, m.t
		now.keep(m)
		s.y0, s.yb = s.yb, s.y0
		for _, x := range []float64{0.05, 0.5, 0.95} {
			rows++
			m.t = m.last.from + x*m.last.tau
			if err := m.rowAt(x, now); err != nil {
				t.Fatal(err)
			}
			got := append([]float64(nil), m.rec.present.rates...)
			s.team.each(&n.jobs.faces)
			n.sum()
			allowed := make([]float64, s.r.absorbed)
			for i := range m.b.faces {
				f := &m.b.faces[i]
				if path := m.b.patches[f.patch].path; melts[path] {
					solved++
				} else {
					opened++
				}
				c, T := &m.skin.conds[f.patch], m.skin.T[i]
				allowed[m.b.patches[f.patch].path] += 0.02 * p.Tolerance * f.area * (c.h + 4*c.eps*film.StefanBoltzmann*T*T*T)
			}
			for path, bound := range allowed {
				if melts[path] || bound == 0 {
					continue
				}
				worst = math.Max(worst, math.Abs(got[path]-m.rec.present.rates[path])/bound)
				if off := math.Abs(got[path] - m.rec.present.rates[path]); !(off <= bound) {
					t.Errorf("step %d of %.3g s, at %.2g of it: %s loses %.6g W, solved %.6g W; allowed %.3g", step, m.last.tau, x, m.pathName(path), got[path], m.rec.present.rates[path], bound)
				}
			}
		}
		m.t = end
		s.y0, s.yb = s.yb, s.y0
		now.putBack(m)
		m.readTemperatures()
		s.elapsed = m.last.tau
	}
	t.Logf("off by at most %.2g of what is allowed", worst)
	if solved == 0 || opened == 0 || m.steps < 100 {
		t.Errorf("%d faces solved and %d not, over %d steps: not what this is about", solved/rows, opened/rows, m.steps)
	}
}
