package plan

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/match"
)

// design is a plan while it is computed.
type design struct {
	p        Problem
	opt      Options
	x        []float64 // parameters where they are planned
	step     []float64 // by which they are moved
	base     []*replies
	rough    []*replies // the same by one-sided derivatives
	more     []Sensor   // candidates, the proposed behind the given
	given    int        // of more
	changes  []trialChange
	problems []heat.Problem // as planned, by trial
	length   float64
	noise    map[history.Quantity]sizes
	runs     int
	notes    []string
}

// newDesign runs the trials as planned.
func newDesign(ctx context.Context, p Problem, opt Options) (*design, error) {
	d := &design{p: p, opt: opt}
	switch {
	case opt.Run == nil:
		return nil, errors.New("planning: there is no runner")
	case len(p.Parameters) == 0:
		return nil, errors.New("planning: there is no parameter")
	case len(p.Trials) == 0:
		return nil, errors.New("planning: there is no run")
	case len(p.Sensors) == 0:
		return nil, errors.New("planning: there is no sensor")
	}
	for _, s := range p.Sensors {
		if !(s.Noise > 0) {
			return nil, fmt.Errorf("planning: sensor %s has no noise above zero: every sensor has some", s.Column)
		}
	}
	if d.p.MayCost == 0 {
		d.p.MayCost = 0.05
	}
	if d.p.Lattice == [3]int{} {
		d.p.Lattice = [3]int{2, 3, 3}
	}
	for j := range p.Parameters {
		q := &p.Parameters[j]
		if !(q.Upper > q.Lower) {
			return nil, fmt.Errorf("planning: parameter %s: its upper bound is not above its lower", q.Name)
		}
		d.x = append(d.x, min(max(q.Start, q.Lower), q.Upper))
		width := q.Upper - q.Lower
		d.step = append(d.step, min(max(0.02*math.Abs(d.x[j]), 0.002*width), 0.02*width))
	}
	if err := d.candidates(); err != nil {
		return nil, fmt.Errorf("planning: %w", err)
	}
	if err := d.asPlanned(ctx); err != nil {
		return nil, fmt.Errorf("planning: %w", err)
	}
	d.sizeNoise()
	return d, nil
}

// probesOf are the places among sensors that the runs do not read by themselves.
func probesOf(lists ...[]Sensor) (out []heat.Probe) {
	for _, l := range lists {
		for _, s := range l {
			if s.Probe != nil {
				q := *s.Probe
				q.Name = s.Column
				out = append(out, q)
			}
		}
	}
	return out
}

func columnsOf(lists ...[]Sensor) (out []string) {
	for _, l := range lists {
		for _, s := range l {
			out = append(out, s.Column)
		}
	}
	return out
}

// asPlanned runs every trial around the start, with all candidate sensors in place at once: first to one side of each
// parameter, which shows where the runs are too rough for its step, and then, with wider ones there, what is left.
func (d *design) asPlanned(ctx context.Context) error {
	var trios []*trio
	var points []*point
	for i := range d.p.Trials {
		t := d.around(&variant{trial: i, probes: probesOf(d.p.Sensors, d.more), watch: columnsOf(d.p.Sensors, d.more)})
		trios, points = append(trios, t), append(points, d.oneSided(t).points()...)
	}
	if err := d.compute(ctx, "as planned", points); err != nil {
		return err
	}
	d.pace(trios)
	points = nil
	for _, t := range trios {
		points = append(points, t.points()...)
	}
	if err := d.compute(ctx, "as planned, other sides and wider steps", points); err != nil {
		return err
	}
	for _, t := range trios {
		r, err := d.replies(t)
		if err != nil {
			return err
		}
		rough, err := d.replies(d.oneSided(t))
		if err != nil {
			return err
		}
		d.base, d.rough = append(d.base, r), append(d.rough, rough)
		d.length = max(d.length, r.time[len(r.time)-1])
	}
	return nil
}

// sizes is the noise of one quantity beside the white, in SI.
type sizes struct {
	slow, common   float64
	time, slowTime float64
	lasting        map[string]float64 // by column
}

// sizeNoise sets what is not stated as a match begins: from what each planned column goes through.
func (d *design) sizeNoise() {
	d.noise = map[history.Quantity]sizes{}
	alike := d.p.Model.Alike
	for _, q := range d.quantities() {
		var stated, spans []float64
		var names []string
		for _, s := range append(slices.Clone(d.p.Sensors), d.more...) {
			quantity, span := d.spanOf(s.Column)
			if quantity == q && span >= 0 {
				stated, spans, names = append(stated, d.white(s, q)), append(spans, span), append(names, s.Column)
			}
		}
		if len(names) == 0 {
			continue
		}
		n := match.GuessedNoise(stated, spans, d.length, d.length/rowsOfRun)
		own := sizes{time: n.Time, slowTime: n.SlowTime, lasting: map[string]float64{}}
		if d.p.Model.Lasts > 0 {
			own.time = d.p.Model.Lasts
		}
		if d.p.Model.Over > 0 {
			own.slowTime = d.p.Model.Over
		}
		// One size for all columns of the quantity, so that a further sensor never makes the others worse.
		size, planned := 0.0, 0
		for i, name := range names {
			own.lasting[name] = n.Lasting[i]
			if slices.ContainsFunc(d.p.Sensors, func(s Sensor) bool { return s.Column == name }) || !d.planned(q) {
				size, planned = size+math.Sqrt2*n.Slow[i], planned+1
			}
		}
		size /= float64(max(planned, 1))
		if v, ok := d.p.Model.Size[q]; ok {
			size = v
		}
		own.slow, own.common = size*math.Sqrt(1-alike), size*math.Sqrt(alike)
		d.noise[q] = own
	}
}

// quantities of all sensors, in the order of their first.
func (d *design) quantities() (out []history.Quantity) {
	for _, r := range d.base {
		for _, q := range r.quantity {
			if !slices.Contains(out, q) {
				out = append(out, q)
			}
		}
	}
	return out
}

// planned tells whether a planned sensor reads the quantity.
func (d *design) planned(q history.Quantity) bool {
	return slices.ContainsFunc(d.p.Sensors, func(s Sensor) bool { have, _ := d.spanOf(s.Column); return have == q })
}

// spanOf is the quantity of a column and the most that it goes through in a trial; below zero where it never has a value.
func (d *design) spanOf(column string) (q history.Quantity, span float64) {
	span = -1
	for _, r := range d.base {
		i := r.index(column)
		if i < 0 {
			continue
		}
		q = r.quantity[i]
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range r.value[i] {
			if !math.IsNaN(v) {
				lo, hi = min(lo, v), max(hi, v)
			}
		}
		span = max(span, hi-lo)
	}
	return q, span
}

// white is a sensor's noise from reading to reading, a candidate's own or that of the first planned one of its quantity.
func (d *design) white(s Sensor, q history.Quantity) float64 {
	if s.Noise > 0 {
		return s.Noise
	}
	if i := d.first(q); i >= 0 {
		return d.p.Sensors[i].Noise
	}
	return d.p.Sensors[0].Noise
}

func (d *design) first(q history.Quantity) int {
	return slices.IndexFunc(d.p.Sensors, func(s Sensor) bool { have, _ := d.spanOf(s.Column); return have == q })
}
