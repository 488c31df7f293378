package follow

import (
	"context"
	"math"
	"testing"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/receiver"
	"emberbank/trial"
)

// rising is a run whose block's mean is 300 K + 0.1 K/s; trust was shown up to 400 K. measured is what is laid over it.
func rising(asStated bool) *Model {
	m := &Model{AsStated: asStated, Ahead: 600}
	m.Load = func(int, float64) (heat.Problem, error) {
		p := heat.Problem{Until: 7200}
		p.Receiver.Circuits = []receiver.Circuit{{Name: "main"}}
		p.Duty = duty.Duty{Ambient: duty.Fixed(290), Water: []duty.Water{{Flow: duty.Fixed(0)}}, Switches: duty.Switches{Water: []duty.WaterState{duty.Drained}}}
		return p, nil
	}
	m.Run = func(_ context.Context, p heat.Problem) (*heat.Result, error) {
		r := &heat.Result{Ended: p.Until}
		mean := history.Column{Name: "block mean", Quantity: history.Temperature}
		flow := history.Column{Name: "circuit main flow", Quantity: history.MassFlow}
		for _, t := range p.Output {
			r.History.Time, mean.Values, flow.Values = append(r.History.Time, t), append(mean.Values, 300+0.1*t), append(flow.Values, 0)
		}
		core := mean
		core.Name = "core"
		r.History.Columns = []history.Column{mean, core, flow}
		return r, nil
	}
	m.Outside = func(p *heat.Problem, r *heat.Result) (out []Outside) {
		most, flow := 0.0, 0.0
		for i := range r.History.Time {
			most = max(most, r.History.Column("block mean").Values[i])
			flow = max(flow, r.History.Column("circuit main flow").Values[i])
		}
		if most > 400 {
			out = append(out, Outside{Name: "block temperature", Direction: "above", By: most - 400, Unit: "K"})
		}
		if ambient := p.Duty.Ambient.At(r.Ended); ambient > 300 {
			out = append(out, Outside{Name: "ambient temperature", Direction: "above", By: ambient - 300, Unit: "K"})
		}
		if flow > 0.1 {
			out = append(out, Outside{Name: "flow", Direction: "above", By: flow - 0.1, Unit: "kg/s"})
		}
		return out
	}
	return m
}

// step gives one minute's rows up to now, in which core reads so much more than the run, and predicts.
func step(t *testing.T, f *Follower, now, hotter, ambient, flow float64) (calls []Call) {
	t.Helper()
	rows := trial.Fresh{
		Columns: []trial.Column{
			{Name: "core", Quantity: history.Temperature, Role: trial.Body, Noise: 0.1},
			{Name: "ambient", Quantity: history.Temperature, Role: trial.Ambient},
			{Name: "circuit main flow", Quantity: history.MassFlow, Role: trial.Flow, Of: "main"},
		},
		Interval: 10, Now: now, Newest: []float64{0, ambient, flow}, Stuck: make([]bool, 3), Hold: []bool{false, true, true}, Values: make([][]float64, 3),
	}
	for s := now - 50; s <= now; s += 10 {
		rows.Time = append(rows.Time, s)
		for c, v := range []float64{300 + 0.1*s + hotter, ambient, flow} {
			rows.Values[c] = append(rows.Values[c], v)
		}
	}
	f.Take(rows, now)
	a, ok := f.Ask()
	if !ok {
		t.Fatal("it asks for no prediction")
	}
	p, err := a.Predict(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	f.Predicted(p)
	for _, c := range f.Calls() {
		if c.Kind == Beyond || c.Kind == Inside {
			calls = append(calls, c)
		}
	}
	return calls
}

// TestWhatLeavesTheEnvelopeIsCalledAheadAndThen: 600 s are looked ahead, so 400 K are in sight from 400 s on and come at
// 1000 s.
func TestWhatLeavesTheEnvelopeIsCalledAheadAndThen(t *testing.T) {
	f := New(Plan{Within: math.NaN()})
	f.Use(rising(false))
	var told []Outside
	for now := 60.0; now <= 1500; now += 60 {
		for _, c := range step(t, f, now, 0, 290, 0) {
			told = append(told, c.Outside)
			if ahead := c.At < 1000; c.Outside.Ahead != ahead || c.Outside.Name != "block temperature" {
				t.Errorf("at %g s it calls %+v", c.At, c.Outside)
			}
			switch first := len(told) == 1; {
			case first && (c.At < 400 || c.At > 480), !first && c.At < 1000:
				if o := c.Outside; first || o.By < 2*told[len(told)-2].By {
					t.Errorf("at %g s it calls %+v", c.At, o)
				}
			}
		}
	}
	if n := len(told); n < 5 || n > 12 {
		t.Errorf("it calls %d times", n)
	}
	if o := f.Outside(); len(o) != 1 || o[0].Ahead || math.Abs(o[0].By-50) > 1 {
		t.Errorf("in the end %+v lies outside", o)
	}
}

// TestABlockThatReadsHotterThanComputedIsOutsideEarlier: by 30 K, so 300 s earlier. One thermometer that fails among three would
// not count, but here it is the only one.
func TestABlockThatReadsHotterThanComputedIsOutsideEarlier(t *testing.T) {
	f := New(Plan{Within: math.NaN()})
	f.Use(rising(false))
	for now := 60.0; now <= 1000; now += 60 {
		step(t, f, now, 30, 290, 0)
		if o := f.Outside(); len(o) > 0 && !o[0].Ahead {
			if now < 700 || now > 780 {
				t.Errorf("it is outside from %g s on", now)
			}
			return
		}
	}
	t.Error("it is never outside")
}

// TestMeasuredInputsLeaveTheEnvelopeAndComeBack, whether they drive the run or not.
func TestMeasuredInputsLeaveTheEnvelopeAndComeBack(t *testing.T) {
	for _, asStated := range []bool{false, true} {
		f := New(Plan{Within: math.NaN()})
		f.Use(rising(asStated))
		if c := step(t, f, 60, 0, 290, 0); len(c) > 0 {
			t.Errorf("as stated %v: it calls %+v", asStated, c)
		}
		c := step(t, f, 120, 0, 305, 0)
		if len(c) != 1 || c[0].Kind != Beyond || c[0].Outside.Name != "ambient temperature" || math.Abs(c[0].Outside.By-5) > 1e-9 || c[0].Outside.Ahead {
			t.Errorf("as stated %v: it calls %+v", asStated, c)
		}
		if c := step(t, f, 180, 0, 305, 0); len(c) > 0 {
			t.Errorf("as stated %v: it calls %+v again", asStated, c)
		}
		if c := step(t, f, 240, 0, 290, 0); len(c) != 1 || c[0].Kind != Inside {
			t.Errorf("as stated %v: it calls %+v", asStated, c)
		}
	}
	f := New(Plan{Within: math.NaN()})
	f.Use(rising(true)) // its own flow is none; what the meter reads counts
	step(t, f, 60, 0, 290, 0)
	if c := step(t, f, 120, 0, 290, 0.15); len(c) != 1 || c[0].Outside.Name != "flow" || math.Abs(c[0].Outside.By-0.05) > 1e-9 {
		t.Errorf("it calls %+v", c)
	}
}
