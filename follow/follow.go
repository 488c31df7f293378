// Package follow says what a trial says while it runs: of every channel the latest reading and its age, what a model
// predicts for it and whether it departs from that, the time left to a target with its interval, and which limit is near.
// It answers with values; words and files are somebody else's, and so is the clock: it is told how late it is.
//
// A departure is judged on the difference of measured and predicted, averaged over a while, against a boundary that
// allows for what lasts (parameters, sensors, the model's own error) and for noise that remembers; chance crosses it in an
// undisturbed trial with the stated probability. The model is run anew with the measured inputs. The time left is by its
// course, moved by what the readings have shown of it, and where no model is at hand by the course of the last minutes.
//
// Memory does not grow with the trial: courses are thinned, inputs are kept as straight lines within their noise.
//
// Left out: a state estimate. It is the predicted course that is moved by the readings; the model's run is never restarted
// from them, and one channel does not correct another.
//
//	f := follow.New(plan)
//	live := trial.NewLive(setup, files, func(rows trial.Fresh) { f.Take(rows, now) })
//	f.Look(now)
//	for _, c := range f.Calls() { … }
package follow

import (
	"math"
	"slices"

	"emberbank/history"
	"emberbank/trial"
)

// Plan is what is watched.
type Plan struct {
	Targets     []Target
	Limits      []Limit
	FalseAlarms float64 // chance of a departure called in an undisturbed trial, over all channels and Over; 0: 0.01
	Over        float64 // s; 0: 8 h
	Memory      float64 // s, over which differences are averaged; 0: 3 min, or ten rows if that is longer
	LostAfter   float64 // s; 0: 30 s, or five intervals if that is longer
	Within      float64 // K, half-width at 95 % of the model's own error; NaN or 0 none beyond what the model brings
}

// Target is a reading that is waited for.
type Target struct {
	Of string
	At float64 // SI
}

// Limit is a reading that must not be passed.
type Limit struct {
	Of     string  // a channel; "" every temperature in or on the receiver
	At     float64 // SI
	Below  bool    // readings below it are too low; else those above are too high
	Near   float64 // SI; 0: 20 K, of other quantities 5 % of At
	Why    string  // what it is
	Source string  // where it comes from, "" the description
}

// Follower follows one trial.
type Follower struct {
	plan     Plan
	channels []*channel
	loggers  []*logger
	calls    []Call
	inputs   []*input
	changed  float64 // s, when a source or a flow was last switched
	course   *Prediction
	model    *Model
	outside  []leftOut
}

type logger struct {
	source   int
	at       float64 // s from the trial's start, of the newest row
	heard    float64 // s of the reader's clock
	interval float64
	silent   bool
}

type channel struct {
	trial.Column
	source    int
	hold      bool
	value     float64
	at        float64
	seen      float64 // s from the trial's start, of the newest row whether it had a value or not
	begun     float64
	lost      bool
	standing  bool
	trend     trend
	limits    []limitState
	targets   []targetState
	chart     Chart
	shown     []shown
	corrected *corrected
	pool      pool
	departed  bool
	boundary  float64
	alarm     Alarm
	columns   int
	tau       float64
	judged    float64
	largest   float64 // of a source or flow
	mean      float64 // of it since it was last switched
	count     int
	recent    []float64
}

// New begins to follow.
func New(p Plan) *Follower {
	if p.FalseAlarms == 0 {
		p.FalseAlarms = 0.01
	}
	if p.Over == 0 {
		p.Over = 8 * 3600
	}
	if math.IsNaN(p.Within) {
		p.Within = 0
	}
	return &Follower{plan: p, changed: math.Inf(-1)}
}

func (f *Follower) logger(source int) *logger {
	for _, l := range f.loggers {
		if l.source == source {
			return l
		}
	}
	l := &logger{source: source, at: math.NaN()}
	f.loggers = append(f.loggers, l)
	slices.SortFunc(f.loggers, func(a, b *logger) int { return a.source - b.source })
	return l
}

// Expect names a logger before it gives anything, from the reader's time now on.
func (f *Follower) Expect(source int, now float64) { f.logger(source).heard = now }

func (f *Follower) channel(source int, c trial.Column) *channel {
	for _, k := range f.channels {
		if k.Name == c.Name && k.source == source {
			k.Noise, k.Resolution = c.Noise, c.Resolution
			return k
		}
	}
	k := &channel{Column: c, source: source, value: math.NaN(), at: math.NaN(), begun: math.NaN(), judged: math.Inf(-1), seen: math.Inf(-1), chart: newChart()}
	for _, l := range f.plan.Limits {
		if l.Of == c.Name || l.Of == "" && c.Role == trial.Body {
			if l.Near == 0 {
				l.Near = 20
				if c.Quantity != history.Temperature {
					l.Near = 0.05 * math.Abs(l.At)
				}
			}
			k.limits = append(k.limits, limitState{Limit: l})
		}
	}
	for _, t := range f.plan.Targets {
		if t.Of == c.Name {
			k.targets = append(k.targets, targetState{Target: t, side: math.NaN()})
		}
	}
	f.channels = append(f.channels, k)
	return k
}

