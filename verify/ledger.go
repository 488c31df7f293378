package verify

import "math"

const ledgerTopic = "energy ledger"

// ledgers ask whether every joule is accounted for, in a run with everything in it.
func ledgers() []known {
	const source = "conservation of energy: exact"
	const why = "1e-9 of what is exchanged is rounding over thousands of steps"
	residual := func(o *outcome) float64 { return o.res.Residual }
	relative := func(difference, of float64) float64 { return math.Abs(difference) / math.Abs(of) }
	return []known{
		{topic: ledgerTopic, title: "ledger of a day with everything", file: "everything.yaml", rows: from(source, why,
			bound("light, glass, melting, water, rules: largest residual", "1", AtMost, 1e-9, residual),
			bound("light, glass, melting, water, rules: heat in less heat out less stored, over heat in", "1", AtMost, 1e-9, func(o *outcome) float64 {
				l := &o.res.Ledger
				in := l.Absorbed + l.Glass + l.Electric + l.Generated
				return relative(in-l.Carried-l.Lost-l.Stored, in)
			}),
			bound("light, glass, melting, water, rules: heat to the passes less enthalpy carried off less stored in the water, over heat to the passes", "1", AtMost, 1e-9, func(o *outcome) float64 {
				l := &o.res.Ledger
				water := 0.0
				for _, s := range l.StoredBy {
					if s.Name == "water in the tubes" {
						water = s.Amount
					}
				}
				return relative(l.ToPasses-l.Carried-water, l.ToPasses)
			}),
			bound("light, glass, melting, water, rules: paths of loss less their sum, over the sum", "1", AtMost, 1e-12, func(o *outcome) float64 {
				sum := 0.0
				for _, s := range o.res.Ledger.ByPath {
					sum += s.Amount
				}
				return relative(sum-o.res.Ledger.Lost, o.res.Ledger.Lost)
			}))},
		{topic: ledgerTopic, title: "ledger of a trickle", file: "trickle.yaml", rows: from(source, why,
			bound("trickle of 2 kg/(m2 s), drained and refilled: largest residual", "1", AtMost, 1e-9, residual))},
		{topic: ledgerTopic, title: "ledger of a steady state", file: "three-layers.yaml", rows: from(source, "1e-9 of the heat flow: the steady solver's own tolerance",
			bound("wall of three layers, steady: residual", "1", AtMost, 1e-9, residual))},
	}
}
