package match

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
)

// Problem is what is to be matched.
type Problem struct {
	Parameters []Parameter
	Trials     []Trial // fitted
	Aside      []Trial // predicted, never fitted
}

// Options of Estimate.
type Options struct {
	Run      Runner
	Workers  int // runs at a time; 0: one
	Rows     int // at most so many rows of each column count; 0: 120. What was measured more often is averaged
	Starts   int // of a space-filling sample within the bounds; 0: four and four for each parameter; below 0: none
	Descents int // fits from the best of them; 0: two
	Seed     uint64
	Memory   *Memory // kept over a stop; nil: an own one
	Progress func(stage string, runs int, cost float64)
	// Profiles asks for a profile of every parameter; without it those get one whose straight-line picture does not hold.
	Profiles bool
	Straight bool // no profile for any
	Grid     bool // also compute each fitted trial on a finer grid at the end, for what the cells put into the parameters
	Numeric  Numeric
}

// model is the problem made ready: rows, groups and offsets laid out.
type model struct {
	problem Problem
	opt     Options
	trials  []sampled
	groups  []*group
	y       []float64 // measured, over all trials, channels and rows
	offsets []offset
	memory  *Memory
	gate    chan struct{} // as many runs at a time as there are workers
	latest  float64       // F, for progress
	sd      []float64     // of the parameters as known so far, for the steps of derivatives; nil: not yet
}

// offset is one systematic error that channels share: its parameter counts in standard deviations.
type offset struct {
	group  string
	effect []float64 // SI by entry of y: what one standard deviation does to the reading
}

func newModel(ctx context.Context, p Problem, opt Options) (*model, error) {
	if opt.Rows == 0 {
		opt.Rows = 120
	}
	m := &model{problem: p, opt: opt, memory: opt.Memory, gate: make(chan struct{}, max(opt.Workers, 1))}
	if m.memory == nil {
		m.memory = NewMemory("")
	}
	switch {
	case len(p.Parameters) == 0:
		return nil, errors.New("matching: there is no parameter")
	case len(p.Trials) == 0:
		return nil, errors.New("matching: there is no trial to fit")
	}
	for i := range p.Trials {
		s, err := sample(&p.Trials[i], opt.Rows)
		if err != nil {
			return nil, fmt.Errorf("matching: %w", err)
		}
		s.loose = true
		m.trials = append(m.trials, s)
	}
	x := make([]float64, len(p.Parameters))
	for j := range x {
		x[j] = p.Parameters[j].Start
	}
	for i := range m.trials {
		v, err := m.memory.recall(ctx, m.trials[i].Name+" before rows were left out", x, func(ctx context.Context) ([]float64, error) {
			v, _, err := m.trials[i].compute(ctx, opt.Run, p.Parameters, x)
			return v, err
		})
		if err != nil {
			return nil, fmt.Errorf("matching: at the start: %w", err)
		}
		left := m.trials[i].prune(v)
		m.memory.keep(m.trials[i].key(), m.acting(&m.trials[i], x), left)
		if len(m.trials[i].channels) == 0 {
			return nil, fmt.Errorf("matching: trial %s: where there is a measured value, the run has none", m.trials[i].Name)
		}
	}
	m.groups = layOut(m.trials)
	for i := range m.trials {
		for _, c := range m.trials[i].channels {
			m.y = append(m.y, c.value...)
		}
	}
	m.offsets = offsetsOf(m.trials)
	return m, nil
}

