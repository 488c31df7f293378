package follow

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"emberbank/bench"
	"emberbank/duty"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/trial"
)

// lampDay is the first trial of the small example with its light times a factor, which a match found.
func lampDay(t *testing.T, factor float64, until float64) heat.Problem {
	t.Helper()
	r, ps := bench.LoadRun(os.DirFS("../examples/small-match"), "trial-1.yaml", bench.Options{Factor: map[string]float64{"duty.light.power": factor}})
	if ps.Failed() {
		t.Fatal(ps)
	}
	p := r.Problem
	p.Until, p.Threads, p.Output = until, 1, nil
	for s := 0.0; s <= until; s += rowTime {
		p.Output = append(p.Output, s)
	}
	return p
}

// TestALampThatIsSwitchedOffDrivesAsThePlainRun measures a lamp that goes off in the middle, with readings that hold and with
// such as are joined by lines; a match has found that 7 % less of it arrives. The course computed from what is measured is that of the run itself.
func TestALampThatIsSwitchedOffDrivesAsThePlainRun(t *testing.T) {
	const until, found, off = 4200.0, 0.93, 2700.0
	plain, err := heat.Run(context.Background(), lampDay(t, found, until))
	if err != nil {
		t.Fatal(err)
	}
	for _, hold := range []bool{true, false} {
		t.Run(fmt.Sprintf("hold %v", hold), func(t *testing.T) {
			f := New(Plan{})
			f.Use(&Model{
				Run: heat.Run, Ahead: 60, Parameters: []Parameter{{Name: "lamp", Value: found, SD: 0.01}}, Covariance: [][]float64{{1e-4}},
				Load: func(i int, v float64) (heat.Problem, error) {
					if i < 0 {
						v = found
					}
					return lampDay(t, v, until), nil
				},
				Stated: func(int, float64) (heat.Problem, error) { return lampDay(t, 1, until), nil },
			})
			rows := trial.Fresh{
				Columns: []trial.Column{
					{Name: "T1", Quantity: history.Temperature, Role: trial.Body, Noise: 0.1},
					{Name: "light", Quantity: history.HeatFlow, Role: trial.LightPower, Noise: 350 / math.Sqrt(12), Resolution: 350},
				},
				Interval: rowTime, Now: until, Stuck: make([]bool, 2), Hold: []bool{false, hold}, Values: make([][]float64, 2), Newest: []float64{300, 0},
			}
			for i, v := range plain.History.Column("T1").Values {
				light := 350.0
				if s := rowTime * float64(i); s >= off {
					light = 0
				}
				rows.Time = append(rows.Time, rowTime*float64(i))
				rows.Values[0], rows.Values[1] = append(rows.Values[0], v), append(rows.Values[1], light)
			}
			f.Take(rows, until)
			ask, ok := f.Ask()
			if !ok {
				t.Fatal("nothing to predict")
			}
			p, err := ask.Predict(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			most, moved := 0.0, 0.0
			for i, want := range plain.History.Column("T1").Values {
				at := rowTime * float64(i)
				if at > p.Known {
					break
				}
				got, moves, ok := p.column("T1", at)
				if !ok {
					t.Fatalf("at %g s nothing is predicted", at)
				}
				moved = max(moved, moves[0])
				if math.Abs(at-off) > rowTime { // between these rows it went off, and lines do not know when
					most = max(most, math.Abs(got-want))
				}
			}
			if most > map[bool]float64{true: 0.4, false: 1.6}[hold] { // half a row of the lamp is 1.1 K
				t.Errorf("the prediction is off by %.2f K", most)
			}
			if moved < 100 { // 1 K for each per cent of the lamp, and more
				t.Errorf("the lamp's factor moves the prediction by %g K at most", moved)
			}
			t.Logf("off by %.2f K, moved by %.0f K for the whole lamp", most, moved)
		})
	}
}

// TestAFactorOfTheMatchIsOneOrIsTold: what is measured can be multiplied, but not bent.
func TestAFactorOfTheMatchIsOneOrIsTold(t *testing.T) {
	light := func(v ...float64) *duty.Duty {
		return &duty.Duty{Light: &duty.Light{Power: duty.Signal{T: []float64{0, 10, 20}[:len(v)], V: v}}}
	}
	for _, c := range []struct {
		d, stated *duty.Duty
		factor    float64
		ok        bool
	}{
		{light(930), light(1000), 0.93, true},
		{light(0, 50, 100), light(0, 100, 200), 0.5, true},
		{light(0, 0), light(0, 0), 1, true},
		{light(0, 50, 300), light(0, 100, 200), 1, false},
		{light(1), light(1, 2), 1, false},
		{light(930), nil, 1, true},
		{&duty.Duty{}, &duty.Duty{}, 1, true},
	} {
		f, ok := factor(c.d, c.stated, func(d *duty.Duty) *duty.Signal {
			if d.Light == nil {
				return nil
			}
			return &d.Light.Power
		})
		if math.Abs(f-c.factor) > 1e-12 || ok != c.ok {
			t.Errorf("%v of %v is %g, %v", c.d, c.stated, f, ok)
		}
	}
	p := heat.Problem{Duty: *light(0, 50, 300)}
	a := Ask{model: &Model{}, inputs: []*input{{role: trial.LightPower, name: "light", t: []float64{0}, v: []float64{500}}}}
	_, notes := a.drive(&p, light(0, 100, 200), nil)
	if p.Duty.Light.Power.At(5) != 500 || !strings.Contains(strings.Join(notes, ";"), "no single factor") {
		t.Errorf("driven by %v, %q", p.Duty.Light.Power, notes)
	}
}

// TestAnUptakeThatIsPoorlyKnownWidensTheBand: the share of a lamp that goes into the block moves the prediction as the lamp itself
// would.
func TestAnUptakeThatIsPoorlyKnownWidensTheBand(t *testing.T) {
	a := Ask{
		model: &Model{
			Run: heat.Run, Ahead: 60, Uptakes: map[string]float64{"lamp power": 0.4}, Covariance: [][]float64{{9e-4}},
			Parameters: []Parameter{{Name: "uptake of lamp power", Value: 0.4, SD: 0.03, Uptake: "lamp power"}},
			Load: func(i int, _ float64) (heat.Problem, error) {
				if i >= 0 {
					t.Error("the run itself is moved")
				}
				return lampDay(t, 1, 1200), nil
			},
		},
		inputs: []*input{{role: trial.LampPower, name: "lamp power", t: []float64{0}, v: []float64{700}}},
		known:  1200, times: []float64{600, 1200}, names: []string{"T1"},
	}
	p, err := a.Predict(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	v, moves, _ := p.column("T1", 1200)
	sd := math.Sqrt(a.model.variance(moves))
	if rise := v - 293.15; math.Abs(sd/rise-0.03/0.4) > 0.005 { // less what more is lost
		t.Errorf("the prediction rises by %.1f K ± %.1f K with an uptake of 0.40 ± 0.03", rise, sd)
	}
}
