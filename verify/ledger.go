package verify

import "math"

const ledgerTopic = "energy ledger"

// ledgers ask whether every joule is accounted for, in a run with everything in it.
func ledgers() []known {
	const source = "conservation of energy: exact"
	const why = "everything: light through glass, melting, water with leads and bends, heater, cover, rule; 1e-9 of what is exchanged is rounding over thousands of steps"
	residual := func(o *outcome) float64 { return o.res.Residual }
	relative := func(difference, of float64) float64 { return math.Abs(difference) / math.Abs(of) }
	return []known{
		{topic: ledgerTopic, title: "ledger of a day with everything", file: "everything.yaml", rows: from(source, why,
			bound("everything at once: largest residual", "1", AtMost, 1e-9, residual),
			bound("everything at once: heat in less out less stored, share", "1", AtMost, 1e-9, func(o *outcome) float64 {
				l := &o.res.Ledger
				in := l.Absorbed + l.Glass + l.Electric + l.Generated
				return relative(in-l.Carried-l.Lost-l.Stored, in)
			}),
			bound("everything at once: heat to passes less what the water took, share", "1", AtMost, 1e-9, func(o *outcome) float64 {
				l := &o.res.Ledger
				water := 0.0
				for _, s := range l.StoredBy {
					if s.Name == "water in the tubes" {
						water = s.Amount
					}
				}
				return relative(l.ToPasses-l.Carried-water, l.ToPasses)
			}),
			bound("everything at once: losses by path less their sum, share", "1", AtMost, 1e-12, func(o *outcome) float64 {
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
