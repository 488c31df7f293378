package balance

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"emberbank/internal/testkit"
)

func checkPhases(t *testing.T, name string, in *Input, bounds []float64, slack float64) {
	t.Helper()
	found, err := FindPhases(in)
	if err != nil {
		t.Fatal(err)
	}
	want := []Kind{HeatUp, Hold, Drain, Cool}
	if len(found) != len(want) {
		t.Errorf("%s: %d phases are found, not 4: %+v", name, len(found), found)
		return
	}
	for i, p := range found {
		if p.Kind != want[i] || math.Abs(p.From-bounds[i]) > slack || p.Why == "" {
			t.Errorf("%s: phase %d is a %s from %.0f s (%s); true is a %s from %.0f s", name, i+1, p.Kind, p.From, p.Why, want[i], bounds[i])
		}
		if i > 0 && p.From != found[i-1].To {
			t.Errorf("%s: a gap stands before phase %d", name, i+1)
		}
	}
}

func TestPhasesAreFoundThroughNoiseSpikesAndClouds(t *testing.T) {
	for seed := range uint64(20) {
		m := make1(circumstances{seed: seed, every: 20, noise: 1.5, missing: 0.1})
		rng := rand.New(rand.NewPCG(seed, 9))
		h := m.in.History
		core, power, flow := h.Column("core").Values, h.Column("heater power").Values, h.Column("circuit main flow").Values
		for i := range core {
			if rng.Float64() < 0.01 {
				core[i] += 200
			}
			if rng.Float64() < 0.003 { // a cloud of a minute
				for k := i; k < min(i+3, len(power)); k++ {
					power[k] *= 0.02
				}
			}
			if rng.Float64() < 0.005 && !math.IsNaN(flow[i]) {
				flow[i] = 0
			}
		}
		checkPhases(t, "noise", &m.in, m.bounds, 100)
	}
}

func TestPhasesAreFoundWithoutAWattmeter(t *testing.T) {
	for seed := range uint64(10) {
		m := make1(circumstances{seed: seed, every: 20, noise: 0.5})
		m.in.Channels = m.in.Channels[:5] // the last is the source
		found, err := FindPhases(&m.in)
		if err != nil {
			t.Fatal(err)
		}
		if found[0].Kind != HeatUp || math.Abs(found[0].To-m.bounds[1]) > 300 {
			t.Errorf("the heat-up ends at %.0f s, not %.0f s: %+v", found[0].To, m.bounds[1], found)
		}
		drains := 0
		for _, p := range found {
			if p.Kind == Drain {
				drains++
				testkit.Close(t, "begin of the drain", p.From, m.bounds[2], 0, 100)
			}
		}
		if drains != 1 {
			t.Errorf("%d drains are found", drains)
		}
	}
}

func TestPhasesByHandAreTaken(t *testing.T) {
	m := make1(circumstances{seed: 1, every: 20, noise: 0.1})
	m.in.Phases = []Given{{Drain, 9500, 12000}}
	r, err := Reduce(m.in)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Phases) != 1 || !r.Phases[0].ByHand || r.Phases[0].From != 9500 {
		t.Errorf("by hand: %+v", r.Phases)
	}
	m.in.Phases = []Given{{Drain, 9500, 9000}}
	if _, err := Reduce(m.in); err == nil || !strings.Contains(err.Error(), "end after it begins") {
		t.Error(err)
	}
	m.in.Phases = []Given{{Drain, 90000, 99000}}
	if _, err := Reduce(m.in); err == nil || !strings.Contains(err.Error(), "fewer than two rows") {
		t.Error(err)
	}
}

