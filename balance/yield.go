package balance

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"emberbank/history"
	"emberbank/uncertainty"
)

// Yield is what a drain gave: heat flow to the water over the block's temperature, row by row.
type Yield struct {
	Name string
	Area float64   // m², wetted area of the tubes; 0: not known
	Time []float64 // s
	T    []float64 // K, the block's mean
	Q    []float64 // W
	// Errors are systematic and relative: they scale the whole yield. Those of one Group are the same number in every
	// yield that has them.
	Errors []uncertainty.Component
	UT     float64 // K, systematic standard uncertainty of T
	// Rounding is the standard uncertainty in W from readings that step by more than they scatter: there no mean over
	// rows helps.
	Rounding float64
	Note     string
}

// ErrNotMapped is the error of a record that has drains of which no row can be mapped, which its reader should hear.
var ErrNotMapped = errors.New("heat flow over the block's temperature cannot be mapped")

// Yields returns the yields of a record's drains. area is the wetted area of its tubes in m², 0 where not known.
// Rows before the heat flow first stands at its height, within the first fifth of a drain, are left out: there the
// tubes fill, and the water has not yet come through.
func Yields(in *Input, area float64) ([]Yield, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	block := in.blockMean()
	if block == nil {
		return nil, fmt.Errorf("the record %q has no block temperature: heat flow over it cannot be mapped", in.Name)
	}
	phases, err := in.phases()
	if err != nil {
		return nil, err
	}
	var out []Yield
	empty := ""
	for _, p := range phases {
		if p.Kind != Drain {
			continue
		}
		y, err := in.yield(p, block, area)
		if err != nil {
			return nil, err
		}
		if len(y.T) == 0 {
			empty = y.Note
			continue
		}
		y.Name = in.Name
		out = append(out, *y)
	}
	for i := range out {
		if len(out) > 1 {
			out[i].Name = fmt.Sprintf("%s, drain %d", in.Name, i+1)
		}
	}
	if len(out) == 0 && empty != "" {
		return nil, fmt.Errorf("%w for %q: %s", ErrNotMapped, in.Name, empty)
	}
	if len(out) > 0 && empty != "" {
		out[0].Note = strings.TrimSpace(out[0].Note + " Left out: " + empty + ".")
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("the record %q holds no drain: there is no heat flow to map", in.Name)
	}
	return out, nil
}

