package heat

import (
	"math"

	"emberbank/duty"
	"emberbank/material"
	"emberbank/water"
)

// aDay is the length of a run in s from which it keeps an account also without a load.
const aDay = 86400

// Account is what the march adds up, step by step, of a run that has a load or lasts a day or more: what cannot be had from
// the ledger, and what rows that stand far apart would blur. Heats count in J, entropies in J/K.
type Account struct {
	Light   float64 // on the window's opening while the light was on and the cover open
	Offered float64 // the same had they been so all the time
	Air     float64 // K, mean of the ambient
	Span    float64 // s
	// With the cover open and light on the window, and in all other time:
	Shining, Else Exposure

	Water  Carried // carried off by the water of all circuits that flowed or stood open
	Stored Carried // rise of what all solids hold
	Begins float64 // J, what the block holds at the start above the temperature at which it serves
	Unused float64 // J, the same at the end
	Serves float64 // K, that temperature; NaN where the duty has no load
}

// Exposure is a time in which the block stood above the air.
type Exposure struct {
	Seconds float64
	Over    float64 // K s, the block's mean above the ambient over time
	Window  float64 // J, lost by the window
	Others  float64 // J, lost by all other paths
}

// Carried is a heat with the entropy that goes with it: its exergy against surroundings at T0 is Heat − T0 Entropy.
type Carried struct{ Heat, Entropy float64 }

// Exergy returns the work that a heat is worth at the most in surroundings at T0 in K, in J.
//
//	B = Q − T0 S
//
// Source: M. J. Moran, H. N. Shapiro, Fundamentals of Engineering Thermodynamics, 5th ed. (2006), ch. 7 (flow exergy and
// exergy of a system; from memory).
func (c Carried) Exergy(T0 float64) float64 { return c.Heat - T0*c.Entropy }

// account adds an Account up.
type account struct {
	a      Account
	over   float64 // K, the block's mean above the ambient at the last step's end
	window float64 // J, lost by the window up to there
	others float64
	start  float64 // J/K, entropy of the solids at the start
	heat   float64 // J, of the solids at the start
}

// openAccount begins an account at the run's start, where one is kept.
func (m *march) openAccount() {
	if m.p.Steady || m.p.Duty.Load == nil && m.p.Until < aDay {
		return
	}
	k := &account{}
	k.a.Serves = math.NaN()
	if l := m.p.Duty.Load; l != nil {
		k.a.Serves = ServesAt(&m.p.Duty, l)
	}
	k.over = m.rec.tally.meanOf(m.s.y0) - WeatherAt(&m.p.Duty, 0).Air
	k.heat, k.start = m.solids()
	k.a.Begins = m.above(k.a.Serves)
	m.account = k
}

// ServesAt returns the temperature in K below which a block cannot serve a duty's load: what it states, the steam's, or the
// inlet's.
func ServesAt(of *duty.Duty, l *duty.Load) float64 {
	d := &of.Water[l.Circuits[0]]
	if l.Steam {
		if T, err := water.SaturationTemperature(d.Pressure.At(0)); err == nil {
			return T
		}
	}
	if l.Serves > 0 {
		return l.Serves
	}
	return d.Inlet.At(0)
}

// book adds an accepted step of tau (s) from m.t; the state is that of its end.
func (m *march) book(tau float64) {
	k := m.account
	if k == nil {
		return
	}
	a := &k.a
	a.Span += tau
	before, air := m.airOver(tau)
	a.Air += 0.5 * tau * (before + air)
	offered := 0.0
	if l := m.p.Duty.Light; l != nil {
		offered = 0.5 * tau * m.falling * (l.Power.At(m.t) + l.Power.Before(m.t+tau))
	}
	a.Offered += offered
	e := &a.Else
	if sw := &m.player.Switches; sw.Light && !sw.CoverShut && offered > 0 {
		a.Light += offered
		e = &a.Shining
	}
	over := m.rec.tally.meanOf(m.s.y0) - air
	e.Seconds += tau
	e.Over += 0.5 * tau * (k.over + over)
	k.over = over
	window, all := m.rec.lostBy(windowPath, 1), m.rec.lost()
	e.Window += window - k.window
	e.Others += all - window - k.others
	k.window, k.others = window, all-window
	for _, w := range m.streams {
		m.bookWater(w, tau)
	}
}

