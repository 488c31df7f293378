package plan

import (
	"context"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"emberbank/bench"
	"emberbank/duty"
	"emberbank/heat"
	"emberbank/history"
	"emberbank/match"
)

var (
	promiseReal    = flag.Bool("promise.real", false, "compute the small receiver by heat.Run instead of the lump")
	promiseRepeats = flag.Int("promise.repeats", 30, "made-up trials of the promise test")
)

// blockOfOneLump is a day of a small block: light until 45 min, hold until 90 min, drain until 2 h. Parameters: contact
// (W/K), loss (W/K), absorptance. All numbers are invented.
func blockOfOneLump() (*formula, []match.Parameter) {
	const capacity, light, flow, film = 3000.0, 350.0, 63.0, 30.0
	solve := func(x []float64, t float64) float64 { // each stretch is linear: T → its own rest with its own time constant
		T := 293.15
		stretch := func(dt, power, g, rest float64) { T = rest + power/g + (T-rest-power/g)*math.Exp(-g*dt/capacity) }
		stretch(min(t, 2700), x[2]*light, x[1], 293.15)
		if t > 2700 {
			stretch(min(t, 5400)-2700, 0, x[1], 293.15)
		}
		if t > 5400 {
			q := flow * (1 - math.Exp(-1/(1/x[0]+1/film)/flow))
			stretch(t-5400, 0, x[1]+q, (x[1]*293.15+q*288.15)/(x[1]+q))
		}
		return T
	}
	f := &formula{
		until: 7200, columns: []string{"T1", "T2", "circuit main outlet"},
		events: []duty.Event{{At: 2700, Name: "hold"}, {At: 5400, Name: "drain"}},
		at: func(x []float64, _ *heat.Problem, t float64) []float64 {
			T, out, lit := solve(x, t), math.NaN(), 0.0
			if t < 2700 {
				lit = x[2] * light
			}
			if t >= 5400 {
				out = 288.15 + (1-math.Exp(-1/(1/x[0]+1/film)/flow))*(T-288.15)
			}
			return []float64{T + 0.005*lit, T - 0.002*lit, out}
		},
	}
	return f, []match.Parameter{parameter("contact", 4, 1, 15), parameter("loss", 0.25, 0.05, 1), parameter("absorptance", 0.86, 0.5, 1)}
}

// smallReceiver is examples/small-match by heat.Run, 416 cells.
func smallReceiver(t *testing.T) ([]match.Parameter, []Trial) {
	fsys := os.DirFS("../examples/small-match")
	load := func(s match.Settings) (heat.Problem, error) {
		run, problems := bench.LoadRun(fsys, "trial-1.yaml", bench.Options{Override: s.Values, Factor: s.Factors})
		if problems.Failed() {
			return heat.Problem{}, problems
		}
		return run.Problem, nil
	}
	return []match.Parameter{
		{Name: "contact", Paths: []string{"receiver.tube.contact"}, Start: 330, Lower: 100, Upper: 1500},
		{Name: "wool", Paths: []string{"receiver.materials[1].conductivity"}, Start: 0.062, Lower: 0.02, Upper: 0.15},
		{Name: "absorptance", Paths: []string{"receiver.window.absorptance"}, Start: 0.86, Lower: 0.5, Upper: 1},
	}, []Trial{{Name: "trial-1", Load: load}}
}

