package plan

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/match"
)

// result computes what is promised, and what would change it.
func (d *design) result(ctx context.Context) (*Result, error) {
	p := &d.p
	out := &Result{Name: p.Name, Parameters: p.Parameters, MayCost: p.MayCost, Best: -1}
	d.interval(out)
	now := d.learn(weighing{p.Sensors, d.base, out.Every})
	out.Covariance = now.cov
	for j, sd := range now.sd() {
		q := &p.Parameters[j]
		e := Expected{Name: q.Name, Value: d.x[j]}
		e.Before, e.Prior = before(q)
		e.SD = min(match.Allowance*sd, e.Before)
		e.Best = e.SD
		e.Lower, e.Upper = max(d.x[j]-1.96*e.SD, q.Lower), min(d.x[j]+1.96*e.SD, q.Upper)
		for _, r := range d.base {
			e.Bent = e.Bent || r.bent[j]
		}
		if e.Bent {
			out.Notes = append(out.Notes, fmt.Sprintf("the reply to %s is bent: its uncertainty holds near %.4g %s only", q.Name, d.shown(j), q.Unit))
		}
		out.Expected = append(out.Expected, e)
	}
	d.directions(out)
	out.Confused = match.NotToldApart(p.Parameters, d.x, now.cols)
	d.taught(out, now)
	if err := d.otherwise(ctx, out, now); err != nil {
		return nil, fmt.Errorf("planning: %w", err)
	}
	var err error
	if out.Charge, err = d.howLong(ctx, now.cov); err != nil {
		return nil, fmt.Errorf("planning: %w", err)
	}
	d.courses(out)
	for _, r := range d.base {
		for _, c := range r.cautions {
			if !slices.Contains(out.Cautions, c) {
				out.Cautions = append(out.Cautions, c)
			}
		}
	}
	out.Notes = append(out.Notes, d.notes...)
	out.Runs = d.runs
	return out, nil
}

// shown is the value of a parameter in its unit.
func (d *design) shown(j int) float64 {
	p := &d.p.Parameters[j]
	size := p.Size
	if size == 0 {
		size = 1
	}
	return (d.x[j] - p.Zero) / size
}

// ladder are the intervals that loggers offer, in s.
var ladder = []float64{1, 2, 5, 10, 15, 20, 30, 60, 120, 180, 300, 600, 900, 1200, 1800, 3600, 7200}

// interval finds the longest interval at which no uncertainty has grown by more than may be, over that at the shortest.
func (d *design) interval(out *Result) {
	for _, every := range ladder {
		if every > d.length/6 && len(out.Intervals) > 0 {
			break
		}
		k := d.learn(weighing{d.p.Sensors, d.base, every})
		out.Intervals = append(out.Intervals, Interval{Every: every, SD: k.sd()})
	}
	least := out.Intervals[0].SD
	out.Suffices = out.Intervals[0].Every
	still := true
	for i := range out.Intervals {
		v := &out.Intervals[i]
		for j := range v.SD {
			v.Grows = max(v.Grows, v.SD[j]/least[j]-1)
		}
		if still = still && v.Grows <= d.p.MayCost; still {
			out.Suffices = v.Every
		}
	}
	out.Every, out.Given = d.p.Every, d.p.Every > 0
	if !out.Given {
		out.Every = out.Suffices
	}
}

// directions takes the covariance apart, each parameter in units of what is known of it before.
func (d *design) directions(out *Result) {
	n := len(d.x)
	scaled := make([][]float64, n)
	for i := range n {
		scaled[i] = make([]float64, n)
		for j := range n {
			scaled[i][j] = out.Covariance[i][j] / (out.Expected[i].Before * out.Expected[j].Before)
		}
	}
	values, vectors := eigen(scaled)
	for k := n - 1; k >= 0; k-- {
		v := vectors[k]
		most := 0
		for j := range v {
			if math.Abs(v[j]) > math.Abs(v[most])+1e-9 {
				most = j
			}
		}
		if len(v) > 0 && v[most] < 0 {
			for j := range v {
				v[j] = -v[j]
			}
		}
		out.Directions = append(out.Directions, Direction{Shares: v, Left: math.Sqrt(max(values[k], 0))})
	}
}

// nilShare is the share of what is known before that a sensor must leave of every parameter to be called of no use.
const nilShare = 0.99

