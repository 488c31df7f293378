package season

import (
	"context"
	"math"
	"testing"

	"emberbank/heat"
	"emberbank/yield"
)

// On a day apart the fast model says of efficiencies, light and the load's hours what the full model does.
func TestWhatADayAmountsToIsWhatTheFullModelSays(t *testing.T) {
	s := makeOnce[makesSteam](t)
	if s.m == nil {
		t.Fatal(s.err)
	}
	p := s.p
	p.Duty = p.Duty.Over(p.Until)
	day := DayAt(4, 400)
	b := &builder{ctx: context.Background(), p: &p, l: s.m.l, o: Options{Run: heat.Run}}
	o, err := b.day(day)
	if err != nil {
		t.Fatal(err)
	}
	out, err := s.m.run(context.Background(), &o.duty, o.rows[0].Heat, day.Lasts, rowsEvery)
	if err != nil {
		t.Fatal(err)
	}
	q := p
	q.Duty, q.Until = o.duty, day.Lasts
	full, fast := yield.Of(&q, o.result), yield.Of(&q, s.m.Result(out))
	t.Logf("first law %.4f for %.4f, second law %.4f for %.4f, met %.4g for %.4g, held %.4g for %.4g s, entropy of the water %.4g for %.4g, of the store %.4g for %.4g J/K", fast.First, full.First,
		fast.Second, full.Second, fast.Served.Met, full.Served.Met, fast.Served.Held, full.Served.Held, out.Account.Water.Entropy, o.result.Account.Water.Entropy, out.Account.Stored.Entropy, o.result.Account.Stored.Entropy)
	for _, c := range []struct {
		name            string
		fast, full, off float64
	}{
		{"efficiency by the first law", fast.First, full.First, 0.01},
		{"efficiency by the second law", fast.Second, full.Second, 0.01},
		{"light on the opening, kWh", fast.Light / 3.6e6, full.Light / 3.6e6, 0.02},
		{"light offered, kWh", fast.Offered / 3.6e6, full.Offered / 3.6e6, 0.01},
		{"hours in which it is wanted", fast.Served.Asked / 3600, full.Served.Asked / 3600, 1e-3},
		{"the ambient's mean, K", fast.Air, full.Air, 0.1},
		{"exergy of a joule that the water carries off", fast.Exergy.Water / fast.Delivered, full.Exergy.Water / full.Delivered, 0.01},
		{"the tank beside meets, kWh", fast.Beside.Met / 3.6e6, full.Beside.Met / 3.6e6, 0.05},
	} {
		if !(math.Abs(c.fast-c.full) <= c.off) {
			t.Errorf("%s: %g, by the full model %g", c.name, c.fast, c.full)
		}
	}
}

// By hand: 1000 J/K from 300 K to 400 K hold 1000 ln(4/3) J/K; what melts at one temperature holds its heat over that.
func TestEntropyOfANodeIsThatOfItsMedia(t *testing.T) {
	m := two()
	c := &m.l.curves[1]
	if got, want := c.entropy(c.heat(400))-c.entropy(c.heat(300)), 1000*math.Log(4.0/3); math.Abs(got-want) > 1e-6*want {
		t.Errorf("%g J/K, by hand %g", got, want)
	}
	if got, want := c.entropy(c.heat(293.15))-c.entropy(c.heat(250)), 1000*math.Log(293.15/250); math.Abs(got-want) > 1e-6*want {
		t.Errorf("below 20 degC %g J/K, by hand %g", got, want)
	}
	tin := layCurve(twoMedia())
	low := tin.heat(505)
	if got, want := tin.entropy(low+0.75*3*60e3)-tin.entropy(low+0.25*3*60e3), 0.5*3*60e3/505; math.Abs(got-want) > 1e-3*want {
		t.Errorf("melting takes up %g J/K, by hand %g", got, want)
	}
}
