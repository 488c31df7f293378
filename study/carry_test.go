package study

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"emberbank/heat"
	"emberbank/history"
	"emberbank/internal/testkit"
)

// coolingBody is a real small system with an exact answer: a lumped body at T0 with conductance G and capacity C
// in surroundings at 0, T = T0 e^(−G t/C). The inputs reach the runner through fields of the problem that it can
// carry: Initial is T0, Tolerance G, TouchLimit C.
func coolingBody(override map[string]float64) (heat.Problem, error) {
	value := map[string]float64{"T0": 400, "G": 2, "C": 1000}
	for k, v := range override {
		if _, ok := value[k]; !ok {
			return heat.Problem{}, fmt.Errorf("%s is not an input", k)
		}
		value[k] = v
	}
	if value["C"] > 1100 {
		return heat.Problem{}, errors.New("C is above 1100")
	}
	return heat.Problem{Initial: value["T0"], Tolerance: value["G"], TouchLimit: value["C"]}, nil
}

var coolingTimes = []float64{0, 100, 250, 500, 1000}

func runCooling(ctx context.Context, p heat.Problem) (*heat.Result, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	r := &heat.Result{}
	r.History.Time = coolingTimes
	c := history.Column{Name: "body", Quantity: history.Temperature}
	for _, t := range coolingTimes {
		c.Values = append(c.Values, p.Initial*math.Exp(-p.Tolerance*t/p.TouchLimit))
	}
	r.History.Columns = []history.Column{c}
	r.Ledger.Lost = p.TouchLimit * (p.Initial - c.Values[len(c.Values)-1])
	return r, nil
}

var coolingInputs = []Input{{Path: "T0", Value: 400, Half: 4}, {Path: "G", Value: 2, Half: 0.02}, {Path: "C", Value: 1000, Half: 10}}

func TestCarryMatchesTheDerivativesOfACoolingBody(t *testing.T) {
	b, err := Carry(context.Background(), coolingBody, coolingInputs,
		[]Quantity{{Name: "body", Of: "body"}, {Name: "lost", Of: "lost", Take: InLedger}}, Options{Run: runCooling, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	if b.Runs != 7 || len(b.Notes) != 0 {
		t.Errorf("%d runs with notes %q", b.Runs, b.Notes)
	}
	const T0, G, C = 400.0, 2.0, 1000.0
	for i, time := range coolingTimes {
		T := T0 * math.Exp(-G*time/C)
		dT0, dG, dC := T/T0*4, -T*time/C*0.02, T*G*time/(C*C)*10
		// Central differences over ±1 % leave third-order terms of (0.01·Gt/C)²/6 < 1e-4 of the effect.
		testkit.Close(t, fmt.Sprint("band at ", time), b.Columns[0].Half[i], math.Sqrt(dT0*dT0+dG*dG+dC*dC), 2e-4, 0)
	}
	r := b.Responses[0]
	T := T0 * math.Exp(-2)
	effects := []float64{T / T0 * 4, -T * 0.02, T * 2 / 1000 * 10}
	sum, shares := 0.0, 0.0
	for _, e := range effects {
		sum += e * e
	}
	for i, p := range r.Parts {
		testkit.Close(t, p.Path+" effect", p.Effect, effects[i], 2e-4, 0)
		testkit.Close(t, p.Path+" share", p.Share, effects[i]*effects[i]/sum, 4e-4, 0)
		shares += p.Share
	}
	testkit.Close(t, "sum of shares", shares, 1, 1e-12, 0)
	testkit.Close(t, "half", r.Half, math.Sqrt(sum), 2e-4, 0)
	testkit.Close(t, "value", r.Value, T, 1e-12, 0)
	testkit.Close(t, "last row of the band", b.Columns[0].Half[4], r.Half, 1e-12, 0)
}

func TestCarryIsTheSameForAnyNumberOfWorkers(t *testing.T) {
	var first Bands
	for i, workers := range []int{1, 2, 8} {
		var n atomic.Int64
		run := func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
			time.Sleep(time.Duration(5*(n.Add(1)%3)) * time.Millisecond) // end in another order than begun
			return runCooling(ctx, p)
		}
		b, err := Carry(context.Background(), coolingBody, coolingInputs, []Quantity{{Name: "body", Of: "body"}},
			Options{Run: run, Workers: workers})
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = b
		} else if !reflect.DeepEqual(first, b) {
			t.Errorf("%d workers give another answer", workers)
		}
	}
}

