package bench

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"emberbank/block"
	"emberbank/duty"
	"emberbank/heat"
	"emberbank/receiver"
)

// ability loads a file of testdata/abilities.
func ability(t *testing.T, name string) *Run {
	t.Helper()
	run, ps := LoadRun(os.DirFS("testdata/abilities"), name+".yaml", Options{})
	if ps.Failed() {
		t.Fatalf("%s:\n%s", name, ps)
	}
	return run
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
		t.Errorf("%s is %v, want %v", what, got, want)
	}
}

func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s is %+v, want %+v", what, got, want)
	}
}

const zero = 273.15

func surfaceOf(t *testing.T, r *Run, name string) receiver.Surface {
	t.Helper()
	for _, s := range r.Problem.Receiver.Surfaces {
		if s.Name == name {
			return s
		}
	}
	t.Fatalf("no surface is called %q", name)
	return receiver.Surface{}
}

func partOf(t *testing.T, r *Run, name string) receiver.Part {
	t.Helper()
	for _, p := range r.Problem.Receiver.Parts {
		if p.Name == name {
			return p
		}
	}
	t.Fatalf("no part is called %q", name)
	return receiver.Part{}
}

func TestEveryAbilityLoads(t *testing.T) {
	files, _ := filepath.Glob("testdata/abilities/*.yaml")
	if len(files) < 20 {
		t.Fatalf("only %d files of abilities found", len(files))
	}
	for _, f := range files {
		ability(t, strings.TrimSuffix(filepath.Base(f), ".yaml"))
	}
}

func TestSidesTakeFixedTemperaturesAndAdiabaticFaces(t *testing.T) {
	r := ability(t, "fixed-temperature")
	left, right, top := surfaceOf(t, r, "left"), surfaceOf(t, r, "right"), surfaceOf(t, r, "top")
	same(t, "left", left.Kind, receiver.FixedTemperature)
	near(t, "left", left.Temperature, 100+zero)
	near(t, "right", right.Temperature, 20+zero)
	same(t, "top", top.Kind, receiver.Adiabatic)
	same(t, "steady", r.Problem.Steady, true)
}

func TestNarrowerSurfaceNamesWin(t *testing.T) {
	r := ability(t, "film-per-side")
	for name, want := range map[string]float64{"back": 5, "left": 0.8, "bottom": 0.8, "front": 7} {
		s := surfaceOf(t, r, name)
		same(t, name+" film", s.Film, receiver.Film{Kind: receiver.FilmFixed, Value: want})
		near(t, name+" emissivity", s.Emissivity, 0)
	}
	near(t, "ambient of left", *surfaceOf(t, r, "left").Ambient, 15+zero)
	top := surfaceOf(t, r, "top")
	same(t, "top film", top.Film.Kind, receiver.FilmNone)
	near(t, "top surroundings", *top.Surrounds, zero)
	if surfaceOf(t, r, "front").Ambient != nil {
		t.Error("the front has an ambient of its own, want the duty's")
	}
	same(t, "window film", r.Problem.Receiver.Window.Film, receiver.Film{Kind: receiver.FilmFixed, Value: 12})
}

func TestOneFaceHasFilmAndEmissivity(t *testing.T) {
	s := surfaceOf(t, ability(t, "emissivity-and-film"), "back")
	same(t, "film", s.Film, receiver.Film{Kind: receiver.FilmFixed, Value: 8})
	near(t, "emissivity", s.Emissivity, 0.85)
	near(t, "ambient", *s.Ambient, 20+zero)
	near(t, "surroundings", *s.Surrounds, 25+zero)
}

func TestCoverIsAConductanceOrLayers(t *testing.T) {
	r := ability(t, "cover-conductance")
	near(t, "cover", r.Problem.Receiver.Window.Cover, 0.6)
	same(t, "shut", r.Problem.Duty.Switches.CoverShut, true)
	// 40 mm of 0.1 W/(m K) and a film of 10 W/(m2 K) in series: 1/(0.4 + 0.1).
	near(t, "cover of layers", ability(t, "cover-layers").Problem.Receiver.Window.Cover, 2)
}

