package heat

import (
	"context"
	"math"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/material"
	"emberbank/receiver"
)

// bar is a bar along depth of one medium with a fixed temperature at its front and adiabatic sides.
func bar(length float64, cells int, m material.Medium, wall, initial float64) Problem {
	blk := block.Box{Max: block.Point{length, 0.01, 0.01}}
	r := receiver.Receiver{Name: "bar", Block: blk, Media: []material.Medium{m},
		Parts: []receiver.Part{{Name: "block", Box: blk, Initial: math.NaN()}}}
	for s := block.Front; s <= block.Top; s++ {
		r.Surfaces = append(r.Surfaces, receiver.Surface{Name: s.String()})
	}
	r.Surfaces[0].Kind, r.Surfaces[0].Temperature = receiver.FixedTemperature, wall
	return Problem{Receiver: r, Duty: duty.Duty{Ambient: duty.Fixed(293.15)}, Initial: initial,
		Grid: GridPlan{Counts: [3]int{cells, 1, 1}}}
}

func melting(rho, ks, kl, cps, cpl, latent, at float64) material.Medium {
	m := material.Medium{Name: "melting", Density: rho, HeatCapacity: material.Constant(cps),
		HeatCapacityMelted: material.Constant(cpl), Latent: latent, Solidus: at, Liquidus: at}
	for a := range 3 {
		m.Conductivity[a], m.ConductivityMelted[a] = material.Constant(ks), material.Constant(kl)
	}
	return m
}

// Source: Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, art. 11.2: the front in a half-space at
// the melting point stands at 2 λ sqrt(α t), here with λ = 0.493927339233 (melting, Stefan number 0.5756).
func TestStefanFrontMovesAsTheExactSolution(t *testing.T) {
	const lambda, alpha = 0.493927339233, 60 / (2900.0 * 850)
	m := melting(2900, 60, 60, 850, 850, 45000, 692.677)
	p := bar(0.3, 120, m, 450+273.15, 692.677)
	p.Until = 600
	for x := 0.0; x <= 600; x += 1 {
		p.Output = append(p.Output, x)
	}
	p.Probes = []Probe{{Name: "front", Kind: Front, At: block.Point{0, 0.005, 0.005}, To: block.Point{0.3, 0.005, 0.005}}}
	res, err := Run(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	cell := 0.3 / 120
	early, late := 0.0, 0.0
	for i, x := range res.History.Time {
		exact := 2 * lambda * math.Sqrt(alpha*x)
		d := res.History.Column("front").Values[i] - exact
		if exact < 8*cell {
			early = math.Max(early, math.Abs(d)/cell)
		} else {
			late = math.Max(late, math.Abs(d)/exact)
		}
	}
	t.Logf("early %.3f cells, late %.3f %%; residual %.2g; %d steps %d rejected %d evaluations", early, 100*late, res.Residual, res.Steps, res.Rejected, res.Stages)
	if early > 0.1 || late > 0.005 {
		t.Errorf("wanted a tenth of a cell and 0.5 %%")
	}
}

func TestNeumannFrontMovesAsTheExactSolution(t *testing.T) {
	const lambda = 0.364629172184
	alpha := 55 / (2800.0 * 950)
	m := melting(2800, 75, 55, 900, 950, 42000, 692.677)
	p := bar(0.6, 240, m, 460+273.15, 380+273.15)
	p.Until = 600
	for x := 0.0; x <= 600; x += 1 {
		p.Output = append(p.Output, x)
	}
	p.Probes = []Probe{{Name: "front", Kind: Front, At: block.Point{0, 0.005, 0.005}, To: block.Point{0.6, 0.005, 0.005}}}
	res, err := Run(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	cell := 0.6 / 240
	early, late := 0.0, 0.0
	for i, x := range res.History.Time {
		exact := 2 * lambda * math.Sqrt(alpha*x)
		d := res.History.Column("front").Values[i] - exact
		if exact < 8*cell {
			if math.Abs(d)/cell > early {
				t.Logf("t=%g exact %.3f cells got %.3f", x, exact/cell, res.History.Column("front").Values[i]/cell)
			}
			early = math.Max(early, math.Abs(d)/cell)
		} else {
			late = math.Max(late, math.Abs(d)/exact)
		}
	}
	t.Logf("early %.3f cells, late %.3f %%; residual %.2g; %d steps %d rejected %d evaluations", early, 100*late, res.Residual, res.Steps, res.Rejected, res.Stages)
	if early > 0.1 || late > 0.005 {
		t.Errorf("wanted a tenth of a cell and 0.5 %%")
	}
}
