package plan

import (
	"context"
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/match"
)

// howLong computes how long the charge takes: the first run with its source left on, until the target is reached, at the
// start and with each parameter moved to both sides by the standard deviation of what is known of it before. With t the time
// and Δ⁺, Δ⁻ its rises and falls,
//
//	95 % from t − 1.96 √Σ(Δ⁻)² to t + 1.96 √Σ(Δ⁺)²
//
// so that a target which some may never reach shows as open above. After the trial, with g the slopes over those moves and C
// the covariance that is left, the standard deviation is √(gᵀ C g).
//
// Source: JCGM 100:2008, eq. 10 with the moves of 5.1.3, note 2 (each input moved by its standard uncertainty), and eq. 13
// for the time after the trial. That rises and falls are summed apart, so that the band may be lopsided, and that a move
// which never comes to the target leaves it open above, is derived here: it is exact for one parameter and for a reply
// that is straight on either side, and a rough bound else.
func (d *design) howLong(ctx context.Context, cov [][]float64) (*Charge, error) {
	if d.p.Target == nil {
		return nil, nil
	}
	c := &Charge{Trial: d.p.Trials[0].Name, Column: d.p.Target.Column, Reaches: d.p.Target.Reaches}
	p := &d.problems[0]
	off, on := sourceOff(p)
	if !on {
		c.Time, c.Low, c.High, c.Within = math.Inf(1), math.Inf(1), math.Inf(1), p.Until
		c.Sentence = "No light and no heater is on at the beginning of run " + c.Trial + ", so it says nothing of a charge."
		return c, nil
	}
	c.Off = off
	c.Within = 2 * p.Until // how far is our own choice, as are four times the source's own time
	if off > 0 {
		c.Within = max(4*off, p.Until)
	}
	v := &variant{trial: 0, watch: []string{c.Column}, probes: probesOf(d.p.Sensors), charge: c}
	mid := &point{v: v, x: d.x}
	points := []*point{mid}
	low, high := make([]*point, len(d.x)), make([]*point, len(d.x))
	for j := range d.x {
		q := &d.p.Parameters[j]
		if !q.Acts(c.Trial) {
			continue
		}
		sd, _ := before(q)
		low[j] = &point{v: v, x: d.moved(j, max(d.x[j]-sd, q.Lower))}
		high[j] = &point{v: v, x: d.moved(j, min(d.x[j]+sd, q.Upper))}
		points = append(points, low[j], high[j])
	}
	if err := d.compute(ctx, "the charge", points); err != nil {
		return nil, fmt.Errorf("how long the charge takes: %w", err)
	}
	col := mid.r.History.Column(c.Column)
	if col == nil {
		return nil, fmt.Errorf("how long the charge takes: the run has no column %q", c.Column)
	}
	c.Time = crossing(mid.r, c)
	c.Most = math.Inf(-1)
	for k, v := range col.Values {
		c.Most = max(c.Most, v)
		if off > 0 && mid.r.History.Time[k] <= off {
			c.AtOff = v
		}
	}
	var up, down float64
	g := make([]float64, len(d.x))
	for j := range d.x {
		if low[j] == nil {
			continue
		}
		a, b := crossing(low[j].r, c), crossing(high[j].r, c)
		rise, fall := max(a, b, c.Time)-c.Time, c.Time-min(a, b, c.Time)
		if math.IsInf(c.Time, 1) {
			rise, fall = 0, 0
		}
		// A side that stops at a bound is shorter than a standard deviation; that is what is known.
		up, down = math.Hypot(up, rise), math.Hypot(down, fall)
		if width := high[j].x[j] - low[j].x[j]; !math.IsInf(a, 1) && !math.IsInf(b, 1) {
			g[j] = (b - a) / width
		} else if t := min(a, b); !math.IsInf(t, 1) {
			g[j] = 2 * (c.Time - t) / width
		}
	}
	c.Low, c.High = max(c.Time-1.96*down, 0), c.Time+1.96*up
	sum := 0.0
	for i := range g {
		for j := range g {
			sum += g[i] * cov[i][j] * g[j]
		}
	}
	c.AfterSD = math.Sqrt(max(sum, 0))
	c.word()
	return c, nil
}

