package study

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/internal/testkit"
)

// powerRun stands for a march of known order: on n cells (20 by itself) in each of three directions over 1 m the column "mean"
// ends at 300 + 10 h² and rises linearly from zero; "wave" changes side from grid to grid.
func powerRun(seen *[]heat.Problem) Runner {
	return func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		*seen = append(*seen, p)
		n := p.Grid.Counts
		if n == [3]int{} {
			for a := range n {
				n[a] = int(math.Round(20 * max(p.Grid.Refine, 1)))
			}
		}
		g := &block.Grid{}
		for a := range g.Lines {
			if l := p.Grid.Lines[a]; len(l) > 0 {
				n[a] = len(l) - 1
			}
			g.Lines[a] = make([]float64, n[a]+1)
		}
		h := 1 / float64(n[0])
		end := 300 + 10*h*h
		return &heat.Result{
			Grid: g, Cells: n[0] * n[1] * n[2], Steps: n[0],
			History: history.History{Time: []float64{0, 1, 2}, Columns: []history.Column{
				{Name: "mean", Quantity: history.Temperature, Values: []float64{0, end / 2, end}},
				{Name: "wave", Quantity: history.HeatFlow, Values: []float64{0, 0, math.Cos(float64(len(*seen)) * math.Pi)}},
			}},
			Ledger: heat.Ledger{Lost: 100 * (1 + h), ByPath: []heat.Share{{Name: "front", Amount: 60 * (1 + h)}}},
		}, nil
	}
}

func TestRefineFindsTheOrderOnEveryKindOfGrid(t *testing.T) {
	lines := []float64{0, 0.2, 0.5, 0.75, 1}
	for _, c := range []struct {
		name string
		grid heat.GridPlan
	}{
		{"laid by the program", heat.GridPlan{}},
		{"given counts", heat.GridPlan{Counts: [3]int{10, 10, 10}}},
		{"a slab of one cell across", heat.GridPlan{Counts: [3]int{10, 1, 1}}},
		{"given edges", heat.GridPlan{Lines: [3][]float64{lines, lines, lines}}},
	} {
		var seen []heat.Problem
		got, err := Refine(context.Background(), heat.Problem{Grid: c.grid, FieldTimes: []float64{1}},
			[]Quantity{
				{Name: "mean", Of: "mean"},
				{Name: "mean over time", Of: "mean", Take: Mean},
				{Name: "half way", Of: "mean", Take: AtTime, At: 0.5},
				{Name: "lost", Of: "lost", Take: InLedger},
				{Name: "lost front", Of: "lost front", Take: InLedger},
				{Name: "wave", Of: "wave"},
			},
			Options{Run: powerRun(&seen)})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		for i, want := range []struct{ order, limit float64 }{{2, 300}, {2, 150}, {2, 75}, {1, 100}, {1, 60}} {
			e := got.Quantities[i]
			// The values differ by 1e-2 of 300, known to 1e-13: eleven digits are left, of which the order keeps nine.
			testkit.Close(t, c.name+": order of "+e.Quantity.Name, e.Order, want.order, 0, 1e-6)
			testkit.Close(t, c.name+": limit of "+e.Quantity.Name, e.Extrapolated, want.limit, 1e-9, 0)
		}
		if e := got.Quantities[5]; e.Verdict != Oscillating || e.Spread != 2 {
			t.Errorf("%s: the wave is %s with spread %v", c.name, e.Verdict, e.Spread)
		}
		if !anyContains(got.Notes, "wave: convergence is not monotone") {
			t.Errorf("%s: no note on the wave in %q", c.name, got.Notes)
		}
		for i, l := range got.Levels {
			if i > 0 && l.Ratio < 1.3 {
				t.Errorf("%s: grid %d is refined by %v only", c.name, i+1, l.Ratio)
			}
			if len(seen[i].FieldTimes) > 0 {
				t.Errorf("%s: fields are kept in a study", c.name)
			}
			if i > 0 && seen[i].Tolerance > seen[i-1].Tolerance/2 {
				t.Errorf("%s: tolerance goes from %v to %v", c.name, seen[i-1].Tolerance, seen[i].Tolerance)
			}
		}
	}
}

func TestRefinedCountsKeepTheLeastRatio(t *testing.T) {
	for n := 2; n < 200; n++ {
		if m := moreCells(n); float64(m) < 1.3*float64(n)-1e-9 || m > n+1 && float64(m) > 1.5*float64(n) {
			t.Errorf("%d cells become %d", n, m)
		}
	}
	if moreCells(1) != 1 {
		t.Error("a direction of one cell is refined")
	}
}

func TestRefinedEdgesKeepEveryGivenEdge(t *testing.T) {
	given := []float64{-0.05, 0, 0.3, 0.31}
	for n := 1; n <= 3; n++ {
		cut := cutEach(given, n)
		if len(cut) != 3*n+1 {
			t.Fatalf("cut into %d: %v", n, cut)
		}
		for i, x := range given {
			testkit.Close(t, "edge", cut[i*n], x, 0, 0)
		}
	}
}

func TestRefineUsesTheBaseRunGiven(t *testing.T) {
	var seen []heat.Problem
	run := powerRun(&seen)
	p := heat.Problem{Grid: heat.GridPlan{Counts: [3]int{10, 10, 10}}}
	base, _ := run(context.Background(), p)
	var done []int
	_, err := Refine(context.Background(), p, []Quantity{{Name: "mean", Of: "mean"}},
		Options{Run: run, Base: base, Progress: func(d, total int) { done = append(done, d, total) }})
	if err != nil || len(seen) != 3 {
		t.Errorf("%d runs were made, error %v", len(seen), err)
	}
	if len(done) != 8 || done[6] != 3 || done[7] != 3 {
		t.Errorf("progress went %v", done)
	}
}

func TestRefineSaysWhatIsWrong(t *testing.T) {
	p := heat.Problem{Grid: heat.GridPlan{Counts: [3]int{10, 10, 10}}}
	var seen []heat.Problem
	for _, c := range []struct {
		name string
		p    heat.Problem
		q    Quantity
		run  Runner
		want string
	}{
		{"unknown column", p, Quantity{Name: "core", Of: "core"}, powerRun(&seen), `"core" is not a column of the history; there are "mean", "wave"`},
		{"unknown entry", p, Quantity{Name: "x", Of: "x", Take: InLedger}, powerRun(&seen), `"x" is not an entry of the ledger; there are "absorbed"`},
		{"time outside", p, Quantity{Name: "m", Of: "mean", Take: AtTime, At: 3}, powerRun(&seen), "is asked for at 3 s, the history runs from 0 s to 2 s"},
		{"one cell", heat.Problem{Grid: heat.GridPlan{Counts: [3]int{1, 1, 1}}}, Quantity{Name: "mean", Of: "mean"}, powerRun(&seen), "do not get finer"},
		{"failing run", p, Quantity{}, func(context.Context, heat.Problem) (*heat.Result, error) {
			return nil, errors.New("the kettle is out")
		}, "refining: run on grid 1 of 3: the kettle is out"},
	} {
		_, err := Refine(context.Background(), c.p, []Quantity{c.q}, Options{Run: c.run})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error is %v, want %q in it", c.name, err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Refine(ctx, p, nil, Options{Run: powerRun(&seen)}); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled study returns %v", err)
	}
}

func anyContains(list []string, part string) bool {
	for _, s := range list {
		if strings.Contains(s, part) {
			return true
		}
	}
	return false
}
