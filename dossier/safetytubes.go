package dossier

import (
	"math"
	"slices"

	"emberbank/bench"
	"emberbank/hazard"
	"emberbank/heat"
	"emberbank/receiver"
	"emberbank/water"
)

// safeCircuit is what a circuit's tubes bear, and what water shut in them does.
type safeCircuit struct {
	Circuit  string   `json:"circuit"`
	Passes   int      `json:"passes"`
	Outer    float64  `json:"outer_m"`
	Wall     float64  `json:"wall_m"`
	Material string   `json:"material"`
	Volume   *float64 `json:"volume_m3"`
	Holds    *float64 `json:"water_kg,omitempty"` // when full of cold water

	Hottest    *float64 `json:"hottest_wall_degC,omitempty"`
	Run        string   `json:"hottest_in,omitempty"`
	At         *float64 `json:"at_s,omitempty"`
	Line       *float64 `json:"line_pressure_Pa,omitempty"` // the highest that the files state
	Reached    *float64 `json:"reached_Pa,omitempty"`       // of water shut in, in the runs
	Saturation *float64 `json:"saturation_pressure_Pa,omitempty"`
	Beyond     bool     `json:"above_critical"`
	Flashes    *float64 `json:"share_that_flashes,omitempty"` // of water at that pressure, let out

	Stress    *float64 `json:"allowable_stress_Pa,omitempty"`
	Source    string   `json:"stress_source,omitempty"`
	Joint     *float64 `json:"joint,omitempty"`
	Undersize *float64 `json:"undersize_share,omitempty"`
	Allowance *float64 `json:"allowance_m,omitempty"`
	Bears     *float64 `json:"bears_Pa,omitempty"` // above the pressure outside
	OfLine    *float64 `json:"bears_over_line,omitempty"`
	OfHottest *float64 `json:"bears_over_saturation,omitempty"`
	Needs     *float64 `json:"wall_that_saturation_needs_m,omitempty"` // as ordered; none: a thick tube
	Why       string   `json:"not_known_because,omitempty"`

	Filled  *float64 `json:"filled_at_degC,omitempty"`
	Rise    *float64 `json:"rise_for_a_kelvin_Pa,omitempty"`
	Kelvins *float64 `json:"warmed_until_it_bears_no_more_K,omitempty"`
	ShutIn  []string `json:"runs_that_shut_it"`
}

// circuitOf works out a circuit of the first run's receiver over all runs.
func circuitOf(first *bench.Run, i int, runs []counted) safeCircuit {
	rec := &first.Problem.Receiver
	c := &rec.Circuits[i]
	out := safeCircuit{Circuit: c.Name, ShutIn: []string{}}
	volume := 0.0
	var weakest *receiver.Pass
	for _, r := range c.Runs {
		p := &rec.Passes[r.Pass]
		length := 0.0
		for a := range r.From {
			length += math.Abs(r.To[a] - r.From[a])
		}
		volume += math.Pi / 4 * p.Inner * p.Inner * length
		if r.Kind == receiver.RunPass {
			out.Passes++
			if weakest == nil || (p.Outer-p.Inner)/p.Outer < (weakest.Outer-weakest.Inner)/weakest.Outer {
				weakest = p
			}
		}
	}
	if weakest == nil {
		return out
	}
	out.Volume, out.Outer, out.Wall, out.Material = maybe(volume), weakest.Outer, 0.5*(weakest.Outer-weakest.Inner), "none stated"
	if weakest.WallMedium >= 0 {
		out.Material = rec.Media[weakest.WallMedium].Name
	}
	hottest, line, inlet := out.over(runs, c.Name), 0.0, math.Inf(1)
	for k := range runs {
		l, in := states(runs[k].run, c.Name)
		line, inlet = math.Max(line, l), math.Min(inlet, in)
	}
	if len(runs) == 0 {
		line, inlet = states(first, c.Name)
	}
	if line > 0 {
		out.Line = &line
	}
	out.bears(weakest, hottest, line)
	out.shutIn(volume, inlet, line)
	return out
}