// airOver returns the ambient in K at a step's start and end; where the duty states none it is that of WeatherAt.
func (m *march) airOver(tau float64) (from, to float64) {
	if s := &m.p.Duty.Ambient; !s.Empty() {
		return s.At(m.t), s.Before(m.t + tau)
	}
	air := WeatherAt(&m.p.Duty, m.t).Air
	return air, air
}

// bookWater adds what a circuit's water carried off over the step, with its entropy: of what leaves at its mean enthalpy, less
// what enters.
func (m *march) bookWater(w *stream, tau float64) {
	c := &m.account.a.Water
	switch w.state {
	case duty.Flowing:
		in, out := w.flow*tau, w.outNew*tau
		c.Heat += w.pending
		if iso := w.last(); out > 0 {
			h := w.origin + (w.pending+in*(w.inlet-w.origin))/out
			c.Entropy += out*entropy(iso, h) - in*entropy(iso, w.inlet) - (out-in)*entropy(iso, w.origin)
		}
	case duty.Open:
		c.Heat += w.pending
		if iso := w.iso; w.pending > 0 {
			c.Entropy += w.pending / iso.Saturation // it boils off at one temperature
		}
	}
}

// entropy returns that of water in J/(kg K) at h in J/kg; beyond the table's end it goes on at its end's temperature.
func entropy(iso *isobar, h float64) float64 {
	if beyond := h - iso.High; beyond > 0 {
		return iso.At(iso.High).Entropy + beyond/iso.temperature(h)
	}
	return iso.At(h).Entropy
}

// solids returns the heat content of all solids in J and their entropy in J/K, both above 20 °C.
func (m *march) solids() (heat, entropy float64) {
	b := m.b
	for i := range b.rec.Media {
		s := newEntropies(b.enthalpy[i])
		for c := range b.n {
			if int(b.medium[c]) == i {
				heat += b.mass[c] * m.s.y0[c]
				entropy += b.mass[c] * s.at(m.s.y0[c])
			}
		}
	}
	return heat, entropy
}

// above returns what the block holds above T in K, in J: of every cell that is hotter, as far as it is.
func (m *march) above(T float64) float64 {
	if T != T {
		return 0
	}
	sum := 0.0
	for _, c := range m.b.inBlock {
		if h := m.b.enthalpy[m.b.medium[c]].Of(T); m.s.y0[c] > h {
			sum += m.b.mass[c] * (m.s.y0[c] - h)
		}
	}
	return sum
}

// entropies is a table of a medium's specific entropy over its enthalpy:
//
//	s(h) = ∫ dh/T
//
// from 20 °C on, with the logarithmic mean of T over steps of a kelvin; at one melting temperature T is that.
type entropies struct{ h, s []float64 }

// The table's ends, in K; beyond them the last step goes on.
const coldest, hottest = 200.0, 2000.0

func newEntropies(e *material.Enthalpy) *entropies {
	t := &entropies{}
	s := 0.0
	for T := coldest; T <= hottest; T++ {
		h := e.Of(T)
		if n := len(t.h); n > 0 {
			s += (h - t.h[n-1]) / logarithmic(T-1, T)
		}
		t.h, t.s = append(t.h, h), append(t.s, s)
	}
	zero := t.at(e.Of(293.15))
	for i := range t.s {
		t.s[i] -= zero
	}
	return t
}

func (t *entropies) at(h float64) float64 {
	lo, hi := 0, len(t.h)-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; t.h[mid] <= h {
			lo = mid
		} else {
			hi = mid
		}
	}
	return t.s[lo] + (h-t.h[lo])*(t.s[hi]-t.s[lo])/(t.h[hi]-t.h[lo])
}

// closeAccount returns the account at the run's end; nil where none was kept.
func (m *march) closeAccount() *Account {
	k := m.account
	if k == nil {
		return nil
	}
	a := k.a
	if a.Span > 0 {
		a.Air /= a.Span
	} else {
		a.Air = WeatherAt(&m.p.Duty, 0).Air
	}
	heat, entropy := m.solids()
	a.Stored = Carried{heat - k.heat, entropy - k.start}
	a.Unused = m.above(a.Serves)
	return &a
}
