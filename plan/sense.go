package plan

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/match"
)

// variant is one trial, as planned or with one thing done otherwise.
type variant struct {
	trial  int // in Problem.Trials
	change *Change
	probes []heat.Probe // beside the run's own
	watch  []string     // columns that are kept
	charge *Charge      // the charge alone
}

// replies is what a variant's runs gave: each watched column over time, and its derivatives.
type replies struct {
	time     []float64
	width    []float64 // s, by row, for which it stands; 0: it does not count
	begins   []float64 // s, by row, when its stretch between switchings begins
	row      float64   // s, distance of rows at most
	columns  []string
	quantity []history.Quantity
	value    [][]float64   // by column
	slope    [][][]float64 // by column and parameter; nil: the parameter does not act
	bent     []bool        // by parameter
	cautions []heat.Caution
}

func (r *replies) index(column string) int { return slices.Index(r.columns, column) }

// point is one run of a variant.
type point struct {
	v *variant
	x []float64
	r *heat.Result
}

// prepare makes the problem of a variant's run at x.
func (d *design) prepare(v *variant, x []float64) (heat.Problem, error) {
	t := &d.p.Trials[v.trial]
	p, err := t.Load(match.SettingsOf(d.p.Parameters, t.Name, x))
	if err != nil {
		return p, fmt.Errorf("run %s: %w", t.Name, err)
	}
	if v.change != nil {
		if err := v.change.apply(&p); err != nil {
			return p, fmt.Errorf("run %s, %s: %w", t.Name, v.change.Name(), err)
		}
	}
	if v.charge != nil {
		leaveOn(&p, v.charge.Within)
	}
	p.Probes = append(slices.Clone(p.Probes), v.probes...)
	if p.Tolerance == 0 {
		p.Tolerance = heat.DefaultTolerance
	}
	fine := d.tolerance()
	if v.charge != nil { // its moves are wide, and a few seconds more or less do not matter
		fine *= 10
	}
	p.Tolerance = min(p.Tolerance, fine)
	p.FieldTimes, p.ProfileTimes, p.Progress, p.Threads, p.Steady = nil, []float64{}, nil, 1, false
	p.Output = p.Output[:0:0]
	p.Duty.GoOn()
	if v.charge != nil {
		for k := range rowsOfRun + 1 {
			p.Output = append(p.Output, p.Until*float64(k)/rowsOfRun)
		}
		v.charge.endAbove(&p)
	} else {
		p.Output, _, _ = d.layout(v)
	}
	return p, nil
}

// tolerance of the steps, in K, as in a match.
func (d *design) tolerance() float64 {
	least := math.Inf(1)
	for i, s := range d.p.Sensors {
		if d.thermometer(i) {
			least = min(least, s.Noise)
		}
	}
	return match.Tolerance(least)
}

// thermometer tells whether a planned sensor reads a temperature; before the first run is known, whether it may.
func (d *design) thermometer(i int) bool {
	s := &d.p.Sensors[i]
	if s.Probe != nil || len(d.base) == 0 {
		return true
	}
	k := d.base[0].index(s.Column)
	return k < 0 || d.base[0].quantity[k] == history.Temperature
}

// compute makes the runs, several at a time. The first error in their order is returned.
func (d *design) compute(ctx context.Context, stage string, points []*point) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	errs := make([]error, len(points))
	next := make(chan int)
	var wg sync.WaitGroup
	var mu sync.Mutex
	done := 0
	for range min(max(d.opt.Workers, 1), len(points)) {
		wg.Go(func() {
			for i := range next {
				if errs[i] = d.one(ctx, points[i]); errs[i] != nil {
					cancel()
					continue
				}
				mu.Lock()
				done++
				if d.opt.Progress != nil {
					d.opt.Progress(stage, done, len(points))
				}
				mu.Unlock()
			}
		})
	}
	for i := range points {
		next <- i
	}
	close(next)
	wg.Wait()
	d.runs += done
	return match.First(errs)
}

