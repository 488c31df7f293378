package heat

import (
	"fmt"
	"math"

	"emberbank/duty"
)

// longestStep bounds a step, in s, whatever its error: films and conductivities are held during a step at their values
// foretold for its middle.
const longestStep = 3600

// mostStages bounds the stages of one step, but for one that rounding may add; a stiffer body takes shorter steps.
const mostStages = 250

// step marches at most to next; it may stop short of it, and stops at the first crossing of a rule's threshold.
func (m *march) step(next float64) error {
	crossings := 0
	m.watched()
	m.last.keep(m)
	for try := 0; ; try++ {
		left := next - m.t
		fresh := m.wanted <= 0
		if fresh {
			m.wanted = left
		}
		tau := m.fit(left)
		if err := m.prepare(tau); err != nil {
			return err
		}
		if most := min(longest(mostStages, m.rho), m.pace(), m.filmPace()); fresh || tau > most {
			m.wanted = most
			// The first step after a jump is as short as the fastest decay in the body, no shorter: nothing foretells yet what
			// films, conductivities and parts of strong links, all held over it, will do. Decay within such parts counts.
			if fresh {
				m.wanted = math.Min(left, 2/m.fastest)
			}
			tau = m.fit(left)
			if err := m.prepare(tau); err != nil {
				return err
			}
		}
		for stageCount(tau, m.rho) > mostStages+1 { // a step of another length, with other films, was stiffer
			m.wanted = math.Min(longest(mostStages, m.rho), 0.9*tau)
			tau = m.fit(left)
			if err := m.prepare(tau); err != nil {
				return err
			}
		}
		err := m.attempt(tau)
		if !(err <= 1) {
			m.rejected++
			m.refuse()
			if !(err < inf) {
				clear(m.s.yb) // what is no number would live on, nothing times it
			}
			factor := 0.5
			if err < inf {
				factor = math.Max(0.1, 0.8*math.Pow(err, -1.0/3))
			}
			m.wanted = tau * factor
			if m.t+m.wanted <= m.t || try > 60 {
				return fmt.Errorf("the march at %.6g s finds no step short enough: the duty or a property jumps; shorten the ramp or raise the tolerance", m.t)
			}
			continue
		}
		share := m.player.Crossing(m.t, m.t+tau, func(w duty.Watch) float64 { return m.before[w] }, m.watchNew)
		if share < 1-1e-6 && tau > 2e-4 && crossings < 12 {
			// Land on the crossing: redo the step a little past it. A step that begins just short of it is cut too, or
			// it would run on past the threshold by its whole length.
			crossings++
			m.refuse()
			m.wanted = math.Max(share*tau*(1+1e-9), 1e-4)
			next = math.Min(next, m.t+m.wanted)
			continue
		}
		m.accept(tau, left, next)
		m.wanted = tau * math.Min(10, math.Max(0.2, 0.8*math.Pow(math.Max(err, 1e-9), -1.0/3)))
		return nil
	}
}

// refuse undoes what an attempt left behind. Its rates at the candidate's end, which may be anything where a step went
// astray, would foretell conductances and films of the next attempt: those of the step's start do that.
func (m *march) refuse() {
	m.rec.tally.taken, m.rec.tally.fresh = false, false
	m.last.putBack(m)
	copy(m.s.f1, m.s.f0)
	copy(m.s.r1, m.s.r0)
}

// filmShare is what holding the films outside over a step may change of the heat that is exchanged, as a share.
const filmShare = 0.005

// filmPace bounds the coming step, in s, by how fast the films outside moved over the last step. A film that has two states
// for one face flips whatever the step; it may not shorten steps below the fastest decay in the body, strong links left out.
func (m *march) filmPace() float64 {
	if off := m.skin.stirred / (filmShare * m.exchanged()); off > 0 && m.last.tau > 0 {
		return math.Max(m.last.tau/off, 2/m.rho)
	}
	return inf
}

// exchanged returns the heat that was exchanged at the last step's end, in W, without sign.
func (m *march) exchanged() float64 {
	sum := 0.0
	for _, q := range m.s.r1 {
		sum += math.Abs(q)
	}
	return sum
}

// watched keeps the present value of everything that rules look at.
func (m *march) watched() {
	for i := range m.p.Duty.Rules {
		w := m.p.Duty.Rules[i].Watch
		m.before[w] = m.watch(w)
	}
}

// fit returns the step that divides what is left evenly and is no longer than wanted.
func (m *march) fit(left float64) float64 {
	m.wanted = math.Min(m.wanted, longestStep)
	if m.wanted >= left*(1-1e-9) {
		return left
	}
	return left / math.Ceil(left/m.wanted*(1-1e-9)) // rounding must not decide over one step more
}

// frontStep is the share of a cell that a front may cross in one step at the default tolerance: the conductances beside a front
// depend on where it stands, and are held during a step.
const frontStep = 0.2

// frontShare is frontStep at the default tolerance and tighter; a looser march lets fronts go further in a step, but
// never by more than half a cell, or a whole one where the answer is asked for soon.
func (m *march) frontShare() float64 {
	most := 0.5
	if m.p.Hasty {
		most = 1
	}
	return math.Min(most, frontStep*math.Max(1, math.Cbrt(m.p.Tolerance/DefaultTolerance)))
}

// frontMoves returns the largest change of the melted share of any cell that melts at one temperature, over
// what it may be, as an error of the third order for the control of the step.
func (m *march) frontMoves() float64 {
	if !m.net.sharp {
		return 0
	}
	s := m.s
	s.team.each(&s.jobs.fronts)
	most := 0.0
	for _, v := range s.errs {
		most = math.Max(most, v)
	}
	return math.Pow(most/m.frontShare(), 3)
}

// wholeSpan is the span of temperatures, in K, from which on a step may use its whole tolerance. Where all differences
// are small the tolerance is so in proportion, down to a tenth: what a run is about is then some kelvin too.
const wholeSpan = 100

// judgeSpan sets how strict the next step is, by the span of temperatures of solid, water and air.
func (m *march) judgeSpan() {
	air := WeatherAt(&m.p.Duty, m.t).Air
	hot, cold := air, air
	for i := range m.b.rec.Media {
		if h, c := m.rec.tally.extremes(i); h >= c {
			hot, cold = math.Max(hot, h), math.Min(cold, c)
		}
	}
	for _, w := range m.streams {
		if w.state != duty.Drained {
			hot, cold = math.Max(hot, w.inletT), math.Min(cold, w.inletT)
		}
	}
	for _, i := range m.tubes.fixed {
		T := m.b.rec.Passes[m.tubes.slices[i].pass].Fluid
		hot, cold = math.Max(hot, T), math.Min(cold, T)
	}
	m.strict = math.Min(1, math.Max(0.1, (hot-cold)/wholeSpan))
}