func TestFluxHasTotalOrPeakAndAMap(t *testing.T) {
	l := ability(t, "flux-uniform").Problem.Duty.Light
	same(t, "absorbed", l.Absorbed, true)
	same(t, "power", l.Power, duty.Fixed(2000))
	same(t, "map", l.Map.Kind, duty.Uniform)

	r := ability(t, "flux-gaussian")
	l = r.Problem.Duty.Light
	same(t, "peak", l.Peak, true)
	near(t, "peak after 5 min", l.Power.At(300), 100e3)
	same(t, "kind", l.Map.Kind, duty.Gaussian)
	same(t, "sigma", l.Map.Sigma, [2]float64{0.04, 0.02})
	same(t, "centre", l.Map.Centre, [2]float64{0.14, 0.11})
	same(t, "light at the start", r.Problem.Duty.Switches.Light, false)
	o := r.Problem.Receiver.Window.Opening
	near(t, "opening's low width", o.Min[1], 0.05)
	near(t, "opening's high height", o.Max[2], 0.15)

	m := ability(t, "flux-table").Problem.Duty.Light.Map
	same(t, "widths", m.TableWidth, []float64{0.05, 0.15, 0.25})
	same(t, "heights", m.TableHeight, []float64{0.1, 0.2})
	same(t, "flux", m.Table, []float64{0, 1, 0, 1, 4, 1})
}

func TestInitialTemperaturesAreUniformOrByPart(t *testing.T) {
	r := ability(t, "initial-by-part")
	near(t, "block", partOf(t, r, "block").Initial, 460+zero)
	near(t, "first layer", partOf(t, r, "top layer 1").Initial, 200+zero)
	if x := partOf(t, r, "top layer 2").Initial; !math.IsNaN(x) {
		t.Errorf("the second layer starts at %v, want the run's temperature", x)
	}
	near(t, "run", r.Problem.Initial, 25+zero)
	near(t, "default is the ambient at the start", ability(t, "initial-uniform").Problem.Initial, 12+zero)
}

func TestMaterialsArePointsOrPolynomials(t *testing.T) {
	r := ability(t, "own-materials")
	media := map[string]int{}
	for i, m := range r.Problem.Receiver.Media {
		media[m.Name] = i
	}
	brick := r.Problem.Receiver.Media[media["brick"]]
	near(t, "density", brick.Density, 2000)
	near(t, "cp between points", brick.HeatCapacity.At(220+zero), 1000)
	near(t, "cp held", brick.HeatCapacity.At(900+zero), 1100)
	same(t, "cp hold", brick.HeatCapacity.Hold, true)
	near(t, "k of T in K", brick.Conductivity[block.Width].At(500), 2+0.5+0.25)
	near(t, "k below its range", brick.Conductivity[0].At(100), 2+0.29315+1e-6*293.15*293.15)
	same(t, "k hold", brick.Conductivity[0].Hold, false)
	near(t, "service limit", brick.ServiceLimit, 900+zero)
	near(t, "oxidation", brick.OxidationOnset, 400+zero)
	board := r.Problem.Receiver.Media[media["board"]]
	near(t, "cp of T in degC and kJ", board.HeatCapacity.At(100+zero), 840)
	near(t, "k along depth", board.Conductivity[block.Depth].At(210+zero), 0.07)
	near(t, "k along width", board.Conductivity[block.Width].At(400), 0.1)
	near(t, "k along height", board.Conductivity[block.Height].At(400), 0.2)
	same(t, "from memory", board.FromMemory, true)
	near(t, "uncertainty from memory is at least 20 %", board.Uncertainty, 0.2)
	if len(r.Warnings) == 0 || !strings.Contains(strings.Join(r.Warnings, "\n"), "board: from memory: all values") {
		t.Errorf("no warning of values from memory: %q", r.Warnings)
	}
	near(t, "stated uncertainty", r.Problem.Receiver.Media[media["fibre"]].Uncertainty, 0.3)
	want := Uncertain{Path: "receiver.materials[1].heat capacity.points[2][2]", Dimension: r.Uncertain[0].Dimension, Unit: "J/(kg K)", Value: 1100, Half: 30}
	if len(r.Uncertain) == 1 {
		want.shape = r.Uncertain[0].shape
	}
	same(t, "uncertain", r.Uncertain, []Uncertain{want})
	if !strings.Contains(strings.Join(r.Sources, "\n"), "brick: all: measured for this test") {
		t.Errorf("the source is not handed on: %q", r.Sources)
	}
}

