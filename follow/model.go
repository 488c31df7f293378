package follow

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/trial"
)

// Model is what predicts a trial: a run, whose inputs are replaced by those that are measured.
type Model struct {
	// Load yields the run's problem; with one parameter moved to a value, or as it is for index −1.
	Load       func(parameter int, value float64) (heat.Problem, error)
	Run        func(context.Context, heat.Problem) (*heat.Result, error)
	Parameters []Parameter
	Covariance [][]float64 // of the parameters, SI
	Begins     float64     // s, the trial's time at which the run begins
	AsStated   bool        // the run's own duty counts, not the measured inputs
	Uptakes    map[string]float64
	Departures map[string]Departing // by column, as a match found them; may be nil
	Ahead      float64              // s, how far it looks ahead at least; 0: as long as the trial lasts, 10 min to 6 h
}

// Parameter is an uncertain input of the run.
type Parameter struct {
	Name      string
	Value, SD float64 // SI
}

// Departing is by how much a model departs from a column, as standard deviations in SI.
type Departing struct {
	White, Lasting, Time, Slow, SlowTime float64
}

// Course is one column of a prediction.
type Course struct {
	Value []float64
	Moves [][]float64 // by parameter: what one unit of it changes
}

// Prediction is the run as computed with the inputs measured up to Known. Beyond, inputs stay as they were last.
type Prediction struct {
	Time    []float64 // s of the trial, rising
	Columns map[string]*Course
	Known   float64  // s of the trial
	Driven  []string // channels that drive it
	Notes   []string // why others do not
	full    float64  // Known of the last prediction for which every parameter was moved
}

// Ask is what is to be computed: a snapshot, so that it can be done while readings go on to come.
type Ask struct {
	model  *Model
	inputs []*input
	known  float64
	times  []float64
	names  []string
	old    *Prediction // whose changes by parameters still serve; nil: they are computed
}

// Use gives the follower a model. It is called before the first rows.
func (f *Follower) Use(m *Model) { f.model = m }

// Ask asks for a prediction up to the newest settled readings; ok is false where there is nothing new to predict.
func (f *Follower) Ask() (a Ask, ok bool) {
	m := f.model
	if m == nil {
		return a, false
	}
	known := math.Inf(-1)
	var times []float64
	for _, k := range f.channels {
		if math.IsNaN(k.at) || isInput(k.Role) && !m.AsStated { // what drives the run cannot judge it
			continue
		}
		for _, p := range k.pool.points {
			times = append(times, p.t)
			known = max(known, p.t)
		}
		a.names = append(a.names, k.Name)
	}
	if !(known > m.Begins) || f.course != nil && known <= f.course.Known {
		return a, false
	}
	a.model, a.known = m, known
	if p := f.course; p != nil && known-m.Begins < growth*(p.full-m.Begins) {
		a.old = p
	}
	for _, x := range f.inputs {
		c := *x
		c.t, c.v = slices.Clone(x.t), slices.Clone(x.v)
		a.inputs = append(a.inputs, &c)
	}
	slices.Sort(times)
	a.times = slices.Compact(times)
	return a, true
}

// growth is by how much longer the course must be before changes by parameters are computed anew: they turn slowly, and so
// all of them together cost some runs for each doubling of the trial's length.
const growth = 1.25