// taught says what each planned sensor contributes, alone and beside the others.
func (d *design) taught(out *Result, now *known) {
	sd := now.sd()
	for i, s := range d.p.Sensors {
		q, _ := d.spanOf(s.Column)
		t := Taught{Column: s.Column, Unit: errorUnit(q), Rows: now.rows[i], Alone: make([]float64, len(sd)), Without: make([]float64, len(sd))}
		alone := d.learn(weighing{[]Sensor{s}, d.base, out.Every}).sd()
		others := slices.Delete(slices.Clone(d.p.Sensors), i, i+1)
		without := make([]float64, len(sd))
		for j := range sd {
			without[j] = out.Expected[j].Before
		}
		if len(others) > 0 {
			without = d.learn(weighing{others, d.base, out.Every}).sd()
		}
		best, loss := 0, 0
		for j := range sd {
			t.Alone[j], t.Without[j] = alone[j]/out.Expected[j].Before, without[j]/sd[j]
			if t.Alone[j] < t.Alone[best] {
				best = j
			}
			if t.Without[j] > t.Without[loss] {
				loss = j
			}
		}
		t.Nil = t.Alone[best] > nilShare
		switch {
		case t.Rows == 0:
			t.Nil = true
			t.Sentence = fmt.Sprintf("%s never has a value in the runs: it teaches nothing", s.Column)
		case t.Nil:
			t.Sentence = fmt.Sprintf("%s is next to insensitive to every parameter where it is: it teaches nothing", s.Column)
		default:
			t.Sentence = fmt.Sprintf("%s alone would leave %s of the uncertainty of %s", s.Column, percent(t.Alone[best]), d.p.Parameters[best].Name)
			if t.Without[loss] > 2 {
				t.Sentence += fmt.Sprintf("; without it %s would be %s times as uncertain", d.p.Parameters[loss].Name, times(t.Without[loss]))
			} else if t.Without[loss] > 1.02 {
				t.Sentence += fmt.Sprintf("; without it %s would be %.0f %% less certain", d.p.Parameters[loss].Name, 100*(t.Without[loss]-1))
			} else {
				t.Sentence += "; the other sensors tell the same"
			}
		}
		out.Sensors = append(out.Sensors, t)
		z := d.noise[q]
		lasting := s.Lasting
		if lasting == 0 {
			lasting = z.lasting[s.Column]
		}
		out.Sizes = append(out.Sizes, Size{
			Column: s.Column, Unit: errorUnit(q), White: s.Noise, Lasting: lasting, Slow: z.slow, Common: z.common,
			Time: z.time, SlowTime: z.slowTime, Offset: s.Offset, Shared: s.Shared,
		})
	}
}

// errorUnit is the unit of a quantity's errors.
func errorUnit(q history.Quantity) string {
	if q == history.Temperature {
		return "K"
	}
	return q.Unit()
}

// helps is the share of uncertainty, over all parameters together, that a change must leave by one-sided derivatives at the most
// for its other sides to be run as well. One-sided derivatives are rougher, and roughness looks like information: so what does
// not help by them does not help. The number is our own practice.
const helps = 0.97

// otherwise tries every candidate. A sensor is read from the runs as planned. A change needs runs of its own: first to one
// side of each parameter, held against the plan as such runs alone would have it; and where that helps to the other sides too.
func (d *design) otherwise(ctx context.Context, out *Result, now *known) error {
	for i, s := range d.more {
		c := Candidate{Kind: "sensor", Name: s.Column, Proposed: i >= d.given, Sensor: &d.more[i]}
		if _, span := d.spanOf(s.Column); span < 0 {
			c.Why = "the runs have no value there"
		} else {
			d.gains(&c, now, d.learn(weighing{append(slices.Clone(d.p.Sensors), s), d.base, out.Every}), now)
		}
		d.add(out, c)
	}
	rough := d.learn(weighing{d.p.Sensors, d.rough, out.Every})
	for i := range d.changes {
		c, err := d.changed(ctx, &d.changes[i], out.Every, now, rough)
		if err != nil {
			return err
		}
		d.add(out, c)
	}
	slices.SortStableFunc(out.Candidates, func(a, b Candidate) int { return cmp.Compare(a.Joint, b.Joint) })
	if len(out.Candidates) > 0 && out.Candidates[0].Joint < 0.99 {
		out.Best = 0
		for j := range out.Expected {
			out.Expected[j].Best = min(match.Allowance*out.Candidates[0].SD[j], out.Expected[j].Before)
		}
	}
	return nil
}

