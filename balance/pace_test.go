package balance

import (
	"math"
	"strings"
	"testing"

	"emberbank/history"
	"emberbank/internal/testkit"
	"emberbank/trial"
	"emberbank/uncertainty"
)

// slowWater is a record with a row each 10 s and a water logger of 60 s, whose water starts at a moment between two of
// its rows and stops at another; the outlet falls from 50 K above the inlet with a time constant of 20 min. Two circuits
// have the same water. truth is the heat to the water of one, in J.
func slowWater(start, stop float64) (in Input, truth float64) {
	const cp, flow = 4186.0, 0.02
	rise := func(t float64) float64 { return 50 * math.Exp(-(t-start)/1200) }
	on := func(t float64) bool { return t >= start && t < stop }
	h := &history.History{}
	block := history.Column{Name: "core", Quantity: history.Temperature}
	for t := 0.0; t <= 7200; t += 10 {
		h.Time = append(h.Time, t)
		v := 500.0
		if t > start {
			v -= 200 * (1 - math.Exp(-(math.Min(t, stop)-start)/1200))
		}
		block.Values = append(block.Values, v)
	}
	h.Columns = append(h.Columns, block)
	own := map[string]*trial.Rows{}
	for _, name := range []string{"inlet", "outlet", "flow"} {
		own[name] = &trial.Rows{}
		for t := 0.0; t <= 7200; t += 60 {
			v := 293.15
			switch {
			case name == "flow" && on(t):
				v = flow
			case name == "flow":
				v = 0
			case name == "outlet" && on(t):
				v += rise(t)
			}
			own[name].Time, own[name].Values = append(own[name].Time, t), append(own[name].Values, v)
		}
	}
	in = Input{Name: "slow water", History: h, Quick: true, Channels: []Channel{{Column: "core", Role: Block}}}
	for _, of := range []string{"one", "two"} {
		for _, c := range []struct {
			name string
			role Role
			q    history.Quantity
		}{{"inlet", Inlet, history.Temperature}, {"outlet", Outlet, history.Temperature}, {"flow", Flow, history.MassFlow}} {
			o := own[c.name]
			drawn := history.Column{Name: of + " " + c.name, Quantity: c.q}
			for _, t := range h.Time {
				drawn.Values = append(drawn.Values, at(o.Time, o.Values, t))
			}
			h.Columns = append(h.Columns, drawn)
			in.Channels = append(in.Channels, Channel{Column: drawn.Name, Role: c.role, Of: of, Own: o})
		}
	}
	return in, flow * cp * 50 * 1200 * (1 - math.Exp(-(stop-start)/1200))
}

// TestHeatIsKnownToTheMomentAtWhichWaterBegan: whenever between two rows of its logger water starts and stops, the
// truth lies within the interval, and the interval is what the interval of the logger makes it.
func TestHeatIsKnownToTheMomentAtWhichWaterBegan(t *testing.T) {
	for _, lag := range []float64{0.5, 10, 30, 45, 59.5} {
		in, truth := slowWater(1800+lag, 5400+60-lag)
		in.Phases = []Given{{Hold, 0, 1800}, {Drain, 1800, 5460}, {Cool, 5460, 7200}}
		r, err := Reduce(in)
		if err != nil {
			t.Fatal(err)
		}
		w := r.Phases[1].Water
		if math.Abs(w.Value-2*truth) > w.Half() {
			t.Errorf("water that starts %g s after a row gives %g ± %g J, in truth %g", lag, w.Value, w.Half(), 2*truth)
		}
		// q₁ d/(2 √3) at the start and the end, both circuits alike; the flow after the start falls by 5 % to its row.
		first, last := 2*0.02*4186*50, 2*0.02*4186*50*math.Exp(-3600./1200)
		testkit.Close(t, "u", w.U, math.Hypot(first, last)*60/(2*math.Sqrt(3)), 0.06, 0)
		found := 0
		for _, row := range w.Rows {
			if strings.HasPrefix(row.Input, "moment at which water began") || strings.HasPrefix(row.Input, "moment at which water ended") {
				found++
			}
		}
		if found != 2 {
			t.Errorf("the budget has %d moments, want the beginning and the end, each once for both circuits: %+v", found, w.Rows)
		}
	}
}

// TestAPhaseThatCutsAnIntervalTakesItsShare: heat and moment of the two phases add up, and a boundary in the middle of
// the interval has the mean and variance of a moment that lies anywhere in it (checked by sums over moments).
func TestAPhaseThatCutsAnIntervalTakesItsShare(t *testing.T) {
	rows, q := []float64{0, 60, 120}, []float64{0, 1000, 1000}
	for _, cut := range []float64{0, 15, 40} {
		var sum, squares float64
		const n = 60000
		for k := range n {
			s := 60 * (float64(k) + 0.5) / n
			h := 1000 * (60 - math.Max(s, cut))
			sum += h / n
			squares += h * h / n
		}
		m, f := newModel(), &term{}
		in := &Input{History: &history.History{Time: rows}}
		in.moments(m, f, "water", rows, q, q, 100, cut, 60)
		mean := 0.0
		for k, w := range spans(rows, cut, 60) {
			mean += w * q[k]
		}
		testkit.Close(t, "mean", mean, sum, 1e-3, 0)
		testkit.Close(t, "u", math.Abs(f.linear[0].by), math.Sqrt(squares-sum*sum), 1e-3, 0)
	}
}