// crossing is the first time at which the column has reached the target, by a straight line between rows; +Inf where it has
// not.
func crossing(r *heat.Result, c *Charge) float64 {
	h := &r.History
	col := h.Column(c.Column)
	if col == nil {
		return math.Inf(1)
	}
	for k, v := range col.Values {
		if v < c.Reaches || math.IsNaN(v) {
			continue
		}
		if k == 0 || math.IsNaN(col.Values[k-1]) {
			return h.Time[k]
		}
		f := (c.Reaches - col.Values[k-1]) / (v - col.Values[k-1])
		return h.Time[k-1] + f*(h.Time[k]-h.Time[k-1])
	}
	return math.Inf(1)
}

// heats tells whether an action switches a source, or what would take its light away.
func heats(a duty.Action) bool {
	return a.What == duty.SetLight || a.What == duty.SetHeater || a.What == duty.SetCover || a.What == duty.StopRun
}

// running tells whether any source is on.
func running(s *duty.Switches) bool { return s.Light || slices.Contains(s.Heaters, true) }

// sourceOff finds when events turn the source off for the first time; 0: they do not. on is false where none is ever on.
func sourceOff(p *heat.Problem) (off float64, on bool) {
	s := p.Duty.Switches.Clone()
	on = running(&s)
	for _, e := range p.Duty.Events {
		for _, a := range e.Do {
			a.Apply(&s)
		}
		switch {
		case running(&s):
			on = true
		case on:
			return e.At, true
		}
	}
	return 0, on
}

// leaveOn makes a run of the charge alone: nothing turns the source off, nothing that comes after it happens, and no event
// lets water in.
func leaveOn(p *heat.Problem, within float64) {
	off, _ := sourceOff(p)
	d := &p.Duty
	if off > 0 {
		d.Events = slices.DeleteFunc(slices.Clone(d.Events), func(e duty.Event) bool { return e.At >= off })
	}
	d.Events = slices.Clone(d.Events)
	for i := range d.Events {
		d.Events[i].Do = slices.DeleteFunc(slices.Clone(d.Events[i].Do), func(a duty.Action) bool {
			return a.What == duty.SetWater && duty.WaterState(a.Value) == duty.Flowing
		})
	}
	d.Rules = slices.DeleteFunc(slices.Clone(d.Rules), func(r duty.Rule) bool {
		return slices.ContainsFunc(r.Do, heats) || slices.ContainsFunc(r.Else, heats)
	})
	p.Until = within
}

// endAbove ends a run once its target lies two kelvin behind, where a rule can watch it: the rest would be for nothing.
func (c *Charge) endAbove(p *heat.Problem) {
	w := duty.Watch{What: duty.WatchBlockMean}
	if c.Column != "block mean" {
		if !slices.ContainsFunc(p.Probes, func(q heat.Probe) bool { return q.Name == c.Column }) {
			return
		}
		w = duty.Watch{What: duty.WatchProbe, Probe: c.Column}
	}
	p.Duty.Rules = append(p.Duty.Rules, duty.Rule{
		Name: "charged", Watch: w, Above: true, Threshold: c.Reaches + 2, Hysteresis: 1, Do: []duty.Action{{What: duty.StopRun}}, Once: true,
	})
}

// word says it in a sentence.
func (c *Charge) word() {
	goal := fmt.Sprintf("%s at %.0f °C", c.Column, c.Reaches-273.15)
	switch {
	case math.IsInf(c.Time, 1):
		c.Sentence = fmt.Sprintf("With the source left on, %s is not reached within %s; the most is %.0f °C.", goal, span(c.Within), c.Most-273.15)
		return
	case math.IsInf(c.High, 1):
		c.Sentence = fmt.Sprintf("The charge to %s takes %s; by what is known before the trial at least %s (95 %%), and perhaps it never gets there.", goal, span(c.Time), span(c.Low))
	default:
		c.Sentence = fmt.Sprintf("The charge to %s takes %s; by what is known before the trial %s to %s (95 %%).", goal, span(c.Time), span(c.Low), span(c.High))
	}
	c.Sentence += fmt.Sprintf(" After the trial that will be known to ± %s.", span(1.96*match.Allowance*c.AfterSD))
	if c.Off > 0 && c.Time > c.Off {
		c.Sentence += fmt.Sprintf(" The duty turns the source off at %s, too early: by then it is at %.0f °C.", span(c.Off), c.AtOff-273.15)
	}
}
