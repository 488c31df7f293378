package match

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/study"
)

// Settings are inputs with other values, by their paths, such as "receiver.tube.contact".
type Settings struct {
	Values  map[string]float64 // SI
	Factors map[string]float64 // times what stands there and below, such as "duty.light.power"
}

// Loader yields the problem of a trial's run with some inputs changed. An error means that they are not allowed there.
type Loader func(s Settings) (heat.Problem, error)

// Runner computes one problem; heat.Run is the one that programs pass.
type Runner func(ctx context.Context, p heat.Problem) (*heat.Result, error)

// Trial is one trial: what was measured, and how to compute the same.
type Trial struct {
	Name     string
	Load     Loader
	Channels []Channel
	Phases   []Phase
	Leave    []Phase // stretches that do not count, such as a first heat-up in which new insulation dries
	// Drying marks the first heat-up of new insulation: water in it boils off and takes heat that no run knows of.
	Drying bool
}

// Phase is a named stretch of a trial.
type Phase struct {
	Name     string
	From, To float64 // s
}

// Channel is a measured column and the column of the run that it is compared with.
type Channel struct {
	Column   string // of the run's history
	Quantity history.Quantity
	Time     []float64 // s, rising
	Value    []float64 // SI; NaN where there is none
	Noise    float64   // SI, standard, independent from row to row
	Parts    []Part    // systematic
	// Standing counts readings of an outlet that are not among Value since no water flowed in the trial over the whole of
	// the time that they stand for.
	Standing int
}

// Part is one systematic error of a channel. Channels of any trial with a part of the same Group share that very
// error: the same thermocouple on two days, two channels of one logger. Its standard uncertainty at a value v is
// Constant and Relative·|v − Zero| as root of the sum of squares, or the larger of the two.
type Part struct {
	Group              string
	Constant, Relative float64
	Zero               float64 // SI: 273.15 for temperatures in K
	Larger             bool
}

// At returns the standard uncertainty at a value, in SI.
func (p Part) At(v float64) float64 {
	r := p.Relative * math.Abs(v-p.Zero)
	if p.Larger {
		return max(p.Constant, r)
	}
	return math.Hypot(p.Constant, r)
}

// Parameter is an unknown: a numeric input, or a factor on inputs.
type Parameter struct {
	Name         string
	Paths        []string // inputs that take its value, or that it multiplies
	Factor       bool
	Start        float64 // SI
	Lower, Upper float64 // SI
	Prior        *Prior  // Index is set by Estimate
	Trials       []string
	Unit         string  // in which reports show it; "" is SI
	Size         float64 // SI value of one Unit; 0: 1
	Zero         float64 // SI value at 0 Unit
}

// applies tells whether a parameter acts on a trial: on those that it names, or on all.
func (p *Parameter) applies(t *Trial) bool {
	return len(p.Trials) == 0 || slices.Contains(p.Trials, t.Name)
}

// settings of a trial at x.
func settings(parameters []Parameter, t *Trial, x []float64) Settings {
	s := Settings{Values: map[string]float64{}, Factors: map[string]float64{}}
	for j := range parameters {
		p := &parameters[j]
		if !p.applies(t) {
			continue
		}
		for _, path := range p.Paths {
			if p.Factor {
				s.Factors[path] = x[j]
			} else {
				s.Values[path] = x[j]
			}
		}
	}
	return s
}

// sampled is a trial reduced to the rows that count: of each stretch of time the mean of what was measured in it.
type sampled struct {
	*Trial
	loose    bool // steps in time are ten times less exact than fits need
	refined  int  // times that cells and steps are refined
	moved    *duty.Moment
	movedBy  float64   // s, by which that moment of the duty is moved
	stops    []float64 // s, at which the duty does something; nil: not yet looked at
	times    []float64 // s, of all channels together, rising
	channels []samples
	gone     []int // by channel of the trial: means at which the run has no value
}

type samples struct {
	*Channel
	time, value []float64
	white       []float64 // SI, noise of each value: the channel's over the root of the number averaged
	at          []int     // index in times
	from, to    []float64 // s, of what each value stands for: the reading before the first of those averaged, and the last
}

