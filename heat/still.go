package heat

import (
	"fmt"
	"math"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/material"
	"emberbank/receiver"
)

// Still is a receiver laid as cells that stands: its temperatures are set, and what surroundings and water would take of
// it then is asked for. The answers come from the code that marches, with pane and water as they settle. It is for one
// goroutine at a time.
type Still struct {
	m *march
	p Problem

	faces, water Unsettled // K; share of the heat
}

// Drawn is what water that flows steadily takes.
type Drawn struct {
	Heat    float64 // W
	Flow    float64 // kg/s
	Outlet  float64 // K
	Quality float64 // 1, below 0 for liquid, above 1 for superheated steam
	Steam   float64 // kg/s of vapour
	Entropy float64 // W/K, of what leaves less what enters
	Misses  string  // why a control does not hold what is asked, "" where it does
}

// NewStill lays a problem's receiver. Of its duty only the light's map counts.
func NewStill(p Problem) (*Still, error) {
	s := &Still{p: p}
	s.p.Duty.Events, s.p.Duty.Rules, s.p.Duty.Pumps, s.p.Duty.Throttle, s.p.Duty.Load = nil, nil, nil, nil, nil
	s.p.Until = 0
	s.p.Duty.Switches = duty.Switches{}
	s.p.Duty.Water = append([]duty.Water(nil), p.Duty.Water...)
	s.p.Seen, s.p.Progress, s.p.FieldTimes, s.p.ProfileTimes, s.p.Output = nil, nil, nil, nil, []float64{0}
	m, err := newMarch(&s.p)
	if err != nil {
		return nil, err
	}
	m.net.steady = true // temperatures alone tell the phase
	s.m = m
	return s, nil
}

// Close ends the workers.
func (s *Still) Close() { s.m.s.team.stop() }

// Body is the grid, and the part of each cell, -1 for air.
func (s *Still) Body() (g *block.Grid, part []int16) { return s.m.b.g, s.m.b.part }

// Masses returns the mass in kg of each medium in each of n groups of cells; cells of a group below 0 count to none.
func (s *Still) Masses(group []int16, n int) [][]float64 {
	out := make([][]float64, n)
	for g := range out {
		out[g] = make([]float64, len(s.p.Receiver.Media))
	}
	for c, g := range group {
		if md := s.m.b.medium[c]; g >= 0 && md >= 0 {
			out[g][md] += s.m.b.mass[c]
		}
	}
	return out
}

// Enthalpy is the curve by which a medium of the receiver is computed.
func (s *Still) Enthalpy(medium int) *material.Enthalpy { return s.m.b.enthalpy[medium] }

// Sources returns by group of cells which share of each heater's power it takes, and its generated heat in W.
func (s *Still) Sources(group []int16, n int) (heaters [][]float64, generated []float64) {
	heaters, generated = make([][]float64, len(s.p.Receiver.Heaters)), make([]float64, n)
	for h := range heaters {
		heaters[h] = make([]float64, n)
	}
	for _, q := range s.m.s.sources {
		switch g := group[q.cell]; {
		case g < 0:
		case q.heater >= 0:
			heaters[q.heater][g] += q.watts
		default:
			generated[g] += q.watts
		}
	}
	return heaters, generated
}

// PerWatt returns what the block's face and the pane absorb, in W, of one unit of the light's signal.
func (s *Still) PerWatt() (face, pane float64) { return s.m.perWatt, s.m.inPane }

// Falling returns the light in W that falls on the window's opening for one unit of the light's signal.
func (s *Still) Falling() float64 { return s.m.falling }

// Paths names the ways of loss in the ledger's order: the window first, then the surfaces.
func (s *Still) Paths() []string {
	var out []string
	for path := range s.m.s.r.absorbed {
		if s.m.hasPath(path) {
			out = append(out, s.m.pathName(path))
		}
	}
	return out
}

// Touching returns, by path in the order of Paths and by group of cells, the area in m² of the free faces.
func (s *Still) Touching(group []int16, n int) [][]float64 { return s.m.touching(group, n) }

