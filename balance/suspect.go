package balance

import (
	"fmt"
	"math"
)

// judge says what a circuit's rows do that physics does not.
func (in *Input) judge(p *PhaseReport, of string, w *wet) {
	add := func(format string, args ...any) { p.Suspicions = append(p.Suspicions, fmt.Sprintf(format, args...)) }
	iIn, iOut, iFlow := in.find(Inlet, of), in.find(Outlet, of), in.find(Flow, of)
	inlet, outlet := in.Channels[iIn].Column, in.Channels[iOut].Column
	if p.Kind == Drain && w.taken > 0 {
		block := math.NaN()
		if v := in.blockMean(); v != nil {
			from, to := within(in.History.Time, p.From, p.To)
			block = quantile(v[from:to], 0.5)
		}
		if share := float64(w.colder) / float64(w.taken); share > 0.5 && !(block < mean(w.in)) {
			add("The water cools while it should take heat: in %.0f %% of the rows with flow %q is below %q. Inlet and outlet may be swapped.", 100*share, outlet, inlet)
		}
		if hot := quantile(w.out, 0.95); !math.IsNaN(block) && hot > quantile(in.blockMean(), 1)+math.Max(2, 2*in.unsure(iOut, hot)) {
			add("%q reaches %.1f °C, more than the block ever shows: a unit or a channel may be wrong.", outlet, hot-273.15)
		}
		if most := quantile(w.flow, 0.95); most > 5 {
			add("%q reads %.3g kg/s, which is much for a circuit: is its unit right?", in.Channels[iFlow].Column, most)
		}
	}
	if w.boiling > 0 {
		p.Notes = append(p.Notes, fmt.Sprintf("In %d of %d rows %q stands at the boiling temperature, where a temperature does not tell how much has boiled: those rows count the water as liquid, so the heat to the water is a lower bound. Steam and water in hot tubes can hammer and scald; mind the local rules for pressure parts.",
			w.boiling, len(w.t), outlet))
	}
	if w.gone > 0 {
		add("In %d rows a temperature of the circuit %q lies outside what water can be; they are left out.", w.gone, of)
	}
	if w.assumed && quantile(w.out, 0.99) > 273.15+90 {
		p.Notes = append(p.Notes, fmt.Sprintf("The water's pressure is not recorded and %q comes near 100"+narrow+"°C or above; the water is taken as liquid throughout. Where it boils (a plateau near 100"+narrow+"°C at an open end is a sign) the heat to the water is a lower bound. Steam and water in hot tubes can hammer and scald; mind the local rules for pressure parts.", outlet))
	}
	if share := float64(w.missing) / float64(len(w.t)+w.missing); share > 0.1 {
		p.Notes = append(p.Notes, fmt.Sprintf("%.0f %% of the rows lack a value that the heat to the water needs; they are bridged by straight lines.", 100*share))
	}
}

