package match

import (
	"context"
	"fmt"
	"math"
	"slices"

	"emberbank/study"
)

// Numeric says where the numerical uncertainty of predictions comes from.
type Numeric int

// The sources of numerical uncertainty.
const (
	NotAsked Numeric = iota // none: u_val lacks it, and a note says so
	Refined                 // the run of each trial set aside on two finer grids (study.Refine)
)

// Comparison is one column of a trial set aside over one phase, after ASME V&V 20.
//
//	E = S − D          mean over the phase of computed less measured
//	u_val² = u_num² + u_input² + u_D²
//
// The model's error lies within E ± k u_val; k = 2 is taken for 95 %. u_input comes from the parameters' covariance
// with the derivatives of the prediction, u_D from the sensor's systematic parts and its noise over the rows. E, u_val
// and Within take the sensors as they read; RMS, Worst and Covered are of the prediction with the offsets that the fitted
// trials found.
//
// Source: ASME V&V 20-2009 (R2021), "Standard for Verification and Validation in Computational Fluid Dynamics and
// Heat Transfer", sections 1-5 and 6-2 (from memory).
type Comparison struct {
	Trial, Column, Phase string
	Unit                 string
	Rows                 int
	Error                float64 // E
	Numeric              float64 // u_num; NaN where it was not asked for
	Input                float64 // u_input
	Data                 float64 // u_D
	Validation           float64 // u_val
	Within               bool    // |E| ≤ 2 u_val
	RMS                  float64
	Worst, WorstAt       float64 // the largest departure with its sign, and when, s
	Covered              float64 // share of rows within the prediction band at 95 %
	Sentence             string
}

// prediction is a trial set aside as computed.
type prediction struct {
	sampled
	computed []float64   // over channels and rows
	columns  [][]float64 // derivatives by the parameters
}

// predictAside computes a trial that was not fitted at the estimate, with derivatives.
func (m *model) predictAside(ctx context.Context, t *Trial, x []float64) (*prediction, error) {
	s, err := sample(t, m.opt.Rows)
	if err != nil {
		return nil, err
	}
	n := len(m.problem.Parameters)
	v, _, err := s.compute(ctx, m.opt.Run, m.problem.Parameters, x[:n])
	if err != nil {
		return nil, err
	}
	s.prune(v)
	p := &prediction{sampled: s}
	f := Fitting{
		Start: x[:n], Workers: m.opt.Workers,
		Of: func(ctx context.Context, x []float64) ([]float64, error) { return m.predict(ctx, &p.sampled, x) },
	}
	whole := m.fitting(x, Tolerances{})
	f.Lower, f.Upper, f.Step = whole.Lower[:n], whole.Upper[:n], whole.Step[:n]
	sr, err := newSearch(f)
	if err != nil {
		return nil, err
	}
	if p.computed, err = sr.evaluate(ctx, sr.x); err != nil {
		return nil, err
	}
	sr.r, sr.w, sr.central = p.computed, p.computed, true
	if err := sr.derive(ctx); err != nil {
		return nil, err
	}
	p.columns = sr.raw
	return p, nil
}

// trust predicts the trials set aside and compares.
func (out *Result) trust(ctx context.Context, m *model) error {
	x := make([]float64, 0, len(out.Estimates))
	for _, e := range out.Estimates {
		x = append(x, e.Value)
	}
	for i := range m.problem.Aside {
		t := &m.problem.Aside[i]
		p, err := m.predictAside(ctx, t, append(slices.Clone(x), make([]float64, len(m.offsets))...))
		if err != nil {
			return fmt.Errorf("predicting: %w", err)
		}
		out.Notes = append(out.Notes, p.left()...)
		numeric, err := m.numeric(ctx, p, x)
		if err != nil {
			return err
		}
		at := 0
		for k := range p.channels {
			out.compare(m, p, &p.channels[k], at, numeric)
			at += len(p.channels[k].value)
		}
		_, r, err := p.compute(ctx, m.opt.Run, m.problem.Parameters, x)
		if err != nil {
			return err
		}
		problem, err := p.problem(m.problem.Parameters, x)
		if err != nil {
			return err
		}
		out.Envelope.Join(EnvelopeOf(t.Name, &problem, r))
	}
	out.verdict()
	return nil
}