func (in *Input) yield(p Phase, block []float64, area float64) (*Yield, error) {
	from, to := within(in.History.Time, p.From, p.To)
	m := newModel()
	y := &Yield{Area: area, UT: in.liftOf(from, to)}
	var wet []int
	for i := range in.Channels {
		switch c := &in.Channels[i]; c.Role {
		case Inlet, Outlet, Flow:
			if in.find(Flow, c.Of) >= 0 {
				wet = append(wet, i)
			}
		default:
		}
	}
	t, _, _ := in.pace(p.From, p.To, wet...) // the rows of the slowest logger: a map weighs readings
	from, to = within(t, p.From, p.To)
	q := make([]float64, to-from)
	all := &term{}
	var standing []string
	for _, of := range in.circuits() {
		if i := in.find(ToWater, of); i >= 0 {
			for k := range q {
				q[k] += at(in.History.Time, in.values(i), t[from+k])
			}
			continue
		}
		if in.find(Flow, of) < 0 {
			continue
		}
		f, w, err := in.water(m, of, p.From, p.To)
		if err != nil {
			return nil, err
		}
		y.Rounding = math.Hypot(y.Rounding, in.roundedHeat(of, w))
		all.base += f.base
		all.linear = append(all.linear, f.linear...)
		k, least := 0, onShare*quantile(w.flow, 0.95)
		if !(least > 0) {
			standing = append(standing, fmt.Sprintf("%q", of))
		}
		for r := range q {
			for k < len(w.t) && w.t[k] < t[from+r] {
				k++
			}
			switch {
			case k < len(w.t) && w.t[k] == t[from+r] && w.flow[k] > least:
				q[r] += w.flow[k] * w.rise[k]
			case k > 0 && k < len(w.t) && w.t[k] != t[from+r] && w.flow[k] > least && w.flow[k-1] > least && w.t[k]-w.t[k-1] <= 1.5*interval(t):
				f := (t[from+r] - w.t[k-1]) / (w.t[k] - w.t[k-1]) // a circuit whose logger writes at other moments
				q[r] += (1-f)*w.flow[k-1]*w.rise[k-1] + f*w.flow[k]*w.rise[k]
			default:
				q[r] = math.NaN()
			}
		}
	}
	filling := in.leaveFilling(t[from:to], q)
	start := 0
	best := math.Inf(-1)
	for k := range max(1, len(q)/5) {
		if v := quantile(q[max(0, k-2):min(len(q), k+3)], 0.5); v > best {
			start, best = k, v
		}
	}
	for start < len(q) && !(q[start] > 0.9*best) {
		start++
	}
	for k := start; k < len(q); k++ {
		if v := at(in.History.Time, block, t[from+k]); !math.IsNaN(q[k] + v) {
			y.Time, y.T, y.Q = append(y.Time, t[from+k]), append(y.T, v), append(y.Q, q[k])
		}
	}
	if len(y.T) == 0 {
		y.Note = fmt.Sprintf("the drain from %s to %s has no row in which water of every circuit takes heat from a block whose temperature is known", clockTime(p.From), clockTime(p.To))
		if len(standing) > 0 {
			y.Note += "; the flow reads zero throughout in " + strings.Join(standing, " and ")
		}
		if filling > 0 {
			y.Note += fmt.Sprintf("; the tubes fill in %d of its rows", filling)
		}
		return y, nil
	}
	switch {
	case filling > 0:
		y.Note = fmt.Sprintf("The drain's first water is left out (rows at which the tubes filled: %d): it takes more heat than a flow that lasts.", filling)
	case start > 2:
		y.Note = fmt.Sprintf("The first %s of the drain are left out: the heat flow had not come up yet.", hours(t[from+start]-t[from]))
	}
	if all.base == 0 {
		return y, nil
	}
	for _, e := range all.linear { // errors by source, as shares of the heat; noise and integration are not systematic
		c := m.inputs[e.input].Components[0]
		if u := m.inputs[e.input].Unit; u == "J" || u == "s" { // nor are moments
			continue
		}
		group := c.Group
		if group == "" {
			group = fmt.Sprintf("%s of %s", c.Name, m.inputs[e.input].Name)
		}
		y.Errors = append(y.Errors, uncertainty.Component{Name: m.inputs[e.input].Name + ": " + c.Name, U: e.by / all.base, DoF: c.DoF, Group: group})
	}
	return y, nil
}

// leaveFilling takes the rows out in which the tubes fill, and returns how many.
func (in *Input) leaveFilling(t, q []float64) int {
	n := 0
	for k, at := range t {
		if slices.ContainsFunc(in.Fill, func(f [2]float64) bool { return at >= f[0] && at < f[1] }) {
			q[k] = math.NaN()
			n++
		}
	}
	return n
}

// roundedHeat returns what the rounding of a circuit's readings makes of its heat flow, as a standard uncertainty in W.
func (in *Input) roundedHeat(of string, w *wet) float64 {
	if len(w.t) == 0 {
		return 0
	}
	flow, rise, cp := quantile(w.flow, 0.5), quantile(w.rise, 0.5), quantile(w.cpOut, 0.5)
	u := rise * rounding(w.flow)
	u = math.Hypot(u, flow*cp*rounding(w.in))
	return math.Hypot(u, flow*cp*rounding(w.out))
}

// liftOf returns the systematic standard uncertainty of the block's mean in K.
func (in *Input) liftOf(from, to int) float64 {
	one := *in
	one.Channels = nil
	for _, c := range in.Channels {
		if c.Role == Block {
			one.Channels = append(one.Channels, c)
		}
	}
	return one.liftError(from, to)
}

// OfRun is the input for a computed history: its block mean and the heat to each pass together, or the columns named.
func OfRun(name string, h *history.History) Input {
	in := Input{Name: name, History: h}
	for _, c := range []Channel{
		{Column: "block mean", Role: Block},
		{Column: "heat to passes", Role: ToWater},
		{Column: "absorbed", Role: Source},
		{Column: "ambient", Role: Ambient},
	} {
		if h.Column(c.Column) != nil {
			in.Channels = append(in.Channels, c)
		}
	}
	return in
}
