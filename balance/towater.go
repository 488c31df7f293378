package balance

import (
	"fmt"
	"math"

	"emberbank/water"
)

// wet is what one circuit's rows of a phase say, ready to integrate.
type wet struct {
	t             []float64 // s, valid rows
	flow          []float64 // kg/s
	rise          []float64 // J/kg, h_out − h_in
	in, out       []float64 // K
	cpIn, cpOut   []float64 // J/(kg K)
	missing       int       // rows left out
	boiling       int       // rows whose outlet stood at saturation
	colder, taken int       // rows with flow in which the outlet was colder than the inlet; rows with flow
	assumed       bool      // the pressure was not measured
	running       bool      // water flows in most rows
	gone          int       // rows outside the water's range
}

// property gives enthalpy and heat capacity of water at a pressure and temperature.
type property struct {
	bar *water.Isobar // for the pressure where it hardly changes
}

// at returns h in J/kg and cp in J/(kg K). boiling: T stands at saturation within slack in K; h is then that of the
// liquid, since temperature does not tell how much has boiled.
func (w *property) at(p, T, slack float64) (h, cp float64, boiling, ok bool) {
	if w.bar != nil {
		sat := w.bar.Saturation
		if boiling = math.Abs(T-sat) <= slack; boiling {
			return w.bar.HLiquid, w.bar.Liquid.HeatCapacity, true, true
		}
		if !(T >= 273.16 && T <= 1073.15) {
			return 0, 0, false, false
		}
		h = w.bar.Enthalpy(T)
		_, slope := w.bar.TemperatureSlope(h)
		return h, 1 / slope, false, slope > 0
	}
	sat, err := water.SaturationTemperature(p)
	if err != nil {
		return 0, 0, false, false
	}
	if boiling = math.Abs(T-sat) <= slack; boiling {
		s, err := water.SaturatedLiquid(p)
		return s.H, s.HeatCapacity, true, err == nil
	}
	s, err := water.AtPT(p, T)
	return s.H, s.HeatCapacity, false, err == nil
}

// atmosphere is the standard atmosphere in Pa.
const atmosphere = 101325

// liquidPressure returns the pressure in Pa that is taken where none is measured or given: the atmosphere, or what
// keeps water liquid with 10 K to spare at the hottest outlet, T in K.
func liquidPressure(T float64) float64 {
	if p, err := water.SaturationPressure(T + 10); err == nil && p > atmosphere && p < water.IsobarHighest {
		return p
	}
	return atmosphere
}

// read gathers the rows of a circuit from a to b.
func (in *Input) read(of string, a, b float64) (*wet, error) {
	iIn, iOut, iFlow, iP := in.find(Inlet, of), in.find(Outlet, of), in.find(Flow, of), in.find(Pressure, of)
	for _, part := range []struct {
		i    int
		name string
	}{{iIn, "inlet temperature"}, {iOut, "outlet temperature"}, {iFlow, "flow"}} {
		if part.i < 0 {
			return nil, fmt.Errorf("the circuit %q has no %s: its heat to the water cannot be computed", of, part.name)
		}
	}
	t, from, to := in.pace(a, b, iIn, iOut, iFlow)
	t = t[from:to]
	vi, vo, vf := in.over(iIn, t), in.over(iOut, t), in.over(iFlow, t)
	var vp []float64
	given := in.Pressure
	if iP >= 0 {
		vp = in.over(iP, t)
		given = quantile(vp, 0.5)
	}
	w := &wet{assumed: iP < 0 && in.Pressure == 0}
	if w.assumed || math.IsNaN(given) {
		given = liquidPressure(quantile(vo, 0.99))
	}
	var prop property
	if iP < 0 || quantile(vp, 0.98)-quantile(vp, 0.02) < 0.02*given { // 2 % of pressure is some J/kg of liquid water
		bar, err := water.NewIsobar(given)
		if err != nil {
			return nil, fmt.Errorf("the water's pressure in the circuit %q: %w", of, err)
		}
		prop.bar = bar
	}
	slack := math.Max(0.5, 2*in.unsure(iOut, quantile(vo, 0.98)))
	for k := range vi {
		p := given
		if vp != nil && prop.bar == nil {
			p = vp[k]
		}
		if math.IsNaN(vi[k] + vo[k] + vf[k] + p) {
			w.missing++
			continue
		}
		hi, ci, _, ok1 := prop.at(p, vi[k], 0)
		ho, co, boiling, ok2 := prop.at(p, vo[k], slack)
		if !ok1 || !ok2 {
			w.gone++
			continue
		}
		if boiling {
			w.boiling++
		}
		w.t, w.flow, w.rise = append(w.t, t[k]), append(w.flow, vf[k]), append(w.rise, ho-hi)
		w.in, w.out, w.cpIn, w.cpOut = append(w.in, vi[k]), append(w.out, vo[k]), append(w.cpIn, ci), append(w.cpOut, co)
	}
	if len(w.t) < 2 {
		return w, fmt.Errorf("the circuit %q has no two whole rows from %.0f s to %.0f s: %d lack a value, %d lie outside the range of water", of, a, b, w.missing, w.gone)
	}
	most := quantile(w.flow, 0.95)
	for k := range w.t {
		if w.flow[k] > onShare*most && most > 0 {
			w.taken++
			if w.out[k] < w.in[k] {
				w.colder++
			}
		}
	}
	w.running = quantile(w.flow, 0.5) > 0
	return w, nil
}