func TestCarryLeavesOutASideThatTheFilesRefuse(t *testing.T) {
	b, err := Carry(context.Background(), coolingBody, []Input{{Path: "C", Value: 1000, Half: 200}},
		[]Quantity{{Name: "body", Of: "body", Take: AtTime, At: 500}}, Options{Run: runCooling})
	if err != nil {
		t.Fatal(err)
	}
	want := 400*math.Exp(-1) - 400*math.Exp(-1000.0/800) // C = 1200 is refused: the side below alone
	testkit.Close(t, "one-sided effect", b.Responses[0].Half, want, 1e-12, 0)
	testkit.Close(t, "one-sided band", b.Columns[0].Half[3], want, 1e-12, 0)
	if !anyContains(b.Notes, "C plus its half-width is not allowed: only the side below counts") {
		t.Errorf("notes are %q", b.Notes)
	}
}

// TestCarryRunsAtTheLimitsWhereNeitherSideIsAllowed: ± 600 around 1000, of which 950 to 1100 are allowed. Half of the difference of the
// two, times 1200/150.
func TestCarryRunsAtTheLimitsWhereNeitherSideIsAllowed(t *testing.T) {
	load := func(override map[string]float64) (heat.Problem, error) {
		if c, set := override["C"]; set && c < 950 {
			return heat.Problem{}, errors.New("C is below 950")
		}
		return coolingBody(override)
	}
	b, err := Carry(context.Background(), load, []Input{{Path: "C", Value: 1000, Half: 600, Low: 950, High: 1100}},
		[]Quantity{{Name: "body", Of: "body", Take: AtTime, At: 500}}, Options{Run: runCooling})
	if err != nil {
		t.Fatal(err)
	}
	want := (400*math.Exp(-1000.0/1100) - 400*math.Exp(-1000.0/950)) / 2 * 1200 / 150
	testkit.Close(t, "scaled effect", b.Responses[0].Half, want, 1e-12, 0)
	testkit.Close(t, "scaled band", b.Columns[0].Half[3], want, 1e-12, 0)
	if len(b.Notes) != 1 || !anyContains(b.Notes, "C: its half-width reaches beyond what is allowed on both sides") {
		t.Errorf("notes are %q", b.Notes)
	}
	if _, err := Carry(context.Background(), load, []Input{{Path: "C", Value: 1000, Half: 600}}, nil, Options{Run: runCooling}); err == nil {
		t.Error("without limits it was carried")
	}
}

// TestCarryScalesTheOnlySideThatCanBeRunAtALimit: ± 600 around 1000, of which at least 700 are allowed and at most 1500 can be built.
// Minus 300 is run, and what that does counts twice; a limit of 990 is too near to be scaled from.
func TestCarryScalesTheOnlySideThatCanBeRunAtALimit(t *testing.T) {
	load := func(low float64) Loader {
		return func(override map[string]float64) (heat.Problem, error) {
			if c, set := override["C"]; set && (c < low || c > 1500) {
				return heat.Problem{}, errors.New("C is beyond what can be built")
			}
			return coolingBody(override)
		}
	}
	at := []Quantity{{Name: "body", Of: "body", Take: AtTime, At: 500}}
	b, err := Carry(context.Background(), load(700), []Input{{Path: "C", Value: 1000, Half: 600, Low: 700, High: math.Inf(1)}}, at, Options{Run: runCooling})
	if err != nil {
		t.Fatal(err)
	}
	want := 2 * (400*math.Exp(-1) - 400*math.Exp(-1000.0/700))
	testkit.Close(t, "scaled effect", b.Responses[0].Half, want, 1e-12, 0)
	if !anyContains(b.Notes, "C: its half-width reaches beyond what is allowed; it was run as far as is allowed") || !anyContains(b.Notes, "C plus its half-width is not allowed") {
		t.Errorf("notes are %q", b.Notes)
	}
	_, err = Carry(context.Background(), load(990), []Input{{Path: "C", Value: 1000, Half: 600, Low: 990, High: math.Inf(1)}}, at, Options{Run: runCooling})
	if err == nil || !strings.Contains(err.Error(), "neither below nor above") {
		t.Errorf("error is %v", err)
	}
}

func TestCarrySaysWhereAResponseBends(t *testing.T) {
	run := func(ctx context.Context, p heat.Problem) (*heat.Result, error) { // a maximum at 400
		r := &heat.Result{}
		r.History.Time = []float64{0}
		r.History.Columns = []history.Column{{Name: "y", Values: []float64{10 - (p.Initial-400)*(p.Initial-400)}}}
		return r, nil
	}
	b, err := Carry(context.Background(), coolingBody, []Input{{Path: "T0", Value: 400, Half: 2}}, []Quantity{{Name: "y", Of: "y"}}, Options{Run: run})
	if err != nil {
		t.Fatal(err)
	}
	if r := b.Responses[0]; r.Half != 0 || r.Parts[0].Bend != -4 || r.Parts[0].Share != 0 {
		t.Errorf("response is %+v", r)
	}
	if !anyContains(b.Notes, "y bends over the width of T0") {
		t.Errorf("notes are %q", b.Notes)
	}
}

