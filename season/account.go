package season

import (
	"math"

	"emberbank/heat"
)

// account is what a season adds up as a run of the full model does: see heat.Account.
type account struct {
	over   float64 // K, the block's mean above the ambient at the last step's end
	start  float64 // J/K, entropy of the nodes at the start
	begins float64 // J, their heat content
}

// openAccount begins a season's account.
func (c *course) openAccount() {
	a := &c.out.Account
	a.Serves = math.NaN()
	if l := c.d.Load; l != nil {
		a.Serves = heat.ServesAt(c.d, l)
		c.out.Served = &heat.Served{Steam: l.Steam, Counts: make([]float64, len(l.Circuits)+1)}
	}
	a.Begins = c.above(a.Serves)
	c.account = account{over: c.w.mean() - heat.WeatherAt(c.d, 0).Air, start: c.w.entropy(), begins: c.w.stored()}
}

// bookAccount adds a step of tau (s) that has been made; the block's mean is T (K) at its end.
func (c *course) bookAccount(tau, T float64) {
	a, f := &c.out.Account, &c.w.half
	air := c.at.weather.Air // of the step's middle
	a.Span += tau
	a.Air += tau * air
	if c.d.Light != nil {
		a.Offered += tau * c.m.falling * c.d.Light.Power.At(c.t-0.5*tau)
	}
	e := &a.Else
	if c.at.light > 0 {
		a.Light += tau * c.m.falling * c.at.light
		e = &a.Shining
	}
	over := T - air
	e.Seconds += tau
	e.Over += 0.5 * tau * (c.account.over + over)
	c.account.over = over
	for path, lost := range f.lost {
		if path == c.m.sur.window.path {
			e.Window += lost
		} else {
			e.Others += lost
		}
	}
	for _, q := range f.drawn {
		a.Water.Heat += q
	}
	a.Water.Entropy += f.entropy
}

// closeAccount ends it.
func (c *course) closeAccount() {
	a := &c.out.Account
	if a.Span > 0 {
		a.Air /= a.Span
	}
	a.Stored = heat.Carried{Heat: c.w.stored() - c.account.begins, Entropy: c.w.entropy() - c.account.start}
	a.Unused = c.above(a.Serves)
}

// above returns what the block's layers hold above T in K, in J.
func (c *course) above(T float64) (sum float64) {
	if T != T {
		return 0
	}
	for n := range c.m.l.layers {
		sum += math.Max(0, c.w.H[n]-c.m.l.curves[n].heat(T))
	}
	return sum
}

// entropy returns that of all nodes above 20 °C in J/K.
func (w *walker) entropy() (sum float64) {
	for n := range w.H {
		sum += w.m.l.curves[n].entropy(w.H[n])
	}
	return sum
}

// entropy returns ∫ dh/T from 20 °C to a heat content, in J/K; over a piece of the curve, on which T runs straight over h, the
// heat over the logarithmic mean of T.
func (c *curve) entropy(h float64) (sum float64) {
	from, to := math.Min(0, h), math.Max(0, h)
	first, last := c.piece(from, 0), c.piece(to, 0)
	for i := first; i <= last; i++ {
		a, b := from, to
		if i > first {
			a = c.H[i]
		}
		if i < last {
			b = c.H[i+1]
		}
		Ta, _ := c.at(a, i)
		Tb, _ := c.at(b, i)
		sum += (b - a) / logarithmic(Ta, Tb)
	}
	if h < 0 {
		return -sum
	}
	return sum
}

// logarithmic is the logarithmic mean of two temperatures in K.
func logarithmic(a, b float64) float64 {
	if x := b/a - 1; math.Abs(x) < 1e-6 {
		return 0.5 * (a + b)
	}
	return (b - a) / math.Log(b/a)
}

// Result is the outcome in the shape of a run's result, as far as a season has it: history, ledger, account, what became of the
// load, and the vapour that left.
func (m *Model) Result(out *Outcome) *heat.Result {
	b := &out.Whole
	a := out.Account
	r := &heat.Result{History: out.History, Account: &a, Served: out.Served, Events: out.Events, Steps: out.Steps, Ended: out.Ended}
	r.Ledger = heat.Ledger{
		Absorbed: b.Absorbed, Glass: b.Glass, Electric: b.Electric, Generated: b.Generated, Stored: b.Stored, Carried: b.Delivered,
		Lost: b.Lost, Residual: b.Residual,
	}
	for i, path := range m.sur.paths {
		r.Ledger.ByPath = append(r.Ledger.ByPath, heat.Share{Name: path, Amount: b.ByPath[i]})
	}
	for i := range m.circuits {
		r.Ledger.ByCircuit = append(r.Ledger.ByCircuit, heat.Share{Name: m.circuits[i].name, Amount: b.ByCircuit[i]})
	}
	r.Left = []heat.Left{{Circuit: "all", Steam: b.Steam}}
	return r
}
