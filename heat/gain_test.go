package heat

import (
	"math"
	"reflect"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/material"
)

// served is a block at T degC with two passes in series, each 0.3 m long in eight slices, at a pressure and a flow.
func served(T, pressure, flow float64) Problem {
	p := cuboid(block.Point{0.1, 0.3, 0.1}, [3]int{4, 8, 4}, plain(2000, 1000, 100))
	p.Receiver.Media = append(p.Receiver.Media, plain(8000, 500, 16))
	p.Initial = T + zero
	for i, x := range []float64{0.03, 0.07} {
		t := p.tube(string(rune('1'+i)), block.Width, block.Point{x, 0, 0.05})
		t.Contact.Value, t.WallMedium = material.Constant(1500), 1
	}
	p.circuit(flow, 20+zero, pressure, through(&p, 0, false), through(&p, 1, true))
	p.Until, p.Output = 1e-3, []float64{0}
	return p
}

// regimes are flows through served of every kind.
var regimes = []struct {
	name                 string
	T, pressure, flow    float64
	quality              [2]float64 // bounds of the outlet's
	flowHelps, touchHelp bool       // whether more flow, more contact, would pass at least 2 % more
}{
	{"liquid at a full tap", 90, 5e5, 0.3, [2]float64{-1, 0}, false, true},
	{"liquid at a trickle", 90, 5e5, 0.0005, [2]float64{-1, 0}, true, false},
	{"boiling", 250, 3e5, 0.004, [2]float64{0.05, 0.65}, false, true},
	{"drying in the pass", 320, 2e5, 0.0012, [2]float64{0.72, 1.2}, true, false},
	{"steam as hot as the block", 400, 2e5, 0.0003, [2]float64{1.05, 2}, true, false},
}

// settled lets p's flow last in its cells as they stand, with the chain changed, and returns each pass's heat and chain.
func settled(t *testing.T, p Problem, change larger) (heat []float64, chains []Chain, quality float64) {
	t.Helper()
	m, err := newMarch(&p)
	if err != nil {
		t.Fatal(err)
	}
	defer m.s.team.stop()
	m.tubes.more = change
	m.apply(m.player.Fire(0))
	if err := m.water(true); err != nil {
		t.Fatal(err)
	}
	for range 5 {
		if err := m.settle(); err != nil {
			t.Fatal(err)
		}
	}
	if err := m.present(); err != nil {
		t.Fatal(err)
	}
	heat = append(heat, m.rec.present.passes...)
	m.rec.keepNow(keep{row: true})
	_, quality = m.streams[0].outlet(m.streams[0].shown)
	return heat, m.rec.chains.list, quality
}

// A gain is what a run takes that has the better link from its start, in cells that stand as in the run that is asked.
// The two find the films of a boiling wall from different guesses, whence 0.3 % of the heat.
func TestGainIsWhatARunWithTheBetterLinkTakes(t *testing.T) {
	for _, c := range regimes {
		p := served(c.T, c.pressure, c.flow)
		base, chains, x := settled(t, p, larger{1, 1, 1})
		if !(x >= c.quality[0] && x <= c.quality[1]) {
			t.Errorf("%s: the outlet's quality is %.3g", c.name, x)
		}
		for link, change := range map[int]larger{
			inContact: {1, 1.1, 1}, inWall: {1, 1, 1.1}, inFilm: {1.1, 1, 1}, inHeating: {1, 1, 1},
		} {
			q := p
			if link == inHeating {
				q = served(c.T, c.pressure, 1.1*c.flow)
			}
			more, _, _ := settled(t, q, change)
			for pass := range base {
				closeTo(t, c.name+": gain of "+linkNames[link]+" in pass "+p.Receiver.Passes[pass].Name, chains[pass].Links[link].Gain, more[pass]/base[pass]-1, 0.003)
			}
		}
		whole := func(link int) float64 {
			sum, all := 0.0, 0.0
			for pass, q := range base {
				sum, all = sum+q*chains[pass].Links[link].Gain, all+q
			}
			return sum / all
		}
		if got := whole(inHeating) > 0.02; got != c.flowHelps {
			t.Errorf("%s: a tenth more flow gives %.3g of the heat", c.name, whole(inHeating))
		}
		if got := whole(inContact) > 0.02; got != c.touchHelp {
			t.Errorf("%s: a tenth more contact gives %.3g of the heat", c.name, whole(inContact))
		}
	}
}