func TestLatentHeatIsSharpOrSpread(t *testing.T) {
	r := ability(t, "melting")
	sharp, wide := r.Problem.Receiver.Media[0], r.Problem.Receiver.Media[1]
	near(t, "solidus", sharp.Solidus, 419.5+zero)
	near(t, "liquidus", sharp.Liquidus, 419.5+zero)
	near(t, "latent", sharp.Latent, 108e3)
	near(t, "cp melted", sharp.HeatCapacityMelted.At(800), 480)
	near(t, "k melted", sharp.ConductivityMelted[1].At(800), 50)
	near(t, "wide solidus", wide.Solidus, 419+zero)
	near(t, "wide liquidus", wide.Liquidus, 420+zero)
	near(t, "cp melted as solid", wide.HeatCapacityMelted.At(800), 1000)
	near(t, "k melted as solid", wide.ConductivityMelted[0].At(800), 120)
}

func TestCompositesMixOrTakeMeasuredValues(t *testing.T) {
	r := ability(t, "composites")
	mixed := r.Problem.Receiver.Media[0]
	// 75 % graphite, 20 % metal, 5 % void by volume.
	mass := 0.75*1750 + 0.2*7000
	near(t, "density", mixed.Density, mass)
	near(t, "cp by mass", mixed.HeatCapacity.At(400), (0.75*1750*1000+0.2*7000*400)/mass)
	near(t, "latent by mass", mixed.Latent, 0.2*7000*100e3/mass)
	m := r.Problem.Receiver.Media[1]
	near(t, "measured density", m.Density, 2800)
	near(t, "measured cp", m.HeatCapacity.At(400), 800)
	near(t, "cp of the melt follows the measured solid", m.HeatCapacityMelted.At(800), 800)
	near(t, "measured k", m.Conductivity[2].At(400), 80)
	near(t, "measured k melted", m.ConductivityMelted[2].At(800), 60)
	near(t, "measured latent", m.Latent, 45e3)
	near(t, "measured solidus", m.Solidus, 410+zero)
	near(t, "measured liquidus", m.Liquidus, 425+zero)
	near(t, "a filler that does not melt", r.Problem.Receiver.Media[2].Latent, 0)
}

func TestGridIsGivenOrLaid(t *testing.T) {
	same(t, "uniform", ability(t, "uniform-grid").Problem.Grid, heat.GridPlan{Counts: [3]int{20, 30, 31}, Refine: 2})
	same(t, "edges", ability(t, "grid-by-edges").Problem.Grid.Lines, [3][]float64{{0, 0.05, 0.2}, {0, 0.3}, {0, 0.01, 0.3}})
	r := ability(t, "grid-size")
	same(t, "size", r.Problem.Grid, heat.GridPlan{Size: 0.0075, PerLayer: 5, Refine: 1.5})
	near(t, "tolerance", r.Problem.Tolerance, 0.01)
}

func TestLatticeOfLineSinksRunsDepthFastest(t *testing.T) {
	r := ability(t, "line-sink")
	if len(r.Problem.Receiver.Passes) != 4 || len(r.Problem.Receiver.Circuits) != 0 {
		t.Fatalf("%d passes, %d circuits", len(r.Problem.Receiver.Passes), len(r.Problem.Receiver.Circuits))
	}
	for i, want := range [][2]float64{{0.05, 0.075}, {0.15, 0.075}, {0.05, 0.225}, {0.15, 0.225}} {
		p := r.Problem.Receiver.Passes[i]
		near(t, "depth", p.At[0], want[0])
		near(t, "height", p.At[2], want[1])
		near(t, "line", p.Line, 25)
		near(t, "fluid", p.Fluid, 60+zero)
		same(t, "axis", p.Axis, block.Width)
		near(t, "to", p.To, 0.3)
	}
}

func TestAnyLinkOfTheChainCanBeSetOrLeftOut(t *testing.T) {
	r := ability(t, "links-of-the-chain")
	p := r.Problem.Receiver.Passes
	near(t, "fixed film", p[0].FilmFixed, 1500)
	near(t, "contact", p[0].Contact.Value.At(500), 400)
	near(t, "inner from wall", p[0].Inner, 0.010)
	same(t, "wall", r.Problem.Receiver.Media[p[0].WallMedium].Name, "stainless-304")
	same(t, "spreading", p[0].Spreading, true)
	if !p[1].FilmNone || !p[1].Contact.None || p[1].Spreading || p[1].WallMedium != -1 {
		t.Errorf("links set to none are still there: %+v", p[1])
	}
	near(t, "contact over temperature", p[2].Contact.Value.At(210+zero), 450)
	near(t, "own inner goes before the common wall", p[2].Inner, 0.008)
	if !math.IsNaN(p[2].Fluid) {
		t.Errorf("the third pass has the fixed fluid temperature %v", p[2].Fluid)
	}
	near(t, "own outer", p[3].Outer, 0.020)
	near(t, "own outer with the common wall", p[3].Inner, 0.018)
	same(t, "copper", r.Problem.Receiver.Media[p[3].WallMedium].Name, "copper")
	near(t, "roughness", p[3].Roughness, 1e-4)
	same(t, "axis", p[3].Axis, block.Depth)
}