// unsure returns the whole standard uncertainty of one reading of a channel.
func (in *Input) unsure(i int, v float64) float64 {
	c := &in.Channels[i]
	sum := c.Noise * c.Noise
	for k := range c.Errors {
		if u := c.Errors[k].At(v); !math.IsNaN(u) {
			sum += u * u
		}
	}
	return math.Sqrt(sum)
}

// water adds the heat to the water of a circuit as a term: ∫ ṁ (h_out − h_in) dt by the trapezoidal rule, to second
// order in the errors of flow and temperatures together.
func (in *Input) water(m *model, of string, a, b float64) (*term, *wet, error) {
	w, err := in.read(of, a, b)
	if err != nil {
		return nil, w, err
	}
	iIn, iOut, iFlow := in.find(Inlet, of), in.find(Outlet, of), in.find(Flow, of)
	f := &term{}
	span := spans(w.t, a, b)
	heat := make([]float64, len(w.t))
	noise := 0.0
	cIn, cOut, cFlow := &in.Channels[iIn], &in.Channels[iOut], &in.Channels[iFlow]
	for k := range w.t {
		heat[k] = w.flow[k] * w.rise[k]
		f.base += span[k] * heat[k]
		x, y, z := w.flow[k]*w.cpOut[k]*cOut.Noise, w.flow[k]*w.cpIn[k]*cIn.Noise, w.rise[k]*cFlow.Noise
		if w.flow[k] == 0 { // a meter at rest has no noise
			z = 0
		}
		noise += span[k] * span[k] * (x*x + y*y + z*z)
	}
	zIn := m.errors(in, iIn, "K", mean(w.in))
	zOut := m.errors(in, iOut, "K", mean(w.out))
	zFlow := m.errors(in, iFlow, "kg/s", mean(w.flow))
	sum := func(g func(k int) float64) float64 {
		s := 0.0
		for k := range w.t {
			s += span[k] * g(k)
		}
		return s
	}
	for q, i := range zFlow {
		if i >= 0 {
			f.linear = append(f.linear, effect{i, sum(func(k int) float64 { return cFlow.Errors[q].At(w.flow[k]) * w.rise[k] })})
		}
	}
	for side, z := range [][]int{zOut, zIn} {
		c, T, cp, sign := cOut, w.out, w.cpOut, 1.0
		if side == 1 {
			c, T, cp, sign = cIn, w.in, w.cpIn, -1.0
		}
		for r, i := range z {
			if i < 0 {
				continue
			}
			e := &c.Errors[r]
			f.linear = append(f.linear, effect{i, sign * sum(func(k int) float64 { return w.flow[k] * cp[k] * e.At(T[k]) })})
			for q, j := range zFlow {
				if j >= 0 {
					f.crossed = append(f.crossed, cross{i, j, sign * sum(func(k int) float64 { return cFlow.Errors[q].At(w.flow[k]) * cp[k] * e.At(T[k]) })})
				}
			}
		}
	}
	label := "heat to the water of circuit " + of
	m.free(f, label+": noise of the rows", math.Sqrt(noise), 0)
	most := onShare * quantile(w.flow, 0.95)
	jumps := in.moments(m, f, "water", w.t, heat, w.flow, most, a, b)
	in.integration(m, f, label, w.t, heat, jumps, a, b)
	if cFlow.Least > 0 && w.running { // a closed valve dribbles nothing
		below := sum(func(k int) float64 {
			if w.flow[k] != 0 {
				return 0
			}
			return math.Abs(w.rise[k]) * cFlow.Least / math.Sqrt(12)
		})
		m.free(f, label+": flow below what the meter reads", below, 0)
	}
	return f, w, nil
}