// over takes the hottest wall and the highest pressure from the runs, and returns the former in K; NaN: no run tells it.
func (o *safeCircuit) over(runs []counted, name string) float64 {
	hottest, reached := math.NaN(), math.NaN()
	for k := range runs {
		r := &runs[k]
		if T, at, ok := r.peak("circuit " + name + " wall max"); ok && !(T <= hottest) {
			hottest = T
			o.Hottest, o.Run, o.At = maybe(T-iceZero), r.Name(), maybe(at)
		}
		if p, _, ok := r.peak("circuit " + name + " pressure"); ok && !(p <= reached) {
			reached = p
		}
		for _, c := range r.cautions {
			if c.Place == "circuit "+name && slices.Contains([]string{heat.KindClosed, heat.KindFull}, c.Kind) && !slices.Contains(o.ShutIn, r.Name()) {
				o.ShutIn = append(o.ShutIn, r.Name())
			}
		}
	}
	o.Reached = maybe(reached)
	if math.IsNaN(hottest) {
		return hottest
	}
	if p, err := water.SaturationPressure(hottest); err == nil {
		o.Saturation = &p
		if x, err := hazard.Flashes(p); err == nil {
			o.Flashes = &x
		}
	}
	o.Beyond = hottest > water.CriticalTemperature
	return hottest
}

// states is the highest pressure in Pa and the coldest inlet in K that a run's files state for a circuit.
func states(run *bench.Run, name string) (line, inlet float64) {
	inlet = math.Inf(1)
	for i := range run.Problem.Receiver.Circuits {
		if run.Problem.Receiver.Circuits[i].Name != name || i >= len(run.Problem.Duty.Water) {
			continue
		}
		w := &run.Problem.Duty.Water[i]
		for _, p := range w.Pressure.V {
			line = math.Max(line, p)
		}
		for _, T := range w.Inlet.V {
			inlet = math.Min(inlet, T)
		}
	}
	return line, inlet
}

// bears works out what the tube bears at its hottest.
func (o *safeCircuit) bears(p *receiver.Pass, hottest, line float64) {
	s := p.Strength
	switch {
	case s == nil:
		o.Why = "no allowable stress is stated for this tube"
		return
	case math.IsNaN(hottest):
		o.Why = "no run tells how hot its wall becomes"
		return
	}
	o.Source, o.Joint, o.Undersize, o.Allowance = s.Source, maybe(s.Joint), maybe(s.Undersize), maybe(s.Allowance)
	stress, known := s.At(hottest)
	if !known {
		o.Why = "the allowable stress is stated up to a lower temperature than the wall comes to"
		return
	}
	o.Stress = maybe(stress)
	tube := hazard.Tube{Outer: p.Outer, Wall: 0.5 * (p.Outer - p.Inner), Stress: stress, Joint: s.Joint, Undersize: s.Undersize, Allowance: s.Allowance, Temperature: hottest}
	bears, err := tube.Capacity()
	if err != nil {
		o.Why = err.Error()
		return
	}
	o.Bears = maybe(bears)
	if line > atmosphere {
		o.OfLine = maybe(bears / (line - atmosphere))
	}
	if o.Saturation != nil && *o.Saturation > atmosphere {
		o.OfHottest = maybe(bears / (*o.Saturation - atmosphere))
		if wall, err := tube.LeastWall(*o.Saturation - atmosphere); err == nil {
			o.Needs = &wall
		}
	}
}

// shutIn works out what water does that fills the circuit cold and is warmed between shut valves.
func (o *safeCircuit) shutIn(volume, inlet, line float64) {
	if math.IsInf(inlet, 0) || !(line > 0) {
		return
	}
	cold, err := water.AtPT(line, inlet)
	if err != nil {
		return
	}
	o.Holds, o.Filled = maybe(volume*cold.Density), maybe(inlet-iceZero)
	if rise, err := hazard.RisePerKelvin(line, inlet); err == nil {
		o.Rise = &rise
	}
	if o.Bears != nil {
		if k, err := hazard.Kelvins(line, inlet, *o.Bears+atmosphere); err == nil {
			o.Kelvins = &k
		}
	}
}
