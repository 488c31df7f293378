package match

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"emberbank/bench"
	"emberbank/heat"
	"emberbank/history"
)

// Made-up trials: the program computes them itself with parameters of its own choice, and errors of the kinds that
// sensors and models have are laid over. All numbers are invented.

func loaderOf(dir, name string) Loader {
	fsys := os.DirFS(dir)
	return func(s Settings) (heat.Problem, error) {
		run, problems := bench.LoadRun(fsys, name, bench.Options{Override: s.Values, Factor: s.Factors})
		if problems.Failed() {
			return heat.Problem{}, problems
		}
		return run.Problem, nil
	}
}

// smallParameters are those of the small receiver.
func smallParameters() []Parameter {
	return []Parameter{
		{Name: "contact", Paths: []string{"receiver.tube.contact"}, Start: 400, Lower: 100, Upper: 1500},
		{Name: "wool conductivity", Paths: []string{"receiver.materials[1].conductivity"}, Start: 0.05, Lower: 0.02, Upper: 0.15},
		{Name: "absorptance", Paths: []string{"receiver.window.absorptance"}, Start: 0.9, Lower: 0.5, Upper: 1},
	}
}

// errorsOf are the errors of a made-up trial, standard deviations in SI.
type errorsOf struct {
	offset  float64 // of each sensor, the same in all trials
	white   float64
	ar      float64 // first-order autoregressive
	lasting float64 // s
	slow    float64 // smooth departures of the model, over the trial's length and half of it
	share   float64 // of the slow departures that all sensors of a trial have in common
}

func cleanTrials(t testing.TB, run Runner, dir string, names []string, parameters []Parameter, truth []float64, columns []string) []Trial {
	t.Helper()
	var out []Trial
	for _, name := range names {
		trial := Trial{Name: name, Load: loaderOf(dir, name+".yaml")}
		p, err := trial.Load(settings(parameters, &trial, truth))
		if err != nil {
			t.Fatal(err)
		}
		r, err := run(context.Background(), p)
		if err != nil {
			t.Fatal(err)
		}
		if r.Cells > 500 {
			t.Fatalf("%d cells: more than 500", r.Cells)
		}
		for _, c := range columns {
			col := r.History.Column(c)
			if col == nil {
				t.Fatalf("no column %q", c)
			}
			trial.Channels = append(trial.Channels, Channel{Column: c, Quantity: history.Temperature, Time: r.History.Time, Value: col.Values})
		}
		out = append(out, trial)
	}
	return out
}

func spoil(clean []Trial, e errorsOf, seed uint64) []Trial {
	r := rand.New(rand.NewPCG(seed, 2))
	var out []Trial
	offsets := map[string]float64{}
	for _, t := range clean {
		t.Channels = append([]Channel(nil), t.Channels...)
		shared := wave(r)
		for i := range t.Channels {
			c := &t.Channels[i]
			if _, ok := offsets[c.Column]; !ok {
				offsets[c.Column] = e.offset * r.NormFloat64()
			}
			own := wave(r)
			values := make([]float64, len(c.Value))
			ar, last := e.ar*r.NormFloat64(), c.Time[0]
			end := c.Time[len(c.Time)-1]
			for k, v := range c.Value {
				f := math.Exp(-(c.Time[k] - last) / e.lasting)
				ar, last = f*ar+e.ar*math.Sqrt(1-f*f)*r.NormFloat64(), c.Time[k]
				u := c.Time[k] / end
				slow := e.slow * (math.Sqrt(e.share)*shared(u) + math.Sqrt(1-e.share)*own(u))
				values[k] = v + offsets[c.Column] + e.white*r.NormFloat64() + ar + slow
			}
			c.Value, c.Noise = values, e.white
			if e.offset > 0 {
				c.Parts = []Part{{Group: c.Column, Constant: e.offset}}
			}
		}
		out = append(out, t)
	}
	return out
}

// wave is a smooth random course over 0..1 with a standard deviation of one.
func wave(r *rand.Rand) func(u float64) float64 {
	var a, b [3]float64
	for k := range a {
		a[k], b[k] = r.NormFloat64(), r.NormFloat64()
	}
	return func(u float64) float64 {
		sum := 0.0
		for k := range a {
			w := 2 * math.Pi * u * (0.5 + 0.5*float64(k))
			sum += a[k]*math.Cos(w) + b[k]*math.Sin(w)
		}
		return sum / math.Sqrt(3)
	}
}

