package follow

import (
	"context"
	"math"
	"slices"

	"emberbank/heat"
	"emberbank/history"
)

// Model is what predicts a trial: a run, whose inputs are replaced by those that are measured.
type Model struct {
	// Load yields the run's problem; with one parameter moved to a value, or as it is for index −1.
	Load func(parameter int, value float64) (heat.Problem, error)
	// Stated is the same without what the parameters multiply, so that their factors can act on what is measured in its
	// place; nil: there are no factors.
	Stated     func(parameter int, value float64) (heat.Problem, error)
	Run        func(context.Context, heat.Problem) (*heat.Result, error)
	Parameters []Parameter
	Covariance [][]float64 // of the parameters, SI
	Begins     float64     // s, the trial's time at which the run begins
	AsStated   bool        // the run's own duty counts, not the measured inputs
	Uptakes    map[string]float64
	Departures map[string]Departing // by column, as a match found them; may be nil
	// Outside tells what of a run leaves the envelope in which the model was trusted; nil where none is known. The run's
	// history holds the rows that are asked about, its events and end those up to there.
	Outside func(*heat.Problem, *heat.Result) []Outside
	Ahead   float64 // s, how far it looks ahead at least; 0: as long as the trial lasts, 1 h to 6 h
}

// Parameter is an uncertain input of the run.
type Parameter struct {
	Name      string
	Value, SD float64 // SI
	Uptake    string  // it is that of this channel, and no input of the run; "" else
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
	Known   float64   // s of the trial
	Driven  []string  // channels that drive it
	Notes   []string  // why others do not
	Outside []Outside // of the envelope
	full    float64   // Known of the last prediction for which every parameter was moved
}

// Ask is what is to be computed: a snapshot, so that it can be done while readings go on to come.
type Ask struct {
	model  *Model
	inputs []*input
	known  float64
	times  []float64
	names  []string
	hotter float64     // K, by which thermometers in the block read off the last prediction
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
	a.model, a.known, a.hotter = m, known, f.hotter()
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

// covariance is that of what parameters move at two moments.
func (m *Model) covariance(a, b []float64) float64 {
	s := 0.0
	for i := range min(len(a), len(m.Covariance)) {
		for j := range min(len(b), len(m.Covariance[i])) {
			s += a[i] * m.Covariance[i][j] * b[j]
		}
	}
	return s
}

// variance is that of what parameters move.
func (m *Model) variance(moves []float64) float64 { return max(m.covariance(moves, moves), 0) }

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