func TestLaterBoxesReplaceEarlierOnes(t *testing.T) {
	r := ability(t, "boxes")
	var order []string
	for _, p := range r.Problem.Receiver.Parts {
		order = append(order, p.Name)
	}
	text := strings.Join(order, ", ")
	if !strings.HasSuffix(text, "foot, bar, recess, slot") {
		t.Errorf("parts stand in the order %s", text)
	}
	bar := partOf(t, r, "bar")
	near(t, "generation", bar.Generation, 50e3)
	near(t, "initial", bar.Initial, 80+zero)
	recess := partOf(t, r, "recess")
	same(t, "recess is open", recess.Medium, -1)
	s := r.Problem.Receiver.Surfaces[recess.Surface]
	same(t, "film", s.Film, receiver.Film{Kind: receiver.FilmFixed, Value: 10})
	near(t, "ambient", *s.Ambient, 1+zero)
	near(t, "emissivity", s.Emissivity, 0.5)
	slot := partOf(t, r, "slot")
	same(t, "slot", r.Problem.Receiver.Surfaces[slot.Surface].Kind, receiver.Adiabatic)
	// The foot sticks 30 mm out of the insulation: beside it is air with the bottom's surface, placed first.
	air := r.Problem.Receiver.Parts[0]
	same(t, "air", air.Name, "air beside bottom")
	same(t, "air's surface", r.Problem.Receiver.Surfaces[air.Surface].Name, "bottom")
	near(t, "air reaches down to the foot's end", air.Box.Min[2], -0.08)
	near(t, "air begins at the insulation", air.Box.Max[2], -0.05)
}

func TestPartsGenerateHeat(t *testing.T) {
	near(t, "block", partOf(t, ability(t, "generation"), "block").Generation, 5000)
}

func TestCircuitsRunToAndFroWithLeadsAndBends(t *testing.T) {
	r := ability(t, "circuits")
	c := r.Problem.Receiver.Circuits[0]
	type leg struct {
		Kind     receiver.RunKind
		Pass     int
		From, To block.Point
	}
	var got []leg
	for _, run := range c.Runs {
		got = append(got, leg{run.Kind, run.Pass, run.From, run.To})
	}
	// The block is 300 mm wide, with 80 mm of insulation on the left and 40 mm on the right; bends lie in the
	// middle of the first layer: 20 mm out on the right, 30 mm out on the left.
	want := []leg{
		{receiver.RunLead, 0, block.Point{0.05, -0.08, 0.075}, block.Point{0.05, 0, 0.075}},
		{receiver.RunPass, 0, block.Point{0.05, 0, 0.075}, block.Point{0.05, 0.3, 0.075}},
		{receiver.RunBend, 0, block.Point{0.05, 0.3, 0.075}, block.Point{0.05, 0.32, 0.075}},
		{receiver.RunBend, 0, block.Point{0.05, 0.32, 0.075}, block.Point{0.15, 0.32, 0.075}},
		{receiver.RunBend, 0, block.Point{0.15, 0.32, 0.075}, block.Point{0.15, 0.3, 0.075}},
		{receiver.RunPass, 1, block.Point{0.15, 0.3, 0.075}, block.Point{0.15, 0, 0.075}},
		{receiver.RunBend, 1, block.Point{0.15, 0, 0.075}, block.Point{0.15, -0.03, 0.075}},
		{receiver.RunBend, 1, block.Point{0.15, -0.03, 0.075}, block.Point{0.15, -0.03, 0.225}},
		{receiver.RunBend, 1, block.Point{0.15, -0.03, 0.225}, block.Point{0.15, 0, 0.225}},
		{receiver.RunPass, 3, block.Point{0.15, 0, 0.225}, block.Point{0.15, 0.3, 0.225}},
		{receiver.RunLead, 3, block.Point{0.15, 0.3, 0.225}, block.Point{0.15, 0.34, 0.225}},
	}
	same(t, "runs", got, want)
	b := r.Problem.Receiver.Circuits[1].Runs
	if len(b) != 1 || b[0].From[1] != 0.3 || b[0].To[1] != 0 {
		t.Errorf("a circuit that enters high without leads is %+v", b)
	}
	d := r.Problem.Duty
	same(t, "states", d.Switches.Water, []duty.WaterState{duty.Flowing, duty.Closed, duty.Flowing})
	near(t, "steps", d.Water[1].Flow.At(1800), 0.01)
	near(t, "steps later", d.Water[1].Flow.At(3600), 0.02)
	near(t, "pressure", d.Water[1].Pressure.At(0), 3e5)
	near(t, "default pressure", d.Water[0].Pressure.At(0), 1e6)
	same(t, "control", d.Throttle, []duty.Control{{Circuit: 2, Value: 90 + zero, Min: 0.01, Max: 0.1}})
}