// suspect looks at the whole.
func (in *Input) suspect(out *Report) {
	for i := range out.Phases {
		p := &out.Phases[i]
		add := func(format string, args ...any) { p.Suspicions = append(p.Suspicions, fmt.Sprintf(format, args...)) }
		if c := p.Closure; c != nil && p.enough() {
			low, high := c.Interval()
			if (low > 0 || high < 0) && math.Abs(c.Value) > 0.1 {
				what := "more goes in than comes out or stays"
				if c.Value < 0 {
					what = "more comes out or stays than goes in"
				}
				add("The balance closes to %s only: %s, beyond the uncertainty stated. Look at units, at factors of the source, at the mass of the block and at the flow meter.", c.words(), what)
			}
		}
		if l := p.Lost; l != nil && below(l) && l.Half() > 0 && !in.belowAir(p) {
			add("The heat lost comes out below zero, %s: energy is missing on the side of what goes in, or the block's heat capacity or the flow is stated too high.", l.words())
		}
		if p.Kind == HeatUp && p.In != nil && p.Stored != nil && p.Stored.Value > p.In.Value+math.Hypot(p.In.Half(), p.Stored.Half()) {
			add("The block stores more than is put in (%s against %s).", p.Stored.words(), p.In.words())
		}
		if d := p.Water; d != nil && d.Drawn != nil && !d.Drawn.Agree {
			p.Notes = append(p.Notes, "Heat to the water: "+d.drawnWords())
		}
		if d := p.Closure; d != nil && d.Drawn != nil && !d.Drawn.Agree {
			p.Notes = append(p.Notes, "Closure: "+d.drawnWords())
		}
		if p.Cooling != nil {
			for _, i := range in.channels(Block)[:min(1, len(in.channels(Block)))] {
				if v := in.values(i); quantile(v, 1) > 273.15+2000 {
					add("%q reaches %.0f °C: is its unit right?", in.Channels[i].Column, quantile(v, 1)-273.15)
				}
			}
		}
	}
	if len(in.channels(Block)) == 0 {
		out.Notes = append(out.Notes, "No column is a temperature of the block: heat stored, losses and cooling constants are not known.")
	} else if in.Capacity == nil {
		out.Notes = append(out.Notes, "The block's heat capacity is not known: heat stored and lost are left out. Name the receiver.")
	}
	if len(in.channels(Ambient)) == 0 {
		out.Notes = append(out.Notes, "Ambient is not recorded: cooling constants are fitted with an ambient of their own, and losses are not computed from them.")
	}
	if len(in.channels(Source)) > 0 && !in.metered() {
		out.Notes = append(out.Notes, "The source tells when it is on, not how many watts reach the receiver: a phase with the source on has no energy in, and its losses are not known. Give the source a factor.")
	}
	if len(in.channels(Source)) == 0 {
		out.Notes = append(out.Notes, "No source is recorded: a heat-up has no energy in, and its losses are not known.")
	}
}

// belowAir tells whether the block was colder than the air in a phase, so that heat came in where it is lost otherwise: after
// a drain with cold water.
func (in *Input) belowAir(p *PhaseReport) bool {
	block, air := in.blockMean(), in.channels(Ambient)
	if block == nil || len(air) == 0 {
		return false
	}
	from, to := within(in.History.Time, p.From, p.To)
	return quantile(block[from:to], 0.5) < quantile(in.values(air[0])[from:to], 0.5)
}

// below tells whether the whole interval of a result lies below zero.
func below(r *Result) bool {
	_, high := r.Interval()
	return high < 0
}

// enough tells whether a phase turns over enough heat to be judged: more than its own uncertainty.
func (p *PhaseReport) enough() bool {
	return p.TurnedOver > 0 && p.Closure.Half() < 0.5
}

// Sentence says the phase's balance in one sentence.
func (p *PhaseReport) Sentence() string {
	s := fmt.Sprintf("In the %s from %s to %s", p.Kind, clockTime(p.From), clockTime(p.To))
	parts := []string{}
	say := func(r *Result, what string) {
		if r != nil {
			parts = append(parts, what+" "+r.words())
		}
	}
	if p.In != nil && math.Abs(p.In.Value) > 1e-3*p.TurnedOver && p.In.Value != 0 {
		say(p.In, "the source gave")
	}
	if p.Water != nil && (p.Kind == Drain || math.Abs(p.Water.Value) > p.Water.Half()) {
		say(p.Water, "the water took")
	}
	if p.Stored != nil && p.Stored.Value < 0 {
		parts = append(parts, "the block gave up "+Joules(-p.Stored.Value, p.Stored.Half()))
	} else {
		say(p.Stored, "the block took")
	}
	if p.Lost != nil {
		say(p.Lost, "and what is left, lost, is")
	}
	if len(parts) == 0 {
		return s + " nothing can be balanced."
	}
	for i, part := range parts {
		if i > 0 {
			s += ","
		}
		s += " " + part
	}
	s += " (95" + narrow + "%)."
	if c := p.Closure; c != nil {
		s += fmt.Sprintf(" With the losses known from elsewhere the balance closes to %s.", c.words())
	}
	return s
}

// Telling returns the result whose budget says most about a phase: the heat to the water on a drain, else the
// closure, else what is lost, else what there is.
func (p *PhaseReport) Telling() *Result {
	order := []*Result{p.Closure, p.Lost, p.Stored, p.Water, p.In}
	if p.Kind == Drain {
		order = []*Result{p.Water, p.Closure, p.Lost, p.Stored, p.In}
	}
	for _, r := range order {
		if r != nil && r.U > 0 {
			return r
		}
	}
	return nil
}