// sample averages a trial's channels over stretches of equal length, at most so many to the trial. A time counts from
// the start of the run; rows before it are left out.
func sample(t *Trial, most int) (sampled, error) {
	s := sampled{Trial: t}
	end := 0.0
	for i := range t.Channels {
		c := &t.Channels[i]
		if len(c.Time) != len(c.Value) {
			return s, fmt.Errorf("trial %s: column %s has %d values over %d times", t.Name, c.Column, len(c.Value), len(c.Time))
		}
		if !(c.Noise > 0) {
			return s, fmt.Errorf("trial %s: column %s has no noise above zero: every sensor has some", t.Name, c.Column)
		}
		for k, at := range c.Time {
			if k > 0 && at < c.Time[k-1] {
				return s, fmt.Errorf("trial %s: column %s goes back in time at %g s", t.Name, c.Column, at)
			}
			if t.counts(at) && !math.IsNaN(c.Value[k]) {
				end = max(end, at)
			}
		}
	}
	if end == 0 {
		return s, fmt.Errorf("trial %s: nothing measured is left to compare with", t.Name)
	}
	width := end / float64(most)
	for i := range t.Channels {
		c := &t.Channels[i]
		out := samples{Channel: c}
		var sum, when, first, last float64
		n, bin := 0, -1
		flush := func() {
			if n > 0 {
				out.time = append(out.time, when/float64(n))
				out.value = append(out.value, sum/float64(n))
				out.white = append(out.white, c.Noise/math.Sqrt(float64(n)))
				out.from, out.to = append(out.from, first), append(out.to, last)
			}
			sum, when, n = 0, 0, 0
		}
		for k, at := range c.Time {
			if !t.counts(at) || math.IsNaN(c.Value[k]) {
				continue
			}
			if b := int(math.Ceil(at/width - 1e-9)); b != bin {
				flush()
				bin, first = b, c.Time[max(0, k-1)]
			}
			last = at
			sum, when, n = sum+c.Value[k], when+at, n+1
		}
		flush()
		s.channels = append(s.channels, out)
		s.times = append(s.times, out.time...)
	}
	sort.Float64s(s.times)
	s.times = slices.Compact(s.times)
	for i := range s.channels {
		for _, at := range s.channels[i].time {
			k, _ := slices.BinarySearch(s.times, at)
			s.channels[i].at = append(s.channels[i].at, k)
		}
	}
	return s, nil
}

// prune leaves out the rows at which the run has no value, such as the outlet of a drained circuit; v is what compute
// gives, and notes how many went, by channel. It returns what stays of v.
func (s *sampled) prune(v []float64) (left []float64) {
	at := 0
	s.gone = make([]int, len(s.channels))
	for i := range s.channels {
		c := &s.channels[i]
		kept := samples{Channel: c.Channel}
		for k := range c.value {
			if math.IsNaN(v[at+k]) {
				s.gone[i]++
				continue
			}
			left = append(left, v[at+k])
			kept.from, kept.to = append(kept.from, c.from[k]), append(kept.to, c.to[k])
			kept.time, kept.value = append(kept.time, c.time[k]), append(kept.value, c.value[k])
			kept.white, kept.at = append(kept.white, c.white[k]), append(kept.at, c.at[k])
		}
		at += len(c.value)
		*c = kept
	}
	s.channels = slices.DeleteFunc(s.channels, func(c samples) bool { return len(c.value) == 0 })
	return left
}

// counts tells whether a time lies in no stretch that is left out.
func (t *Trial) counts(at float64) bool {
	for _, l := range t.Leave {
		if at >= l.From && at <= l.To {
			return false
		}
	}
	return at >= 0
}

// key names the trial's runs in memory.
func (s *sampled) key() string {
	switch {
	case s.loose:
		return s.Name + " roughly"
	case s.moved != nil:
		return fmt.Sprintf("%s with %q of %g s moved by %g s", s.Name, s.moved.What, s.moved.At, s.movedBy)
	}
	return s.Name
}

