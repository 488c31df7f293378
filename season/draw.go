package season

import (
	"context"
	"fmt"
	"math"
	"slices"

	"emberbank/duty"
	"emberbank/heat"
)

// drawing is what the steady water of one circuit takes, tabled over the temperature of the cells around its passes. Further
// axes are inlet and pressure and, before them, what sets the flow: a given flow; nothing, where a control holds what
// leaves; or the share of the most that it could give, where a load asks for it.
type drawing struct {
	heat, steam, flow *table  // W, kg/s, kg/s over K
	entropy           *table  // W/K over K, that the water carries off
	fill              *table  // J over K, that what fills the empty tubes takes when it is opened
	most              *table  // W or kg/s of the load over K; nil: no load opens the circuit
	set               setting // what sets the flow
	least, largest    float64 // kg/s, of given flows
}

// setting is what sets a flow.
type setting int

const (
	byFlow setting = iota
	byControl
	byLoad
)

// How finely water is tabled: temperatures, given flows, and shares of the most.
const (
	drawSteps = 32
	drawFlows = 7
)

var drawShares = axis{0, 0.05, 0.15, 0.3, 0.5, 0.7, 0.85, 0.95, 1}

// asking is one circuit that is asked.
type asking struct {
	p       *heat.Problem
	still   *heat.Still
	circuit int
	tilt    float64
	failed  error
}

// askWater tables one circuit, its block between two temperatures in K and what lies around it as it stands.
func askWater(ctx context.Context, p *heat.Problem, still *heat.Still, l *laid, circuit int, lo, hi float64) (*drawing, error) {
	w := &p.Duty.Water[circuit]
	between := func(s *duty.Signal, otherwise float64, n int) axis {
		a, b, any := span(s)
		if !any {
			return axis{otherwise}
		}
		return spread(a, b, n)
	}
	inlet, pressure := between(&w.Inlet, 288.15, 3), between(&w.Pressure, 1e5, 3)
	q := &asking{p: p, still: still, circuit: circuit}
	if a, b, any := span(&p.Duty.Tilt); any {
		q.tilt = 0.5 * (a + b) // tubes feel the tilt little
	}
	d := &drawing{set: byFlow}
	first, control := axis{0}, controlOf(&p.Duty, circuit)
	load := p.Duty.Load
	switch {
	case load != nil && slices.Contains(load.Circuits, circuit):
		d.set, first = byLoad, drawShares
	case control != nil:
		d.set = byControl
	default:
		first = flowsOf(&p.Duty, circuit)
		d.least, d.largest = first[0], first[len(first)-1]
	}
	over, err := q.temperatures(lo, hi, inlet, pressure)
	if err != nil {
		return nil, err
	}
	if d.set == byLoad {
		d.most = newTable(over, inlet, pressure)
	}
	d.fill = newTable(over, inlet, pressure)
	for _, t := range []**table{&d.heat, &d.steam, &d.flow, &d.entropy} {
		*t = newTable(over, first, inlet, pressure)
	}
	_, parts := still.Body()
	air := heat.WeatherAt(&p.Duty, 0).Air
	for k := len(over) - 1; k >= 0; k-- { // as a block cools: a control goes on from the flow that it had
		T := over[k]
		if err := stopped(ctx); err != nil {
			return nil, err
		}
		still.Set(func(cell int) float64 {
			if l.group[cell] < int16(l.layers) {
				return T
			}
			return air + l.share[parts[cell]]*(T-air)
		})
		fed := 0
		d.fill.each(func(at, _ []float64) {
			x, err := still.Filling(circuit, at[0], at[1], T)
			if err != nil && q.failed == nil {
				q.failed = err
			}
			d.fill.values[fed*len(over)+k] = x
			fed++
		})
		if d.set == byLoad {
			q.serve(d, k)
		} else {
			i := 0
			d.heat.each(func(at, _ []float64) {
				got := q.ask(at[0], control, at[1], at[2])
				d.put(i*len(over)+k, &got)
				i++
			})
		}
		if q.failed != nil {
			return nil, fmt.Errorf("asking what circuit %s takes at %.0f K: %w", p.Receiver.Circuits[circuit].Name, T, q.failed)
		}
	}
	return d, nil
}

// put sets what was drawn at one place of the tables.
func (d *drawing) put(place int, x *heat.Drawn) {
	d.heat.values[place], d.steam.values[place], d.flow.values[place], d.entropy.values[place] = x.Heat, x.Steam, x.Flow, x.Entropy
}

// closely are the steps in K above a temperature from which on a circuit begins to give something at which it is tabled.
var closely = []float64{-1, 0.5, 2, 4, 7, 11, 16, 23}

// temperatures are those at which a circuit is tabled: evenly, and closely where steam begins to be made, or heat to serve: with
// wide steps a block would seem to give some down to the step below.
func (q *asking) temperatures(lo, hi float64, inlet, pressure axis) (axis, error) {
	var begins []float64
	for _, p := range []float64{pressure[0], pressure[len(pressure)-1]} {
		T, err := q.still.Boiling(p)
		if err != nil {
			return nil, err
		}
		begins = append(begins, T)
	}
	if l := q.p.Duty.Load; l != nil && l.Serves > inlet[0] {
		begins = append(begins, l.Serves)
	}
	all := append([]float64(nil), spread(lo, hi, drawSteps)...)
	for _, T := range begins {
		for _, d := range closely {
			if x := T + d; x > lo && x < hi {
				all = append(all, x)
			}
		}
	}
	slices.Sort(all)
	over := axis{all[0]}
	for _, x := range all[1:] {
		if x-over[len(over)-1] > 0.25 {
			over = append(over, x)
		}
	}
	return over, nil
}