// Take takes rows of one logger that came at the reader's time now, in s.
func (f *Follower) Take(rows trial.Fresh, now float64) {
	l := f.logger(rows.Source)
	if l.interval = rows.Interval; !(rows.Now <= l.at) { // else older rows have settled, and nothing new has come
		l.at, l.heard = rows.Now, now
		if l.silent {
			l.silent = false
			f.call(Call{Kind: Heard, Source: l.source, At: l.at})
		}
	}
	for i := range rows.Columns {
		k := f.channel(rows.Source, rows.Columns[i])
		k.hold = rows.Hold != nil && rows.Hold[i]
		for n, at := range rows.Time {
			f.settled(k, at, rows.Values[i][n], rows.Interval)
		}
		f.newest(k, rows.Now, rows.Newest[i], rows.Stuck[i])
	}
}

// settled takes one reading that is sure.
func (f *Follower) settled(k *channel, at, v, interval float64) {
	f.present(k, at, v, false)
	if math.IsNaN(v) {
		return
	}
	f.switched(k, at, v)
	f.drive(k, at, v)
	k.trend.add(at, v, interval)
	k.reach(f, at, v)
	k.pool.add(at, v, max(interval, f.memory(interval)/6))
}

// newest takes a reading that the next rows may yet show to be a spike.
func (f *Follower) newest(k *channel, at, v float64, stuck bool) { f.present(k, at, v, stuck) }

// present takes a reading as it comes, each once: whether there is one, and how it stands to the limits.
func (f *Follower) present(k *channel, at, v float64, stuck bool) {
	if at <= k.seen {
		return
	}
	if math.IsNaN(k.begun) {
		k.begun = at
	}
	k.seen = at
	if !math.IsNaN(v) {
		k.value, k.at = v, at
		if k.lost || k.standing {
			k.lost, k.standing = false, false
			f.call(Call{Kind: Back, Channel: k.Name, Quantity: k.Quantity, Source: k.source, At: at, Value: v})
		}
		k.watch(f, at, v)
		return
	}
	since := k.at
	if math.IsNaN(since) {
		since = k.begun
	}
	gone := at - since
	c := Call{Channel: k.Name, Quantity: k.Quantity, Source: k.source, At: at, Value: k.value, Since: gone}
	switch {
	case k.lost || k.standing:
	case stuck:
		k.standing, c.Kind = true, Standing
		f.call(c)
	case gone >= f.lostAfter(f.logger(k.source).interval):
		k.lost, c.Kind = true, Lost
		f.call(c)
	}
}

func (f *Follower) lostAfter(interval float64) float64 {
	if f.plan.LostAfter > 0 {
		return max(f.plan.LostAfter, 2*interval)
	}
	return max(30, 5*interval)
}

func (f *Follower) memory(interval float64) float64 {
	if f.plan.Memory > 0 {
		return f.plan.Memory
	}
	return max(180, 10*interval)
}

// Look sees at the reader's time now whether a logger has fallen silent.
func (f *Follower) Look(now float64) {
	for _, l := range f.loggers {
		if gone := now - l.heard; !l.silent && gone >= f.lostAfter(l.interval) {
			l.silent = true
			f.call(Call{Kind: Silent, Source: l.source, At: l.at, Since: gone})
		}
	}
}

func (f *Follower) call(c Call) { f.calls = append(f.calls, c) }

// Calls returns what is to be called out since the last call.
func (f *Follower) Calls() []Call {
	c := f.calls
	f.calls = nil
	return c
}

// Now returns what every channel says at the reader's time now, in the order of loggers and channels.
func (f *Follower) Now(now float64) []Now {
	out := make([]Now, 0, len(f.channels))
	for _, k := range f.channels {
		l := f.logger(k.source)
		n := Now{
			Name: k.Name, Source: k.source, Quantity: k.Quantity, Role: k.Role, Value: k.value, At: k.at, Lost: k.lost, Standing: k.standing,
			Age: now - l.heard + l.at - k.at, Predicted: math.NaN(), Band: math.NaN(), Mean: math.NaN(), Boundary: math.NaN(), Moved: math.NaN(), MovedBand: math.NaN(), Judged: k.judged, Departed: k.departed,
		}
		n.Rate = k.trend.rate(f.changed)
		f.predicted(k, &n)
		for _, t := range k.targets {
			w := Waiting{Target: t.Target, Reached: t.reached, Left: unknown()}
			if !t.reached {
				w.Left = f.left(k, t.At)
			}
			n.Targets = append(n.Targets, w)
		}
		for _, s := range k.limits {
			if s.level > 0 {
				n.Limits = append(n.Limits, s.Limit)
			}
		}
		out = append(out, n)
	}
	slices.SortStableFunc(out, func(a, b Now) int { return a.Source - b.Source })
	return out
}

// left is the time left until a channel comes to a level: by the model's course where there is one, else by its own.
func (f *Follower) left(k *channel, level float64) Left {
	if l, ok := f.modelLeft(k, level); ok {
		return l
	}
	l := k.trend.left(level, f.changed)
	if n := len(k.trend.t); n > 0 { // the course ends with the last settled reading
		d := max(k.at-k.trend.t[n-1], 0)
		l.Time, l.Lower, l.Upper = max(l.Time-d, 0), max(l.Lower-d, 0), max(l.Upper-d, 0)
	}
	return l
}