// problem of the trial's run at x: its rows at the sampled times, and no rule or event that would end it before.
func (s *sampled) problem(parameters []Parameter, x []float64) (heat.Problem, error) {
	p, err := s.Load(settings(parameters, s.Trial, x))
	if err != nil {
		return p, fmt.Errorf("trial %s: %w: %w", s.Name, ErrNoValue, err)
	}
	if p.Tolerance == 0 {
		p.Tolerance = heat.DefaultTolerance
	}
	p.Tolerance = min(p.Tolerance, s.tolerance())
	if s.loose {
		p.Tolerance *= 10
	}
	if s.refined > 0 {
		p = study.Refined(p, s.refined)
	}
	p.FieldTimes, p.Progress, p.Threads, p.Steady = nil, nil, 1, false
	p.Until = s.times[len(s.times)-1]
	p.Output = s.times
	if s.times[0] > 0 {
		p.Output = append([]float64{0}, s.times...)
	}
	p.Duty.GoOn()
	if s.moved != nil {
		p.Duty.Move(*s.moved, s.movedBy)
	}
	return p, nil
}

// Tolerance of the steps in K that keeps their roughness well below the noise of the thermometers, of which least is the
// least in K, since derivatives are differences of runs: a tenth of it, but at least 0.01 K. Our own practice: on the small
// receiver of the examples 2F along a parameter is then rough by some 0.2; at half of the noise it is rough by 1,
// estimates scatter by a tenth more, and derivatives hold roughness that looks like information.
func Tolerance(least float64) float64 { return max(0.1*least, 0.01) }

func (s *sampled) tolerance() float64 {
	least := math.Inf(1)
	for i := range s.channels {
		if c := s.channels[i].Channel; c.Quantity == history.Temperature {
			least = min(least, c.Noise)
		}
	}
	return Tolerance(least)
}

// compute runs the trial at x and returns the columns at the sampled times, one behind the other, and the result.
func (s *sampled) compute(ctx context.Context, run Runner, parameters []Parameter, x []float64) ([]float64, *heat.Result, error) {
	p, err := s.problem(parameters, x)
	if err != nil {
		return nil, nil, err
	}
	r, err := run(ctx, p)
	if ctx.Err() != nil {
		return nil, nil, ctx.Err()
	}
	if err == nil && r == nil {
		err = errors.New("the run gave no result")
	}
	if err != nil {
		return nil, nil, fmt.Errorf("trial %s: %w: %w", s.Name, ErrNoValue, err)
	}
	if n := len(r.History.Time); n == 0 || r.History.Time[n-1] < p.Until*(1-1e-9) {
		return nil, nil, fmt.Errorf("trial %s: %w: the run ended at %g s (%s), before the measurement", s.Name, ErrNoValue, r.Ended, r.Stopped)
	}
	var out []float64
	for i := range s.channels {
		c := r.History.Column(s.channels[i].Column)
		if c == nil {
			return nil, nil, fmt.Errorf("trial %s: its run has no column %q", s.Name, s.channels[i].Column)
		}
		breaks := slices.ContainsFunc(c.Values, math.IsNaN)
		for k, at := range s.channels[i].time {
			x := history.Straight(r.History.Time, c.Values, at)
			if breaks && !whole(r.History.Time, c.Values, s.channels[i].from[k], s.channels[i].to[k]) {
				x = math.NaN()
			}
			out = append(out, x)
		}
	}
	return out, r, nil
}

// whole tells whether a column has values from one time to another, so that a mean over that stretch does not mix an
// outlet that runs with one that is drained.
func whole(t, v []float64, from, to float64) bool {
	k, found := slices.BinarySearch(t, from)
	if !found {
		k--
	}
	for k = max(0, k); k < len(t); k++ {
		if math.IsNaN(v[k]) {
			return false
		}
		if t[k] >= to {
			break
		}
	}
	return true
}

// left says in one sentence how many readings of outlets are not compared, since water did not flow over the whole of each
// in trial and run; none where all are.
func (s *sampled) left() []string {
	var standing, gone []string
	for i := range s.Trial.Channels {
		c := &s.Trial.Channels[i]
		if c.Standing > 0 {
			standing = append(standing, fmt.Sprintf("%s of %s", count(c.Standing, "reading"), c.Column))
		}
		if s.gone != nil && s.gone[i] > 0 {
			gone = append(gone, fmt.Sprintf("%s of %s", count(s.gone[i], "mean"), c.Column))
		}
	}
	var parts []string
	if len(standing) > 0 {
		parts = append(parts, andList(standing)+", over which no water flowed throughout in the trial")
	}
	if len(gone) > 0 {
		parts = append(parts, andList(gone)+", over which the run has no value throughout, as of a drained circuit")
	}
	if len(parts) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("of %s are not compared: %s", s.Name, strings.Join(parts, "; and "))}
}
