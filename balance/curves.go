package balance

import (
	"fmt"
	"math"

	"emberbank/uncertainty"
)

// CoolingCurves makes curves for Compare of several records: each one's longest stretch with neither source nor
// water, as the block's temperature above ambient (or the temperature itself, where one record lacks ambient) over the
// time since it passed the highest value that all have in common, so that trials that begin hotter can be compared.
// same says that the records were measured by the same sensors; their systematic errors then fall out.
func CoolingCurves(ins []*Input, same bool) ([]Curve, Axes, error) {
	axes := Axes{What: "the cooling curves", Unit: "K", XUnit: "s", XFrom: "after the highest that all have in common"}
	lift := true
	for _, in := range ins {
		lift = lift && len(in.channels(Ambient)) > 0
	}
	axes.Absolute = !lift
	var out []Curve
	top, bottom := math.Inf(1), math.Inf(-1)
	for _, in := range ins {
		p, err := in.quiet()
		if err != nil {
			return nil, axes, err
		}
		block := in.blockMean()
		from, to := within(in.History.Time, p.From, p.To)
		c := Curve{Name: in.Name}
		for k := from; k < to; k++ {
			v := block[k]
			if lift {
				v -= in.values(in.channels(Ambient)[0])[k]
			}
			if !math.IsNaN(v) {
				c.X, c.Y = append(c.X, in.History.Time[k]), append(c.Y, v)
			}
		}
		if len(c.Y) < 24 {
			return nil, axes, fmt.Errorf("the cooling of %s has %d rows; a comparison needs at least 24", in.Name, len(c.Y))
		}
		first, last, _ := ends(c.X, c.Y, 0, len(c.X))
		top, bottom = math.Min(top, first), math.Max(bottom, last)
		c.Errors = in.liftParts(from, to, lift, same)
		out = append(out, c)
	}
	if !(top > bottom) {
		return nil, axes, fmt.Errorf("the coolings have no temperature in common: one ends at %.1f K before another begins at %.1f K", bottom, top)
	}
	for i := range out {
		if err := out[i].shift(top); err != nil {
			return nil, axes, err
		}
	}
	return out, axes, nil
}

// quiet returns the longest phase with neither source nor water.
func (in *Input) quiet() (*Phase, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	if in.blockMean() == nil {
		return nil, fmt.Errorf("the record %q has no block temperature: there is no cooling to compare", in.Name)
	}
	phases, err := in.phases()
	if err != nil {
		return nil, err
	}
	source, flow := newSwitch(in.History.Time, in.sourcePower()), newSwitch(in.History.Time, in.flowTotal())
	var best *Phase
	for i := range phases {
		p := &phases[i]
		mid := (p.From + p.To) / 2
		if p.Kind == Drain || p.Kind == HeatUp || source.on(mid) || flow.on(mid) {
			continue
		}
		if best == nil || p.To-p.From > best.To-best.From {
			best = p
		}
	}
	if best == nil {
		return nil, fmt.Errorf("the record %q holds no stretch without source and water: there is no cooling to compare", in.Name)
	}
	return best, nil
}

// phases returns the phases by hand, or else those found.
func (in *Input) phases() ([]Phase, error) {
	if in.Phases == nil {
		return FindPhases(in)
	}
	var out []Phase
	for _, g := range in.Phases {
		out = append(out, Phase{Kind: g.Kind, From: g.From, To: g.To, Why: "set by hand", ByHand: true})
	}
	return out, nil
}

// liftParts returns the systematic errors of block minus ambient as components.
func (in *Input) liftParts(from, to int, lift, same bool) []uncertainty.Component {
	var out []uncertainty.Component
	add := func(i int, share float64) {
		c := &in.Channels[i]
		at := quantile(in.values(i)[from:to], 0.5)
		for k := range c.Errors {
			e := &c.Errors[k]
			group := e.Group
			if group == "" {
				group = c.Column + ": " + e.What
			}
			if !same {
				group = in.Name + ", " + group
			}
			out = append(out, uncertainty.Component{Name: c.Column + ": " + e.What, U: share * e.At(at), DoF: finite(e.DoF), Group: group})
		}
	}
	channels, w := in.weights()
	for k, i := range channels {
		add(i, w[k])
	}
	if lift {
		add(in.channels(Ambient)[0], -1)
	}
	return out
}

// shift sets the time to zero where the curve passes the value top, by a line through the rows around, and drops what
// lies before.
func (c *Curve) shift(top float64) error {
	k := 0
	for i, v := range c.Y { // the last row above it
		if v >= top {
			k = i
		}
	}
	const around = 8
	a, b := max(0, k-around), min(len(c.X), k+around+1)
	var n, st, sv, stt, stv float64
	for i := a; i < b; i++ {
		d := c.X[i] - c.X[k]
		n, st, sv, stt, stv = n+1, st+d, sv+c.Y[i], stt+d*d, stv+d*c.Y[i]
	}
	slope := (n*stv - st*sv) / (n*stt - st*st)
	if !(slope < 0) {
		return fmt.Errorf("%s does not fall where the common range begins", c.Name)
	}
	zero := c.X[k] + (top-(sv-slope*st)/n)/slope
	rss := 0.0
	for i := a; i < b; i++ {
		rss += sq(c.Y[i] - (sv-slope*st)/n - slope*(c.X[i]-c.X[k]))
	}
	var x, y []float64
	for i := range c.X {
		if c.X[i] >= zero {
			x, y = append(x, c.X[i]-zero), append(y, c.Y[i])
		}
	}
	c.X, c.Y = x, y
	c.Errors = append(c.Errors, uncertainty.Component{Name: "where the common range begins", U: math.Sqrt(rss / (n - 2) / n), Group: c.Name + ", begin"})
	return nil
}

// YieldCurves makes curves for Compare of drains: heat flow to the water over the block's temperature.
func YieldCurves(yields []Yield, same bool) ([]Curve, Axes) {
	var out []Curve
	for i := range yields {
		y := &yields[i]
		c := Curve{Name: y.Name, X: y.T, Y: y.Q}
		most := 0.0
		for _, q := range y.Q {
			most = math.Max(most, math.Abs(q))
		}
		for _, e := range y.Errors { // relative: at the greatest heat flow, on the safe side
			e.U *= most
			if !same || e.Group == "" {
				e.Group = fmt.Sprintf("%s, %d, %s", y.Name, i, e.Group)
			}
			c.Errors = append(c.Errors, e)
		}
		out = append(out, c)
	}
	return out, Axes{What: "the heat flows to the water over block temperature", Unit: "W", XUnit: "K"}
}
