package balance

import (
	"fmt"
	"math"

	"emberbank/uncertainty"
)

// Report is what a record says about heat.
type Report struct {
	Name   string
	Phases []PhaseReport
	// Loss is UA in W/K as used for the closures, nil where it is not known; LossFrom says where it comes from.
	Loss     *uncertainty.Quantity
	LossFrom string
	// Suspicions are sentences about what physics forbids or what is far from usual: a mapping or a sensor to look at.
	Suspicions []string
	Notes      []string // what was assumed or left out
	// Drying is heat missing in the first heat-up above 100 °C only; nil where the record cannot tell, and NoDrying says
	// what it lacks.
	Drying   *Drying
	NoDrying string
}

// LossHalf returns the half-width of Loss at 95 % in W/K, with the degrees of freedom of the cooling that it comes from:
// the one that its phase states.
func (r *Report) LossHalf() float64 {
	dof := math.Inf(1)
	if c := r.Loss.Components; len(c) == 1 && c[0].DoF > 0 {
		dof = c[0].DoF
	}
	return uncertainty.CoverageFactor(0.95, dof) * r.Loss.U()
}

// PhaseReport is the balance of a phase. A nil result is one that the record cannot give.
type PhaseReport struct {
	Phase
	In, Water, Stored *Result // J
	Lost              *Result // J, by difference: in − water − stored
	Expected          *Result // J, UA ∫ (T − T_ambient) dt
	Closure           *Result // 1, (in − water − stored − expected)/turned over
	ByConstruction    bool    // UA was found in this very phase, so its closure says nothing and is left out
	TurnedOver        float64 // J, what was put in and what the block gave up: the closure is a share of it
	Cooling           *Cooling
	Missing           float64 // share of the rows that lack something the heat to the water needs
	Suspicions, Notes []string
	Cautions          []Caution // dangers that are worst in this phase
}

// Reduce finds the phases, or takes those given, and balances each. An error is one that leaves nothing to report.
func Reduce(in Input) (*Report, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	out := &Report{Name: in.Name}
	phases, err := in.phases()
	if err != nil {
		return nil, err
	}
	for _, p := range phases {
		from, to := within(in.History.Time, p.From, p.To)
		if to-from < 2 {
			return nil, fmt.Errorf("the %s from %.0f s to %.0f s holds fewer than two rows of %q, which goes from %.0f s to %.0f s",
				p.Kind, p.From, p.To, in.Name, in.History.Time[0], in.History.Time[len(in.History.Time)-1])
		}
		out.Phases = append(out.Phases, PhaseReport{Phase: p})
	}
	source := in.loss(out)
	for i := range out.Phases {
		if err := in.balance(&out.Phases[i], out, i == source); err != nil {
			return nil, fmt.Errorf("balancing the %s from %.0f s: %w", out.Phases[i].Kind, out.Phases[i].From, err)
		}
	}
	in.suspect(out)
	in.caution(out)
	out.Drying, out.NoDrying = in.drying(phases)
	return out, nil
}

// loss fits the quiet phases and picks UA: the one given, else that of the phase that knows it best. It returns the
// index of the phase that it comes from, or -1.
func (in *Input) loss(out *Report) int {
	source, flow := newSwitch(in.History.Time, in.sourcePower()), newSwitch(in.History.Time, in.flowTotal())
	best := -1
	for i := range out.Phases {
		p := &out.Phases[i]
		mid := (p.From + p.To) / 2
		if p.Kind == Drain || p.Kind == HeatUp || source.on(mid) || flow.on(mid) {
			continue
		}
		c, err := in.cooling(&p.Phase)
		if err != nil || c == nil {
			continue
		}
		p.Cooling = c
		if err := in.conductance(c); err != nil {
			p.Notes = append(p.Notes, "The conductance of the losses could not be computed: "+err.Error()+".")
		}
		if c.UA != nil && (best < 0 || c.UA.U/c.UA.Value < out.Phases[best].Cooling.UA.U/out.Phases[best].Cooling.UA.Value) {
			best = i
		}
	}
	if in.Loss != nil {
		out.Loss, out.LossFrom = in.Loss, "given"
		return -1
	}
	if best < 0 {
		return -1
	}
	p := &out.Phases[best]
	if r := p.Cooling.UA; r.U > 0.5*r.Value {
		out.Notes = append(out.Notes, "The cooling tells the conductance of the losses too poorly for a closure.")
		return -1
	}
	out.Loss = &uncertainty.Quantity{Name: "UA", Unit: "W/K", Value: p.Cooling.UA.Value, Components: []uncertainty.Component{{Name: "from the cooling", U: p.Cooling.UA.U, DoF: finite(p.Cooling.UA.DoF)}}}
	out.LossFrom = fmt.Sprintf("the cooling from %s to %s", clockTime(p.From), clockTime(p.To))
	return best
}

