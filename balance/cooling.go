package balance

import (
	"fmt"
	"math"

	"emberbank/uncertainty"
)

// Cooling is an exponential approach to ambient, dT/dt = −k (T − T_ambient), fitted to a phase.
type Cooling struct {
	Rate       float64 // 1/s, k
	U          float64 // 1/s, standard uncertainty, all causes
	UScatter   float64 // 1/s, of it what the scatter about the fit brings, with its memory
	DoF        float64 // effective, of U
	ScatterDoF float64 // of UScatter
	Ambient    float64 // K, measured on the mean, or fitted
	Fitted     bool    // ambient was not measured
	Memory     float64 // first autocorrelation of the residuals
	Scatter    float64 // K, of the residuals
	// First and Second are the rates in the two halves by fall; where they differ beyond chance one exponential does
	// not describe the cooling.
	First, Second   float64
	UFirst, USecond float64
	Exponential     bool
	From, To        float64 // K, the block's temperature at the ends of the fit
	// UA is the conductance of the losses in W/K, nil where the capacity is not known or the cooling not exponential
	// enough to speak of one within the fit.
	UA       *Result
	Sentence string
}

// Constant returns the time constant 1/k in s and its standard uncertainty.
func (c *Cooling) Constant() (tau, u float64) { return 1 / c.Rate, c.U / (c.Rate * c.Rate) }

// fit is a cooling rate from rows: with ambient a straight line of T over ∫(T − Ta)dt, without it a plane over ∫T dt
// and t. Integrals average noise out, so the regressors count as known.
type fit struct {
	rate, u, ambient float64
	memory, scatter  float64
	dof              float64
}

func fitCooling(t, T, Ta []float64) (fit, error) {
	n := len(t)
	if n < 12 {
		return fit{}, fmt.Errorf("a cooling constant needs at least 12 rows, there are %d", n)
	}
	x := make([]float64, n) // ∫ (T − Ta) dt, or ∫ T dt
	y := make([]float64, n) // t, without ambient
	value := func(i int) float64 {
		if Ta != nil {
			return T[i] - Ta[i]
		}
		return T[i] - T[0]
	}
	for i := 1; i < n; i++ {
		x[i] = x[i-1] + (t[i]-t[i-1])*(value(i)+value(i-1))/2
		y[i] = t[i] - t[0]
	}
	columns := [][]float64{ones(n), x}
	if Ta == nil {
		columns = append(columns, y)
	}
	r, err := regress(columns, T)
	if err != nil {
		return fit{}, err
	}
	f := fit{rate: -r.beta[1], u: r.u[1], memory: r.memory, scatter: r.scatter, dof: r.dof}
	switch {
	case Ta != nil:
		f.ambient = mean(Ta)
	default:
		f.ambient = T[0] + r.beta[2]/f.rate
	}
	return f, nil
}

func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}

// cooling fits a phase without source and water. nil where there is nothing to fit.
func (in *Input) cooling(p *Phase) (*Cooling, error) {
	block := in.blockMean()
	if block == nil {
		return nil, nil
	}
	t := in.History.Time
	from, to := within(t, p.From, p.To)
	var Ta []float64
	amb := in.channels(Ambient)
	if len(amb) > 0 {
		Ta = in.values(amb[0])
	}
	var ts, T, A []float64
	for k := from; k < to; k++ {
		if math.IsNaN(block[k]) || Ta != nil && math.IsNaN(Ta[k]) {
			continue
		}
		ts, T = append(ts, t[k]), append(T, block[k])
		if Ta != nil {
			A = append(A, Ta[k])
		}
	}
	const most = 2000
	tb, Tb := thinned(ts, T, most)
	var Ab []float64
	if Ta != nil {
		_, Ab = thinned(ts, A, most)
	}
	f, err := fitCooling(tb, Tb, Ab)
	if err != nil {
		return nil, nil // too few rows for a constant: no mistake of anybody's
	}
	n := len(tb)
	c := &Cooling{
		Rate: f.rate, UScatter: f.u, U: f.u, DoF: f.dof, ScatterDoF: f.dof, Ambient: f.ambient, Fitted: Ta == nil,
		Memory: f.memory, Scatter: f.scatter, From: Tb[0], To: Tb[n-1],
	}
	if !(math.Abs(f.rate) > 2*f.u) {
		c.Sentence = fmt.Sprintf("A cooling constant cannot be told from this phase: the rate is (%.2g ± %.2g) 1/s at 95"+narrow+"%%.", f.rate, uncertainty.CoverageFactor(0.95, f.dof)*f.u)
		return c, nil
	}
	if f.rate < 0 && Ta == nil {
		c.Sentence = "A cooling constant cannot be told from this phase: the fall speeds up, as it does in the lag of a sensor or beside a source that has just gone off. Where ambient is recorded or stated in the duty, a shorter stretch suffices."
		return c, nil
	}
	if f.rate < 0 {
		c.Sentence = "The block moves away from ambient although neither source nor water is recorded: look for a source that is not in the record."
		return c, nil
	}
	if u := in.liftError(from, to); u > 0 && Ta != nil { // an offset of T − Ta: k (T − Ta) is what was seen
		lift := 0.0
		for k := range Tb {
			lift += (Tb[k] - Ab[k]) / float64(n)
		}
		c.U = math.Hypot(c.U, f.rate*u/math.Abs(lift))
	}
	if in.clock() > 0 {
		c.U = math.Hypot(c.U, f.rate*in.clock())
	}
	in.halves(c, tb, Tb, Ab)
	if c.UScatter > 0 { // effective degrees of freedom of the whole: JCGM 100:2008, G.2b
		c.DoF *= math.Pow(c.U/c.UScatter, 4)
	}
	tau, u := c.Constant()
	half := uncertainty.CoverageFactor(0.95, c.DoF) * u
	goes := "cools"
	if c.To > c.From { // colder than the air, after cold water
		goes = "warms"
	}
	c.Sentence = fmt.Sprintf("The block %s towards %.1f"+narrow+"°C with a time constant of %s (95"+narrow+"%%).", goes, c.Ambient-273.15, lasting(tau, half))
	if c.Fitted {
		c.Sentence = fmt.Sprintf("The block "+goes+" with a time constant of %s (95"+narrow+"%%) towards %.1f"+narrow+"°C, which is fitted since ambient is not recorded.", lasting(tau, half), c.Ambient-273.15)
	}
	if !c.Exponential {
		c.Sentence += fmt.Sprintf(" It is not one exponential: the constant goes from %s in the first half of the fall to %s in the second, as it does where layers still even out, losses grow with temperature or the heat capacity changes.",
			hours(1/c.First), hours(1/c.Second))
	}
	return c, nil
}

