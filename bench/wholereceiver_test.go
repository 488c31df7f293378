package bench

import (
	"context"
	"math"
	"os"
	"testing"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/receiver"
	"emberbank/water"
)

// b2 loads one run of benchmark B2.
func b2(t testing.TB, name string) *Run {
	t.Helper()
	run, ps := LoadRun(os.DirFS("../examples/benchmark-b2"), name, Options{})
	if ps.Failed() {
		t.Fatal(ps)
	}
	return run
}

// TestBenchmarkB2IsAWholeReceiver holds the files of benchmark B2 to what its README says it is.
func TestBenchmarkB2IsAWholeReceiver(t *testing.T) {
	fsys := os.DirFS("../examples/benchmark-b2")
	b, ps := LoadBench(fsys)
	if ps.Failed() {
		t.Fatal(ps)
	}
	same(t, "runs", b.Runs, []string{"whole.yaml", "coarse.yaml", "steam.yaml", "steam-coarse.yaml"})
	if ps := Check(fsys, BenchFile); ps.Failed() {
		t.Fatal(ps)
	}

	whole, coarse := b2(t, "whole.yaml"), b2(t, "coarse.yaml")
	p := whole.Problem
	parts := map[receiver.Role]int{}
	for _, part := range p.Receiver.Parts {
		parts[part.Role]++
	}
	same(t, "parts by role", parts, map[receiver.Role]int{
		receiver.RoleBlock: 1, receiver.RoleInsulation: 3 * 5, receiver.RoleJacket: 5, receiver.RoleFixture: 2,
	})
	m := p.Receiver.Media[p.Receiver.Parts[0].Medium]
	if m.Latent <= 0 {
		t.Errorf("the block's medium %s does not melt", m.Name)
	}
	if w := p.Receiver.Window; w == nil || w.Glass == nil || w.Glass.Gap <= 0 || w.Cover <= 0 {
		t.Errorf("the window is %+v, want glass, gap and cover", w)
	}
	same(t, "passes", len(p.Receiver.Passes), 9)
	same(t, "circuits", len(p.Receiver.Circuits), 3)
	for i, w := range p.Duty.Water {
		near(t, "pressure of circuit "+p.Receiver.Circuits[i].Name, w.Pressure.At(0), 10e5)
	}
	near(t, "until", p.Until, 6*3600)

	// Both runs are of one receiver and one duty: all that they read but their own file is the same.
	var shared [2][]Input
	for i, run := range []*Run{whole, coarse} {
		for _, in := range run.Inputs {
			if in.Name != "whole.yaml" && in.Name != "coarse.yaml" {
				shared[i] = append(shared[i], in)
			}
		}
	}
	same(t, "the coarse run's files", shared[1], shared[0])
	same(t, "the number of files beside the run", len(shared[0]), 3) // bench, receiver, duty
	same(t, "the coarse run's length", coarse.Problem.Until, p.Until)
	same(t, "the coarse run's output", coarse.Problem.Output, p.Output)
}

