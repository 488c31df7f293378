package follow

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/heat"
)

// growth is by how much longer the course must be before changes by parameters are computed anew: they turn slowly, and so
// all of them together cost some runs for each doubling of the trial's length.
const growth = 1.25

// Predict computes what is asked: the run, and now and then once more for each parameter moved by its standard deviation.
func (a Ask) Predict(ctx context.Context) (*Prediction, error) {
	m := a.model
	out := &Prediction{Known: a.known, Columns: map[string]*Course{}}
	p, r, err := a.run(ctx, -1, 0, out)
	if err != nil {
		return nil, err
	}
	for _, t := range r.History.Time {
		out.Time = append(out.Time, t+m.Begins)
	}
	for _, c := range r.History.Columns {
		if slices.Contains(a.names, c.Name) {
			out.Columns[c.Name] = &Course{Value: c.Values, Moves: make([][]float64, len(m.Parameters))}
		}
	}
	for _, name := range a.names {
		if out.Columns[name] == nil {
			out.Notes = append(out.Notes, name+" is no column of the run: it is not predicted")
		}
	}
	out.Outside = a.outside(p, r)
	if a.old != nil {
		out.full = a.old.full
		out.carry(a.old)
		return out, nil
	}
	out.full = a.known
	for j, p := range m.Parameters {
		if !(p.SD > 0) {
			continue
		}
		_, moved, err := a.run(ctx, j, p.Value+p.SD, nil)
		if err != nil {
			if _, moved, err = a.run(ctx, j, p.Value-p.SD, nil); err != nil { // beyond what the input may be
				return nil, err
			}
			p.SD = -p.SD
		}
		for name, c := range out.Columns {
			col := moved.History.Column(name)
			if col == nil || len(col.Values) != len(c.Value) {
				return nil, fmt.Errorf("predicting: the run with %s moved has other rows", p.Name)
			}
			c.Moves[j] = make([]float64, len(c.Value))
			for i := range c.Value {
				c.Moves[j][i] = (col.Values[i] - c.Value[i]) / p.SD
			}
		}
	}
	return out, nil
}

// carry takes the changes by parameters from an older prediction; beyond its end they stay.
func (p *Prediction) carry(old *Prediction) {
	if len(old.Time) == 0 {
		return
	}
	end := old.Time[len(old.Time)-1]
	for name, c := range p.Columns {
		for i, t := range p.Time {
			_, moves, ok := old.column(name, min(t, end))
			for j := range c.Moves {
				if c.Moves[j] == nil {
					c.Moves[j] = make([]float64, len(p.Time))
				}
				if ok && j < len(moves) {
					c.Moves[j][i] = moves[j]
				}
			}
		}
	}
}

// aheadRows is how many rows lie beyond what is known.
const aheadRows = 120

func (a Ask) run(ctx context.Context, parameter int, value float64, notes *Prediction) (p heat.Problem, r *heat.Result, err error) {
	m := a.model
	uptakes := m.Uptakes
	if parameter >= 0 && m.Parameters[parameter].Uptake != "" {
		uptakes = maps.Clone(uptakes)
		uptakes[m.Parameters[parameter].Uptake] = value
		parameter = -1 // the run itself stays
	}
	if p, err = m.Load(parameter, value); err != nil {
		return p, nil, fmt.Errorf("predicting: %w", err)
	}
	known := a.known - m.Begins
	ahead := m.Ahead
	if ahead <= 0 {
		ahead = min(max(known, 3600), 6*3600)
	}
	p.Output = []float64{0}
	put := func(t float64) {
		if t > p.Output[len(p.Output)-1]+1e-6 {
			p.Output = append(p.Output, t)
		}
	}
	for _, t := range a.times {
		put(t - m.Begins)
	}
	for i := 1; i <= aheadRows; i++ {
		put(known + ahead*float64(i)/aheadRows)
	}
	p.Until = p.Output[len(p.Output)-1]
	p.FieldTimes, p.ProfileTimes, p.Progress, p.Threads, p.Steady = nil, nil, nil, 1, false
	p.Duty.GoOn()
	if !m.AsStated {
		var stated *duty.Duty
		if m.Stated != nil {
			q, err := m.Stated(parameter, value)
			if err != nil {
				return p, nil, fmt.Errorf("predicting: %w", err)
			}
			stated = &q.Duty
		}
		driven, why := a.drive(&p, stated, uptakes)
		if notes != nil {
			notes.Driven, notes.Notes = driven, why
		}
	}
	r, err = m.Run(ctx, p)
	switch {
	case err != nil:
		return p, nil, fmt.Errorf("predicting: %w", err)
	case r == nil || len(r.History.Time) < len(p.Output):
		return p, nil, errors.New("predicting: the run ended before its time")
	}
	return p, r, nil
}

// column gives a course's value and moves at a time of the trial; ok is false outside it.
func (p *Prediction) column(name string, at float64) (v float64, moves []float64, ok bool) {
	c := p.Columns[name]
	if c == nil || len(p.Time) < 2 || at < p.Time[0] || at > p.Time[len(p.Time)-1] {
		return math.NaN(), nil, false
	}
	i, _ := slices.BinarySearch(p.Time, at)
	i = max(i, 1)
	w := (at - p.Time[i-1]) / (p.Time[i] - p.Time[i-1])
	mix := func(v []float64) float64 {
		switch w {
		case 0:
			return v[i-1]
		case 1:
			return v[i]
		}
		return v[i-1] + w*(v[i]-v[i-1])
	}
	for _, m := range c.Moves {
		if m == nil {
			moves = append(moves, 0)
			continue
		}
		moves = append(moves, mix(m))
	}
	v = mix(c.Value)
	return v, moves, !math.IsNaN(v)
}