// compare adds one column's fit and its comparisons by phase.
func (out *Result) compare(m *model, p *prediction, c *samples, at int, numeric func(column string, phase Phase) float64) {
	noise := m.noiseOf(c.Column, c.Quantity.Unit())
	fit := ColumnFit{Trial: p.Name, Column: c.Column, Unit: c.Quantity.Unit(), Time: c.time, Measured: c.value, Aside: true}
	raw := p.computed[at : at+len(c.value)]
	n := len(out.Estimates)
	for k, v := range c.value {
		reads := raw[k] // what the sensor would read, with the offset that the fitted trials found
		// The reading's own errors: offsets that the fitted trials knew come with their covariance, others stand alone.
		grad := make([]float64, len(out.all))
		for j := range n {
			grad[j] = p.columns[j][at+k]
		}
		alone := 0.0
		for _, part := range c.Parts {
			o := slices.IndexFunc(m.offsets, func(o offset) bool { return o.group == part.Group })
			if u := part.At(v); o < 0 {
				alone += u * u
			} else {
				grad[n+o] += u
				reads += out.Offsets[o].Value * u
			}
		}
		fit.Computed = append(fit.Computed, reads)
		variance := alone + quadratic(out.all, grad) + noise.Slow*noise.Slow + noise.Lasting*noise.Lasting + noise.Common*noise.Common + c.white[k]*c.white[k]
		fit.Band = append(fit.Band, 1.96*math.Sqrt(variance))
	}
	fit.cover(0, len(fit.Time))
	fit.sum()
	out.Columns = append(out.Columns, fit)
	phases := p.Phases
	if len(phases) == 0 {
		phases = []Phase{{"whole trial", 0, math.Inf(1)}}
	}
	for _, ph := range phases {
		from, to := len(c.time), 0
		for k, t := range c.time {
			if t >= ph.From && t <= ph.To {
				from, to = min(from, k), k+1
			}
		}
		if to-from < 3 { // an average needs rows
			continue
		}
		part := fit
		part.Time, part.Measured, part.Computed, part.Band = fit.Time[from:to], fit.Measured[from:to], fit.Computed[from:to], fit.Band[from:to]
		part.sum()
		part.cover(0, to-from)
		v := Comparison{
			Trial: p.Name, Column: c.Column, Phase: ph.Name, Unit: fit.Unit, Rows: to - from,
			RMS: part.RMS, Worst: part.Worst, WorstAt: part.WorstAt, Covered: part.Covered,
			Numeric: numeric(c.Column, ph),
		}
		grad := make([]float64, n)
		for j := range n {
			grad[j] = mean(p.columns[j][at+from : at+to])
		}
		for k := from; k < to; k++ {
			v.Error += (raw[k] - c.value[k]) / float64(to-from)
		}
		v.Input = math.Sqrt(quadratic(out.Covariance, grad))
		random := 0.0
		for k := from; k < to; k++ {
			random += c.white[k] * c.white[k]
		}
		v.Data = math.Sqrt(random) / float64(to-from)
		for _, g := range c.Parts {
			u := 0.0
			for k := from; k < to; k++ {
				u += g.At(c.value[k]) / float64(to-from)
			}
			v.Data = math.Hypot(v.Data, u)
		}
		v.Validation = math.Hypot(v.Input, v.Data)
		if !math.IsNaN(v.Numeric) {
			v.Validation = math.Hypot(v.Validation, v.Numeric)
		}
		v.Within = math.Abs(v.Error) <= 2*v.Validation
		v.Sentence = v.words()
		out.Trust = append(out.Trust, v)
	}
}

func quadratic(c [][]float64, g []float64) float64 {
	sum := 0.0
	for a := range g {
		for b := range g {
			sum += g[a] * c[a][b] * g[b]
		}
	}
	return max(sum, 0)
}

// cover counts the rows within the band.
func (f *ColumnFit) cover(from, to int) {
	inside := 0
	for k := from; k < to; k++ {
		if math.Abs(f.Computed[k]-f.Measured[k]) <= f.Band[k] {
			inside++
		}
	}
	f.Covered = float64(inside) / float64(to-from)
}

// numeric returns the numerical uncertainty of a column over a phase: from runs on three grids, the mean over seven
// moments of the phase of the band around the extrapolated value, divided by 1.15.
//
// Source: ASME V&V 20-2009, 2-4.1 (from memory): the convergence index covers about 95 %; for errors that lie to one
// side u_num is the index divided by 1.15.
func (m *model) numeric(ctx context.Context, p *prediction, x []float64) (func(string, Phase) float64, error) {
	if m.opt.Numeric != Refined {
		return func(string, Phase) float64 { return math.NaN() }, nil
	}
	problem, err := p.problem(m.problem.Parameters, x)
	if err != nil {
		return nil, err
	}
	problem.Threads = m.opt.Workers
	end := problem.Until
	moments := func(ph Phase) (at []float64) {
		from, to := max(ph.From, 0), min(ph.To, end)
		for i := range 7 {
			at = append(at, from+(to-from)*(float64(i)+0.5)/7)
		}
		return at
	}
	phases := p.Phases
	if len(phases) == 0 {
		phases = []Phase{{"whole trial", 0, end}}
	}
	var quantities []study.Quantity
	for i := range p.channels {
		for _, ph := range phases {
			for _, t := range moments(ph) {
				quantities = append(quantities, study.Quantity{Name: p.channels[i].Column, Of: p.channels[i].Column, Take: study.AtTime, At: t})
			}
		}
	}
	conv, err := study.Refine(ctx, problem, quantities, study.Options{Run: study.Runner(m.opt.Run)})
	if err != nil {
		return nil, fmt.Errorf("the numerical uncertainty of trial %s: %w", p.Name, err)
	}
	return func(column string, ph Phase) float64 {
		sum, n := 0.0, 0
		for _, t := range moments(ph) {
			for _, q := range conv.Quantities {
				if q.Quantity.Of != column || q.Quantity.At != t {
					continue
				}
				band := q.BaseBand
				if math.IsNaN(band) {
					band = q.Spread
				}
				sum, n = sum+band/1.15, n+1
				break
			}
		}
		return sum / float64(max(n, 1))
	}, nil
}