// ask asks what the circuit takes at a flow in kg/s, or by its control.
func (q *asking) ask(flow float64, control *duty.Control, inlet, pressure float64) heat.Drawn {
	got, err := q.still.Water(q.circuit, flow, control, inlet, pressure, q.tilt)
	if err != nil && q.failed == nil {
		q.failed = err
	}
	return got
}

// scanFlows is how many flows of a load's circuit are tried between its least and greatest, and scanCloser how often two more
// are tried about the best.
const (
	scanFlows  = 11
	scanCloser = 2
)

// serve tables what the circuit gives the load at temperature k: the most that it could, no more than is ever asked for, and
// shares of that, each by the least flow that gives it. Flows are tried one by one; between two of them all runs straight.
func (q *asking) serve(d *drawing, k int) {
	l := q.p.Duty.Load
	_, most, _ := span(&l.Wanted)
	enough := most * (1 + l.Band)
	fed := 0
	n := len(d.most.over)
	d.most.each(func(at, _ []float64) {
		tried := q.scan(l, at[0], at[1])
		best := bestOf(l, tried)
		top := math.Min(given(l, &tried[best]), enough)
		if l.Serves > 0 && !l.Steam && tried[best].Outlet < l.Serves-0.5 {
			top = 0
		}
		d.most.values[fed*n+k] = math.Max(0, top)
		for i, share := range drawShares {
			var x heat.Drawn
			if top > 0 {
				x = leastFor(l, tried[:best+1], share*top)
			}
			place := (i*len(d.most.values)/n+fed)*n + k
			d.put(place, &x)
		}
		fed++
	})
}

// scan tries flows, rising, closer about the one that gives the most.
func (q *asking) scan(l *duty.Load, inlet, pressure float64) []heat.Drawn {
	var out []heat.Drawn
	for _, f := range ratios(l.Min, l.Max, scanFlows) {
		out = append(out, q.ask(f, nil, inlet, pressure))
	}
	for range scanCloser {
		best := bestOf(l, out)
		for _, i := range []int{best + 1, best} { // the upper first: the lower's place stays
			if i > 0 && i < len(out) {
				out = slices.Insert(out, i, q.ask(math.Sqrt(out[i-1].Flow*out[i].Flow), nil, inlet, pressure))
			}
		}
	}
	return out
}

// given is what a load counts: heat in W or vapour in kg/s.
func given(l *duty.Load, x *heat.Drawn) float64 {
	if l.Steam {
		return x.Steam
	}
	return x.Heat
}

// bestOf returns which flow gives the most, hot enough to serve; where none does, the least.
func bestOf(l *duty.Load, tried []heat.Drawn) int {
	best := 0
	for i := range tried {
		if i > 0 && l.Serves > 0 && !l.Steam && tried[i].Outlet < l.Serves {
			break
		}
		if given(l, &tried[i]) > given(l, &tried[best]) {
			best = i
		}
	}
	return best
}

// leastFor returns what the least flow takes that gives so much, of flows that rise up to the one that gives the most; no less
// than the first.
func leastFor(l *duty.Load, tried []heat.Drawn, want float64) heat.Drawn {
	for i := 1; i < len(tried); i++ {
		a, b := &tried[i-1], &tried[i]
		x, y := given(l, a), given(l, b)
		if x >= want {
			return *a
		}
		if y >= want {
			f := (want - x) / (y - x)
			mix := func(p, r float64) float64 { return p + f*(r-p) }
			return heat.Drawn{
				Heat: mix(a.Heat, b.Heat), Steam: mix(a.Steam, b.Steam), Flow: mix(a.Flow, b.Flow), Outlet: mix(a.Outlet, b.Outlet), Entropy: mix(a.Entropy, b.Entropy),
			}
		}
	}
	return tried[len(tried)-1]
}

// controlOf is the control of a circuit; nil where it has none.
func controlOf(d *duty.Duty, circuit int) *duty.Control {
	for i := range d.Throttle {
		if d.Throttle[i].Circuit == circuit {
			return &d.Throttle[i]
		}
	}
	return nil
}

// flowsOf returns the flows at which a circuit is tabled: those that its signal spans, times the shares that switches set.
func flowsOf(d *duty.Duty, circuit int) axis {
	lo, hi := math.Inf(1), 0.0
	for _, v := range d.Water[circuit].Flow.V {
		if v > 0 {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	if hi == 0 {
		return axis{0}
	}
	least, most := sharesOf(d, circuit)
	return ratios(lo*least, hi*most, drawFlows)
}

// sharesOf returns the least and the largest factor above zero that switches set on a circuit's flow.
func sharesOf(d *duty.Duty, circuit int) (least, most float64) {
	least, most = 1, 1
	look := func(list []duty.Action) {
		for _, a := range list {
			if a.What == duty.SetFlowShare && a.Index == circuit && a.Value > 0 {
				least, most = math.Min(least, a.Value), math.Max(most, a.Value)
			}
		}
	}
	for i := range d.Events {
		look(d.Events[i].Do)
	}
	for i := range d.Rules {
		look(d.Rules[i].Do)
		look(d.Rules[i].Else)
	}
	if circuit < len(d.Switches.FlowShare) {
		if x := d.Switches.FlowShare[circuit]; x > 0 {
			least, most = math.Min(least, x), math.Max(most, x)
		}
	}
	return least, most
}