func TestOutletsHoldQualitySuperheatOrSteam(t *testing.T) {
	d := ability(t, "holding").Problem.Duty
	const kgPerHour = 1.0 / 3600
	for i, want := range []duty.Control{
		{Circuit: 0, Holds: duty.HoldQuality, Value: 0.8},
		{Circuit: 1, Holds: duty.HoldSuperheat, Value: 20},
		{Circuit: 2, Holds: duty.HoldSteam, Value: 2 * kgPerHour},
	} {
		c := d.Throttle[i]
		near(t, "held", c.Value, want.Value)
		near(t, "least", c.Min, kgPerHour)
		near(t, "greatest", c.Max, 20*kgPerHour)
		c.Value, c.Min, c.Max = want.Value, 0, 0
		same(t, "control", c, want)
	}
	same(t, "steam", d.Rules[0].Watch, duty.Watch{What: duty.WatchSteam, Index: 2})
	near(t, "steam below", d.Rules[0].Threshold, 1.8*kgPerHour)
	near(t, "steam back", d.Rules[0].Hysteresis, 0.36*kgPerHour)
	same(t, "quality", d.Rules[1].Watch, duty.Watch{What: duty.WatchQuality, Index: 1})
	near(t, "quality below", d.Rules[1].Threshold, 0.5)
	near(t, "quality back", d.Rules[1].Hysteresis, 0.05)
	same(t, "pressure", d.Rules[2].Watch, duty.Watch{What: duty.WatchPressure, Index: 0})
	near(t, "pressure above", d.Rules[2].Threshold, 8e5)
	near(t, "pressure back", d.Rules[2].Hysteresis, 1e5)
}

func TestOnePumpFeedsCircuits(t *testing.T) {
	d := ability(t, "pump").Problem.Duty
	same(t, "pump", d.Pumps, []duty.Pump{{Flow: duty.Fixed(0.2), Circuits: []int{0, 1}}})
}

func TestEventsAndRulesSwitch(t *testing.T) {
	d := ability(t, "switching").Problem.Duty
	same(t, "events", d.Events, []duty.Event{
		{At: 3600, Name: "early", Do: []duty.Action{{What: duty.SetWater, Value: float64(duty.Closed)}}},
		{At: 14400, Name: "light: off, cover: shut, water 1: flowing, heater cartridge 1: on, flow 1: 50 %", Do: []duty.Action{
			{What: duty.SetLight},
			{What: duty.SetCover, Value: 1},
			{What: duty.SetWater, Value: float64(duty.Flowing)},
			{What: duty.SetHeater, Value: 1},
			{What: duty.SetFlowShare, Value: 0.5},
		}},
	})
	same(t, "heater", d.Heaters, []duty.Signal{duty.Fixed(500)})
	same(t, "heater at the start", d.Switches.Heaters, []bool{false})
	full := d.Rules[0]
	same(t, "rule", full, duty.Rule{
		Name: "full", Watch: duty.Watch{What: duty.WatchProbe, Probe: "core"}, Above: true,
		Threshold: 420 + zero, Hysteresis: 5, After: 3600, Once: true,
		Do: []duty.Action{{What: duty.SetLight}}, Else: []duty.Action{{What: duty.SetLight, Value: 1}},
	})
	same(t, "outlet", d.Rules[1].Watch, duty.Watch{What: duty.WatchOutlet})
	same(t, "stop", d.Rules[1].Do, []duty.Action{{What: duty.StopRun, Value: 1}})
	near(t, "melted", d.Rules[2].Threshold, 0.9)
	near(t, "melted back", d.Rules[2].Hysteresis, 0.05)
	near(t, "light", d.Rules[3].Threshold, 100)
}

