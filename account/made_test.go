package account

import (
	"math"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/history"
)

// made is an invented result: no model computed it, and its numbers only look like those of a drain.
func made() *heat.Result {
	g := &block.Grid{Lines: [3][]float64{{-0.02, 0, 0.03, 0.07, 0.1}, {0, 0.05, 0.1}, {0, 0.04, 0.1, 0.12}}}
	n := g.Cells()
	part := make([]int16, n)
	temperature, melted := make([]float64, n), make([]float64, n)
	for c := range n {
		i, j, k := g.Place(c)
		temperature[c] = 273.15 + 200 + 10*float64(i) - 3*float64(j) + 0.1*float64(k)
		melted[c] = float64(i%2) / 2
		part[c] = int16(i / 2)
	}
	part[0], temperature[0] = -1, math.NaN()
	chain := func(t float64, pass string, heatFlow float64) heat.Chain {
		return heat.Chain{Time: t, Pass: pass, State: "flowing", Block: 273.15 + 230, Water: 273.15 + 40, Heat: heatFlow, Links: []heat.Link{
			{Name: "block", Resistance: 0.02, Share: 0.1, Gain: math.NaN()},
			{Name: "contact", Resistance: 0.12, Share: 0.6, Gain: 0.052},
			{Name: "tube wall", Resistance: 0.01, Share: 0.05, Gain: 0.004},
			{Name: "film", Resistance: 0.03, Share: 0.15, Gain: 0.011},
			{Name: "water heating up", Resistance: 0.02, Share: 0.1, Gain: 0.003},
			{Name: "boiling point", Gain: math.NaN()},
		}}
	}
	return &heat.Result{
		Grid: g, Part: part,
		History: history.History{
			Time: []float64{0, 1800, 3600, 7200.5},
			Columns: []history.Column{
				{Name: "block mean", Quantity: history.Temperature, Values: []float64{293.15, 423.15, 503.15, 393.25}},
				{Name: "stored", Quantity: history.Heat, Values: []float64{0, 3.1e6, 6.8e6, 2.123456789012e6}},
				{Name: "melted", Quantity: history.Fraction, Values: []float64{0, 0, 0.64, 0}},
				{Name: "absorbed", Quantity: history.HeatFlow, Values: []float64{2000, 2000, 2000, 0}},
				{Name: "heat to passes", Quantity: history.HeatFlow, Values: []float64{0, 0, 0, 1551.25}},
				{Name: "pass 1 heat", Quantity: history.HeatFlow, Values: []float64{0, 0, 0, 1551.25}},
				{Name: "circuit main outlet", Quantity: history.Temperature, Values: []float64{math.NaN(), math.NaN(), math.NaN(), 341.3}},
				{Name: "circuit main flow", Quantity: history.MassFlow, Values: []float64{0, 0, 0, 0.006}},
				{Name: "lost back", Quantity: history.HeatFlow, Values: []float64{0, 40, 60, 55}},
				{Name: "a, \"quoted\" <probe>", Quantity: history.Temperature, Values: []float64{293.15, 400, 500, 393}},
			},
		},
		Ledger: heat.Ledger{
			Absorbed: 7.2e6, Stored: 2.123456789012e6, Latent: 0, ToPasses: 4.7e6, Carried: 4.69e6, Lost: 3.76543210988e5,
			StoredBy: []heat.Share{{Name: "block", Amount: 2e6}, {Name: "insulation", Amount: 1.13456789012e5}, {Name: "water", Amount: 1e4}},
			ByPass:   []heat.Share{{Name: "1", Amount: 4.7e6}}, ByCircuit: []heat.Share{{Name: "main", Amount: 4.69e6}},
			ByPath:   []heat.Share{{Name: "back", Amount: 3e5}, {Name: "window", Amount: 7.6543210988e4}},
			Residual: 1.2e-6,
		},
		Fields: []heat.Field{{Time: 3600, Temperature: temperature, Melted: melted}, {Time: 7200.5, Temperature: temperature, Melted: melted}},
		Chains: []heat.Chain{chain(3600, "1", 0), chain(7200.5, "1", 1551.25)},
		Cautions: []heat.Caution{{
			Kind: heat.KindWetting, At: 3600, Place: "pass 1", Value: 273.15 + 230, Limit: 373.15,
			Text:   "Water enters pass 1 while its tube stands at 230 °C: it flashes to steam. Open slowly, keep the outlet free, and keep people away from it.",
			Source: "boiling point at 1.013 bar, IAPWS-IF97",
		}},
		Warnings: []string{"12 cells left the range of the conductivity of tin"},
		Events:   []heat.Mark{{At: 3600, What: "light off, cover shut, water main flowing"}},
		Cells:    n - 1, Steps: 240, Rejected: 3, Stages: 2400, Ended: 7200.5, Residual: 1.7e-13,
	}
}

func info() Info {
	return Info{
		Title: "Invented drain", Version: "0.0.0-test", Kernel: "go",
		Inputs:      []Input{{Name: "run.yaml", SHA256: "00ff"}},
		Sources:     []Source{{Of: "tin", Text: "an invented source"}},
		Performance: Performance{Wall: 1.25, CPU: 2.5, PeakMemory: 1 << 20, Threads: 2},
	}
}
