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
	r := receiver.Receiver{
		Name: "bar", Block: blk, Media: []material.Medium{m},
		Parts: []receiver.Part{{Name: "block", Box: blk, Initial: math.NaN()}},
	}
	for s := block.Front; s <= block.Top; s++ {
		r.Surfaces = append(r.Surfaces, receiver.Surface{Name: s.String()})
	}
	r.Surfaces[0].Kind, r.Surfaces[0].Temperature = receiver.FixedTemperature, wall
	return Problem{
		Receiver: r, Duty: duty.Duty{Ambient: duty.Fixed(293.15)}, Initial: initial,
		Grid: GridPlan{Counts: [3]int{cells, 1, 1}},
	}
}

func melting(rho, ks, kl, cps, cpl, latent, at float64) material.Medium {
	m := material.Medium{
		Name: "melting", Density: rho, HeatCapacity: material.Constant(cps),
		HeatCapacityMelted: material.Constant(cpl), Latent: latent, Solidus: at, Liquidus: at,
	}
	for a := range 3 {
		m.Conductivity[a], m.ConductivityMelted[a] = material.Constant(ks), material.Constant(kl)
	}
	return m
}

// Sources: Carslaw & Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, arts. 11.1 and 11.2; Alexiades & Solomon,
// Mathematical Modeling of Melting and Freezing Processes, 1993, chapter 2. The front in a half-space stands at
// 2 λ sqrt(α t); λ evaluated to 12 digits from the transcendental equation. Zinc-like freezing from superheat, and
// melting of a graphite-like composite from the melting point and from a subcooled solid.
func TestFrontsMoveAsTheExactSolutions(t *testing.T) {
	const fusion, zero = 692.677, 273.15
	cases := []struct {
		name          string
		medium        material.Medium
		wall, initial float64
		lambda, alpha float64
		freezes       bool
		from          float64 // cells: below it the reading is rougher than a tenth
	}{
		{
			"melting from the melting point", melting(2900, 60, 60, 850, 850, 45000, fusion), 450 + zero, fusion,
			0.493927339233, 60 / (2900.0 * 850), false, 0.1,
		},
		{
			"freezing from superheat", melting(6800, 108, 50, 470, 505, 112000, fusion), 370 + zero, 450 + zero,
			0.277802438073, 108 / (6800.0 * 470), true, 0.1,
		},
		{
			"melting from a subcooled solid", melting(2800, 75, 55, 900, 950, 42000, fusion), 460 + zero, 380 + zero,
			0.364629172184, 55 / (2800.0 * 950), false, 1,
		},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			const length, cells = 0.6, 240
			const cell = length / cells
			p := bar(length, cells, c.medium, c.wall, c.initial)
			p.Output = []float64{0}
			for x := 0.1; x < 40; x += 0.1 {
				p.Output = append(p.Output, math.Pow(x*cell/2/c.lambda, 2)/c.alpha)
			}
			p.Until = p.Output[len(p.Output)-1]
			p.Probes = []Probe{{
				Name: "front", Kind: Front, Frozen: c.freezes,
				At: block.Point{0, 0.005, 0.005}, To: block.Point{length, 0.005, 0.005},
			}}
			res, err := Run(context.Background(), p)
			if err != nil {
				t.Fatal(err)
			}
			early, late := 0.0, 0.0
			for i, x := range res.History.Time {
				exact := 2 * c.lambda * math.Sqrt(c.alpha*x)
				d := math.Abs(res.History.Column("front").Values[i] - exact)
				switch {
				case exact >= 8*cell:
					late = math.Max(late, d/exact)
				case exact >= c.from*cell:
					early = math.Max(early, d/cell)
				}
			}
			t.Logf("within %.3f cells, then within %.3f %%; residual %.2g; %d steps, %d rejected", early, 100*late, res.Residual, res.Steps, res.Rejected)
			if early > 0.1 || late > 0.005 {
				t.Errorf("within %.3f cells, then %.3f %%; wanted a tenth of a cell, and 0.5 %% from the eighth cell on", early, 100*late)
			}
			if res.Residual > 1e-11 {
				t.Errorf("the ledger is left with %g of what was exchanged", res.Residual)
			}
		})
	}
}
