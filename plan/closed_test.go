package plan

import (
	"context"
	"math"
	"reflect"
	"strings"
	"testing"

	"emberbank/duty"
	"emberbank/heat"
	"emberbank/match"
)

func make1(t *testing.T, f *formula, p Problem) *Result {
	t.Helper()
	p.Trials = []Trial{{Name: "day", Load: f.load(p.Parameters)}}
	r, err := Make(context.Background(), p, Options{Run: f.run, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestLumpedCoolingIsKnownAsFisherSays has independent noise σ on a lump that cools: the information on its time constant
// is Σ (∂T/∂τ)²/σ² with ∂T/∂τ = θ t/τ² exp(−t/τ), summed here reading by reading and averaged over the moments at which the
// logger may begin. Derived from the definition of the information.
func TestLumpedCoolingIsKnownAsFisherSays(t *testing.T) {
	f, ps := cooling()
	const sigma, tau = 0.2, 3000.0
	for _, every := range []float64{30, 60, 240, 600} {
		r := make1(t, f, Problem{Parameters: ps, Model: none(), Every: every, Sensors: []Sensor{{Column: "T", Noise: sigma, Lasting: 1e-9}}})
		info := 0.0
		const begins = 100
		for b := range begins {
			for at := every * (float64(b) + 0.5) / begins; at < 7200; at += every {
				s := 200 * at / (tau * tau) * math.Exp(-at/tau)
				info += s * s / (sigma * sigma) / begins
			}
		}
		want, got := 1/math.Sqrt(info), math.Sqrt(r.Covariance[0][0])
		if math.Abs(got-want) > 0.003*want { // the chord over ± 2 % of τ is bent by some 0.1 %
			t.Errorf("every %g s: %.5g s, want %.5g s", every, got, want)
		}
		if math.Abs(r.Expected[0].SD-match.Allowance*got) > 1e-9*got {
			t.Errorf("stated %g, without the allowance %g", r.Expected[0].SD, got)
		}
	}
	// In the limit of many readings over all time the sum is an integral: ∫(t/τ²)² exp(−2t/τ) dt = 1/(4 τ).
	r := make1(t, &formula{until: 30 * tau, columns: f.columns, at: f.at}, Problem{Parameters: ps, Model: none(), Every: 30 * tau / 240, Sensors: []Sensor{{Column: "T", Noise: sigma, Lasting: 1e-9}}})
	want := sigma / 200 * math.Sqrt(4*tau*30*tau/240)
	if got := math.Sqrt(r.Covariance[0][0]); math.Abs(got-want) > 0.01*want {
		t.Errorf("over all time %.5g s, want %.5g s", got, want)
	}
}

// level is a temperature that is a parameter itself.
func level() (*formula, []match.Parameter) {
	f := &formula{until: 7200, columns: []string{"T"}, at: func(x []float64, _ *heat.Problem, _ float64) []float64 { return []float64{x[0]} }}
	return f, []match.Parameter{parameter("T", 400, 300, 500)}
}

// TestFastLoggerDoesNotPromiseWithoutEnd measures a level under noise that lasts a time τ: however often it is read within a
// time L, its variance stays above s² 2τ/(L + 2τ). At the interval Δ, with ρ = exp(−Δ/τ) and n readings, it is
// s² (1 + ρ)/((n − 2)(1 − ρ) + 2), with n = L/Δ, for which a clock that begins anywhere has room. Derived from the inverse of
// an autoregressive covariance, which has three diagonals. A logger slower than the rows is taken as such rows with more
// noise, to within 2 % of that.
func TestFastLoggerDoesNotPromiseWithoutEnd(t *testing.T) {
	f, ps := level()
	const s, tau, long = 0.5, 300.0, 7200.0
	model := none()
	model.Lasts = tau
	for _, every := range []float64{30, 120, 600, 1800} {
		r := make1(t, f, Problem{Parameters: ps, Model: model, Every: every, Sensors: []Sensor{{Column: "T", Noise: 1e-6, Lasting: s}}})
		rho, n := math.Exp(-every/tau), long/every
		want := s * math.Sqrt((1+rho)/((n-2)*(1-rho)+2))
		if got := math.Sqrt(r.Covariance[0][0]); math.Abs(got-want) > map[bool]float64{true: 1e-4, false: 0.02}[every == 30]*want {
			t.Errorf("every %g s: %.6g K, want %.6g K", every, got, want)
		}
		floor := s * math.Sqrt(2*tau/(long+2*tau))
		for _, v := range r.Intervals {
			if v.SD[0] < 0.999*floor {
				t.Errorf("every %g s promises %.4g K, below %.4g K", v.Every, v.SD[0], floor)
			}
		}
		if r.Suffices < 60 || r.Suffices > 600 {
			t.Errorf("an interval of %g s suffices for noise that lasts %g s", r.Suffices, tau)
		}
	}
}

// TestOffsetOfTheLoggerIsNotReadAway has two sensors on one logger: their own offsets average out between them, that of the
// logger does not. Closed form: u² = o²/2 + shared².
func TestOffsetOfTheLoggerIsNotReadAway(t *testing.T) {
	f, ps := level()
	f.columns = []string{"T", "U"}
	at := f.at
	f.at = func(x []float64, p *heat.Problem, t float64) []float64 { v := at(x, p, t)[0]; return []float64{v, v} }
	r := make1(t, f, Problem{Parameters: ps, Model: none(), Every: 60, Sensors: []Sensor{
		{Column: "T", Noise: 1e-3, Lasting: 1e-9, Offset: 0.5, Logger: "a", Shared: 0.3},
		{Column: "U", Noise: 1e-3, Lasting: 1e-9, Offset: 0.5, Logger: "a", Shared: 0.3},
	}})
	want := math.Sqrt(0.5*0.5/2 + 0.3*0.3)
	if got := math.Sqrt(r.Covariance[0][0]); math.Abs(got-want) > 1e-3*want {
		t.Errorf("%.5g K, want %.5g K", got, want)
	}
}

// TestPriorAndDataAddAsInformation: 1/u² = 1/u_prior² + 1/u_data².
func TestPriorAndDataAddAsInformation(t *testing.T) {
	f, ps := level()
	ps[0].Prior = &match.Prior{Mean: 400, SD: 0.2}
	r := make1(t, f, Problem{Parameters: ps, Model: none(), Every: 60, Sensors: []Sensor{{Column: "T", Noise: 1e-3, Lasting: 1e-9, Offset: 0.4}}})
	want := 1 / math.Sqrt(1/(0.2*0.2)+1/(0.4*0.4))
	if got := math.Sqrt(r.Covariance[0][0]); math.Abs(got-want) > 1e-3*want {
		t.Errorf("%.5g K, want %.5g K", got, want)
	}
}

// TestWhatActsAsAProductIsNamed has a power and an absorptance that act as their product alone.
func TestWhatActsAsAProductIsNamed(t *testing.T) {
	f := &formula{until: 3600, columns: []string{"T", "far"}, at: func(x []float64, _ *heat.Problem, t float64) []float64 {
		return []float64{300 + x[0]*x[1]*t/3600, 300}
	}}
	ps := []match.Parameter{parameter("power", 100, 50, 150), parameter("absorptance", 0.8, 0.5, 1)}
	r := make1(t, f, Problem{Parameters: ps, Model: none(), Every: 60, Sensors: []Sensor{{Column: "T", Noise: 0.1}, {Column: "far", Noise: 0.1}}})
	if len(r.Confused) != 1 || !reflect.DeepEqual(r.Confused[0].Names, []string{"power", "absorptance"}) {
		t.Fatalf("%+v", r.Confused)
	}
	if s := r.Confused[0].Shares; math.Abs(s[1]-100/0.8) > 1 { // the product's slopes are as 0.8 to 100
		t.Errorf("shares %v", s)
	}
	worst := r.Directions[0]
	if worst.Left < 0.9 || worst.Shares[0]*worst.Shares[1] >= 0 || r.Directions[1].Left > 0.1 {
		t.Errorf("directions %+v", r.Directions)
	}
	if r.Sensors[0].Nil || !r.Sensors[1].Nil || !strings.Contains(r.Sensors[1].Sentence, "teaches nothing") {
		t.Errorf("sensors %+v", r.Sensors)
	}
}

// TestChargeTakesAsLongAsItsHeat heats a lump evenly: the time to a target is proportional to its heat capacity, and so is
// the time's uncertainty. The duty turns the source off too early, which is said.
func TestChargeTakesAsLongAsItsHeat(t *testing.T) {
	f := &formula{
		until: 3600, columns: []string{"T"}, events: []duty.Event{{At: 1800, Name: "hold", Do: []duty.Action{{What: duty.SetLight}}}},
		at: func(x []float64, p *heat.Problem, t float64) []float64 {
			if len(p.Duty.Events) > 0 {
				t = min(t, 1800)
			}
			return []float64{300 + 100*t/x[0]}
		},
	}
	ps := []match.Parameter{parameter("capacity", 2000, 500, 4000)}
	ps[0].Prior = &match.Prior{Mean: 2000, SD: 100}
	p := Problem{Parameters: ps, Model: none(), Every: 60, Sensors: []Sensor{{Column: "T", Noise: 0.1}}, Target: &Target{"T", 450}}
	load := f.load(ps)
	p.Trials = []Trial{{Name: "day", Load: func(s match.Settings) (heat.Problem, error) {
		q, err := load(s)
		q.Duty.Switches.Light, q.Duty.Light = true, &duty.Light{Power: duty.Fixed(1)}
		return q, err
	}}}
	r, err := Make(context.Background(), p, Options{Run: f.run})
	if err != nil {
		t.Fatal(err)
	}
	c := r.Charge
	if math.Abs(c.Time-3000) > 1 || math.Abs(c.High-c.Time-1.96*150) > 1 || math.Abs(c.Time-c.Low-1.96*150) > 1 {
		t.Errorf("%+v", c)
	}
	if want := 1.5 * math.Sqrt(r.Covariance[0][0]); math.Abs(c.AfterSD-want) > 1e-3*want {
		t.Errorf("after the trial %g s, want %g s", c.AfterSD, want)
	}
	if c.Off != 1800 || math.Abs(c.AtOff-390) > 2 || !strings.Contains(c.Sentence, "too early") {
		t.Errorf("%+v", c)
	}
}

func TestPlanIsTheSameForAnyNumberOfWorkers(t *testing.T) {
	f, ps := cooling()
	var got []*Result
	for _, n := range []int{1, 4} {
		p := Problem{Parameters: ps, Sensors: []Sensor{{Column: "T", Noise: 0.2}}, Propose: true}
		p.Trials = []Trial{{Name: "a", Load: f.load(ps)}, {Name: "b", Load: f.load(ps)}}
		r, err := Make(context.Background(), p, Options{Run: f.run, Workers: n})
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, r)
	}
	if !reflect.DeepEqual(got[0], got[1]) {
		t.Error("the answers differ")
	}
	if got[0].Sizes[0].Slow <= 0 || got[0].Sizes[0].Lasting <= 0 || math.Abs(got[0].Sizes[0].SlowTime-0.4*7200) > 1e-6 {
		t.Errorf("the noise is not as a match begins with: %+v", got[0].Sizes)
	}
}
