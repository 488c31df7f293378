package balance

import (
	"fmt"
	"math"
)

// source adds the energy put in: ∫ Σ f P dt.
func (in *Input) source(m *model, a, b float64) *term { return in.integral(m, a, b, true) }

// integral is that of all channels with the role of a source; moments tells whether they begin and end between rows.
func (in *Input) integral(m *model, a, b float64, moments bool) *term {
	f := &term{}
	for _, i := range in.channels(Source) {
		c := &in.Channels[i]
		var ts, v []float64
		t, all := in.History.Time, in.values(i)
		from, to := within(t, a, b)
		if c.Own != nil && regular(c.Own.Time) {
			if own, l, r := in.pace(a, b, i); r-l > 1 {
				t, all, from, to = own, in.over(i, own), l, r
			}
		}
		for k, x := range all[from:to] {
			if !math.IsNaN(x) {
				ts, v = append(ts, t[from+k]), append(v, x)
			}
		}
		if len(ts) < 2 {
			continue
		}
		span := spans(ts, a, b)
		part, noise := 0.0, 0.0
		watts := make([]float64, len(v))
		for k, x := range v {
			watts[k] = c.factor() * x
			part += span[k] * watts[k]
			noise += span[k] * span[k] * c.Noise * c.Noise
		}
		f.base += part
		for q, z := range m.errors(in, i, unitOf(in, i), mean(v)) {
			if z < 0 {
				continue
			}
			by := 0.0
			for k := range v {
				by += span[k] * c.factor() * c.Errors[q].At(v[k])
			}
			f.linear = append(f.linear, effect{z, by})
		}
		for q := range c.FactorErrors {
			e := &c.FactorErrors[q]
			if e.Constant > 0 {
				z := m.relative("factor of "+c.Column, e)
				f.linear = append(f.linear, effect{z, part * e.Constant})
			}
		}
		m.free(f, c.Column+": noise of the rows", c.factor()*math.Sqrt(noise), 0)
		jumps := make([]bool, len(ts))
		if moments {
			jumps = in.moments(m, f, c.Column, ts, watts, watts, onShare*quantile(watts, 0.98), a, b)
		}
		in.integration(m, f, c.Column, ts, watts, jumps, a, b)
	}
	return f
}

// unitOf returns the unit of a channel's readings.
func unitOf(in *Input, i int) string {
	switch u := in.History.Column(in.Channels[i].Column).Quantity.Unit(); u {
	case "degC":
		return "K"
	default:
		return u
	}
}

// direct adds the heat to the water of a channel that already holds it.
func (in *Input) direct(m *model, i int, a, b float64) *term {
	one := *in
	c := in.Channels[i]
	c.Role = Source
	one.Channels = []Channel{c}
	f := &term{}
	local := newModel()
	g := one.integral(local, a, b, false)
	shift := len(m.inputs)
	for _, q := range local.inputs {
		m.add(q)
	}
	f.base = g.base
	for _, e := range g.linear {
		f.linear = append(f.linear, effect{e.input + shift, e.by})
	}
	return f
}