// Asking for gains leaves no trace: the history is, to the last bit, that of a run that was not asked.
func TestGainsChangeNothingOfTheRun(t *testing.T) {
	for _, c := range regimes {
		p := served(c.T, c.pressure, c.flow)
		p.every(1, 30)
		asked := solve(t, p)
		m, err := newMarch(&p)
		if err != nil {
			t.Fatal(err)
		}
		m.rec.chains.idle = true
		not, err := m.run(t.Context())
		m.s.team.stop()
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(asked.History, not.History) || asked.Ledger.Carried != not.Ledger.Carried || !reflect.DeepEqual(asked.Warnings, not.Warnings) {
			t.Errorf("%s: the run differs when gains are asked for", c.name)
		}
		if math.IsNaN(asked.Chains[0].Links[inContact].Gain) || !math.IsNaN(not.Chains[0].Links[inContact].Gain) {
			t.Errorf("%s: gains were not asked for as they should be", c.name)
		}
	}
}

func TestSharesSumToOneInEveryRegime(t *testing.T) {
	for _, c := range regimes {
		p := served(c.T, c.pressure, c.flow)
		p.every(5, 20)
		r := solve(t, p)
		for _, ch := range r.Chains {
			sum := 0.0
			for _, l := range ch.Links {
				sum += l.Share
				if l.Name != "block" && !(l.Share > -1e-3 && l.Share < 1.001) {
					t.Errorf("%s: %s of pass %s takes %.4g of the drop at %g s", c.name, l.Name, ch.Pass, l.Share, ch.Time)
				}
			}
			closeTo(t, c.name+": sum of the shares", sum, 1, 1e-9)
		}
	}
}

// The moment after cold water was let into a hot block, all of it still stands at the inlet: nothing has been heated up,
// and no link takes less than nothing.
func TestFirstMomentOfAFlowHasHeatedNoWater(t *testing.T) {
	p := served(300, 3e5, 0.001)
	p.Duty.Switches.Water[0] = duty.Drained
	p.Duty.Events = []duty.Event{{At: 5, Name: "open", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Flowing)}}}}
	p.every(5, 10)
	r := solve(t, p)
	for _, ch := range r.Chains[2:4] {
		closeTo(t, "drop by the water's heating, K", ch.Links[inHeating].Resistance*ch.Heat, 0, 1e-6)
		closeTo(t, "water, K", ch.Water, 20+zero, 1e-6)
	}
}

// While a whole pass boils, its water stands at the boiling point: the drop from there to the inlet is the boiling
// point's, whatever the flow, and none is the water's heating.
func TestBoilingPassPutsItsDropToTheBoilingPoint(t *testing.T) {
	p := served(250, 3e5, 0.004)
	p.Duty.Water[0].Inlet.V[0] = 133 + zero // boils at 133.5 °C (IAPWS-IF97)
	r := solve(t, p)
	second := r.Chains[1]
	water := second.Water - 133 - zero
	closeTo(t, "water of pass 2 over the inlet, K", water, 0.53, 0.05)
	closeTo(t, "drop to the boiling point, K", second.Links[inBoiling].Resistance*second.Heat, water, 1e-6)
	closeTo(t, "drop by the water's heating, K", second.Links[inHeating].Resistance*second.Heat, 0, 1e-6)

	// Steam that has been superheated: heating and boiling point make up the whole, and both count.
	r = solve(t, served(400, 2e5, 0.0003))
	second = r.Chains[1]
	heating, boiling := second.Links[inHeating].Resistance*second.Heat, second.Links[inBoiling].Resistance*second.Heat
	closeTo(t, "both, K", heating+boiling, second.Water-20-zero, 1e-6)
	closeTo(t, "boiling point over the inlet, K", boiling, 120.2-20, 0.5)
	if !(heating > 80) {
		t.Errorf("steam near a block at 400 °C was superheated by only %.3g K", heating)
	}
}

// A chain without the spreading link and nearly no resistance counts a share of the spreading instead: the books of its
// drops still close.
func TestSharesSumToOneWithoutResistance(t *testing.T) {
	p := lumped(1)
	p.Receiver.Passes[0].FilmNone, p.Receiver.Passes[0].FilmFixed = true, 0
	p.circuit(0.01, 20+zero, 5e5, through(&p, 0, false))
	p.every(5, 10)
	for _, ch := range solve(t, p).Chains {
		sum := 0.0
		for _, l := range ch.Links {
			sum += l.Share
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("shares sum to %.10g at %g s", sum, ch.Time)
		}
	}
}
