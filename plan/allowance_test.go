package plan

import (
	"math"
	"strings"
	"testing"

	"emberbank/heat"
)

// TestPlanStatesWhatAMatchWillState has two thermometers on a lump that cools, the second a candidate, under independent
// noise: with σ the noise and S² = Σ (∂T/∂τ)², τ will be known to σ/S by the information, and a match states 1.2 times as
// much. The factor stands here as a number, so that a plan without it is seen. Source of 1.2: docs/numerics/match.md.
func TestPlanStatesWhatAMatchWillState(t *testing.T) {
	f, ps := cooling()
	one := f.at
	f.columns = []string{"T", "U"}
	f.at = func(x []float64, p *heat.Problem, t float64) []float64 {
		v := one(x, p, t)[0]
		return []float64{v, v}
	}
	const sigma, tau, every = 0.2, 3000.0, 60.0
	r := make1(t, f, Problem{
		Parameters: ps, Model: none(), Every: every, Sensors: []Sensor{{Column: "T", Noise: sigma, Lasting: 1e-9}},
		More: []Sensor{{Column: "U", Noise: sigma, Lasting: 1e-9}},
	})
	sum := 0.0
	for k := 0.0; k*every <= 7200; k++ {
		s := 200 * k * every / (tau * tau) * math.Exp(-k*every/tau)
		sum += s * s
	}
	alone := 1.2 * sigma / math.Sqrt(sum)
	both := 1.2 * sigma / math.Sqrt(2*sum)
	e := r.Expected[0]
	if math.Abs(e.SD-alone) > 0.004*alone {
		t.Errorf("stated is %.5g s, want %.5g s", e.SD, alone)
	}
	if math.Abs(e.Best-both) > 0.004*both {
		t.Errorf("with a second thermometer %.5g s are stated, want %.5g s", e.Best, both)
	}
	if half := (e.Upper - e.Lower) / 2; math.Abs(half-1.96*alone) > 0.004*1.96*alone {
		t.Errorf("the interval's half-width is %.5g s, want %.5g s", half, 1.96*alone)
	}
	c := Charge{Column: "T", Reaches: 450, Time: 3000, Low: 2900, High: 3100, AfterSD: 30} // 1.96 · 1.2 · 30 s
	if c.word(); !strings.Contains(c.Sentence, "known to ± 71 s") {
		t.Errorf("after the trial: %s", c.Sentence)
	}
}