func TestReadingsAreProbesFrontsAndSensors(t *testing.T) {
	r := ability(t, "readings")
	same(t, "output", r.Problem.Output, []float64{0, 1800, 3600, 7200})
	same(t, "fields", r.Problem.FieldTimes, []float64{3600, 7200})
	same(t, "profiles", r.Problem.ProfileTimes, []float64{0, 3000, 6000, 7200})
	same(t, "probes", r.Problem.Probes, []heat.Probe{
		{Name: "core", Kind: heat.Ideal, At: block.Point{0.1, 0.15, 0.1}, Immersion: 1},
		{Name: "ice", Kind: heat.Front, At: block.Point{0, 0.15, 0.15}, To: block.Point{0.2, 0.15, 0.15}, Frozen: true, Immersion: 1},
		{Name: "T1", Kind: heat.Sensor, At: block.Point{0.01, 0.15, 0.15}, Lag: 2, Immersion: 0.9},
	})
	near(t, "touch limit", r.Problem.TouchLimit, 55+zero)
	same(t, "accuracy", r.Accuracy, []string{"core", "lost back"})
}

func TestWindowHasGlassAndWeather(t *testing.T) {
	r := ability(t, "glass")
	w := r.Problem.Receiver.Window
	near(t, "low width", w.Opening.Min[1], 0.06)
	near(t, "high height", w.Opening.Max[2], 0.23)
	near(t, "absorptance", w.Absorptance, 0.94)
	near(t, "ambient", *w.Ambient, 10+zero)
	near(t, "service limit", w.ServiceLimit, 600+zero)
	g := w.Glass
	same(t, "pane", r.Problem.Receiver.Media[g.Medium].Name, "fused-silica")
	near(t, "gap", g.Gap, 0.02)
	near(t, "transmittance", g.Transmittance, 0.91)
	near(t, "emissivity", g.Emissivity, 0.85)
	same(t, "outside film", g.OutsideFilm, receiver.Film{Kind: receiver.FilmFixed, Value: 9})
	d := r.Problem.Duty
	near(t, "tilt", d.Tilt.At(0), math.Pi/2)
	near(t, "sky", d.Sky.At(0), zero)
	near(t, "ground", d.Ground.At(0), 25+zero)
	near(t, "wind", d.Wind.At(0), 3)
}

func TestShellsFillTheirCorners(t *testing.T) {
	r := ability(t, "layers-and-jacket")
	rec := r.Problem.Receiver
	body := rec.Block
	for _, p := range rec.Parts {
		for a := range 3 {
			body.Min[a], body.Max[a] = min(body.Min[a], p.Box.Min[a]), max(body.Max[a], p.Box.Max[a])
		}
	}
	// depth: 25 mm and 0.5 mm before the block, 40 mm behind; width: 80.5 mm left, 80 mm right;
	// height: 80 mm below, 20 mm above (top has its own single layer).
	same(t, "body", body, block.Box{Min: block.Point{-0.0255, -0.0805, -0.08}, Max: block.Point{0.24, 0.38, 0.32}})
	// Every place inside belongs to a part: sample the middles of a fine lattice.
	for i := 0.5; i < 40; i++ {
		for j := 0.5; j < 40; j++ {
			for k := 0.5; k < 40; k++ {
				at := block.Point{body.Min[0] + (body.Max[0]-body.Min[0])*i/40, body.Min[1] + (body.Max[1]-body.Min[1])*j/40, body.Min[2] + (body.Max[2]-body.Min[2])*k/40}
				found := false
				for _, p := range rec.Parts {
					found = found || p.Box.Contains(at)
				}
				if !found {
					t.Fatalf("nothing stands at %v", at)
				}
			}
		}
	}
	// The opening is open air from the block's face outwards, with an adiabatic reveal.
	o := partOf(t, r, "window opening")
	same(t, "opening", o.Box, block.Box{Min: block.Point{-0.0255, 0.1, 0.1}, Max: block.Point{0, 0.2, 0.2}})
	same(t, "reveal", rec.Surfaces[o.Surface].Kind, receiver.Adiabatic)
}
