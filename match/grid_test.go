package match

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/internal/testkit"
	"emberbank/receiver"
)

// coolingOn is a body that cools: T = 300 K + (T0 − 300 K) e^(−k (1 + 4 h²) t) with h one over the cells along depth. Its
// grid is of second order by construction, and k and T0 are what is to be found. Invented.
func coolingOn(_ context.Context, p heat.Problem) (*heat.Result, error) {
	n := p.Grid.Counts[0]
	h := 1 / float64(n)
	k := p.Receiver.Window.Absorptance * (1 + 4*h*h)
	r := &heat.Result{Cells: n, Ended: p.Until}
	c := history.Column{Name: "T", Quantity: history.Temperature}
	for _, t := range p.Output {
		r.History.Time = append(r.History.Time, t)
		c.Values = append(c.Values, 300+(p.Initial-300)*math.Exp(-k*t))
	}
	r.History.Columns = append(r.History.Columns, c)
	r.Grid = gridOf(n)
	return r, nil
}

func coolingProblem(cells int) Problem {
	noise := rand.New(rand.NewPCG(4, 4))
	trial := Trial{Name: "cooling", Load: func(s Settings) (heat.Problem, error) {
		p := heat.Problem{Initial: s.Values["T0"]}
		p.Receiver.Window = &receiver.Window{Absorptance: s.Values["k"]}
		p.Grid.Counts = [3]int{cells, 1, 1}
		return p, nil
	}}
	c := Channel{Column: "T", Quantity: history.Temperature, Noise: 0.1}
	for t := 60.0; t <= 3600; t += 60 {
		c.Time = append(c.Time, t)
		c.Value = append(c.Value, 300+200*math.Exp(-5e-4*t)+0.1*noise.NormFloat64())
	}
	trial.Channels = []Channel{c}
	return Problem{Trials: []Trial{trial}, Parameters: []Parameter{
		{Name: "k", Paths: []string{"k"}, Start: 4e-4, Lower: 1e-4, Upper: 1e-3},
		{Name: "T0", Paths: []string{"T0"}, Start: 490, Lower: 400, Upper: 600},
	}}
}

func estimateCooling(t *testing.T, cells int, o Options) *Result {
	t.Helper()
	o.Run, o.Starts, o.Workers = coolingOn, -1, 2
	r, err := Estimate(context.Background(), coolingProblem(cells), o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestGridsShareIsTheMoveOfAFitOnFinerCells fits on ten cells and on the refined number, and holds what the first foretells
// against what the second finds; the truth lies outside the interval of the data and inside that with the grid's share.
func TestGridsShareIsTheMoveOfAFitOnFinerCells(t *testing.T) {
	plain := estimateCooling(t, 10, Options{})
	coarse := estimateCooling(t, 10, Options{Grid: true})
	finer := estimateCooling(t, 15, Options{}) // 1.45 times, rounded
	k := coarse.Estimates[0]
	if p := plain.Estimates[0]; p.Value != k.Value || p.Lower != k.Lower || p.Upper != k.Upper || p.Grid.Known {
		t.Errorf("the grid's share changes the estimate or its interval: %+v against %+v", k, p)
	}
	testkit.Close(t, "k on finer cells", k.Grid.Finer, finer.Estimates[0].Value, 0, 0.5*k.SD)
	if k.Grid.Finer == k.Value || k.Upper > 5e-4 || k.Grid.Upper < 5e-4 || k.Grid.Lower > k.Lower {
		t.Errorf("k is %.4g, %.4g to %.4g by the data, %.4g to %.4g with the grid; the truth is 5e-4", k.Value, k.Lower, k.Upper, k.Grid.Lower, k.Grid.Upper)
	}
	// By hand: k (1 + 4 h²) is what the data hold, so that k is short of 5e-4 by what the grid does; times 3/1.15.
	testkit.Close(t, "u_num of k", k.Grid.Numeric, 3*(5e-4-k.Value)/1.15, 0.05, 0)
	if start := coarse.Estimates[1]; start.Grid.Half() > 0.2*(start.Upper-start.Lower) {
		t.Errorf("the grid does not touch T0, yet gives it ± %.2g K", start.Grid.Half())
	}
	if all := strings.Join(coarse.Notes, "\n"); !strings.Contains(all, "not the data, limit how well k can be known: on finer cells the fit would find k about 0.000") {
		t.Errorf("nothing says that the grid limits k:\n%s", all)
	}
}

// TestThreeGridsShowTheOrderAndNarrowTheShare: with two finer grids the factor falls from 3 to 1.25 and the order is seen.
func TestThreeGridsShowTheOrderAndNarrowTheShare(t *testing.T) {
	k := estimateCooling(t, 10, Options{Grid: true, Numeric: Refined}).Estimates[0]
	testkit.Close(t, "u_num of k", k.Grid.Numeric, 1.25*(5e-4-k.Value)/1.15, 0.05, 0)
	if k.Grid.Upper < 5e-4 {
		t.Errorf("the interval with the grid ends at %.4g, below the truth", k.Grid.Upper)
	}
}

func gridOf(n int) *block.Grid {
	g := &block.Grid{Lines: [3][]float64{nil, {0, 1}, {0, 1}}}
	for i := range n + 1 {
		g.Lines[0] = append(g.Lines[0], float64(i)/float64(n))
	}
	return g
}
