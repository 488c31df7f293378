package heat

import (
	"context"
	"fmt"
	"math"

	"emberbank/duty"
)

// march carries one run from its start to its end.
type march struct {
	p       *Problem
	b       *body
	net     *network
	skin    *skin
	tubes   *tubes
	streams []*stream
	load    *serving // nil: nothing is wanted of the water
	account *account // nil: none is kept
	s       *solver
	player  *duty.Player
	rec     *recorder
	keeps   []keep
	linkJob job
	linked  []*stream // the circuits that linkJob is for

	t       float64 // s, reached
	last    lastStep
	wanted  float64 // s, the step that the error asks for
	strict  float64 // share of the tolerance that a step may use
	rho     float64 // 1/s, spectral radius of the present conductances, strong links left out
	fastest float64 // 1/s, the same with all links
	judged  float64 // 1/s, rho when strong links were last chosen
	total   []float64
	moved   float64 // J, all energy exchanged so far, without sign
	pane    float64 // J lost by the pane to the outside in the candidate step
	scheme  *stages

	perWatt float64 // W absorbed by the block's face for each unit of the light's signal
	inPane  float64 // W absorbed by the pane for the same
	falling float64 // W that fall on the opening for the same

	before map[duty.Watch]float64 // what rules look at, at the step's start

	steps, rejected int
	warned          map[string]bool
	warnings        []string
	told            struct{ films, boils []bool } // by patch; by circuit
}

// stillShare is the share of a step's tolerance by which temperatures may move before conductances are found anew:
// conductivities move by some thousandths a kelvin.
const stillShare = 0.5

// Run computes a problem. On a cancelled context it returns what is done so far and a wrapped context error.
func Run(ctx context.Context, p Problem) (*Result, error) {
	m, err := newMarch(&p)
	if err != nil {
		return nil, err
	}
	defer m.s.team.stop()
	if p.Steady {
		return m.steady(ctx)
	}
	return m.run(ctx)
}

func newMarch(p *Problem) (*march, error) {
	if p.Tolerance <= 0 {
		p.Tolerance = DefaultTolerance
	}
	p.Duty = p.Duty.Over(p.Until)
	b, bores, err := newBody(p)
	if err != nil {
		return nil, fmt.Errorf("laying the receiver as cells: %w", err)
	}
	m := &march{p: p, b: b, scheme: newStages(), strict: 1, before: map[duty.Watch]float64{}, warned: map[string]bool{}}
	m.linkJob.plane = m.linkPlane
	m.net = newNetwork(b, &p.Receiver)
	m.net.still = stillShare * p.Tolerance
	m.tubes = newTubes(b, bores, m.net)
	m.tubes.laws = p.Laws
	m.tubes.films = clamp(p.Films, -1, 1)
	if p.Hasty {
		m.tubes.slack = hastySlack
	}
	m.skin = newSkin(b)
	m.net.faceT = m.skin.freeT
	for i := range b.faces {
		m.skin.open[i].melts = m.net.tables[b.medium[b.faces[i].cell]].sharp
	}
	m.skin.layMelting()
	m.s = newSolver(p, b, m.net, m.skin, m.tubes)
	laid := false
	defer func() {
		if !laid {
			m.s.team.stop()
		}
	}()
	m.total = make([]float64, m.s.r.n)
	m.player = duty.NewPlayer(&p.Duty)
	if err := m.shine(); err != nil {
		return nil, err
	}
	for _, w := range b.warnings {
		m.warn(w)
	}
	for i, order := range m.tubes.circuits {
		if i >= len(p.Duty.Water) {
			return nil, fmt.Errorf("circuit %q has no water in the duty", p.Receiver.Circuits[i].Name)
		}
		m.streams = append(m.streams, newStream(m.tubes, order))
	}
	m.s.streams = m.streams
	m.initialise()
	if err := m.takeLoad(); err != nil {
		return nil, err
	}
	m.rec = newRecorder(m)
	m.keeps = layKeeps(p)
	laid = true
	return m, nil
}

// initialise sets the temperatures of every part, face and pane at the start.
func (m *march) initialise() {
	b := m.b
	start := make([]float64, len(b.rec.Parts)) // J/kg, by part
	for i := range start {
		p := &b.rec.Parts[i]
		if p.Medium < 0 {
			continue
		}
		T := m.p.Initial
		if !math.IsNaN(p.Initial) {
			T = p.Initial
		}
		start[i] = b.enthalpy[p.Medium].Of(T)
	}
	for c, p := range b.part {
		if p >= 0 {
			m.s.y0[c] = start[p]
		}
	}
	m.readTemperatures()
	for i := range b.faces {
		m.skin.T[i] = m.s.t0[m.s.pad+int(b.faces[i].cell)]
	}
	if pane := m.skin.pane; pane != nil {
		pane.T = m.p.Initial
		pane.ahead = pane.T
	}
	for i := range m.tubes.slices {
		m.tubes.slices[i].bore, m.tubes.slices[i].mean = m.p.Initial, m.p.Initial
	}
}