// Set gives every cell of solid a temperature in K.
func (s *Still) Set(T func(cell int) float64) {
	m, b := s.m, s.m.b
	for c := range b.n {
		if md := b.medium[c]; md >= 0 {
			m.s.y0[c] = b.enthalpy[md].Of(T(c))
		}
	}
	m.readTemperatures()
	m.net.update(m.s.team, m.s.y0, m.s.f1, 0)
	m.tubes.couple(m.net)
	m.tubes.measure(m.s.t0, m.s.pad)
	for i := range b.faces {
		m.skin.T[i] = m.s.t0[m.s.pad+int(b.faces[i].cell)]
	}
	m.skin.couple(m.s.team, m.net, m.s.y0, m.s.f1, 0, nil, false)
}

// stillWithin is the change of temperature, in K, below which faces and pane count as settled, and waterWithin that of heat, as a
// share, for water; heat below leastTaken (W) counts as nothing.
const (
	stillWithin = 1e-4
	waterWithin = 1e-3
	leastTaken  = 1e-3
)

// How many rounds faces and water are given.
const (
	faceRounds  = 200
	waterRounds = 40
)

// Unsettled says in words where an answer was given that had not settled; none where all had.
func (s *Still) Unsettled() (out []string) {
	for _, said := range []string{
		s.faces.says("the temperature of faces and pane", kelvins), s.water.says("the heat that steady water takes", percents),
	} {
		if said != "" {
			out = append(out, said)
		}
	}
	return out
}

// Lost returns what the faces lose in W, by path in the order of Paths, with the cells as they are set: faces and pane
// settle on them. Light is the light's signal, 0 in the dark. Behind glass, the window's loss is what the pane gives off.
func (s *Still) Lost(w Weather, coverShut bool, light float64) []float64 {
	m := s.m
	pane := m.skin.pane
	if pane != nil {
		pane.absorbed = m.inPane * light
		if !(pane.T > 0) {
			pane.T = w.Air
		}
	}
	m.s.light = m.perWatt * light
	clear(m.s.heaters)
	moved := 0.0
	for range faceRounds {
		m.skin.means()
		before := append([]float64(nil), m.skin.mean...)
		moved = 0
		m.skin.meet(w, coverShut, 0, 0)
		if pane != nil {
			moved = math.Abs(pane.ahead - pane.T)
			pane.T = pane.ahead
		}
		m.s.team.each(&m.rec.moment.jobs.faces)
		m.skin.means()
		for i, T := range m.skin.mean {
			moved = math.Max(moved, math.Abs(T-before[i]))
		}
		if moved < stillWithin {
			break
		}
	}
	s.faces.end(moved, stillWithin)
	m.rec.moment.sum()
	var out []float64
	for path := range m.s.r.absorbed {
		if !m.hasPath(path) {
			continue
		}
		q := m.rec.present.rates[path]
		if pane != nil && path == windowPath {
			q, _ = pane.loss(pane.T)
		}
		out = append(out, q)
	}
	return out
}

