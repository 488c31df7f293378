package follow

import (
	"math"
	"slices"
)

// pool gathers readings that wait for a prediction, as means over short stretches.
type pool struct {
	points []pooled
	width  float64
}

type pooled struct {
	from, t, v float64
	n          float64
}

// mostPooled is our own choice, of five hours at 30 s: how many means wait; when there are more, stretches become twice as long.
const mostPooled = 600

func (p *pool) add(at, v, width float64) {
	if math.IsNaN(v) {
		return
	}
	p.width = max(p.width, width)
	if n := len(p.points); n > 0 && at-p.points[n-1].from < 0.999*p.width {
		q := &p.points[n-1]
		q.n++
		q.t += (at - q.t) / q.n
		q.v += (v - q.v) / q.n
		return
	}
	p.points = append(p.points, pooled{at, at, v, 1})
	if len(p.points) <= mostPooled {
		return
	}
	p.width *= 2
	kept := p.points[:0]
	for _, q := range p.points {
		if n := len(kept); n > 0 && q.from-kept[n-1].from < 0.999*p.width {
			o := &kept[n-1]
			sum := o.n + q.n
			o.t, o.v, o.n = (o.t*o.n+q.t*q.n)/sum, (o.v*o.n+q.v*q.n)/sum, sum
			continue
		}
		kept = append(kept, q)
	}
	p.points = kept
}

// Predicted takes a prediction, judges the readings that it covers and corrects its course by them. Judged is the course as it was
// computed: a correction would hide the departure.
func (f *Follower) Predicted(p *Prediction) {
	f.course = p
	columns := 0
	for _, k := range f.channels {
		if p.Columns[k.Name] != nil {
			columns++
		}
	}
	for _, k := range f.channels {
		done := 0
		for i, q := range k.pool.points {
			if q.t > p.Known {
				break
			}
			done = i + 1
			if v, moves, ok := p.column(k.Name, q.t); ok {
				f.judge(k, q, v, moves, columns)
				k.show(q, q.v-v, moves)
			}
		}
		if last := len(k.pool.points); done == last && done > 0 && p.Columns[k.Name] == nil {
			done = last - 1 // nothing predicts it: only the newest is kept
		}
		k.pool.points = slices.Delete(k.pool.points, 0, done)
		f.correct(k, doubts[:])
		if p.Columns[k.Name] != nil {
			k.pool.width = 0
		}
	}
	f.trusted(p)
}

// returns is the share of the boundary below which a departure is over: so one that lies about the boundary is called once
// and not at each crossing. That a switch opens below where it closes is common practice; the share is our own choice.
const returns = 0.8

// judge adds one mean difference to the channel's chart and holds the chart's mean against its boundary.
func (f *Follower) judge(k *channel, q pooled, predicted float64, moves []float64, columns int) {
	noise, slow, slowTime := f.of(k)
	own := noise
	own.White /= math.Sqrt(q.n)
	interval := f.logger(k.source).interval
	tau := f.memory(interval)
	lasts := f.lasts(k, predicted, moves, slow)
	if k.columns != columns || k.tau != tau {
		k.alarm, k.columns, k.tau = NewAlarm(f.plan.FalseAlarms, f.plan.Over, tau, slowTime, columns), columns, tau
	}
	before := k.alarm.Boundary(lasts, k.chart.SD())
	k.chart.Add(q.t, q.v-predicted, tau, own, k.chart.Ready(noise, tau) && math.Abs(k.chart.Mean) > before/2)
	boundary := k.alarm.Boundary(lasts, k.chart.SD())
	k.judged, k.boundary = q.t, boundary
	if !k.chart.Ready(noise, tau) {
		return
	}
	c := Call{Channel: k.Name, Quantity: k.Quantity, Source: k.source, At: q.t, Value: k.chart.Mean, Boundary: boundary, Predicted: predicted}
	switch off := math.Abs(k.chart.Mean); {
	case off > boundary && !k.departed:
		k.departed, c.Kind = true, Departed
		f.call(c)
	case off < returns*boundary && k.departed:
		k.departed, c.Kind = false, Returned
		f.call(c)
	}
}

// lasts is the standard deviation of what lasts in a difference,
//
//	√(J C Jᵀ + o² + s²)
//
// of the parameters (J what they change, C their covariance), of the sensor's own error o and of the model's slow one s.
// Source: JCGM 100:2008, eqs. 10 and 13 (combined uncertainty); that the model's error counts among its terms: as in a match.
func (f *Follower) lasts(k *channel, predicted float64, moves []float64, slow float64) float64 {
	s := k.Systematic(predicted)
	return math.Sqrt(f.model.variance(moves) + s*s + slow*slow)
}

// predicted fills in what the model says of a channel's latest reading. The band is for one reading: 1.96 times (the normal
// distribution's 95 %) the root of the squares of what lasts, of noise that remembers and of white noise.
func (f *Follower) predicted(k *channel, n *Now) {
	if f.course == nil || f.overtaken(k) {
		return
	}
	v, moves, ok := f.course.column(k.Name, k.at)
	if !ok {
		return
	}
	noise, slow, _ := f.of(k)
	a, _ := k.chart.lasting(noise)
	n.Predicted = v
	n.Band = 1.96 * math.Hypot(f.lasts(k, v, moves, slow), math.Hypot(a, noise.White))
	if k.chart.n > 0 {
		n.Mean, n.Boundary = k.chart.Mean, k.boundary
	}
	if by, sd, ok := k.corrected.at(k.at); ok {
		n.Moved, n.MovedBand = by, 1.96*sd
	}
}

// overtaken tells whether a source or a flow was switched between what the prediction knows and the channel's reading: so
// the prediction, whose inputs stayed as they were, says nothing of now. A run as stated has its own switches.
func (f *Follower) overtaken(k *channel) bool {
	return !f.model.AsStated && k.at > f.course.Known && f.changed > f.course.Known
}

// modelLeft is the time left by the model: its course, moved by what the readings have shown of it (correct), and the
// 95 % interval of that,
//
//	v(t) + e(t) ± 1.96 u(t)
//
// first at the level. An interval of the course at each moment makes one of the moment at which it comes to the level as long
// as the course rises or falls through it; derived here. The readings' noise is no part of it.
func (f *Follower) modelLeft(k *channel, level float64) (Left, bool) {
	p := f.course
	if p == nil || k.corrected == nil || p.Columns[k.Name] == nil || f.overtaken(k) {
		return Left{}, false
	}
	within := p.Time[len(p.Time)-1] - k.at
	seen := within / farthest
	if !(seen > 0) {
		return Left{}, false
	}
	course := func(u, z float64) float64 {
		t := k.at + min(u, within)
		v, _, ok := p.column(k.Name, t)
		by, sd, known := k.corrected.at(t)
		if !ok || !known {
			return math.NaN()
		}
		return v + by + z*1.96*sd
	}
	l := Left{By: "model", Within: within, Lower: math.Inf(1), Upper: math.Inf(-1)}
	up := k.value < level
	l.Time = crossing(func(u float64) float64 { return course(u, 0) }, level, up, seen)
	l.widen(course, level, up, seen)
	l.tidy()
	return l, true
}
