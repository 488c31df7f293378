package plan

import (
	"context"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/match"
)

// The tests plan runs of small models that are written here in closed form, in place of heat.Run. A problem carries the
// parameters as the knots of its wind.

// formula is a model: the columns of one row at time t with the parameters x; NaN is no value.
type formula struct {
	until   float64
	events  []duty.Event
	columns []string
	at      func(x []float64, p *heat.Problem, t float64) []float64
}

func (f *formula) load(parameters []match.Parameter) match.Loader {
	return func(s match.Settings) (heat.Problem, error) {
		x := make([]float64, len(parameters))
		for j := range x {
			x[j] = parameters[j].Start
			if v, ok := s.Values[parameters[j].Paths[0]]; ok {
				x[j] = v
			}
		}
		p := heat.Problem{Until: f.until, Output: []float64{0, f.until}, Initial: 293.15}
		p.Duty = duty.Duty{Ambient: duty.Fixed(293.15), Wind: duty.Signal{T: make([]float64, len(x)), V: x}, Events: f.events}
		return p, nil
	}
}

func (f *formula) run(_ context.Context, p heat.Problem) (*heat.Result, error) {
	r := &heat.Result{}
	values := make([][]float64, len(f.columns))
	for _, t := range p.Output {
		r.History.Time = append(r.History.Time, t)
		for i, v := range f.at(p.Duty.Wind.V, &p, t) {
			values[i] = append(values[i], v)
		}
	}
	for i, name := range f.columns {
		r.History.Columns = append(r.History.Columns, history.Column{Name: name, Quantity: history.Temperature, Values: values[i]})
	}
	for _, q := range p.Probes { // further places, where nothing happens
		if !slices.Contains(f.columns, q.Name) {
			r.History.Columns = append(r.History.Columns, history.Column{Name: q.Name, Quantity: history.Temperature, Values: make([]float64, len(p.Output))})
		}
	}
	r.Ended = p.Until
	return r, nil
}

// parameter makes one that stands at its own name.
func parameter(name string, start, lower, upper float64) match.Parameter {
	return match.Parameter{Name: name, Paths: []string{name}, Start: start, Lower: lower, Upper: upper}
}

// cooling is one lump that cools from 500 K towards 300 K: T = 300 + 200 exp(−t/τ).
func cooling() (*formula, []match.Parameter) {
	f := &formula{until: 7200, columns: []string{"T"}, at: func(x []float64, _ *heat.Problem, t float64) []float64 {
		return []float64{300 + 200*math.Exp(-t/x[0])}
	}}
	return f, []match.Parameter{parameter("τ", 3000, 500, 6000)}
}

// none is hardly any error of a model, and hardly any noise that lasts.
func none() ModelError {
	return ModelError{Size: map[history.Quantity]float64{history.Temperature: 1e-9}, Lasts: 60, Over: 3600, Alike: 0.5}
}