func (d *design) one(ctx context.Context, q *point) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	p, err := d.prepare(q.v, q.x)
	if err != nil {
		return err
	}
	if q.r, err = d.opt.Run(ctx, p); err != nil {
		return fmt.Errorf("run %s: %w", d.p.Trials[q.v.trial].Name, err)
	}
	if q.r == nil {
		return fmt.Errorf("run %s gave no result", d.p.Trials[q.v.trial].Name)
	}
	q.r.Fields, q.r.Profiles, q.r.Chains, q.r.Grid, q.r.Part = nil, nil, nil, nil, nil
	if n := len(q.r.History.Time); n == 0 || q.v.charge == nil && q.r.History.Time[n-1] < p.Until*(1-1e-9) {
		return fmt.Errorf("run %s ended at %g s (%s), before its time", d.p.Trials[q.v.trial].Name, q.r.Ended, q.r.Stopped)
	}
	return nil
}

// sides are a parameter's values to both sides of where it stands, within its bounds.
func (d *design) sides(j int) (low, high float64) {
	p := &d.p.Parameters[j]
	return max(d.x[j]-d.step[j], p.Lower), min(d.x[j]+d.step[j], p.Upper)
}

// moved is the start with parameter j at v.
func (d *design) moved(j int, v float64) []float64 {
	x := slices.Clone(d.x)
	x[j] = v
	return x
}

// trio is the runs of a variant: as it stands, and to both sides of each parameter that acts on it. Where one side is enough,
// the run as it stands is the other.
type trio struct {
	v         *variant
	mid       *point
	low, high []*point // by parameter; nil where it does not act
}

func (d *design) around(v *variant) *trio {
	t := &trio{v: v, mid: &point{v: v, x: d.x}, low: make([]*point, len(d.x)), high: make([]*point, len(d.x))}
	for j := range d.x {
		d.flank(t, j)
	}
	return t
}

func (d *design) flank(t *trio, j int) {
	if !d.p.Parameters[j].Acts(d.p.Trials[t.v.trial].Name) {
		return
	}
	low, high := d.sides(j)
	t.low[j], t.high[j] = &point{v: t.v, x: d.moved(j, low)}, &point{v: t.v, x: d.moved(j, high)}
}

// wider tells whether a parameter is moved farther to its high side than to its low one, or as far: the other may be cut by a
// bound.
func (d *design) wider(j int) bool {
	low, high := d.sides(j)
	return high-d.x[j] >= d.x[j]-low
}

// oneSided is the trio with the run as it stands in the place of each narrower side. Its derivatives,
//
//	∂f/∂x ≈ (f(x+h) − f(x))/h
//
// lack the next term of the series, h/2 ∂²f/∂x², but cost half as many runs. They are held against one-sided ones alone.
func (d *design) oneSided(t *trio) *trio {
	out := &trio{v: t.v, mid: t.mid, low: slices.Clone(t.low), high: slices.Clone(t.high)}
	for j := range out.low {
		switch {
		case out.low[j] == nil:
		case d.wider(j):
			out.low[j] = t.mid
		default:
			out.high[j] = t.mid
		}
	}
	return out
}

// points are the runs of a trio that are not made yet.
func (t *trio) points() (out []*point) {
	add := func(q *point) {
		if q != nil && q.r == nil && !slices.Contains(out, q) {
			out = append(out, q)
		}
	}
	add(t.mid)
	for j := range t.low {
		add(t.low[j])
		add(t.high[j])
	}
	return out
}