func (m *march) readTemperatures() {
	m.s.team.each(&m.s.jobs.readBack)
	m.s.fresh = true
}

// run marches from the start to the end.
func (m *march) run(ctx context.Context) (*Result, error) {
	m.apply(m.player.Fire(0))
	if _, err := m.attend(true); err != nil {
		return nil, err
	}
	if err := m.water(true); err != nil {
		return nil, err
	}
	m.apply(m.player.Judge(0, m.watch))
	if err := m.water(false); err != nil {
		return nil, err
	}
	m.openAccount()
	out := 0
	record := func() error {
		for out < len(m.keeps) && m.keeps[out].t <= m.t {
			m.last.keep(m)
			if err := m.present(); err != nil {
				return err
			}
			m.rec.keepNow(m.keeps[out])
			m.last.putBack(m)
			out++
		}
		m.rec.fields()
		return nil
	}
	if err := record(); err != nil {
		return nil, err
	}
	m.restart()
	for m.t < m.p.Until && m.rec.stopped == "" {
		if err := ctx.Err(); err != nil {
			m.rec.stopped = "interrupted"
			return m.rec.result(), fmt.Errorf("marching to %.6g s, reached %.6g s: %w", m.p.Until, m.t, err)
		}
		stop := m.player.NextStop(m.t)
		next := math.Min(math.Min(stop, m.p.Until), math.Min(m.rec.nextField(m.t), m.nextLook()))
		if err := m.step(next); err != nil {
			err = m.stuck(err)
			m.rec.stopped = err.Error()
			return m.rec.result(), err
		}
		if err := m.rowsWithin(&out); err != nil {
			return m.rec.result(), err
		}
		m.s.elapsed = m.last.tau
		if m.p.Progress != nil {
			m.p.Progress(m.t)
		}
		fired := m.player.Fire(m.t)
		fired = append(fired, m.player.Judge(m.t, m.watch)...)
		if len(fired) > 0 {
			m.apply(fired)
		}
		opens, err := m.attend(len(fired) > 0 || m.t >= stop)
		if err != nil {
			m.rec.stopped = err.Error()
			return m.rec.result(), err
		}
		if m.rec.stopped == "" && (len(fired) > 0 || m.t >= stop || opens) {
			if err := m.water(false); err != nil {
				m.rec.stopped = err.Error()
				return m.rec.result(), err
			}
			m.restart()
		}
		if err := record(); err != nil {
			return m.rec.result(), err
		}
	}
	if m.rec.lastRow() < m.t { // a run that stops at an output time has its row
		if err := m.present(); err != nil {
			return m.rec.result(), err
		}
		m.rec.keepNow(keep{row: true})
	}
	return m.rec.result(), nil
}

// apply notes what was switched and why.
func (m *march) apply(fired []duty.Fired) {
	for _, f := range fired {
		m.rec.mark(m.t, f.Name)
		if f.Stop {
			m.rec.stopped = f.Name
		}
	}
}

// restart makes the scheme begin anew after something jumped.
func (m *march) restart() {
	clear(m.s.f1)
	clear(m.skin.filmNow) // films that jumped tell nothing of how they move
	m.skin.seen = 0
	for _, w := range m.streams {
		clear(w.rate)
	}
	m.wanted = math.Min(m.wanted, 0)
}

// accept makes the candidate step the present state.
func (m *march) accept(tau, left, next float64) {
	s := m.s
	m.misses(m.t)
	m.rec.transfers(tau)
	m.last.from, m.last.tau = m.t, tau
	m.last.lagged = append(m.last.lagged[:0], m.rec.lagged...)
	s.y0, s.ya = s.ya, s.y0
	s.fresh = true // the step's end was evaluated at them
	m.served(tau)
	for i, v := range s.aa {
		m.total[i] += v
		if i < s.r.slices || !m.inCircuit(i-s.r.slices) {
			m.moved += math.Abs(v)
		}
	}
	for i, w := range m.streams {
		m.rec.uses[i].count(w, m.tubes, tau, func(slice int) float64 { return s.aa[s.r.slices+slice] })
		before := w.carried
		w.accept(w.pending, tau)
		m.moved += math.Abs(w.carried - before)
	}
	if p := m.skin.pane; p != nil {
		m.last.pane = p.T
		p.T = p.TNew
		m.rec.paneLost += m.pane
		m.rec.paneLight += p.absorbed * tau
		m.moved += math.Abs(m.pane)
	}
	m.rec.sensors(tau)
	m.book(tau)
	if tau == left {
		m.t = next
	} else {
		m.t += tau
	}
	m.last.to = m.t
	m.steps++
	m.rec.balance()
	m.burst()
	m.judgeSpan()
	m.rec.watchLimits()
	m.watchFrost()
}