// layOut finds where each group's rows stand in the vector of all trials, channels and rows.
func layOut(trials []sampled) []*group {
	var groups []*group
	find := func(c *Channel) *group {
		for _, g := range groups {
			if g.name == c.Quantity.Unit() {
				return g
			}
		}
		g := &group{name: c.Quantity.Unit()}
		groups = append(groups, g)
		return g
	}
	for i := range trials {
		for k := range trials[i].channels {
			c := &trials[i].channels[k]
			g := find(c.Channel)
			low, high, white := slices.Min(c.value), slices.Max(c.value), mean(c.white)
			j := slices.Index(g.columns, c.Column)
			if j < 0 {
				j = len(g.columns)
				g.columns = append(g.columns, c.Column)
				g.stated, g.span = append(g.stated, white), append(g.span, 0)
			}
			g.span[j] = max(g.span[j], high-low)
			g.length = max(g.length, trials[i].times[len(trials[i].times)-1])
		}
	}
	for _, g := range groups {
		at, steps := 0, []float64{}
		for i := range trials {
			r := rows{time: trials[i].times, entries: make([][]entry, len(trials[i].times))}
			for k := range trials[i].channels {
				c := &trials[i].channels[k]
				j := slices.Index(g.columns, c.Column)
				for e, row := range c.at {
					if g.name == c.Quantity.Unit() {
						r.entries[row] = append(r.entries[row], entry{j, at, c.white[e] / g.stated[j]})
						if e > 0 {
							steps = append(steps, c.time[e]-c.time[e-1])
						}
					}
					at++
				}
			}
			g.trials = append(g.trials, r)
		}
		sort.Float64s(steps)
		g.step = max(1e-3*g.length, 1e-9)
		if len(steps) > 0 {
			g.step = max(g.step, steps[len(steps)/2])
		}
		g.begin()
	}
	return groups
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// offsetsOf gathers the systematic errors in the order in which they first appear.
func offsetsOf(trials []sampled) []offset {
	var out []offset
	total := 0
	for i := range trials {
		for _, c := range trials[i].channels {
			total += len(c.value)
		}
	}
	at := 0
	for i := range trials {
		for _, c := range trials[i].channels {
			for _, p := range c.Parts {
				k := slices.IndexFunc(out, func(o offset) bool { return o.group == p.Group })
				if k < 0 {
					k = len(out)
					out = append(out, offset{p.Group, make([]float64, total)})
				}
				for e, v := range c.value {
					out[k].effect[at+e] += p.At(v)
				}
			}
			at += len(c.value)
		}
	}
	return out
}

// differences computes, over all trials, channels and rows, what the run says plus the sensors' offsets less what was
// measured. x holds the parameters and behind them the offsets in standard deviations.
func (m *model) differences(ctx context.Context, x []float64) ([]float64, error) {
	r := make([]float64, 0, len(m.y))
	parts, errs := make([][]float64, len(m.trials)), make([]error, len(m.trials))
	each(max(m.opt.Workers, 1), len(m.trials), func(i int) {
		parts[i], errs[i] = m.predict(ctx, &m.trials[i], x)
	})
	if err := First(errs); err != nil {
		return nil, err
	}
	for _, v := range parts {
		r = append(r, v...)
	}
	n := len(m.problem.Parameters)
	for k := range r {
		if r[k] -= m.y[k]; math.IsNaN(r[k]) { // a rule of the run has drained a circuit earlier than at the start
			r[k] = 0
			continue
		}
		for o := range m.offsets {
			r[k] += x[n+o] * m.offsets[o].effect[k]
		}
	}
	return r, nil
}

// predict is the computed columns of one trial at x, from memory where it can be.
func (m *model) predict(ctx context.Context, t *sampled, x []float64) ([]float64, error) {
	v, err := m.memory.recall(ctx, t.key(), m.acting(t, x), func(ctx context.Context) ([]float64, error) {
		m.gate <- struct{}{}
		defer func() { <-m.gate }()
		v, _, err := t.compute(ctx, m.opt.Run, m.problem.Parameters, x)
		return v, err
	})
	if err == nil && m.opt.Progress != nil {
		_, made := m.memory.Runs()
		m.opt.Progress("computing", made, m.latest)
	}
	return v, err
}

// acting are the parameters that act on a trial.
func (m *model) acting(t *sampled, x []float64) []float64 {
	var out []float64
	for j := range m.problem.Parameters {
		if m.problem.Parameters[j].applies(t.Trial) {
			out = append(out, x[j])
		}
	}
	return out
}

// fitting is the problem of least squares from x, with the noise as it stands.
func (m *model) fitting(x []float64, stop Tolerances) Fitting {
	n := len(m.problem.Parameters)
	f := Fitting{Of: m.differences, Start: x, Workers: m.opt.Workers, Stop: stop, Most: 40, Priors: m.priors(), Linear: make([]bool, len(x))}
	f.Weigh = func(v [][]float64) { weighAll(m.groups, v) }
	f.Progress = func(p Progress) { m.latest = p.Cost }
	for j := range x {
		if f.Linear[j] = j >= n; j >= n {
			f.Lower, f.Upper, f.Step = append(f.Lower, -8), append(f.Upper, 8), append(f.Step, 1)
			continue
		}
		p := &m.problem.Parameters[j]
		width := p.Upper - p.Lower
		f.Lower, f.Upper = append(f.Lower, p.Lower), append(f.Upper, p.Upper)
		step := min(max(0.02*math.Abs(x[j]), 0.002*width), 0.02*width)
		if m.sd != nil { // a chord over the interval: neither rough nor bent
			step = min(step, max(m.sd[j], 0.05*step))
		}
		f.Step = append(f.Step, step)
	}
	return f
}

func (m *model) priors() []Prior {
	var out []Prior
	for j, p := range m.problem.Parameters {
		if p.Prior != nil {
			out = append(out, Prior{j, p.Prior.Mean, p.Prior.SD})
		}
	}
	for o := range m.offsets {
		out = append(out, Prior{len(m.problem.Parameters) + o, 0, 1})
	}
	return out
}

// rough and fine end the search for a valley, and the fit in it.
var (
	rough = Tolerances{Gain: 0.3, Reduction: 1e-3, Move: 1e-4, Rough: 2}
	fine  = Tolerances{Gain: 0.005, Reduction: 1e-6, Move: 1e-6, Rough: roughness}
)

// roughness of F in a match: runs are not smooth functions of their inputs, each has time steps of its own. On the demo's
// trials F jumps by some 0.5 from place to place with steps as fine as Tolerance has them, by 2 with ten times looser ones.
const roughness = 0.5

// Estimate fits the parameters to the trials. First a spread of starts finds the valley, once with the noise as guessed
// and once by plain weighted least squares; from the ends of both, parameters and sizes of the noise go down one
// objective in turn (see settle), and the lower end counts. Up to here steps in time are coarser. Then the same goes on
// with fine steps, derivatives are taken by central differences, and last come the intervals and, where asked for, what
// the cells have put into the parameters (see grid). On cancel it returns
// what it has with an error that wraps ctx.Err(): a result that says Unfinished, or nil where there is nothing yet.
func Estimate(ctx context.Context, p Problem, opt Options) (*Result, error) {
	m, err := newModel(ctx, p, opt)
	if err != nil {
		return nil, err
	}
	x := make([]float64, len(p.Parameters)+len(m.offsets))
	for j := range p.Parameters {
		x[j] = p.Parameters[j].Start
	}
	out := &Result{Parameters: p.Parameters}
	m.loosen(true)
	from, others, err := m.search(ctx, x)
	if err == nil {
		var end settled
		if end, err = m.best(ctx, from, rough); end.found() {
			from[0] = end
		}
	}
	if err != nil {
		return out.unfinished(ctx, m, from), fmt.Errorf("matching: %w", err)
	}
	m.loosen(false)
	end, err := m.refine(ctx, from[0])
	if err != nil {
		if !end.found() {
			end = from[0]
		}
		return out.unfinished(ctx, m, []settled{end}), fmt.Errorf("matching: %w", err)
	}
	l := m.likelihoodAt(end.Solution)
	out.intervals(m, l, end.Solution)
	out.gather(m, end.Solution, m.elsewhere(end.Solution, from[0].Solution, others))
	if err := out.bend(ctx, m, end.Solution); err != nil {
		return out.halfway(ctx), fmt.Errorf("matching: %w", err)
	}
	if err := out.doubt(ctx, m, end.Solution); err != nil {
		return out.halfway(ctx), fmt.Errorf("matching: %w", err)
	}
	if err := out.grid(ctx, m, end.Solution); err != nil {
		return out.halfway(ctx), fmt.Errorf("matching: %w", err)
	}
	if err := out.trust(ctx, m); err != nil {
		return out.halfway(ctx), fmt.Errorf("matching: %w", err)
	}
	return out, nil
}
