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

// mostPooled is how many means wait; when there are more, stretches become twice as long.
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

// Predicted takes a prediction and judges the readings that it covers.
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
			}
		}
		if last := len(k.pool.points); done == last && done > 0 && p.Columns[k.Name] == nil {
			done = last - 1 // nothing predicts it: only the newest is kept
		}
		k.pool.points = slices.Delete(k.pool.points, 0, done)
		if p.Columns[k.Name] != nil {
			k.pool.width = 0
		}
	}
}

// judge adds one mean difference to the channel's chart.
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
	case off < 0.8*boundary && k.departed:
		k.departed, c.Kind = false, Returned
		f.call(c)
	}
}

// lasts is the standard deviation of what lasts in a difference: parameters, the sensor's own error, the model's.
func (f *Follower) lasts(k *channel, predicted float64, moves []float64, slow float64) float64 {
	s := k.Systematic(predicted)
	return math.Sqrt(f.model.variance(moves) + s*s + slow*slow)
}

// predicted fills in what the model says of a channel's latest reading.
func (f *Follower) predicted(k *channel, n *Now) {
	if f.course == nil {
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
}

// modelLeft is the time left by the model: its course, moved by what the channel reads beside it now. What both have in
// common since now drops out of the interval: it holds what parameters and the model's slow error change from now on,
//
//	u² = (J(t) − J(now)) C (J(t) − J(now))ᵀ + 2 s² (1 − ρ(t − now)) + V
//
// with J the changes by parameters, C their covariance, s the size of the slow error, ρ its correlation (Matérn, ν = 5/2,
// as in a match; 0 at once where no match tells) and V the variance of the mean difference by noise.
func (f *Follower) modelLeft(k *channel, level float64) (Left, bool) {
	p := f.course
	if p == nil || k.chart.n == 0 || p.Columns[k.Name] == nil {
		return Left{}, false
	}
	_, slow, slowTime := f.of(k)
	_, now, ok := p.column(k.Name, min(k.at, p.Time[len(p.Time)-1]))
	if !ok {
		return Left{}, false
	}
	within := p.Time[len(p.Time)-1] - k.at
	course := func(u, z float64) float64 {
		v, moves, ok := p.column(k.Name, k.at+min(u, within))
		if !ok {
			return math.NaN()
		}
		diff := make([]float64, len(moves))
		for i := range diff {
			diff[i] = moves[i] - now[i]
		}
		rho := 0.0
		if slowTime > 0 {
			b := math.Sqrt(5) * u / slowTime
			rho = (1 + b + b*b/3) * math.Exp(-b)
		}
		sd := math.Sqrt(f.model.variance(diff) + 2*slow*slow*(1-rho) + k.chart.v)
		return v + k.chart.Mean + z*1.96*sd
	}
	l := Left{By: "model", Within: within, Lower: math.Inf(1), Upper: math.Inf(-1)}
	up := course(0, 0) < level
	seen := within / farthest
	if !(seen > 0) {
		return Left{}, false
	}
	l.Time = crossing(func(u float64) float64 { return course(u, 0) }, level, up, seen)
	l.widen(course, level, up, seen)
	l.tidy()
	return l, true
}