func mean(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s / float64(len(v))
}

// integration adds what the integral over rows brings: the rule itself, and gaps between rows.
//
// The rule: a third of the change when every second row is left out, as for a rule of second order; noise makes it
// larger. Rows between which something began or ended are not judged so: see moments. Gaps: the root mean square error
// that a straight bridge of the same length makes where rows exist (common practice without a source). Rows are those of
// the logger: rows drawn between them would lie on its lines, and show no error of the rule.
func (in *Input) integration(m *model, f *term, label string, t, q []float64, jumps []bool, a, b float64) {
	n := len(t)
	limit := in.gapLimit(t)
	fine, coarse, gaps := 0.0, 0.0, 0.0
	for i := 2; i < n; i += 2 {
		if t[i]-t[i-1] > limit || t[i-1]-t[i-2] > limit {
			continue // counted as gaps below
		}
		if jumps[i] || jumps[i-1] {
			continue
		}
		fine += (q[i]+q[i-1])/2*(t[i]-t[i-1]) + (q[i-1]+q[i-2])/2*(t[i-1]-t[i-2])
		coarse += (q[i] + q[i-2]) / 2 * (t[i] - t[i-2])
	}
	m.free(f, label+": rule of integration", math.Abs(fine-coarse)/3, 0)
	for i := 1; i < n; i++ {
		if d := t[i] - t[i-1]; d > limit {
			u := bridge(t, q, d, limit)
			gaps += u * u
		}
	}
	if lead := b - a - (math.Min(b, t[n-1]) - math.Max(a, t[0])); lead > limit { // rows missing at the phase's ends are not in the integral at all
		u := lead * math.Max(math.Abs(q[0]), math.Abs(q[n-1])) / math.Sqrt(3)
		gaps += u * u
	}
	m.free(f, label+": missing rows", math.Sqrt(gaps), 0)
}

// gapLimit is the distance of rows in s above which they leave a gap: for rows of a slower logger five of its own.
func (in *Input) gapLimit(t []float64) float64 {
	limit := 5 * interval(in.History.Time)
	if in.GapLimit > 0 {
		limit = in.GapLimit
	}
	if len(t) > 1 {
		limit = math.Max(limit, 5*interval(t))
	}
	return limit
}

// bridge returns the root mean square error of the integral over a length d when it is bridged by a straight line,
// tried at up to sixty places in the rows.
func bridge(t, q []float64, d, limit float64) float64 {
	n := len(t)
	low, high := q[0], q[0]
	for _, v := range q {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	sum, tries := 0.0, 0.0
	for k := range 60 {
		i := k * (n - 1) / 60
		if k > 0 && i == (k-1)*(n-1)/60 {
			continue
		}
		whole, j := 0.0, i+1
		for ; j < n; j++ {
			if t[j]-t[j-1] > limit {
				j = n
				break
			}
			whole += (q[j] + q[j-1]) / 2 * (t[j] - t[j-1])
			if t[j]-t[i] >= d {
				break
			}
		}
		if j >= n {
			continue
		}
		e := whole - (q[i]+q[j])/2*(t[j]-t[i])
		sum += e * e
		tries++
	}
	if tries < 5 { // nothing to learn from: anything between the least and the greatest flow
		return d * (high - low) / math.Sqrt(12)
	}
	return math.Sqrt(sum / tries)
}
