package match

import (
	"context"
	"fmt"
	"math"
	"slices"

	"emberbank/heat"
	"emberbank/study"
)

// GridShare is what the cells and the steps in time of the runs have put into a parameter, in SI. It stands beside the
// interval that the data give and changes nothing in it.
type GridShare struct {
	Known        bool
	Finer        float64 // the value that a fit on the finest cells computed would give, to first order
	Numeric      float64 // u_num, standard
	Lower, Upper float64 // 95 % interval with both: the data's and the grid's
}

// Half is the half-width of the grid's share at 95 %, twice u_num.
func (g *GridShare) Half() float64 { return 2 * g.Numeric }

// grid computes each fitted trial once more at the solution, on cells and steps refined once (study.Refined). What that
// changes in the differences, δ, would move the parameters, with the noise and the derivatives as they stand, by
//
//	Δx = −(Jᵀ Σ⁻¹ J + priors)⁻¹ Jᵀ Σ⁻¹ δ
//
// and an endlessly fine grid would by Δx∞, from the same with each trial's δ times r^p/(r^p − 1) (study.Remaining). r is the
// true ratio of cell sizes; p the scheme's order (see order). One finer grid shows no order, so it is taken on trust, hence
// the factor of three:
//
//	u_num = 3 |Δx∞| / 1.15
//
// With Refined there are two finer grids, the order is that which a parameter's three values show (study.Converge), the
// factor 1.25, and where they do not converge monotonely their spread stands in; all as for predictions (see numeric).
// The interval with both reaches √(h² + (2 u_num)²) to each side, h as far as the data's, but not beyond a bound.
//
// The share is that of the parameter as a property of the thing. Where the model is run on the same cells again, as for the
// trials set aside, the parameter makes up for them, and its share counts for nothing there.
//
// Source: P. J. Roache, J. Fluids Eng. 116 (1994) 405-413 (from memory) and ASME V&V 20-2009, 2-4.1 (from memory): see
// study.SafetyOfTwo and numeric. To carry them over to parameters by the fit's own linear picture is our own practice.
func (out *Result) grid(ctx context.Context, m *model, sol Solution) error {
	if !m.opt.Grid {
		return nil
	}
	bands, finer, err := m.gridBands(ctx, sol)
	if err != nil {
		if ctx.Err() != nil {
			return err
		}
		out.Notes = append(out.Notes, fmt.Sprintf("what the runs' grids put into the parameters is not known: %v", err))
		return nil
	}
	for j := range out.Estimates {
		e := &out.Estimates[j]
		p, u := &m.problem.Parameters[j], bands[j]/1.15
		e.Grid = GridShare{
			Known: true, Finer: e.Value + finer[j], Numeric: u,
			Lower: max(e.Value-math.Hypot(e.Value-e.Lower, 2*u), min(e.Lower, p.Lower)),
			Upper: min(e.Value+math.Hypot(e.Upper-e.Value, 2*u), max(e.Upper, p.Upper)),
		}
	}
	out.coarse()
	return nil
}

// gridBands returns, by parameter, the grid convergence index in its unit and the move to the finest cells computed.
func (m *model) gridBands(ctx context.Context, sol Solution) (bands, finer []float64, err error) {
	l := m.likelihoodAt(sol)
	first, err := m.finer(ctx, sol.X, 1)
	if err != nil {
		return nil, nil, err
	}
	bands, finer = make([]float64, len(sol.X)), l.follow(joined(first, func(finerRun) float64 { return 1 }))
	if m.opt.Numeric != Refined {
		for j, d := range l.follow(joined(first, func(f finerRun) float64 { return study.Remaining(f.ratio, f.order) })) {
			bands[j] = study.SafetyOfTwo * math.Abs(d)
		}
		return bands, finer, nil
	}
	second, err := m.finer(ctx, sol.X, 2)
	if err != nil {
		return nil, nil, err
	}
	once, r32, r21 := finer, 0.0, 0.0
	finer = l.follow(joined(second, func(finerRun) float64 { return 1 }))
	for i := range first { // the trials of a match have grids of one kind
		r32 += first[i].ratio / float64(len(first))
		r21 += second[i].ratio / first[i].ratio / float64(len(first))
	}
	for j := range bands {
		c := study.Converge([3]float64{sol.X[j], sol.X[j] + once[j], sol.X[j] + finer[j]}, r32, r21)
		if bands[j] = c.BaseBand; math.IsNaN(bands[j]) {
			bands[j] = c.Spread
		}
	}
	return bands, finer, nil
}

