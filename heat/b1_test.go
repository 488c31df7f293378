package heat

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/material"
	"emberbank/receiver"
)

// b1 is the benchmark of a draining block as values: see examples/benchmark-b1 for the same as a file.
func b1(refine int) Problem {
	m := material.Medium{
		Name: "b1", Density: 2100, HeatCapacity: material.Constant(1000),
		HeatCapacityMelted: material.Constant(1000), Latent: 60e3, Solidus: 419 + zero, Liquidus: 420 + zero,
	}
	for a := range 3 {
		m.Conductivity[a], m.ConductivityMelted[a] = material.Constant(120), material.Constant(120)
	}
	blk := block.Box{Max: block.Point{0.4, 0.3, 0.3}}
	r := receiver.Receiver{
		Name: "b1", Block: blk, Media: []material.Medium{m},
		Parts: []receiver.Part{{Name: "block", Box: blk, Initial: math.NaN()}},
	}
	for s := block.Front; s <= block.Top; s++ {
		r.Surfaces = append(r.Surfaces, receiver.Surface{
			Name: s.String(), Kind: receiver.Exchange,
			Film: receiver.Film{Kind: receiver.FilmFixed, Value: 0.8},
		})
	}
	r.Window = &receiver.Window{Opening: blk, Emissivity: 0.85, Film: receiver.Film{Kind: receiver.FilmFixed, Value: 8}}
	for _, x := range []float64{0.1, 0.2, 0.3} {
		for _, z := range []float64{0.075, 0.15, 0.225} {
			r.Passes = append(r.Passes, receiver.Pass{
				Name: strconv.Itoa(len(r.Passes) + 1), Axis: block.Width,
				At: block.Point{x, 0, z}, From: 0, To: 0.3, Line: 25, Fluid: 60 + zero, WallMedium: -1,
			})
		}
	}
	p := Problem{
		Receiver: r, Duty: duty.Duty{Ambient: duty.Fixed(20 + zero)}, Initial: 460 + zero, Until: 21600,
		Grid: GridPlan{Counts: [3]int{40 * refine, 30 * refine, 30 * refine}},
	}
	for t := 0.0; t <= 21600; t += 60 {
		p.Output = append(p.Output, t)
	}
	return p
}

func readB1(t *testing.T, name string) [][]float64 {
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out [][]float64
	for _, r := range rows[1:] {
		var v []float64
		for _, s := range r {
			x, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, x)
		}
		out = append(out, v)
	}
	return out
}

// The default tolerance, and the one of examples/benchmark-b1, the loosest that is accurate enough there, in steps of 0.05 K.
func TestBenchmarkB1MatchesItsReference(t *testing.T) {
	ref := readB1(t, "testdata/b1-small.csv")
	for _, tolerance := range []float64{DefaultTolerance, 0.55} {
		p := b1(1)
		p.Tolerance = tolerance
		res, err := Run(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		mean, tubes := res.History.Column("block mean"), res.History.Column("heat to passes")
		worstT, worstQ := 0.0, 0.0
		for i, r := range ref {
			if res.History.Time[i] != r[0] {
				t.Fatalf("row %d at %g s, wanted %g s", i, res.History.Time[i], r[0])
			}
			worstT = math.Max(worstT, math.Abs(mean.Values[i]-273.15-r[1]))
			worstQ = math.Max(worstQ, math.Abs(tubes.Values[i]-r[3]))
		}
		t.Logf("tolerance %g K: mean within %.4f K, tubes within %.2f W, residual %.2g, %d steps (%d rejected), %d evaluations",
			tolerance, worstT, worstQ, res.Residual, res.Steps, res.Rejected, res.Stages)
		if worstT > 0.4 || worstQ > 54 || res.Residual > 1e-9 {
			t.Errorf("tolerance %g K: wanted 0.4 K, 54 W, 1e-9", tolerance)
		}
	}
}