// TestMissingRowsAreBridgedAndSaid takes a tenth of the drain's rows and ten minutes in one piece.
func TestMissingRowsAreBridgedAndSaid(t *testing.T) {
	outside := 0
	for seed := range uint64(30) {
		m := make1(circumstances{seed: seed, every: 10, noise: 0.3, missing: 0.2})
		for i := range 4 {
			m.in.Phases = append(m.in.Phases, Given{[]Kind{HeatUp, Hold, Drain, Cool}[i], m.bounds[i], m.bounds[i+1] - 1})
		}
		m.in.Quick = true
		h := m.in.History
		for i, x := range h.Time {
			if x > 10000 && x < 10600 {
				h.Column("circuit main outlet").Values[i] = math.NaN()
			}
		}
		for i := range m.in.Channels { // what is left is the bridging
			m.in.Channels[i].Errors = nil
		}
		r, err := Reduce(m.in)
		if err != nil {
			t.Fatal(err)
		}
		p := r.Phases[2]
		gaps := 0.0
		for _, row := range p.Water.Rows {
			if strings.Contains(row.Component, "missing rows") {
				gaps = row.U
			}
		}
		if gaps == 0 || p.Missing < 0.2 || len(p.Notes) == 0 {
			t.Fatalf("the missing rows do not show: share %g, u %g, notes %q", p.Missing, gaps, p.Notes)
		}
		if math.Abs(p.Water.Value-m.heat[2][1]) > p.Water.Half() {
			outside++
		}
	}
	if outside > 5 { // 1.5 are expected; more than 5 come with a chance of a few in a thousand
		t.Errorf("the truth lies outside in %d of 30", outside)
	}
}

func TestCoolingThatIsNotExponentialIsSaid(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	var ts, T, Ta []float64
	hot := 800.0
	for i := range 2000 {
		ts, T, Ta = append(ts, 20*float64(i)), append(T, hot+0.2*rng.NormFloat64()), append(Ta, 295)
		hot -= 20 * 2e-11 * 60 * (math.Pow(hot, 4) - math.Pow(295, 4)) / 4e3 // radiation alone
	}
	in := &Input{}
	f, err := fitCooling(ts, T, Ta)
	if err != nil {
		t.Fatal(err)
	}
	c := &Cooling{Rate: f.rate, U: f.u}
	in.halves(c, ts, T, Ta)
	if c.Exponential || !(c.First > 1.3*c.Second) {
		t.Errorf("radiation is taken for an exponential: rates %g and %g", c.First, c.Second)
	}
}

// TestCoolingRatesAreHonestAboutSlowNoise draws 200 coolings with noise that remembers; the 95 % interval may miss in
// 2 to 20 of them, but for one chance in a few hundred (binomial).
func TestCoolingRatesAreHonestAboutSlowNoise(t *testing.T) {
	const k = 1.0 / 9000
	for _, rho := range []float64{0, 0.8, 0.95} {
		missed := 0
		for seed := range uint64(200) {
			rng := rand.New(rand.NewPCG(seed, 5))
			e := autoregression(rng, 720, rho, 0.3)
			var ts, T, Ta []float64
			for i := range e {
				x := 20 * float64(i)
				ts, T, Ta = append(ts, x), append(T, 295+250*math.Exp(-k*x)+e[i]), append(Ta, 295)
			}
			f, err := fitCooling(ts, T, Ta)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(f.rate-k) > t95(f.dof, 2)*f.u {
				missed++
			}
		}
		t.Logf("memory %.2f: %d of 200 missed", rho, missed)
		if missed > 20 {
			t.Errorf("memory %.2f: the interval misses the rate in %d of 200", rho, missed)
		}
	}
}

func TestBoilingAtTheOutletIsALowerBound(t *testing.T) {
	for _, pressure := range []float64{atmosphere, 0} { // known, and not recorded
		m := make1(circumstances{every: 10})
		out := m.in.History.Column("circuit main outlet").Values
		for i, x := range m.in.History.Time {
			if x > 9100 && x < 9400 {
				out[i] = 373.15
			}
		}
		m.in.Pressure = pressure
		r, err := Reduce(m.in)
		if err != nil {
			t.Fatal(err)
		}
		if notes := strings.Join(r.Phases[2].Notes, " "); !strings.Contains(notes, "lower bound") || !strings.Contains(notes, "scald") {
			t.Errorf("at %.0f Pa boiling is not said: %q", pressure, notes)
		}
		if w := r.Phases[2].Water; w.Value > 1.2*m.heat[2][1] {
			t.Errorf("at %.0f Pa the water is said to take %.3g J of %.3g J: water is taken for steam", pressure, w.Value, m.heat[2][1])
		}
	}
}