// joined is the change of all trials' differences, each trial's times a factor of its own.
func joined(runs []finerRun, times func(finerRun) float64) (all []float64) {
	for _, f := range runs {
		for _, d := range f.change {
			all = append(all, d*times(f))
		}
	}
	return all
}

// follow is where the linear picture moves the parameters that no bound holds when the differences change by d.
func (l *likelihood) follow(d []float64) []float64 {
	_, cols, _ := l.weighed()
	w := slices.Clone(d)
	weighAll(l.groups, [][]float64{w})
	var free [][]float64
	var at []int
	for j, c := range cols {
		if !l.held[j] {
			free, at = append(free, c), append(at, j)
		}
	}
	cov := inverseOf(free)
	move := make([]float64, len(cols))
	for i, j := range at {
		for k, c := range free {
			move[j] -= cov[i][k] * dot(w, c)
		}
	}
	return move
}

// finerRun is what a finer grid changes in a trial.
type finerRun struct {
	change []float64 // of its columns
	ratio  float64   // of cell sizes, that of the fit's runs over the finer
	order  float64   // to which the error falls
}

// finer returns by how much the runs of the fitted trials change at x where cells and steps are refined so many times.
func (m *model) finer(ctx context.Context, x []float64, times int) ([]finerRun, error) {
	out, errs := make([]finerRun, len(m.trials)), make([]error, len(m.trials))
	each(max(m.opt.Workers, 1), len(m.trials), func(i int) {
		t := &m.trials[i]
		if m.opt.Progress != nil {
			_, made := m.memory.Runs()
			m.opt.Progress(fmt.Sprintf("finer grid, trial %d of %d", i+1, len(m.trials)), made, m.latest)
		}
		var v []float64
		v, errs[i] = m.memory.recall(ctx, fmt.Sprintf("%s refined %d", t.Name, times), m.acting(t, x), func(ctx context.Context) ([]float64, error) {
			m.gate <- struct{}{}
			defer func() { <-m.gate }()
			f, err := t.finer(ctx, m.opt.Run, m.problem.Parameters, x, times)
			return append(f.change, f.ratio, f.order), err
		})
		if errs[i] == nil {
			last := len(v) - 2
			out[i] = finerRun{v[:last], v[last], v[last+1]}
		}
	})
	return out, First(errs)
}

// finer computes one trial on both grids. What has a value on one of them only does not change.
func (s *sampled) finer(ctx context.Context, run Runner, parameters []Parameter, x []float64, times int) (f finerRun, err error) {
	coarse, base, err := s.compute(ctx, run, parameters, x)
	if err != nil {
		return f, err
	}
	fine := *s
	fine.refined = times
	change, result, err := fine.compute(ctx, run, parameters, x)
	if err != nil {
		return f, fmt.Errorf("on a finer grid: %w", err)
	}
	for k := range change {
		if change[k] -= coarse[k]; math.IsNaN(change[k]) {
			change[k] = 0
		}
	}
	f = finerRun{change, study.Ratio(base, result), order(result)}
	if !(f.ratio > 1) {
		return f, fmt.Errorf("trial %s: its grid of %d cells becomes one of %d, which is not finer: give more cells or let the program lay the grid", s.Name, base.Cells, result.Cells)
	}
	return f, nil
}

// order is that to which the error of a run falls with its cells: two, or one where a front of melting passes through
// more than a tenth of the fill (our own limit).
func order(r *heat.Result) float64 {
	if c := r.History.Column("melted"); c != nil && slices.Max(c.Values)-slices.Min(c.Values) > 0.1 {
		return 1
	}
	return 2
}

// coarse says for which parameters the grid counts for more than the data, and what to do.
func (out *Result) coarse() {
	var names, finer []string
	for j := range out.Estimates {
		e := &out.Estimates[j]
		if e.Grid.Half() > (e.Upper-e.Lower)/2 {
			names = append(names, e.Name)
			finer = append(finer, fmt.Sprintf("%s about %s", e.Name, out.shown(j, e.Grid.Finer)))
		}
	}
	if len(names) == 0 {
		return
	}
	out.Notes = append(out.Notes, fmt.Sprintf("the cells of the runs, not the data, limit how well %s can be known: on finer cells the fit "+
		"would find %s. Give the run files finer cells (grid: …) and match again; until then take the interval with the grid's share "+
		"wherever a value is used on other cells or beside a data sheet", andList(names), andList(finer)))
}
