package match

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"emberbank/heat"
)

var (
	hidden      = []float64{330, 0.062, 0.86}
	smallDir    = "../examples/small-match"
	smallTrials = []string{"trial-1", "trial-2", "trial-3"}
	smallColumn = []string{"T1", "T2", "circuit main outlet"}
)

// spoilt is the three trials by the stand-in, errors laid over; the third is set aside.
func spoilt(t *testing.T, e errorsOf) Problem {
	t.Helper()
	trials := spoil(cleanTrials(t, standIn, smallDir, smallTrials, smallParameters(), hidden, smallColumn), e, 11)
	return Problem{Parameters: smallParameters(), Trials: trials[:2], Aside: trials[2:]}
}

func TestMatchRecoversTheParametersBehindMadeUpData(t *testing.T) {
	out, err := Estimate(context.Background(), spoilt(t, errorsOf{white: 0.01, lasting: 300}), Options{Run: standIn, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	for j, e := range out.Estimates {
		if math.Abs(e.Value-hidden[j]) > 0.003*hidden[j] {
			t.Errorf("%s is %.5g, was %.5g", e.Name, e.Value, hidden[j])
		}
	}
}

func TestMatchIsTheSameForAnyNumberOfWorkers(t *testing.T) {
	p := spoilt(t, coverageErrors)
	var got []*Result
	for _, n := range []int{1, 3} {
		out, err := Estimate(context.Background(), p, Options{Run: standIn, Workers: n})
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, out)
	}
	if !reflect.DeepEqual(got[0].Estimates, got[1].Estimates) || !reflect.DeepEqual(got[0].Covariance, got[1].Covariance) {
		t.Error("the answers differ")
	}
}

func TestStoppedMatchGoesOnToTheSameEnd(t *testing.T) {
	p := spoilt(t, coverageErrors)
	whole, err := Estimate(context.Background(), p, Options{Run: standIn})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	memory := NewMemory("inputs")
	runs := 0
	_, err = Estimate(ctx, p, Options{Run: func(ctx context.Context, q heat.Problem) (*heat.Result, error) {
		if runs++; runs == 40 {
			cancel()
		}
		return standIn(ctx, q)
	}, Memory: memory})
	if !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	raw, err := json.Marshal(memory)
	if err != nil {
		t.Fatal(err)
	}
	again := NewMemory("")
	if err := json.Unmarshal(raw, again); err != nil || again.Key() != "inputs" {
		t.Fatal(err, again.Key())
	}
	if held, _ := again.Runs(); held < 30 {
		t.Fatalf("%d runs are kept", held)
	}
	rest, err := Estimate(context.Background(), p, Options{Run: standIn, Memory: again})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(whole.Estimates, rest.Estimates) || whole.Runs != rest.Runs {
		t.Errorf("%+v\n%+v", whole.Estimates, rest.Estimates)
	}
}

// TestWhatCannotBeToldApartIsNamed gives absorptance and a factor on the lamp's power, which act only as a product.
func TestWhatCannotBeToldApartIsNamed(t *testing.T) {
	p := spoilt(t, coverageErrors)
	p.Parameters = append(p.Parameters, Parameter{Name: "lamp", Paths: []string{"duty.light.power"}, Factor: true, Start: 1, Lower: 0.6, Upper: 1.4})
	p.Aside = nil
	out, err := Estimate(context.Background(), p, Options{Run: standIn, Straight: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Undetermined) != 1 {
		t.Fatalf("%d combinations: %+v", len(out.Undetermined), out.Undetermined)
	}
	c := out.Undetermined[0]
	if !slices.Equal(c.Names, []string{"absorptance", "lamp"}) || !strings.Contains(c.Sentence, "cannot tell absorptance and lamp apart") {
		t.Errorf("%+v", c)
	}
	// The product is determined: its share of the lamp is absorptance over lamp at the estimate.
	a, l := out.Estimates[2].Value, out.Estimates[3].Value
	if math.Abs(c.Shares[1]-a/l) > 0.05*a/l || math.Abs(a*l-0.86) > 0.02 {
		t.Errorf("absorptance %.4g, lamp %.4g, shares %v", a, l, c.Shares)
	}
}

func TestTrustSeesAModelThatIsWrong(t *testing.T) {
	right := spoilt(t, errorsOf{offset: 0.5, white: 0.1, ar: 0.1, lasting: 300})
	wrong := spoilt(t, errorsOf{offset: 0.5, white: 0.1, ar: 0.1, lasting: 300})
	v := slices.Clone(wrong.Aside[0].Channels[0].Value)
	for i := range v {
		v[i] += 10
	}
	wrong.Aside[0].Channels[0].Value = v
	for _, c := range []struct {
		name string
		p    Problem
		want bool
	}{{"right", right, true}, {"10 K off", wrong, false}} {
		out, err := Estimate(context.Background(), c.p, Options{Run: standIn, Straight: true})
		if err != nil {
			t.Fatal(err)
		}
		if len(out.Trust) != 3 || out.Trust[0].Column != "T1" || out.Trust[0].Within != c.want {
			t.Errorf("%s: %+v", c.name, out.Trust)
		}
		if v := out.Trust[0]; math.Abs(v.Validation-math.Hypot(v.Input, v.Data)) > 1e-12 {
			t.Errorf("%s: u_val is %g of %g and %g", c.name, v.Validation, v.Input, v.Data)
		}
		if has := strings.Contains(out.Verdict, "not yet to be relied on"); has == c.want {
			t.Errorf("%s: %s", c.name, out.Verdict)
		}
	}
}

func TestEnvelopeTellsWhatLeavesAndByHowMuch(t *testing.T) {
	p, err := loaderOf(smallDir, "trial-2.yaml")(Settings{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := standIn(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	e := EnvelopeOf("trial-2", &p, r)
	if d := e.Leaves(&p, r); len(d) != 0 {
		t.Errorf("a run leaves its own envelope: %+v", d)
	}
	hot := slices.Clone(r.History.Columns[0].Values)
	hottest := slices.Max(hot)
	hot[5] = hottest + 25
	other := *r
	other.History.Columns = slices.Clone(r.History.Columns)
	other.History.Columns[0].Values = hot
	p.Receiver.Passes = p.Receiver.Passes[:1]
	d := e.Leaves(&p, &other)
	var names []string
	for _, one := range d {
		names = append(names, one.Name)
	}
	if !slices.Equal(names, []string{"block temperature", "passes", "wetted area of the passes"}) || math.Abs(d[0].By-25) > 1e-9 || d[1].Direction != "below" {
		t.Errorf("%+v", d)
	}
	if none := (&Envelope{}).Leaves(&p, r); len(none) != 1 {
		t.Errorf("without a trial set aside: %+v", none)
	}
}

// What no meter of the bench can tell is no departure: a tenth of a per cent of the flow at one flow only, a tenth of a
// kelvin, and water that is liquid here as there, however cold.
func TestTinyLeavingsOfTheEnvelopeAreNotCalled(t *testing.T) {
	for _, c := range []struct {
		name, unit             string
		low, high, least, most float64
		below, above           bool
	}{
		{"circuit a flow", "kg/s", 0.03, 0.03, 0.03, 0.03003, false, false},
		{"circuit a flow", "kg/s", 0.03, 0.03, 0.0297, 0.0303, true, true},
		{"circuit a quality", "1", -0.342, -0.342, -0.345, -0.305, false, false},
		{"circuit a quality", "1", -0.342, -0.1, -0.345, 0.02, false, true},
		{"circuit a quality", "1", -0.2, 0.4, -0.3, 0.402, false, false},
		{"block temperature", "K", 293, 293, 292.9, 293.1, false, false},
		{"block temperature", "K", 293, 593, 293, 596, false, true},
		{"absorbed irradiance", "W/m2", 0, 50e3, 0, 50.1e3, false, false},
		{"passes", "1", 5, 5, 4, 4, true, false},
		{"passes", "1", 5, 5, 6, 6, false, true},
	} {
		below, above := false, false
		for _, d := range beyond(Range{c.name, c.unit, c.low, c.high}, Range{c.name, c.unit, c.least, c.most}) {
			below, above = below || d.Direction == "below", above || d.Direction == "above"
		}
		if below != c.below || above != c.above {
			t.Errorf("%s %g to %g beside %g to %g: below %v, above %v", c.name, c.least, c.most, c.low, c.high, below, above)
		}
	}
}

// TestProfileFindsASkewInterval has one parameter whose likelihood is skew: with y = exp(x) + e the ends of the
// interval are the logarithms of those of exp(x).
func TestProfileFindsASkewInterval(t *testing.T) {
	run := func(_ context.Context, p heat.Problem) (*heat.Result, error) {
		r, err := standIn(context.Background(), p)
		if err == nil { // the contact's logarithm stands for itself
			x := p.Receiver.Passes[0].Contact.Value.At(400)
			for i := range r.History.Columns[1].Values {
				r.History.Columns[1].Values[i] = 300 + math.Exp(x/100)
			}
		}
		return r, err
	}
	trial := Trial{Name: "one", Load: loaderOf(smallDir, "trial-1.yaml")}
	value := math.Exp(2.0)
	c := Channel{Column: "T1", Noise: 2}
	for k := range 60 {
		c.Time, c.Value = append(c.Time, float64(100*(k+1))), append(c.Value, 300+value)
	}
	c.Quantity = 1 // temperature
	trial.Channels = []Channel{c}
	out, err := Estimate(context.Background(), Problem{
		Parameters: []Parameter{{Name: "x", Paths: []string{"receiver.tube.contact"}, Start: 180, Lower: 20, Upper: 400}}, Trials: []Trial{trial},
	}, Options{Run: run, Starts: -1, Profiles: true})
	if err != nil {
		t.Fatal(err)
	}
	e := out.Estimates[0]
	if !e.Profiled || math.Abs(e.Value-200) > 3 || e.Upper-e.Value >= e.Value-e.Lower {
		t.Fatalf("%+v", e)
	}
	if e.LowerStops || e.UpperStops {
		return // the noise found was so wide that a bound came first
	}
	up, down := math.Exp(e.Upper/100)-value, value-math.Exp(e.Lower/100)
	if math.Abs(up-down) > 0.1*up {
		t.Errorf("in exp(x) the interval is not even: %.4g up, %.4g down", up, down)
	}
}
