package follow

import (
	"math"
	"slices"
	"strings"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/trial"
)

// Outside is one quantity that leaves the range in which trust in a matched model was shown.
type Outside struct {
	Name      string
	Direction string  // to which side, as who knows the range calls it
	By        float64 // SI, how far beyond; 0 where there is no size to it
	Unit      string  // SI
	Sentence  string  // which quantity, and by how much
	Ahead     bool    // not yet: the run comes there if its inputs stay as they are
}

// outside holds a run against the model's envelope: first the conditions of the rows from the moment from to what is known,
// then those ahead. The block's mean is taken as computed and moved by as much as the thermometers in it read off the
// prediction, so that a block that is hotter than computed is no less outside.
func (a Ask) outside(p heat.Problem, r *heat.Result) []Outside {
	m := a.model
	if m.Outside == nil {
		return nil
	}
	known := a.known - m.Begins
	if m.AsStated { // what is measured counts here even where it does not drive the run
		a.drive(&p, nil, m.Uptakes)
	}
	recent := 0.0
	if len(a.times) > 0 {
		recent = a.times[0] - m.Begins
	}
	now := m.Outside(&p, a.between(&p, r, recent, known))
	all := m.Outside(&p, a.between(&p, r, recent, math.Inf(1)))
	for _, o := range all {
		if !slices.ContainsFunc(now, func(x Outside) bool { return x.Name == o.Name && x.Direction == o.Direction }) {
			o.Ahead = true
			now = append(now, o)
		}
	}
	return now
}

// between cuts a run to a stretch of time, in s of the run, and moves its block's mean.
func (a Ask) between(p *heat.Problem, r *heat.Result, from, to float64) *heat.Result {
	out := *r
	out.Ended = min(r.Ended, to)
	out.Events = slices.DeleteFunc(slices.Clone(r.Events), func(e heat.Mark) bool { return e.At > to })
	var rows []int
	for i, t := range r.History.Time {
		if t >= from-1e-6 && t <= to+1e-6 {
			rows = append(rows, i)
		}
	}
	out.History.Time, out.History.Columns = nil, nil
	for _, i := range rows {
		out.History.Time = append(out.History.Time, r.History.Time[i])
	}
	for _, c := range r.History.Columns {
		one := c
		one.Values = nil
		for _, i := range rows {
			v := c.Values[i]
			switch {
			case c.Name == "block mean":
				v += a.hotter
			case a.model.AsStated:
				if flow, ok := a.measuredFlow(p, c.Name, r.History.Time[i]); ok {
					v = flow
				}
			}
			one.Values = append(one.Values, v)
		}
		out.History.Columns = append(out.History.Columns, one)
	}
	return &out
}

// measuredFlow is what a circuit's meter reads in the place of a column "circuit … flow".
func (a Ask) measuredFlow(p *heat.Problem, column string, t float64) (float64, bool) {
	name, ok := strings.CutPrefix(column, "circuit ")
	if !ok {
		return 0, false
	}
	if name, ok = strings.CutSuffix(name, " flow"); !ok {
		return 0, false
	}
	for _, x := range a.inputs {
		if i := circuit(p, x.of); x.role == trial.Flow && x.of == name && i >= 0 {
			v := p.Duty.Water[i].Flow.At(t)
			if v <= 0.0101*x.top { // what stands for no flow
				v = 0
			}
			return v, true
		}
	}
	return 0, false
}

// hotter is by how much the thermometers in the block read off the prediction: the middle one of their mean differences,
// so that one that fails does not count; 0 before there is one.
func (f *Follower) hotter() float64 {
	var d []float64
	for _, k := range f.channels {
		if k.Role == trial.Body && k.Quantity == history.Temperature && k.chart.n > 0 && !k.lost && !k.standing {
			d = append(d, k.chart.Mean)
		}
	}
	if len(d) == 0 {
		return 0
	}
	slices.Sort(d)
	return (d[(len(d)-1)/2] + d[len(d)/2]) / 2
}

// leftOut is what was called outside, and how far.
type leftOut struct {
	Outside
	now bool
}

// trusted calls what newly leaves the envelope, what lies twice as far outside as when it was called last, and that
// all of it is inside again.
func (f *Follower) trusted(p *Prediction) {
	for _, o := range p.Outside {
		i := slices.IndexFunc(f.outside, func(x leftOut) bool { return x.Name == o.Name && x.Direction == o.Direction })
		called := i >= 0 && f.outside[i].Ahead == o.Ahead && o.By <= 2*f.outside[i].By
		switch {
		case i < 0:
			f.outside = append(f.outside, leftOut{o, true})
		case called:
			f.outside[i].now = true
			continue
		default:
			f.outside[i] = leftOut{o, true}
		}
		f.call(Call{Kind: Beyond, At: p.Known, Outside: o})
	}
	had := len(f.outside)
	f.outside = slices.DeleteFunc(f.outside, func(x leftOut) bool { return !x.now })
	for i := range f.outside {
		f.outside[i].now = false
	}
	if had > 0 && len(f.outside) == 0 {
		f.call(Call{Kind: Inside, At: p.Known})
	}
}

// Outside returns what lies outside the envelope in which the model was trusted, or will, by the last prediction.
func (f *Follower) Outside() []Outside {
	if f.course == nil {
		return nil
	}
	return f.course.Outside
}