// Water returns what the water of one circuit takes that flows steadily past the cells as they are set, all other circuits
// empty: at a flow in kg/s, or where a control is given at the flow that it chooses; inlet in K, pressure in Pa, tilt in rad. A
// control that is asked again goes on from the flow that it chose.
func (s *Still) Water(circuit int, flow float64, c *duty.Control, inlet, pressure, tilt float64) (Drawn, error) {
	m := s.m
	name := s.p.Receiver.Circuits[circuit].Name
	s.p.Duty.Water[circuit] = duty.Water{Inlet: duty.Fixed(inlet), Pressure: duty.Fixed(pressure), Flow: duty.Fixed(flow)}
	s.p.Duty.Tilt, s.p.Duty.Throttle = duty.Fixed(tilt), nil
	if c != nil {
		s.p.Duty.Water[circuit].Flow, s.p.Duty.Throttle = duty.Signal{}, []duty.Control{*c}
		s.p.Duty.Throttle[0].Circuit = circuit
	}
	sw := &m.player.Switches
	for i, w := range m.streams {
		if w.state != duty.Drained {
			w.drain()
			w.state = duty.Drained
		}
		sw.Water[i], sw.FlowShare[i] = duty.Drained, 1
		w.held, w.flow = "", 0
		if i != circuit || c == nil {
			w.steer = steer{}
		}
	}
	sw.Water[circuit] = duty.Flowing
	m.t = 0
	if err := m.water(true); err != nil {
		return Drawn{}, fmt.Errorf("water in circuit %s: %w", name, err)
	}
	w := m.streams[circuit]
	taken, moved := 0.0, 0.0
	for range waterRounds {
		if err := m.flows(tilt, 0); err != nil {
			return Drawn{}, err
		}
		w.start(m.tubes)
		now := 0.0
		for _, si := range w.slices {
			now += m.tubes.slices[si].heat
		}
		moved = shareMoved(taken, now, leastTaken)
		if taken = now; moved < waterWithin {
			break
		}
	}
	s.water.end(moved, waterWithin)
	d := Drawn{Heat: taken, Flow: w.flow, Misses: w.held}
	d.Outlet, d.Quality = w.outlet(w.h)
	d.Steam = w.flow * clamp(d.Quality, 0, 1)
	d.Entropy = w.flow * (entropy(w.last(), w.h[len(w.h)-1]) - entropy(w.iso, w.inlet))
	return d, nil
}

// Boiling returns the temperature in K at which water boils at a pressure in Pa.
func (s *Still) Boiling(pressure float64) (float64, error) {
	iso, err := s.m.tubes.isobar(pressure)
	if err != nil {
		return 0, err
	}
	return iso.Saturation, nil
}

// Filling returns the heat in J that warms the water which fills a circuit's empty tubes, from the inlet to a temperature T in K or
// to its boiling point, where that is lower.
func (s *Still) Filling(circuit int, inlet, pressure, T float64) (float64, error) {
	w := s.m.streams[circuit]
	if err := w.setPressure(s.m.tubes, pressure); err != nil {
		return 0, err
	}
	cold := w.iso.Enthalpy(inlet)
	mass := 0.0
	for _, si := range w.slices {
		mass += s.m.tubes.slices[si].volume * w.iso.Density(cold)
	}
	warm := w.iso.HLiquid
	if T < w.iso.Saturation {
		warm = w.iso.Enthalpy(T)
	}
	return mass * math.Max(0, warm-cold), nil
}

// Tube returns the mean temperature in K of the cells around a circuit's passes, by length.
func (s *Still) Tube(circuit int) float64 { return s.m.tubeMean(circuit) }

// tubeMean is Tube of the present temperatures.
func (m *march) tubeMean(circuit int) float64 {
	sum, length := 0.0, 0.0
	for _, si := range m.streams[circuit].slices {
		if s := &m.tubes.slices[si]; s.run == receiver.RunPass {
			sum, length = sum+s.mean*s.length, length+s.length
		}
	}
	return sum / length
}

// touching is Touching of the body.
func (m *march) touching(group []int16, n int) [][]float64 {
	var out [][]float64
	for path := range m.s.r.absorbed {
		if m.hasPath(path) {
			out = append(out, make([]float64, n))
		}
	}
	at := m.pathOrder()
	for i := range m.b.faces {
		f := &m.b.faces[i]
		if g := group[f.cell]; g >= 0 {
			out[at[m.b.patches[f.patch].path]][g] += f.area
		}
	}
	return out
}

// pathOrder tells where each path of the ledger stands among those that the body has; -1 for the others.
func (m *march) pathOrder() []int {
	at, next := make([]int, m.s.r.absorbed), 0
	for path := range at {
		at[path] = -1
		if m.hasPath(path) {
			at[path] = next
			next++
		}
	}
	return at
}
