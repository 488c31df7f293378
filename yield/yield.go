// Package yield says what a run amounts to: the heat that was delivered and how much of the load that met, full cycles,
// losses by path, stored heat that is left unused, efficiencies by the first and the second law, what work a steam cycle might
// have made of it, and the same duty with the store beside the receiver instead of inside.
//
// It runs nothing: all comes from a run's result, whose ledger and account were added up step by step, and from its duty.
// Sums agree with the ledger to rounding. Amounts are in J, temperatures in K.
//
// Left out: pumps' work, pipes outside, money. The cycle's work and the store beside are for comparison only.
package yield

import (
	"math"

	"emberbank/heat"
)

// Report is what a run amounts to.
type Report struct {
	Span   float64      // s
	Air    float64      // K, mean of the ambient: the surroundings that exergy counts against
	Served *heat.Served // nil: the duty has no load

	Light     float64 // on the window's opening while it was let in
	Offered   float64 // the same had cover and switch let it in all the time
	Electric  float64
	Absorbed  float64 // by block and glass
	Delivered float64 // carried off by the water
	Steam     float64 // kg of vapour that left
	Lost      float64
	ByPath    []heat.Share
	Stored    float64 // rise of the heat content of everything inside

	Serves float64 // K, below which the block cannot serve the load; NaN: no load
	Begins float64 // what the block holds above that at the start
	Unused float64 // the same at the end

	Swing   float64 // between the least and the most that was stored, by the history's rows
	Charges float64 // full equivalents: all rises of what is stored over the swing
	Drains  float64 // all falls, likewise

	First  float64 // efficiency by the first law; NaN where nothing was put in
	Second float64 // by the second law
	Exergy Exergy
	Cycle  Cycle
	Beside *Beside // nil where it cannot be told: see NotBeside

	NotBeside string // why there is no comparison
}

// Exergy is the work that the run's heats are worth at the most against surroundings at Air, in J.
type Exergy struct {
	Light  float64 // of sunlight on the window: see SunlightExergy
	Water  float64 // carried off
	Stored float64 // rise of that of all solids
}

// Of returns what a run amounts to; nil where it has no account (see heat.Account).
func Of(p *heat.Problem, r *heat.Result) *Report {
	a, l := r.Account, &r.Ledger
	if a == nil || l.Steady {
		return nil
	}
	y := &Report{
		Span: a.Span, Air: a.Air, Served: r.Served, Light: a.Light, Offered: a.Offered, Electric: l.Electric + l.Generated,
		Absorbed: l.Absorbed + l.Glass, Delivered: l.Carried, Lost: l.Lost, ByPath: l.ByPath, Stored: l.Stored,
		Serves: a.Serves, Begins: a.Begins, Unused: a.Unused,
	}
	for _, c := range r.Left {
		y.Steam += c.Steam
	}
	y.cycles(r)
	y.efficiencies(p, a)
	y.cycle(p, a)
	y.beside(p, r)
	return y
}

// cycles counts full equivalents:
//
//	n = Σ |ΔE| / (Emax − Emin)
//
// of the rises, and of the falls, of what is stored from row to row of the history. Our own count.
func (y *Report) cycles(r *heat.Result) {
	c := r.History.Column("stored")
	if c == nil || len(c.Values) == 0 {
		return
	}
	lo, hi, up, down := c.Values[0], c.Values[0], 0.0, 0.0
	for i, e := range c.Values {
		lo, hi = math.Min(lo, e), math.Max(hi, e)
		if i > 0 {
			d := e - c.Values[i-1]
			up, down = up+math.Max(d, 0), down+math.Max(-d, 0)
		}
	}
	if y.Swing = hi - lo; y.Swing > 0 {
		y.Charges, y.Drains = up/y.Swing, down/y.Swing
	}
}

// efficiencies are what came of what was put in. Stored heat that was used up counts as put in, what was added as yield:
//
//	η  = (Q + max(ΔE, 0)) / (L + W + max(−ΔE, 0))
//
// by the first law, with Q carried off by the water, ΔE the rise of what is stored, L the light on the window while it was let
// in and W electric heat; by the second law the same of exergies, those of heat against the ambient's mean.
func (y *Report) efficiencies(p *heat.Problem, a *heat.Account) {
	absorbed := p.Duty.Light != nil && p.Duty.Light.Absorbed
	y.First = ratio(y.Delivered, y.Stored, y.Light+y.Electric)
	y.Exergy = Exergy{Water: a.Water.Exergy(y.Air), Stored: a.Stored.Exergy(y.Air), Light: y.Light * SunlightExergy(y.Air)}
	if absorbed { // nobody said what light it took
		y.Exergy.Light = math.NaN()
	}
	y.Second = ratio(y.Exergy.Water, y.Exergy.Stored, y.Exergy.Light+y.Electric)
}

func ratio(out, stored, in float64) float64 {
	in += math.Max(-stored, 0)
	if !(in > 0) {
		return math.NaN()
	}
	return (out + math.Max(stored, 0)) / in
}

// Sun is the temperature in K at which the sun radiates as a black body of its size and power. Source: IAU 2015 Resolution B3,
// nominal solar effective temperature.
const Sun = 5772

// SunlightExergy returns the share of sunlight's energy that is exergy in surroundings at T0 in K:
//
//	1 − 4/3 (T0/Ts) + 1/3 (T0/Ts)⁴
//
// with Ts that of the sun. Source: R. Petela, Exergy of heat radiation, J. Heat Transfer 86 (1964) 187 (from memory). It takes the
// light as the sun's own: for a lamp it is too much.
func SunlightExergy(T0 float64) float64 {
	x := T0 / Sun
	return 1 - 4.0/3*x + x*x*x*x/3
}