// changed tries one change.
func (d *design) changed(ctx context.Context, k *trialChange, every float64, now, rough *known) (Candidate, error) {
	c := Candidate{Kind: k.change.Kind(), Name: k.change.Name(), Proposed: k.proposed}
	if len(d.p.Trials) > 1 {
		c.Trial = d.p.Trials[k.trial].Name
		c.Name += " in " + c.Trial
	}
	d.shutInLight(k)
	whole := d.around(&variant{trial: k.trial, change: &k.change, probes: probesOf(d.p.Sensors), watch: columnsOf(d.p.Sensors)})
	for _, sides := range []struct {
		t    *trio
		base []*replies
		than *known
	}{{d.oneSided(whole), d.rough, rough}, {whole, d.base, now}} {
		if err := d.compute(ctx, c.Name, sides.t.points()); err != nil {
			if ctx.Err() != nil {
				return c, err
			}
			return Candidate{Kind: c.Kind, Name: c.Name, Trial: c.Trial, Proposed: c.Proposed, Why: err.Error()}, nil
		}
		r, err := d.replies(sides.t)
		if err != nil {
			return c, err
		}
		runs := slices.Clone(sides.base)
		runs[k.trial] = r
		c.Cautions = nil
		for _, q := range r.cautions {
			if !slices.ContainsFunc(d.base[k.trial].cautions, func(o heat.Caution) bool { return o.Kind == q.Kind }) {
				c.Cautions = append(c.Cautions, q)
			}
		}
		d.gains(&c, now, d.learn(weighing{d.p.Sensors, runs, every}), sides.than)
		if c.Joint > helps {
			break
		}
	}
	return c, nil
}

// gains says what a candidate leaves of the uncertainties: the ratio of what it teaches to what the plan does by the same kind
// of derivatives, and the planned uncertainty times it.
func (d *design) gains(c *Candidate, plan, candidate, beside *known) {
	c.Gain, c.SD = nil, nil
	planned, than := plan.sd(), beside.sd()
	for j, sd := range candidate.sd() {
		c.Gain = append(c.Gain, sd/than[j])
		c.SD = append(c.SD, planned[j]*c.Gain[j])
	}
	c.Joint = math.Exp((d.joint(candidate.cov) - d.joint(beside.cov)) / (2 * float64(len(d.x))))
}

// add takes a candidate; one that could not be computed comes last.
func (d *design) add(out *Result, c Candidate) {
	if c.Why != "" {
		c.Joint = math.Inf(1)
	}
	c.Sentence = d.say(&c)
	out.Candidates = append(out.Candidates, c)
}

// shutInLight notes a cover that would be shut while light falls on it.
func (d *design) shutInLight(k *trialChange) {
	c := k.change.Cover
	if c == nil || !c.Shut {
		return
	}
	p := &d.problems[k.trial]
	for _, s := range stretches(p) {
		if s.from < c.To && s.to > c.From && lit(p, s) {
			d.notes = append(d.notes, k.change.Name()+": light would fall on the shut cover, which may burn; turn the light away first")
			return
		}
	}
}

// courses keeps what the planned sensors will read and how that hangs on the parameters.
func (d *design) courses(out *Result) {
	for i, r := range d.base {
		for _, s := range d.p.Sensors {
			c := r.index(s.Column)
			one := Course{Trial: d.p.Trials[i].Name, Column: s.Column, Quantity: r.quantity[c], Time: r.time, Value: r.value[c]}
			for j, slope := range r.slope[c] {
				scaled := make([]float64, len(r.time))
				for k := range scaled {
					if slope != nil {
						scaled[k] = slope[k] * out.Expected[j].Before
					}
				}
				one.Slope = append(one.Slope, scaled)
			}
			out.Courses = append(out.Courses, one)
		}
	}
}

// times prints a factor of two or more with two digits.
func times(f float64) string {
	if f >= 9.95 {
		return fmt.Sprintf("%.0f", f)
	}
	return fmt.Sprintf("%.1f", f)
}