// balance fills one phase.
func (in *Input) balance(p *PhaseReport, out *Report, own bool) error {
	m := newModel()
	draw := &uncertainty.Draw{Seed: in.Seed + 1, Digits: 1, Most: 100_000}
	if in.Quick {
		draw = nil
	}
	var heatIn, toWater, stored, expected *term
	var err error
	if in.metered() {
		heatIn = in.source(m, p.From, p.To)
	}
	if toWater, err = in.allWater(m, p); err != nil {
		return err
	}
	var note string
	if stored, note, err = in.stored(m, p.From, p.To); err != nil {
		p.Notes = append(p.Notes, sentence(err))
	} else if note != "" {
		p.Notes = append(p.Notes, note)
	}
	if out.Loss != nil && !own {
		expected = in.expected(m, p, out)
	}
	clock := m.add(uncertainty.Quantity{Name: "clock", Unit: "1", Value: 1, Components: []uncertainty.Component{{Name: "rate", U: in.clock(), Shape: uncertainty.Rectangular}}})
	value := func(f *term, x []float64) float64 {
		if f == nil {
			return 0
		}
		return f.at(m, x)
	}
	inAt := func(x []float64) float64 { return value(heatIn, x) * x[clock] }
	waterAt := func(x []float64) float64 { return value(toWater, x) * x[clock] }
	storedAt := func(x []float64) float64 { return value(stored, x) }
	expectedAt := func(x []float64) float64 { return value(expected, x) }
	lostAt := func(x []float64) float64 { return inAt(x) - waterAt(x) - storedAt(x) }
	on := p.Kind == HeatUp || newSwitch(in.History.Time, in.sourcePower()).on((p.From+p.To)/2)
	results := []struct {
		has  bool
		name string
		f    func(x []float64) float64
		draw *uncertainty.Draw
		to   **Result
	}{
		{heatIn != nil, "energy in", inAt, nil, &p.In},
		{toWater != nil, "heat to the water", waterAt, draw, &p.Water},
		{stored != nil, "heat stored", storedAt, nil, &p.Stored},
		{expected != nil, "losses expected", expectedAt, nil, &p.Expected},
		{stored != nil && (heatIn != nil || !on), "heat lost by difference", lostAt, nil, &p.Lost},
	}
	for _, r := range results {
		if !r.has {
			continue
		}
		if *r.to, err = m.result(r.name, "J", r.f, r.draw); err != nil {
			return err
		}
	}
	p.ByConstruction = own && p.Lost != nil
	if p.Lost == nil || p.Expected == nil {
		return nil
	}
	gave, took := p.Stored.Value < 0, p.In != nil && p.In.Value > 0
	turned := func(x []float64) float64 {
		v := 0.0
		if took {
			v += inAt(x)
		}
		if gave {
			v -= storedAt(x)
		}
		return v
	}
	p.TurnedOver = turned(m.means)
	if !(p.TurnedOver > 0) {
		return nil
	}
	p.Closure, err = m.result("closure", "1", func(x []float64) float64 { return (lostAt(x) - expectedAt(x)) / turned(x) }, draw)
	if p.Closure != nil && !(p.Closure.Half() < 1) {
		p.Closure = nil
		p.Notes = append(p.Notes, "Too little heat is turned over for a closure: it would be known to no better than its own size.")
	}
	return err
}

// allWater sums the circuits. A circuit without flow in the phase brings what its rows say, which is nothing.
func (in *Input) allWater(m *model, p *PhaseReport) (*term, error) {
	var sum *term
	add := func(f *term) {
		if sum == nil {
			sum = &term{}
		}
		sum.base += f.base
		sum.linear = append(sum.linear, f.linear...)
		sum.crossed = append(sum.crossed, f.crossed...)
	}
	for _, of := range in.circuits() {
		if i := in.find(ToWater, of); i >= 0 {
			add(in.direct(m, i, p.From, p.To))
			continue
		}
		if in.find(Flow, of) < 0 { // a temperature without a flow says nothing about heat
			p.Notes = append(p.Notes, fmt.Sprintf("The circuit %q has no flow, so its heat to the water is not known.", of))
			continue
		}
		f, w, err := in.water(m, of, p.From, p.To)
		if err != nil {
			if p.Kind == Drain || p.ByHand {
				p.Notes = append(p.Notes, sentence(err))
			}
			continue
		}
		rows := float64(len(w.t) + w.missing + w.gone)
		p.Missing = math.Max(p.Missing, (rows-float64(len(w.t)))/rows)
		in.judge(p, of, w)
		add(f)
	}
	return sum, nil
}

// expected adds UA ∫ (T − T_ambient) dt.
func (in *Input) expected(m *model, p *PhaseReport, out *Report) *term {
	lift := in.lift(m, p.From, p.To)
	if lift == nil {
		return nil
	}
	ua := *out.Loss
	ua.Name = "UA (" + out.LossFrom + ")"
	// As a factor of the term: its input is UA itself in W/K.
	lift.factors = append(lift.factors, m.add(ua))
	if in.Loss == nil { // UA = k C: the capacity's error is already inside, and shared with the heat stored
		lift.factors = lift.factors[:len(lift.factors)-1]
		m.inputs, m.means, m.scale = m.inputs[:len(m.inputs)-1], m.means[:len(m.means)-1], m.scale[:len(m.scale)-1]
		for i := range out.Phases {
			if c := out.Phases[i].Cooling; c != nil && c.UA != nil && c.UA.Value == out.Loss.Value {
				q := rateQuantity(c)
				q.Name = "UA (" + out.LossFrom + "): rate"
				lift.factors = append(lift.factors, m.add(q))
				capacity := m.add(uncertainty.Exact("capacity there", "J/K", c.UA.Value/c.Rate))
				lift.factors = append(lift.factors, capacity)
				break
			}
		}
		if in.Capacity != nil {
			lift.factors = append(lift.factors, in.heatFactors(m)...)
		}
	}
	return lift
}

// sentence makes a sentence of an error.
func sentence(err error) string {
	s := err.Error()
	if s == "" {
		return ""
	}
	return string(s[0]-'a'+'A') + s[1:] + "."
}