// stored adds the change of the block's heat from a to b.
func (in *Input) stored(m *model, a, b float64) (*term, string, error) {
	channels, w := in.weights()
	if in.Capacity == nil || len(channels) == 0 {
		return nil, "", nil
	}
	t := in.History.Time
	from, to := within(t, a, b)
	f := &term{}
	var firsts, lasts []float64
	noise := 0.0
	H := in.Capacity.Heat
	// Over the width that the reading is known to: beside a melting point that takes in the latent heat, since a
	// temperature does not tell there how much has melted.
	slope := func(T, u float64) float64 {
		w := math.Max(0.5, 2*u)
		return (H(T+w) - H(T-w)) / (2 * w)
	}
	widest := 0.0
	for k, i := range channels {
		c := &in.Channels[i]
		v := in.values(i)
		first, last, rows := ends(t, v, from, to)
		if math.IsNaN(first) || math.IsNaN(last) {
			return nil, "", fmt.Errorf("%q has no reading near %.0f s or %.0f s: the heat stored cannot be computed", c.Column, t[from], t[to-1])
		}
		firsts, lasts = append(firsts, first), append(lasts, last)
		f.base += w[k] * (H(last) - H(first))
		uf, ul := in.unsure(i, first), in.unsure(i, last)
		cf, cl := slope(first, uf), slope(last, ul)
		widest = math.Max(widest, math.Max(uf, ul))
		for q, z := range m.errors(in, i, "K", (first+last)/2) {
			if z >= 0 {
				e := &c.Errors[q]
				f.linear = append(f.linear, effect{z, w[k] * (cl*e.At(last) - cf*e.At(first))})
			}
		}
		// A line through k rows, read at its end, knows it to σ √(4/k).
		n := c.Noise * w[k] * math.Sqrt(4/math.Max(1, float64(rows)))
		noise += n * n * (cf*cf + cl*cl)
	}
	m.free(f, "heat stored: noise", math.Sqrt(noise), 0)
	note := ""
	// The spread shows gradients, not chance, so it is a judgement and carries no degrees of freedom.
	unsure := func(T []float64) float64 {
		if in.Capacity.Placement > 0 {
			return in.Capacity.Placement
		}
		mid, sum := 0.0, 0.0
		for k := range T {
			mid += w[k] * T[k]
		}
		for _, x := range T {
			sum += (x - mid) * (x - mid)
		}
		if n := float64(len(T)); n > 1 {
			return math.Sqrt(sum / (n - 1) / n)
		}
		note = "One thermocouple stands for the whole block; how far it is from the mean is not known and not in the uncertainty of the heat stored. Give the placement."
		return 0
	}
	for _, end := range []struct {
		name string
		T    []float64
	}{{"at the start", firsts}, {"at the end", lasts}} {
		m.free(f, "heat stored: mean of the block "+end.name, unsure(end.T)*slope(mean(end.T), widest), 0)
	}
	f.factors = in.heatFactors(m)
	return f, note, nil
}

// heatFactors returns the inputs for the relative errors of the heat capacity, the same for all terms of a phase.
func (in *Input) heatFactors(m *model) []int {
	var out []int
	for k := range in.Capacity.Errors {
		e := &in.Capacity.Errors[k]
		key := [2]int{-1, k}
		i, known := m.of[key]
		if !known {
			i = -1
			if e.Constant > 0 {
				i = m.relative("heat capacity of the block", e)
			}
			m.of[key] = i
		}
		if i >= 0 {
			out = append(out, i)
		}
	}
	return out
}

// lift is ∫ (T_block − T_ambient) dt as a term, in K s.
func (in *Input) lift(m *model, a, b float64) *term {
	amb := in.channels(Ambient)
	channels, w := in.weights()
	if len(amb) == 0 || len(channels) == 0 {
		return nil
	}
	t, T, Ta := in.History.Time, in.blockMean(), in.values(amb[0])
	from, to := within(t, a, b)
	var ts, d []float64
	for k := from; k < to; k++ {
		if x := T[k] - Ta[k]; !math.IsNaN(x) {
			ts, d = append(ts, t[k]), append(d, x)
		}
	}
	if len(ts) < 2 {
		return nil
	}
	f := &term{}
	for k, s := range spans(ts, a, b) {
		f.base += s * d[k]
	}
	length := ts[len(ts)-1] - ts[0]
	move := func(i int, share float64) {
		c := &in.Channels[i]
		at := quantile(in.values(i)[from:to], 0.5)
		for q, z := range m.errors(in, i, "K", at) {
			if z >= 0 {
				f.linear = append(f.linear, effect{z, share * length * c.Errors[q].At(at)})
			}
		}
	}
	for k, i := range channels {
		move(i, w[k])
	}
	move(amb[0], -1)
	return f
}
