package account

import (
	"math"
	"strings"
	"testing"

	"emberbank/heat"
	"emberbank/history"
)

// TestARunsMapLeavesItsFillingOut: the first 40 s of the drain take four times what lasts; the run says that its tubes filled.
func TestARunsMapLeavesItsFillingOut(t *testing.T) {
	r := &heat.Result{Fillings: []heat.Filling{{Circuit: "main", From: 3000, To: 3040}}}
	T, q, in := history.Column{Name: "block mean", Quantity: history.Temperature}, history.Column{Name: "heat to passes", Quantity: history.HeatFlow},
		history.Column{Name: "absorbed", Quantity: history.HeatFlow}
	for s := 0.0; s <= 6000; s += 10 {
		block, taken, light := 300+s/10, 0.0, 2000.0
		if s >= 3000 {
			block, light = 300+300*math.Exp(-(s-3000)/1000), 0
			taken = 10 * (block - 290)
			if s < 3040 {
				taken *= 4
			}
		}
		r.History.Time = append(r.History.Time, s)
		T.Values, q.Values, in.Values = append(T.Values, block), append(q.Values, taken), append(in.Values, light)
	}
	r.History.Columns = []history.Column{T, q, in}
	all := mapped(r, Info{Title: "a run"})
	if len(all) != 1 || len(all[0].Maps) != 1 {
		t.Fatalf("%d maps", len(all))
	}
	rows := all[0].Maps[0].Rows
	if top := rows[len(rows)-1]; math.Abs(top.Q-10*(top.T-290)) > 0.01*top.Q {
		t.Errorf("at %.0f K the map gives %.0f W, the flow that lasts %.0f W", top.T, top.Q, 10*(top.T-290))
	}
	if s := strings.Join(mapSays(all), " "); !strings.Contains(s, "tubes filled: 4") {
		t.Errorf("said: %s", s)
	}
}