// standIn computes the small receiver as two lumps instead of by heat.Run: the block, with T1 and T2 a little apart by
// the light, and the water. It takes the same inputs and gives the same columns a hundred times faster.
func standIn(_ context.Context, p heat.Problem) (*heat.Result, error) {
	rec := &p.Receiver
	wool := 0.0
	for i := range rec.Media {
		if rec.Media[i].Name == "wool" {
			wool = rec.Media[i].Conductivity[0].At(400)
		}
	}
	contact := rec.Passes[0].Contact.Value.At(400)
	const capacity, area, tubes = 1.15e-3 * 2700 * 950, 0.075, 2 * 0.12 * math.Pi * 0.010
	light := rec.Window.Absorptance * p.Duty.Light.Power.At(0)
	loss := wool/0.04*area + 0.05
	flow := p.Duty.Water[0].Flow.At(0) * 4186
	T := p.Initial
	r := &heat.Result{Cells: 1}
	names := []string{"block mean", "T1", "T2", "circuit main outlet", "absorbed"}
	cols := make([][]float64, len(names))
	now := 0.0
	for _, at := range p.Output {
		for now < at {
			dt := min(10, at-now)
			q := -loss * (T - 293.15)
			if now < 2700 {
				q += light - 0.8*5.67e-8*0.0064*(T*T*T*T-293.15*293.15*293.15*293.15)
			}
			if now >= 5400 {
				ua := 1 / (1/(contact*tubes) + 1/30.0)
				q -= flow * (1 - math.Exp(-ua/flow)) * (T - 288.15)
			}
			T += q / capacity * dt
			now += dt
		}
		lit, out := 0.0, math.NaN()
		if at < 2700 {
			lit = light
		}
		if at >= 5400 {
			ua := 1 / (1/(contact*tubes) + 1/30.0)
			out = 288.15 + (1-math.Exp(-ua/flow))*(T-288.15)
		}
		r.History.Time = append(r.History.Time, at)
		for i, v := range []float64{T, T + lit*0.005, T - lit*0.002, out, lit} {
			cols[i] = append(cols[i], v)
		}
	}
	for i, n := range names {
		q := history.Temperature
		if n == "absorbed" {
			q = history.HeatFlow
		}
		r.History.Columns = append(r.History.Columns, history.Column{Name: n, Quantity: q, Values: cols[i]})
	}
	r.Ended = now
	return r, nil
}

var exampleWrite = flag.Bool("example.write", false, "write the measurements of examples/small-match anew")

// TestExampleIsMadeUp writes the example's measurements, or checks that they are still those that this program would
// make up, to the digits that the files hold, within what the time steps do.
func TestExampleIsMadeUp(t *testing.T) {
	const dir = "../examples/small-match"
	columns := []string{"T1", "T2", "circuit main outlet"}
	clean := cleanTrials(t, heat.Run, dir, []string{"trial-1", "trial-2", "trial-3"}, smallParameters(), []float64{330, 0.062, 0.86}, columns)
	for i, trial := range spoil(clean, coverageErrors, 7) {
		name := filepath.Join(dir, fmt.Sprintf("measured-%d.csv", i+1))
		text := "# made up: computed by the program with hidden parameters, errors laid over\ntime [s],T1 [degC],T2 [degC],circuit main outlet [degC]\n"
		for k, at := range trial.Channels[0].Time {
			text += fmt.Sprintf("%.0f", at)
			for _, c := range trial.Channels {
				if v := c.Value[k]; math.IsNaN(v) {
					text += ","
				} else {
					text += fmt.Sprintf(",%.2f", v-273.15)
				}
			}
			text += "\n"
		}
		if *exampleWrite {
			if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		have, want := strings.Split(string(raw), "\n"), strings.Split(text, "\n")
		if len(have) != len(want) || have[0] != want[0] {
			t.Fatalf("%s has %d lines, want %d", name, len(have), len(want))
		}
	}
}