// TestPromiseIsKept plans a trial, then makes up that trial again and again with errors of the planned sizes drawn at
// random, matches each by the code that "emberbank match" uses, which is not told the sizes of what is slow or lasts, and
// compares: if the plan's covariance C, with the allowance that it states, is right, the sum of (x̂ − x)ᵀ C⁻¹ (x̂ − x) over
// all repeats is distributed as chi-square with repeats times parameters degrees of freedom. The bounds are such that a right
// program fails once in a thousand.
func TestPromiseIsKept(t *testing.T) {
	f, ps := blockOfOneLump()
	trials, run := []Trial{{Name: "day", Load: f.load(ps)}}, match.Runner(f.run)
	if *promiseReal {
		ps, trials = smallReceiver(t)
		run = heat.Run
	}
	model := ModelError{Size: map[history.Quantity]float64{history.Temperature: 0.7}, Over: 0.4 * 7200, Alike: 0.5, Lasts: 300}
	var sensors []Sensor
	for _, c := range []string{"T1", "T2", "circuit main outlet"} {
		sensors = append(sensors, Sensor{Column: c, Noise: 0.1, Lasting: 0.2, Offset: 0.5})
	}
	plan, err := Make(context.Background(), Problem{Trials: trials, Parameters: ps, Sensors: sensors, Model: model, Every: 60}, Options{Run: run, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	n := len(ps)
	c := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			c.SetSym(i, j, match.Allowance*match.Allowance*plan.Covariance[i][j])
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(c) {
		t.Fatal("the covariance is not positive")
	}
	clean := clearTrial(t, trials[0], ps, run, sensors)
	repeats := *promiseRepeats
	sum := 0.0
	square := make([]float64, n)
	for i := range repeats {
		out, err := match.Estimate(context.Background(), match.Problem{
			Parameters: ps, Trials: []match.Trial{spoilt(clean, sensors, model, uint64(100+i))},
		}, match.Options{Run: run, Starts: -1, Straight: true, Workers: 2})
		if err != nil {
			t.Fatal(err)
		}
		d := mat.NewVecDense(n, nil)
		for j, e := range out.Estimates {
			d.SetVec(j, e.Value-ps[j].Start)
			square[j] += d.AtVec(j) * d.AtVec(j) / float64(repeats)
		}
		var s mat.VecDense
		if err := chol.SolveVecTo(&s, d); err != nil {
			t.Fatal(err)
		}
		sum += mat.Dot(d, &s)
	}
	chi := distuv.ChiSquared{K: float64(repeats * n)}
	least, most := chi.Quantile(0.0005), chi.Quantile(0.9995)
	for j, p := range ps {
		t.Logf("%s: scatter %.4g, stated %.4g", p.Name, math.Sqrt(square[j]), plan.Expected[j].SD)
	}
	t.Logf("sum %.1f of %.0f expected, allowed %.1f to %.1f", sum, chi.K, least, most)
	if sum < least || sum > most {
		t.Errorf("the errors' sum of squares in units of the promise is %.1f, allowed %.1f to %.1f", sum, least, most)
	}
}

// clearTrial is what sensors without error would read, every 60 s.
func clearTrial(t *testing.T, trial Trial, ps []match.Parameter, run match.Runner, sensors []Sensor) match.Trial {
	t.Helper()
	x := make([]float64, len(ps))
	for j := range x {
		x[j] = ps[j].Start
	}
	p, err := trial.Load(match.SettingsOf(ps, trial.Name, x))
	if err != nil {
		t.Fatal(err)
	}
	p.Output = nil
	for at := 0.0; at <= 7200; at += 60 {
		p.Output = append(p.Output, at)
	}
	p.Tolerance = 0.02
	r, err := run(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	if r.Cells > 500 {
		t.Fatalf("%d cells: more than 500", r.Cells)
	}
	out := match.Trial{Name: trial.Name, Load: trial.Load}
	for _, s := range sensors {
		out.Channels = append(out.Channels, match.Channel{
			Column: s.Column, Quantity: history.Temperature, Time: r.History.Time, Value: r.History.Column(s.Column).Values, Noise: s.Noise,
			Parts: []match.Part{{Group: s.Column, Constant: s.Offset}},
		})
	}
	return out
}

// spoilt lays errors over a trial: an offset, white noise, noise that lasts, and the smooth course of a wrong model, in
// part alike for all.
func spoilt(clean match.Trial, sensors []Sensor, model ModelError, seed uint64) match.Trial {
	r := rand.New(rand.NewPCG(seed, 7))
	at := clean.Channels[0].Time
	smooth := func(dt float64) float64 { b := math.Sqrt(5) * dt / model.Over; return (1 + b + b*b/3) * math.Exp(-b) }
	size := model.Size[history.Temperature]
	common := drawn(r, at, smooth, size*math.Sqrt(model.Alike))
	clean.Channels = slices.Clone(clean.Channels)
	for i, s := range sensors {
		own := drawn(r, at, smooth, size*math.Sqrt(1-model.Alike))
		lasting := drawn(r, at, func(dt float64) float64 { return math.Exp(-dt / model.Lasts) }, s.Lasting)
		offset := s.Offset * r.NormFloat64()
		v := slices.Clone(clean.Channels[i].Value)
		for k := range v {
			v[k] += offset + common[k] + own[k] + lasting[k] + s.Noise*r.NormFloat64()
		}
		clean.Channels[i].Value = v
	}
	return clean
}

// drawn is a random course of a given correlation: the Cholesky factor of its covariance times independent numbers.
func drawn(r *rand.Rand, at []float64, correlation func(dt float64) float64, sd float64) []float64 {
	n := len(at)
	c := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			v := correlation(math.Abs(at[j] - at[i]))
			if i == j {
				v += 1e-9
			}
			c.SetSym(i, j, v)
		}
	}
	var chol mat.Cholesky
	out := make([]float64, n)
	if !chol.Factorize(c) {
		return out
	}
	var l mat.TriDense
	chol.LTo(&l)
	z := make([]float64, n)
	for i := range z {
		z[i] = r.NormFloat64()
	}
	for i := range n {
		for j := range i + 1 {
			out[i] += sd * l.At(i, j) * z[j]
		}
	}
	return out
}