// TestTheRuleOfIntegrationIsJudgedOnTheLoggersRows: on rows drawn between them every second one lies on a line.
func TestTheRuleOfIntegrationIsJudgedOnTheLoggersRows(t *testing.T) {
	in, _ := slowWater(1800, 5400)
	in.Phases = []Given{{Drain, 1860, 5340}}
	r, err := Reduce(in)
	if err != nil {
		t.Fatal(err)
	}
	// Of the trapezoid over a fall with time constant τ and rows d apart: d²/(12 τ²) of the heat; to a fifth.
	want := 60. * 60 / 12 / 1200 / 1200 * r.Phases[0].Water.Value / 2
	for _, row := range r.Phases[0].Water.Rows {
		if row.Input == "heat to the water of circuit one: rule of integration" {
			testkit.Close(t, "rule", math.Abs(row.Contribution), want, 0.2, 0)
			return
		}
	}
	t.Errorf("the budget lacks the rule of circuit one: %+v", r.Phases[0].Water.Rows)
}

// TestASourceThatIsSwitchedBetweenRowsSaysSo: 3 kW of a logger with a row a minute.
func TestASourceThatIsSwitchedBetweenRowsSaysSo(t *testing.T) {
	h := &history.History{}
	power := history.Column{Name: "lamp power", Quantity: history.HeatFlow}
	for x := 0.0; x <= 3600; x += 60 {
		h.Time = append(h.Time, x)
		power.Values = append(power.Values, map[bool]float64{true: 3000}[x >= 600 && x < 1800])
	}
	h.Columns = []history.Column{power}
	in := Input{Name: "lamp", History: h, Quick: true, Channels: []Channel{{Column: "lamp power", Role: Source}}, Phases: []Given{{HeatUp, 0, 3600}}}
	r, err := Reduce(in)
	if err != nil {
		t.Fatal(err)
	}
	testkit.Close(t, "energy in", r.Phases[0].In.Value, 3000*1200, 1e-9, 0)
	testkit.Close(t, "u", r.Phases[0].In.U, 3000*60/(2*math.Sqrt(3))*math.Sqrt2, 1e-2, 0)
}

// TestAThermometerThatFallsOutIsNoJumpOfTheBlock: one of two that read 4 K apart is missing for a while.
func TestAThermometerThatFallsOutIsNoJumpOfTheBlock(t *testing.T) {
	h := &history.History{}
	a, b := history.Column{Name: "a", Quantity: history.Temperature}, history.Column{Name: "b", Quantity: history.Temperature}
	for x := 0.0; x <= 7200; x += 15 {
		h.Time = append(h.Time, x)
		T := 293.15 + 250*math.Exp(-x/8500)
		a.Values, b.Values = append(a.Values, T+2), append(b.Values, T-2)
		if x >= 1500 && x < 2400 || x < 45 || x > 7150 {
			b.Values[len(b.Values)-1] = math.NaN()
		}
	}
	h.Columns = []history.Column{a, b, {Name: "ambient", Quantity: history.Temperature}}
	for range h.Time {
		h.Columns[2].Values = append(h.Columns[2].Values, 293.15)
	}
	in := Input{
		Name: "two", History: h, Quick: true, Phases: []Given{{Cool, 0, 7200}}, Capacity: LumpOf(15, 1000, 0.005, 0.01),
		Channels: []Channel{{Column: "a", Role: Block}, {Column: "b", Role: Block}, {Column: "ambient", Role: Ambient}},
	}
	for k, v := range in.blockMean() {
		testkit.Close(t, "mean", v, 293.15+250*math.Exp(-h.Time[k]/8500), 0, 1e-9)
	}
	r, err := Reduce(in)
	if err != nil {
		t.Fatal(err)
	}
	tau, u := r.Phases[0].Cooling.Constant()
	testkit.Close(t, "time constant", tau, 8500, 1e-3, 0)
	if u > 0.005*tau {
		t.Errorf("the time constant of an exact exponential is known to %g of %g s only", u, tau)
	}
	testkit.Close(t, "half-width of UA at the end and in its phase", r.LossHalf(), r.Phases[0].Cooling.UA.Half(), 1e-9, 0)
}

// TestAClosureIsJudgedByTheIntervalThatTheReportUses: where the draws hold zero, nothing is beyond the uncertainty.
func TestAClosureIsJudgedByTheIntervalThatTheReportUses(t *testing.T) {
	r := &Result{Budget: uncertainty.Budget{Value: 0.14, U: 0.066, Unit: "1"}}
	r.Drawn = &uncertainty.Comparison{}
	r.Drawn.Distribution.Low, r.Drawn.Distribution.High = -0.02, 0.25
	out := &Report{Phases: []PhaseReport{{Closure: r, TurnedOver: 1}}}
	in := Input{History: &history.History{}}
	in.suspect(out)
	if s := out.Phases[0].Suspicions; len(s) > 0 {
		t.Errorf("a closure whose interval holds zero is suspected: %q", s)
	}
	r.Drawn.Distribution.Low = 0.01
	in.suspect(out)
	if len(out.Phases[0].Suspicions) != 1 {
		t.Fatalf("a closure beyond its interval is not suspected: %q", out.Phases[0].Suspicions)
	}
	// ... and its first sentence tells that interval, not the half-width of first order.
	if s := strings.ReplaceAll(out.Phases[0].Suspicions[0], narrow, " "); !strings.Contains(s, "closes to between 1 and 25 % only") || strings.Contains(s, "±") {
		t.Errorf("the closure is told as %q", s)
	}
}