func (m *march) inCircuit(slice int) bool {
	p := m.tubes.slices[slice].pass
	return math.IsNaN(m.b.rec.Passes[p].Fluid)
}

// prepare sets everything that is held during a step of tau: conductances, films, what surfaces meet.
func (m *march) prepare(tau float64) error {
	s := m.s
	s.tau = tau
	ahead := 0.5 * tau
	m.net.update(s.team, s.y0, s.f1, ahead)
	m.tubes.couple(m.net)
	m.skin.couple(m.s.team, m.net, s.y0, s.f1, ahead, m.net.fresh, false)
	w := WeatherAt(&m.p.Duty, m.t+ahead)
	if !s.fresh {
		m.readTemperatures()
	}
	m.tubes.measure(s.t0, s.pad)
	if err := m.flows(w.Tilt, tau); err != nil {
		return err
	}
	for i := range m.streams {
		m.quench(i)
	}
	if p := m.skin.pane; p != nil {
		p.absorbed = m.inPane * m.lightAt(m.t+ahead)
	}
	m.skin.meet(w, m.player.Switches.CoverShut, m.t, tau)
	m.skin.stir(m.t)
	m.warnFilms()
	for i, on := range m.player.Switches.Heaters {
		s.heaters[i] = 0
		if on {
			s.heaters[i] = m.p.Duty.Heaters[i].At(m.t + ahead)
		}
	}
	m.skin.expand(s, ahead, m.perWatt*m.lightAt(m.t+ahead), m.mayShine(), m.net.fresh)
	m.stiffness()
	s.rises()
	return nil
}

// lightAt returns the light's signal at t, 0 while it is switched off or the cover is shut.
func (m *march) lightAt(t float64) float64 {
	if !m.mayShine() {
		return 0
	}
	return m.p.Duty.Light.Power.At(t)
}

// attempt computes a candidate step of tau and returns its error over the tolerance.
func (m *march) attempt(tau float64) float64 {
	s := m.s
	k := m.scheme
	k.set(stageCount(tau, m.rho))
	s.tau = tau
	if !s.fresh {
		m.readTemperatures()
	}
	s.fresh = false
	for j := 1; j <= k.s+1; {
		j += m.drive(j, tau)
		if s.thin != nil && j <= k.s+1 {
			if j == 2 {
				s.thin.begin(s.team, s.y0, s.ta, k.muT[1]*tau)
			}
			s.thin.finish(s.team, s.y0, s.ya, s.t0)
		}
	}
	if s.thin != nil {
		s.thin.end(s.y0, s.ya)
		s.thin.even(s.team, s.f0)
		s.thin.even(s.team, s.f1)
	}
	for _, w := range m.streams {
		w.pending = w.close(m.tubes, tau, func(slice int) float64 { return s.aa[s.r.slices+slice] })
	}
	if p := m.skin.pane; p != nil {
		m.pane = p.close(tau, s.aa[windowPath])
	}
	off := max(s.discrepancy(), m.skin.mismatch(), s.mismatch())
	lag := 0.0
	if s.thin != nil {
		off = max(off, s.thin.mismatch())
		lag = s.thin.lag(s.solid)
	}
	allowed := m.p.Tolerance * m.strict
	solid := math.Max(off/allowed, math.Pow(lag/allowed, 1.5)) // the lag as an error of the third order
	return math.Max(math.Max(solid, m.frontMoves()), m.waterSwings(tau))
}

// mayShine tells whether there can be light as the switches stand.
func (m *march) mayShine() bool {
	sw := &m.player.Switches
	return m.p.Duty.Light != nil && sw.Light && !sw.CoverShut
}

// lightBefore is lightAt, at a jump of the signal the value before it: a step ends there.
func (m *march) lightBefore(t float64) float64 {
	if !m.mayShine() {
		return 0
	}
	return m.p.Duty.Light.Power.Before(t)
}
