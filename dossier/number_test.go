package dossier

import (
	"testing"
	"testing/fstest"

	"emberbank/paper"
	"emberbank/shelf"
)

const summaryMade = `{"kind":"summary","title":"a day","ledger":{"carried_J":5336926.158,"lost_J":1086687.176,"left_over_J":-5.5e-09,"glass_J":90000},
"ended_s":16388.28,"cells":13806,"end":{"block mean_degC":207.6465102,"circuit a/b flow_kg_per_s":0.0003283,"quality":0.7352,"none_W":null},
"cautions":[{"text":"hot","value_Pa":3e5}],
"uncertainty":{"results":[{"name":"ledger carried","value_J":5336926.158,"half_width_95_J":43200},{"name":"block mean","value_degC":207.6,"half_width_95_K":1.23}]}}`

const balanceMade = `{"phases":[{"energy_in":{"unit":"J","value":7200000,"u":1,"half_width_95":360000},"why":"lamp"}],
"parameters":[{"name":"contact","unit":"W/(m2 K)","shown":319.67,"value":319.67,"lower_95":313.5,"upper_95":323.8,"degrees_of_freedom":72.5}]}`

func made() *Result {
	root := fstest.MapFS{
		"results/day/summary.json": {Data: []byte(summaryMade)},
		"results/day/balance.json": {Data: []byte(balanceMade)},
		"results/day/large.svg":    {Data: make([]byte, paper.MostBytes+1)},
		"results/day/small.svg":    {Data: []byte(`<svg viewBox="0 0 9 9"></svg>`)},
	}
	return &Result{Kept: shelf.Kept{Kind: "run", Folder: "results/day", Main: "summary.json"}, root: root, trees: map[string]*tree{}}
}

func TestNumbersAreWrittenByTheRulesOfTheHouse(t *testing.T) {
	r := made()
	for _, c := range []struct{ place, unit, want string }{
		{"/ledger/lost_J", "", "0.30\u2009kWh"},
		{"/ledger/lost_J", "MJ", "1.087\u2009MJ"},
		{"/ledger/carried_J", "", "1.482 ± 0.012\u2009kWh"}, // its band is known: two digits of it count
		{"/ledger/glass_J", "", "25.0\u2009Wh"},
		{"/end/block mean_degC", "", "207.6 ± 1.2\u2009°C"},
		{"/end/circuit a~1b flow_kg_per_s", "", "1.2\u2009kg/h"},
		{"/end/quality", "", "74\u2009%"},
		{"/cells", "", "13\u2009806"},
		{"/ended_s", "", "4\u2009h 33\u2009min"},
		{"/cautions/0/value_Pa", "", "3.00\u2009bar"},
		{"balance.json /phases/0/energy_in/value", "", "2.00 ± 0.10\u2009kWh"},
		{"balance.json /parameters/0/shown", "", "319.7 ± 6.2\u2009W/(m² K)"},
		{"balance.json /parameters/0/degrees_of_freedom", "", "72.5"},
	} {
		n, ok := r.Number(c.place)
		if got := n.Text(c.unit, -1); !ok || got != c.want {
			t.Errorf("%s in %q is %q, not %q", c.place, c.unit, got, c.want)
		}
	}
}

func TestANumberSaysWhereItStands(t *testing.T) {
	r := made()
	n, _ := r.Number("balance.json /phases/0/energy_in/value")
	if want := "results/day/balance.json /phases/0/energy_in/value"; n.Span("", -1).Origin != want {
		t.Errorf("it comes from %q, not %q", n.Origin, want)
	}
	for _, place := range []string{"/end/none_W", "/ledger", "/ledger/nothing_J", "gone.json /a", "ended_s", "/cautions/1/value_Pa", "/cautions/01/value_Pa", ""} {
		if n, ok := r.Number(place); ok {
			t.Errorf("%q gives %v", place, n)
		}
	}
}

func TestAPictureTooLargeIsNotSet(t *testing.T) {
	r := made()
	if _, ok := r.Picture("small.svg"); !ok {
		t.Error("a small one is not found")
	}
	w := newWriter(&Gathered{})
	if b := w.figure(r, "large.svg", "k", "words"); len(b) != 1 || len(w.open) != 1 {
		t.Errorf("a large one gives %v and the questions %v", b, w.open)
	}
	if b := w.figure(r, "none.svg", "k", "words"); len(b) != 0 {
		t.Errorf("none gives %v", b)
	}
}