// Predict computes what is asked: the run, and now and then once more for each parameter moved by its standard deviation.
func (a Ask) Predict(ctx context.Context) (*Prediction, error) {
	m := a.model
	out := &Prediction{Known: a.known, Columns: map[string]*Course{}}
	r, err := a.run(ctx, -1, 0, out)
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
		moved, err := a.run(ctx, j, p.Value+p.SD, nil)
		if err != nil {
			if moved, err = a.run(ctx, j, p.Value-p.SD, nil); err != nil { // beyond what the input may be
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

func (a Ask) run(ctx context.Context, parameter int, value float64, notes *Prediction) (*heat.Result, error) {
	m := a.model
	p, err := m.Load(parameter, value)
	if err != nil {
		return nil, fmt.Errorf("predicting: %w", err)
	}
	known := a.known - m.Begins
	ahead := m.Ahead
	if ahead <= 0 {
		ahead = min(max(known, 600), 6*3600)
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
	free(&p.Duty)
	if !m.AsStated {
		driven, why := a.drive(&p)
		if notes != nil {
			notes.Driven, notes.Notes = driven, why
		}
	}
	r, err := m.Run(ctx, p)
	switch {
	case err != nil:
		return nil, fmt.Errorf("predicting: %w", err)
	case r == nil || len(r.History.Time) < len(p.Output):
		return nil, errors.New("predicting: the run ended before its time")
	}
	return r, nil
}

// free takes out what would end the run.
func free(d *duty.Duty) { strip(d, func(a duty.Action) bool { return a.What == duty.StopRun }) }

// strip takes actions out of events and rules.
func strip(d *duty.Duty, out func(duty.Action) bool) {
	d.Events, d.Rules = slices.Clone(d.Events), slices.Clone(d.Rules)
	for i := range d.Events {
		d.Events[i].Do = slices.DeleteFunc(slices.Clone(d.Events[i].Do), out)
	}
	for i := range d.Rules {
		d.Rules[i].Do = slices.DeleteFunc(slices.Clone(d.Rules[i].Do), out)
		d.Rules[i].Else = slices.DeleteFunc(slices.Clone(d.Rules[i].Else), out)
	}
}

// drive puts what is measured in the place of what the run's duty states.
func (a Ask) drive(p *heat.Problem) (driven, notes []string) {
	d := &p.Duty
	d.Switches = d.Switches.Clone()
	d.Water, d.Heaters = slices.Clone(d.Water), slices.Clone(d.Heaters)
	lit := false
	for _, x := range a.inputs {
		s := x.signal(a.model.Begins, 1)
		done := true
		switch x.role {
		case trial.Ambient:
			d.Ambient = s
		case trial.Wind:
			d.Wind = s
		case trial.Inlet:
			if i := circuit(p, x.of); i >= 0 {
				d.Water[i].Inlet = s
			} else {
				done = false
			}
		case trial.Flow:
			i := circuit(p, x.of)
			if i < 0 || slices.ContainsFunc(d.Pumps, func(q duty.Pump) bool { return slices.Contains(q.Circuits, i) }) {
				notes = append(notes, x.name+" does not drive the run: its circuit is fed by a pump there")
				done = false
				break
			}
			flowing(d, i, s, x.top)
		case trial.HeaterPower:
			i := -1
			for k := range p.Receiver.Heaters {
				if p.Receiver.Heaters[k].Name == x.of {
					i = k
				}
			}
			if done = i >= 0 && i < len(d.Heaters); done {
				d.Heaters[i], d.Switches.Heaters[i] = s, true
				strip(d, func(c duty.Action) bool { return c.What == duty.SetHeater && c.Index == i })
			}
		case trial.LightPower, trial.LampPower, trial.Irradiance:
			factor, known := a.model.Uptakes[x.name]
			switch {
			case lit:
				done = false
			case known:
				shine(d, x.signal(a.model.Begins, factor), true)
			case x.role == trial.LightPower:
				shine(d, s, false)
			default:
				notes = append(notes, x.name+` does not drive the run: what of it goes into the receiver is not said ("uptake")`)
				done = false
			}
			lit = lit || done
		}
		if done {
			driven = append(driven, x.name)
		}
	}
	return driven, notes
}

func circuit(p *heat.Problem, name string) int {
	for i := range p.Receiver.Circuits {
		if p.Receiver.Circuits[i].Name == name && i < len(p.Duty.Water) {
			return i
		}
	}
	return -1
}

// shine sets the light; absorbed tells that the block takes it up whole.
func shine(d *duty.Duty, s duty.Signal, absorbed bool) {
	l := duty.Light{}
	if d.Light != nil {
		l = *d.Light
	}
	l.Power, l.Peak, l.Absorbed = s, false, absorbed
	for i := range l.Power.V {
		l.Power.V[i] = max(l.Power.V[i], 0)
	}
	d.Light, d.Switches.Light = &l, true
	strip(d, func(a duty.Action) bool { return a.What == duty.SetLight })
}

// flowing sets a circuit's flow, and lets it stand as the run has it at its start while nothing flows: below a hundredth
// of the largest flow seen.
func flowing(d *duty.Duty, i int, s duty.Signal, top float64) {
	least := 0.01 * top
	still := d.Switches.Water[i]
	if still == duty.Flowing {
		still = duty.Drained
	}
	d.Throttle = slices.DeleteFunc(slices.Clone(d.Throttle), func(c duty.Control) bool { return c.Circuit == i })
	strip(d, func(a duty.Action) bool {
		return (a.What == duty.SetWater || a.What == duty.SetFlowShare) && a.Index == i
	})
	d.Switches.Water[i] = still
	if i < len(d.Switches.FlowShare) {
		d.Switches.FlowShare[i] = 1
	}
	state := still
	for k := range s.T {
		want := still
		if s.V[k] > least {
			want = duty.Flowing
		}
		if want == state {
			continue
		}
		at := max(s.T[k], 0)
		if want == duty.Flowing && k > 0 { // it began within the line before
			f := (least - s.V[k-1]) / (s.V[k] - s.V[k-1])
			at = max(s.T[k-1]+f*(s.T[k]-s.T[k-1]), 0)
		}
		state = want
		d.Events = append(d.Events, duty.Event{At: at, Name: "water as measured", Do: []duty.Action{{What: duty.SetWater, Index: i, Value: float64(want)}}})
	}
	slices.SortStableFunc(d.Events, func(a, b duty.Event) int {
		switch {
		case a.At < b.At:
			return -1
		case a.At > b.At:
			return 1
		}
		return 0
	})
	for k := range s.V { // a flow of nothing is no flow that a tube can be computed with
		s.V[k] = max(s.V[k], least)
	}
	d.Water[i].Flow = s
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

// variance is that of what parameters move.
func (m *Model) variance(moves []float64) float64 {
	s := 0.0
	for i := range moves {
		for j := range moves {
			s += moves[i] * m.Covariance[i][j] * moves[j]
		}
	}
	return max(s, 0)
}

// of tells what a column's differences are made of.
func (f *Follower) of(k *channel) (noise Noise, slow, slowTime float64) {
	noise = Noise{White: k.Noise, Lasting: math.NaN()}
	if d, ok := f.model.Departures[k.Name]; ok {
		noise.Lasting, noise.Time = d.Lasting, d.Time
		slow, slowTime = d.Slow, d.SlowTime
	}
	if k.Quantity == history.Temperature && f.plan.Within > 0 {
		slow = f.plan.Within / 1.96
	}
	return noise, slow, slowTime
}