// replies takes the derivatives:
//
//	∂f/∂x ≈ (f(x+h) − f(x−h))/(2h)
//
// A row at which one of the runs has no value has none.
func (d *design) replies(t *trio) (*replies, error) {
	h := &t.mid.r.History
	out := &replies{time: h.Time, row: d.row(t.v.trial), bent: make([]bool, len(d.x)), cautions: t.mid.r.Cautions}
	if _, out.width, out.begins = d.layout(t.v); len(out.width) != len(h.Time) {
		return nil, fmt.Errorf("run %s has %d rows where %d were asked for", d.p.Trials[t.v.trial].Name, len(h.Time), len(out.width))
	}
	for _, name := range t.v.watch {
		c := h.Column(name)
		if c == nil {
			return nil, fmt.Errorf("run %s has no column %q", d.p.Trials[t.v.trial].Name, name)
		}
		slopes := make([][]float64, len(d.x))
		value := slices.Clone(c.Values)
		for j := range slopes {
			if t.low[j] == nil {
				continue
			}
			a, b := t.low[j].r.History.Column(name), t.high[j].r.History.Column(name)
			if a == nil || b == nil || len(a.Values) != len(value) || len(b.Values) != len(value) {
				return nil, fmt.Errorf("run %s has no column %q when %s is moved", d.p.Trials[t.v.trial].Name, name, d.p.Parameters[j].Name)
			}
			slopes[j] = make([]float64, len(value))
			width := t.high[j].x[j] - t.low[j].x[j]
			for k := range value {
				slopes[j][k] = (b.Values[k] - a.Values[k]) / width
				if math.IsNaN(slopes[j][k]) {
					value[k] = math.NaN()
				}
			}
		}
		out.columns, out.quantity = append(out.columns, name), append(out.quantity, c.Quantity)
		out.value, out.slope = append(out.value, value), append(out.slope, slopes)
	}
	for j := range d.x {
		out.bent[j] = bends(t, j, out.columns)
	}
	return out, nil
}

// bends tells whether the reply to a parameter's step is more a bow than a line: the halves differ by more than half of
// their mean, over all watched temperatures together.
func bends(t *trio, j int, columns []string) bool {
	if t.low[j] == nil || t.low[j] == t.mid || t.high[j] == t.mid {
		return false
	}
	var line, bow float64
	for _, name := range columns {
		a, m, b := t.low[j].r.History.Column(name), t.mid.r.History.Column(name), t.high[j].r.History.Column(name)
		if m.Quantity != history.Temperature {
			continue
		}
		for k := range m.Values {
			u, v := b.Values[k]-m.Values[k], m.Values[k]-a.Values[k]
			if !math.IsNaN(u + v) {
				line, bow = line+(u+v)*(u+v), bow+(u-v)*(u-v)
			}
		}
	}
	return bow > 0.25*line && line > 0
}

// pace sets the steps by which parameters are moved from how rough the runs are. Each begins with a fiftieth of its value,
// or a five-hundredth of its bounds' width where that is more. A temperature that its step moves by less than twenty times
// the tolerance of a time step (root mean square, of the sensor that it moves most) would drown in what the steps do, so
// the step is widened, up to what is known of the parameter before and a tenth of the bounds' width. One side tells that.
//
// That roughness and curvature are to be balanced: P. E. Gill, W. Murray, M. H. Wright, "Practical Optimization", Academic
// Press 1981, 8.6. The numbers are our own practice.
func (d *design) pace(trios []*trio) {
	want := 20 * d.tolerance()
	for j := range d.x {
		most := 0.0
		for _, t := range trios {
			if t.low[j] == nil {
				continue
			}
			for _, s := range d.p.Sensors {
				one := d.oneSided(t)
				a, b := one.low[j].r.History.Column(s.Column), one.high[j].r.History.Column(s.Column)
				if a == nil || b == nil || a.Quantity != history.Temperature {
					continue
				}
				share := d.step[j] / (one.high[j].x[j] - one.low[j].x[j]) // less than the step where a bound cuts it
				sum, n := 0.0, 0
				for k := range a.Values {
					if v := (b.Values[k] - a.Values[k]) * share; !math.IsNaN(v) {
						sum, n = sum+v*v, n+1
					}
				}
				most = max(most, math.Sqrt(sum/float64(max(n, 1))))
			}
		}
		sd, _ := before(&d.p.Parameters[j])
		p := &d.p.Parameters[j]
		top := max(min(sd, 0.1*(p.Upper-p.Lower)), d.step[j])
		wide := top
		if most > 0 {
			wide = min(d.step[j]*want/most, top)
		}
		if wide < 1.5*d.step[j] {
			continue
		}
		d.step[j] = wide
		for _, t := range trios {
			if t.low[j] != nil {
				d.flank(t, j)
			}
		}
	}
}