func TestCarryBandIsUnknownWhereARunHasNoRow(t *testing.T) {
	run := func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
		r, err := runCooling(ctx, p)
		if p.Initial > 400 { // stopped early
			r.History.Time = r.History.Time[:3]
			r.History.Columns[0].Values = r.History.Columns[0].Values[:3]
			r.Stopped = "rule hot"
		}
		return r, err
	}
	b, err := Carry(context.Background(), coolingBody, []Input{{Path: "T0", Value: 400, Half: 4}}, nil, Options{Run: run})
	if err != nil {
		t.Fatal(err)
	}
	for i, h := range b.Columns[0].Half {
		if math.IsNaN(h) != (i >= 3) {
			t.Errorf("band at row %d is %v", i, h)
		}
	}
	if !anyContains(b.Notes, "T0 plus its half-width: that run ended before its time (rule hot)") {
		t.Errorf("notes are %q", b.Notes)
	}
}

func TestCarryReportsTheRunThatFailed(t *testing.T) {
	run := func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
		if p.Tolerance > 2 {
			return nil, errors.New("no convergence")
		}
		return runCooling(ctx, p)
	}
	for _, workers := range []int{1, 4} {
		_, err := Carry(context.Background(), coolingBody, coolingInputs, nil, Options{Run: run, Workers: workers})
		if err == nil || err.Error() != "carrying uncertainty: G plus its half-width: no convergence" {
			t.Errorf("error is %v", err)
		}
	}
	_, err := Carry(context.Background(), coolingBody, []Input{{Path: "D", Value: 1, Half: 1}}, nil, Options{Run: runCooling})
	if err == nil || !strings.Contains(err.Error(), "D is allowed neither below nor above its value") {
		t.Errorf("error is %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Carry(ctx, coolingBody, coolingInputs, nil, Options{Run: runCooling}); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled study returns %v", err)
	}
}

// The films' band is carried without any file that holds it: a body that is cooled through its tubes' films alone, by a
// conductance G (1 + s)^part at the part of their spread s, drains by G t/C.
func TestFilmsAreCarriedAtBothEndsOfTheirSpread(t *testing.T) {
	run := func(ctx context.Context, p heat.Problem) (*heat.Result, error) {
		p.Tolerance *= math.Pow(1+0.4, p.Films)
		r, err := runCooling(ctx, p)
		if r != nil {
			r.Films = []heat.FilmUse{{Circuit: "main", Law: "a law", Share: 0.25, Factor: 2}, {Circuit: "main", Law: "another", Share: 0.15, Factor: 2.5}, {Circuit: "side", Law: "a law", Share: 0.3, Factor: 2}}
		}
		return r, err
	}
	b, err := Carry(context.Background(), coolingBody, []Input{{Path: "T0", Value: 400, Half: 4}, {Path: Films, Half: 1}}, []Quantity{{Name: "body", Of: "body"}}, Options{Run: run, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	if b.Runs != 5 {
		t.Errorf("%d runs, want the base and two for each input", b.Runs)
	}
	// At 1000 s the exponent is 2: the two ends stand at 400 e^(−2·1.4) and 400 e^(−2/1.4), half their difference is the effect.
	want := 400 * (math.Exp(-2.8) - math.Exp(-2/1.4)) / 2
	part := b.Responses[0].Parts[1]
	testkit.Close(t, "effect of the films", part.Effect, want, 1e-12, 0)
	first := 400 * math.Exp(-2) * 0.01
	testkit.Close(t, "share of the films", part.Share, want*want/(want*want+first*first), 1e-9, 0)
	testkit.Close(t, "half-width", b.Responses[0].Half, math.Hypot(want, first), 1e-9, 0)
	notes := strings.Join(b.Notes, "\n")
	if !strings.Contains(notes, "40 % of the heat of circuit main, 30 % of the heat of circuit side passed through films outside the range of their correlations; their band is a factor of up to 2.5 either way") {
		t.Errorf("the notes are %s", notes)
	}
	if b, err = Carry(context.Background(), coolingBody, []Input{{Path: "T0", Value: 400, Half: 4}}, []Quantity{{Name: "body", Of: "body"}}, Options{Run: run, Workers: 2}); err != nil || len(b.Notes) != 0 {
		t.Errorf("without films among the inputs the notes are %q, error %v", b.Notes, err)
	}
}