// halves fits both halves of the fall by themselves, with the ambient of the whole.
func (in *Input) halves(c *Cooling, t, T, Ta []float64) {
	c.Exponential = true
	n := len(t)
	middle := (T[0] + T[n-1]) / 2
	cut := 0
	for cut < n && (T[cut]-middle)*(T[0]-middle) > 0 {
		cut++
	}
	if cut < 20 || n-cut < 20 {
		return
	}
	if Ta == nil {
		Ta = make([]float64, n)
		for i := range Ta {
			Ta[i] = c.Ambient
		}
	}
	a, err := fitCooling(t[:cut], T[:cut], Ta[:cut])
	b, err2 := fitCooling(t[cut:], T[cut:], Ta[cut:])
	if err != nil || err2 != nil || a.rate <= 0 || b.rate <= 0 {
		return
	}
	c.First, c.Second, c.UFirst, c.USecond = a.rate, b.rate, a.u, b.u
	u := math.Hypot(a.u, b.u)
	c.Exponential = math.Abs(a.rate-b.rate) < math.Max(3*u, 0.05*c.Rate)
	if !c.Exponential { // half of what the two halves differ, as limits
		c.U = math.Hypot(c.U, math.Abs(a.rate-b.rate)/2/math.Sqrt(3))
	}
}

// liftError returns the standard uncertainty of block minus ambient from systematic errors, in K.
func (in *Input) liftError(from, to int) float64 {
	amb := in.channels(Ambient)
	channels, w := in.weights()
	q := uncertainty.Quantity{Name: "lift"}
	add := func(i int, share float64) {
		c := &in.Channels[i]
		at := quantile(in.values(i)[from:to], 0.5)
		for k := range c.Errors {
			e := &c.Errors[k]
			group := e.Group
			if group == "" {
				group = fmt.Sprint("own ", i, " ", k)
			}
			q.Components = append(q.Components, uncertainty.Component{U: share * e.At(at), Group: group})
		}
	}
	for k, i := range channels {
		add(i, w[k])
	}
	for _, i := range amb[:min(1, len(amb))] {
		add(i, -1)
	}
	return q.U()
}

func (in *Input) clock() float64 {
	if in.ClockRate == 0 {
		return 1e-4
	}
	return in.ClockRate
}

// conductance computes UA = k C with the block's mean capacity between the ends of the fit.
func (in *Input) conductance(c *Cooling) error {
	if in.Capacity == nil || !(c.Rate > 0) || c.From == c.To {
		return nil
	}
	m := newModel()
	C := (in.Capacity.Heat(c.From) - in.Capacity.Heat(c.To)) / (c.From - c.To)
	k := m.add(rateQuantity(c))
	f := term{base: C, factors: in.heatFactors(m)}
	r, err := m.result("UA", "W/K", func(x []float64) float64 { return x[k] * f.at(m, x) }, nil)
	c.UA = r
	return err
}

func rateQuantity(c *Cooling) uncertainty.Quantity {
	rest := math.Sqrt(math.Max(0, c.U*c.U-c.UScatter*c.UScatter))
	return uncertainty.Quantity{Name: "cooling rate", Unit: "1/s", Value: c.Rate, Components: []uncertainty.Component{
		{Name: "scatter about the exponential", U: c.UScatter, DoF: math.Max(1, finite(c.ScatterDoF))}, {Name: "sensors, clock, departure from it", U: rest},
	}}
}