// TestBenchmarkB2HasItsCells counts the cells of both runs, and those through each layer of the fine one.
func TestBenchmarkB2HasItsCells(t *testing.T) {
	for _, c := range []struct {
		file         string
		cells, layer int
	}{{"whole.yaml", 60_000, 3}, {"coarse.yaml", 6_000, 1}} {
		p := b2(t, c.file).Problem
		p.Until, p.Output = 1, []float64{0, 1}
		res, err := heat.Run(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(float64(res.Cells-c.cells)) / float64(c.cells); d > 0.05 {
			t.Errorf("%s has %d cells, want some %d", c.file, res.Cells, c.cells)
		}
		for _, part := range p.Receiver.Parts {
			if part.Role != receiver.RoleInsulation && part.Role != receiver.RoleJacket {
				continue
			}
			// A layer is thin along one direction: the one in which its box is narrowest.
			thin := block.Depth
			for a := range part.Box.Min {
				if part.Box.Max[a]-part.Box.Min[a] < part.Box.Max[thin]-part.Box.Min[thin] {
					thin = block.Axis(a)
				}
			}
			through := 0
			for i := range res.Grid.N(thin) {
				mid := 0.5 * (res.Grid.Lines[thin][i] + res.Grid.Lines[thin][i+1])
				if mid > part.Box.Min[thin] && mid < part.Box.Max[thin] {
					through++
				}
			}
			switch {
			case part.Role == receiver.RoleJacket && through != 1:
				t.Errorf("%s: %d cells through the jacket's %s, want one", c.file, through, part.Name)
			case part.Role == receiver.RoleInsulation && through < c.layer:
				t.Errorf("%s: %d cells through %s, want at least %d", c.file, through, part.Name, c.layer)
			}
		}
	}
}

// TestCoarseBenchmarkB2StaysWithItsRefinement holds the coarse answer to a much finer one of the same program: the
// whole run with 1.5 times the cells along each direction (182 496) and a tolerance of 0.1 K. The bounds are those
// of the benchmark's README; 0.23 % and 1.8 K were seen.
func TestCoarseBenchmarkB2StaysWithItsRefinement(t *testing.T) {
	const drained = 13.8796e6 // J
	// degC, each half hour
	mean := []float64{20, 90.399, 154.743, 213.803, 235.265, 268.427, 318.204, 311.535, 306.975, 302.698, 298.614, 65.296, 22.407}
	run := b2(t, "coarse.yaml")
	res, err := heat.Run(context.Background(), run.Problem)
	if err != nil {
		t.Fatal(err)
	}
	if d := res.Ledger.ToPasses/drained - 1; math.Abs(d) > 0.003 {
		t.Errorf("drained energy is %g J, %+.2f %% off the refined one", res.Ledger.ToPasses, 100*d)
	}
	means := res.History.Column("block mean").Values
	melted := res.History.Column("melted").Values
	for i, want := range mean {
		row := 30 * i // a row each minute
		near(t, "time", res.History.Time[row], 1800*float64(i))
		if d := means[row] - zero - want; math.Abs(d) > 2 {
			t.Errorf("after %g h the mean is %.2f K off the refined one", float64(i)/2, d)
		}
	}
	// Charge through the melting, well within three hours, and hold molten; drain until all is frozen, without steam.
	for _, at := range []struct{ row, want int }{{75, 0}, {150, 1}, {300, 1}, {360, 0}} {
		if got := melted[at.row]; got != float64(at.want) {
			t.Errorf("after %g h the melted share is %g, want %d", float64(at.row)/60, got, at.want)
		}
	}
	for _, c := range []string{"low", "middle", "high"} {
		for i, x := range res.History.Column("circuit " + c + " quality").Values {
			if x >= 0 {
				t.Errorf("the water of circuit %s boils after %g s: quality %g", c, res.History.Time[i], x)
			}
		}
	}
	if res.Residual > 1e-9 {
		t.Errorf("the ledger closes to %g only", res.Residual)
	}
}

// TestBenchmarkB2WithSteamBoilsForTwentyMinutesInFourPasses follows the water from pass to pass by the heat that each
// gives: where it enters below saturated steam and leaves above saturated water (IAPWS-IF97 at 3 bar), the pass boils.
func TestBenchmarkB2WithSteamBoilsForTwentyMinutesInFourPasses(t *testing.T) {
	run := b2(t, "steam-coarse.yaml")
	duties := map[string]string{} // by run
	for _, name := range []string{"steam.yaml", "steam-coarse.yaml"} {
		for _, in := range b2(t, name).Inputs {
			if in.Name == "duty-steam.yaml" {
				duties[name] = in.SHA256
			}
		}
	}
	same(t, "the fine run's duty", duties["steam.yaml"] != "" && duties["steam.yaml"] == duties["steam-coarse.yaml"], true)
	res, err := heat.Run(context.Background(), run.Problem)
	if err != nil {
		t.Fatal(err)
	}
	if res.Residual > 1e-9 {
		t.Errorf("the ledger closes to %g only", res.Residual)
	}
	cold, err1 := water.AtPT(3e5, 15+zero)
	saturated, err2 := water.SaturatedLiquid(3e5)
	vapour, err3 := water.SaturatedVapour(3e5)
	for _, err := range []error{err1, err2, err3} {
		if err != nil {
			t.Fatal(err)
		}
	}
	rec := run.Problem.Receiver
	minutes := 0 // rows, one a minute, at which four passes or more boil
	for row, at := range res.History.Time {
		boiling := 0
		for i, c := range rec.Circuits {
			flow := res.History.Column("circuit " + c.Name + " flow").Values[row]
			if at <= 5*3600 {
				continue
			}
			near(t, "flow of circuit "+c.Name, flow, run.Problem.Duty.Water[i].Flow.At(0))
			h := cold.H
			for _, r := range c.Runs {
				if r.Kind != receiver.RunPass {
					continue
				}
				in := h
				h += res.History.Column("pass " + rec.Passes[r.Pass].Name + " heat").Values[row] / flow
				if in < vapour.H && h > saturated.H {
					boiling++
				}
			}
		}
		if boiling >= 4 {
			minutes++
		}
	}
	t.Logf("four passes or more boil for %d minutes; %d steps, %d stages", minutes, res.Steps, res.Stages)
	if minutes < 20 {
		t.Errorf("four passes or more boil for %d minutes, want 20", minutes)
	}
	// What boiling costs is stages: a stage of boiling water itself takes little more than one of liquid.
	liquid := b2(t, "coarse.yaml").Problem
	liquid.Tolerance = run.Problem.Tolerance
	plain, err := heat.Run(context.Background(), liquid)
	if err != nil {
		t.Fatal(err)
	}
	if most := 1.3 * float64(plain.Stages); float64(res.Stages) > most {
		t.Errorf("%d stages, at most %.0f are wanted: the liquid drain takes %d", res.Stages, most, plain.Stages)
	}
	t.Logf("liquid: %d steps, %d stages", plain.Steps, plain.Stages)
}
