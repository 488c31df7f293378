package material

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// plain returns a material of constants.
func plain(name string, density, cp, k float64) Entry {
	return Entry{Name: name, Density: density, HeatCapacity: Constant(cp), Conductivity: Isotropic(Constant(k)), Uncertainty: 0.1}
}

// melting adds melting at one temperature.
func melting(e Entry, T, latent, cp, k, liquid float64) Entry {
	e.Solidus, e.Liquidus, e.Latent, e.LiquidDensity = T, T, latent, liquid
	e.HeatCapacityMelted, e.ConductivityMelted = Constant(cp), Isotropic(Constant(k))
	return e
}

func mixed(t testing.TB, c Composite) Medium {
	t.Helper()
	m, err := c.Medium()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func catalogueEntry(t testing.TB, name string) Entry {
	t.Helper()
	e, ok := Lookup(name)
	if !ok {
		t.Fatalf("no entry %s", name)
	}
	return e
}

// The expected numbers are the mixture rules worked out by a separate program.
func TestMixtureRuleMatchesWorkedCase(t *testing.T) {
	m := mixed(t, Composite{
		Name:   "case",
		Matrix: plain("graphite", 2200, 1400, 100), Filler: melting(plain("filler", 6800, 450, 50), 700, 112000, 480, 40, 6500),
		FillerFraction: 0.25, VoidFraction: 0.05,
	})
	near(t, "density", m.Density, 3240, 0, 1e-12)
	near(t, "latent heat per kg", m.Latent, 58765.432, 0, 1e-8)
	near(t, "latent heat per m³", m.Latent*m.Density, 190400000, 0, 1e-12)
	near(t, "heat capacity", m.HeatCapacity.At(500), 901.54321, 0, 1e-8)
	near(t, "heat capacity melted", m.HeatCapacityMelted.At(800), (1540*1400+1700*480)/3240.0, 0, 1e-12)
	if m.Solidus != 700 || m.Liquidus != 700 || m.Metal != "filler" {
		t.Errorf("melts from %g to %g K by %q, want 700 K by the filler", m.Solidus, m.Liquidus, m.Metal)
	}
}

func TestCompositeConductsByItsRuleBeforeAndAfterMelting(t *testing.T) {
	for _, rule := range Rules() {
		c := Composite{
			Name: "case", Matrix: plain("m", 2000, 1000, 100), Filler: melting(plain("f", 7000, 400, 60), 700, 1e5, 450, 30, 6800),
			FillerFraction: 0.2, Mixing: rule,
		}
		m := mixed(t, c)
		before, _ := Mix(rule, 100, 60, 0.2)
		after, _ := Mix(rule, 100, 30, 0.2)
		near(t, rule+" solid", m.Conductivity[2].At(400), before, 0, 1e-12)
		near(t, rule+" melted", m.ConductivityMelted[1].At(900), after, 0, 1e-12)
		// Voids: air at 100 °C, as separate grains in what the rule gave, with the filler's share of the solid.
		c.VoidFraction = 0.1
		solid, _ := Mix(rule, 100, 60, 0.2/0.9)
		want, _ := Mix("maxwell-eucken", solid, 0.03095, 0.1)
		m = mixed(t, c)
		near(t, rule+" with voids", m.Conductivity[0].At(100+iceZero), want, 0, 1e-9)
	}
	m := mixed(t, Composite{Name: "default", Matrix: plain("m", 2000, 1000, 100), Filler: plain("f", 7000, 400, 60), FillerFraction: 0.2})
	want, _ := Mix("maxwell-eucken", 100, 60, 0.2)
	near(t, "default rule", m.Conductivity[0].At(400), want, 0, 1e-12)
}

func TestMatrixMayConductByDirection(t *testing.T) {
	a := plain("a", 2000, 1000, 100)
	a.Conductivity[2] = Constant(20)
	m := mixed(t, Composite{Name: "c", Matrix: a, Filler: plain("f", 7000, 400, 50), FillerFraction: 0.3, Mixing: "bruggeman"})
	for d, k := range []float64{100, 100, 20} {
		want, _ := Mix("bruggeman", k, 50, 0.3)
		near(t, "direction", m.Conductivity[d].At(300), want, 0, 1e-12)
	}
}

// A composite follows its parts at every temperature, between the points of its own table, too.
func TestCompositeFollowsItsPartsOverTemperature(t *testing.T) {
	all := Catalogue()
	tin, air := catalogueEntry(t, "tin"), airConductivity()
	rapid.Check(t, func(r *rapid.T) {
		matrix := all[rapid.IntRange(0, len(all)-1).Draw(r, "matrix")]
		phi := rapid.Float64Range(0.01, 0.6).Draw(r, "filler")
		void := rapid.Float64Range(0, 0.3).Draw(r, "void")
		rule := rapid.SampledFrom(Rules()).Draw(r, "rule")
		m, err := Composite{Name: "c", Matrix: matrix, Filler: tin, FillerFraction: phi, VoidFraction: void, Mixing: rule}.Medium()
		if err != nil {
			if matrix.Latent > 0 && matrix.Solidus <= tin.Solidus {
				return
			}
			r.Fatal(err)
		}
		m0, f0 := (1-phi-void)*matrix.Density, phi*tin.Density
		check := func(cp, k, fcp, fk *Curve) {
			if cp.Max <= cp.Min || k.Max <= k.Min || cp.T == nil {
				return
			}
			T := rapid.Float64Range(max(cp.Min, k.Min, matrix.Low, fcp.Min), min(cp.Max, k.Max, max(matrix.Low, fcp.Min)+600)).Draw(r, "T")
			near(r, "heat capacity", cp.At(T), (m0*matrix.HeatCapacity.At(T)+f0*fcp.At(T))/(m0+f0), 0, 1e-4)
			solid, _ := Mix(rule, matrix.Conductivity[0].At(T), fk.At(T), phi/(1-void))
			want, _ := Mix("maxwell-eucken", solid, air.At(T), void)
			near(r, "conductivity", k.At(T), want, 0, 1e-4)
		}
		if matrix.Low < tin.Solidus-50 {
			check(&m.HeatCapacity, &m.Conductivity[0], &tin.HeatCapacity, &tin.Conductivity[0])
		}
		if matrix.High > tin.Solidus+100 && matrix.Low < 900 {
			check(&m.HeatCapacityMelted, &m.ConductivityMelted[0], &tin.HeatCapacityMelted, &tin.ConductivityMelted[0])
		}
	})
}

func TestCompositeRefusesWhatCannotBeMixed(t *testing.T) {
	tin, aluminium, zinc := catalogueEntry(t, "tin"), catalogueEntry(t, "aluminium"), catalogueEntry(t, "zinc")
	good := Composite{Name: "good", Matrix: aluminium, Filler: tin, FillerFraction: 0.3, VoidFraction: 0.03}
	mixed(t, good)
	for name, c := range map[string]struct {
		change func(*Composite)
		words  string
	}{
		"matrix melts first":   {func(c *Composite) { c.Matrix, c.Filler = tin, aluminium }, "melts at 231.9 °C, at or below the filler aluminium"},
		"matrix melts before":  {func(c *Composite) { c.Matrix, c.Filler = tin, zinc }, "choose the one that melts first"},
		"same metal":           {func(c *Composite) { c.Matrix = tin }, "at or below the filler"},
		"negative filler":      {func(c *Composite) { c.FillerFraction = -0.1 }, "filler fraction is -0.1"},
		"filler not a number":  {func(c *Composite) { c.FillerFraction = math.NaN() }, "filler fraction is NaN"},
		"void of one":          {func(c *Composite) { c.VoidFraction = 1 }, "void fraction is 1"},
		"no room":              {func(c *Composite) { c.FillerFraction, c.VoidFraction = 0.6, 0.5 }, "no room for the matrix"},
		"rule":                 {func(c *Composite) { c.Mixing = "geometric" }, `mixing is "geometric", allowed: series`},
		"no density":           {func(c *Composite) { c.Matrix.Density = 0 }, "density of 0"},
		"no heat capacity":     {func(c *Composite) { c.Matrix.HeatCapacity = Curve{} }, "lacks"},
		"negative conduction":  {func(c *Composite) { c.Filler.Conductivity[1] = Constant(-1) }, "conductivity of -1"},
		"melted part missing":  {func(c *Composite) { c.Filler.ConductivityMelted = [3]Curve{} }, "lacks"},
		"melting out of order": {func(c *Composite) { c.Measured.Melting = &Melting{500, 490, 1e5} }, "from 500 K to 490 K"},
		"measured above the matrix": {
			func(c *Composite) { c.Measured.Melting = &Melting{930, 940, 1e5} },
			"matrix aluminium melts at 660.3 °C",
		},
	} {
		bad := good
		c.change(&bad)
		if _, err := bad.Medium(); err == nil || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%s: error %v, want %q", name, err, c.words)
		}
	}
}

func TestMeasuredValuesTakeThePlaceOfMixedOnes(t *testing.T) {
	c := Composite{Name: "c", Matrix: catalogueEntry(t, "graphite-isostatic"), Filler: catalogueEntry(t, "zinc"), FillerFraction: 0.2, VoidFraction: 0.03}
	before := mixed(t, c)
	cp, cpMelted := Constant(800), Constant(850)
	k, kMelted := Isotropic(Constant(90)), Isotropic(Constant(70))
	c.Measured = Measured{
		Density: 2500, HeatCapacity: &cp, HeatCapacityMelted: &cpMelted, Conductivity: &k, ConductivityMelted: &kMelted,
		Melting: &Melting{419 + iceZero, 421 + iceZero, 55e3},
	}
	m := mixed(t, c)
	for what, pair := range map[string][2]float64{
		"density": {m.Density, 2500}, "latent": {m.Latent, 55e3}, "solidus": {m.Solidus, 419 + iceZero}, "liquidus": {m.Liquidus, 421 + iceZero},
		"cp": {m.HeatCapacity.At(500), 800}, "cp melted": {m.HeatCapacityMelted.At(800), 850},
		"k": {m.Conductivity[1].At(500), 90}, "k melted": {m.ConductivityMelted[2].At(800), 70},
	} {
		near(t, what, pair[0], pair[1], 0, 1e-15)
	}
	// Nothing of memory is left in it, and what was measured carries no spread of the mixing.
	if !before.FromMemory || m.FromMemory || m.Spread != (Spread{}) {
		t.Errorf("from memory %v before and %v after, spread %+v", before.FromMemory, m.FromMemory, m.Spread)
	}
	// A curve measured before melting goes on after it, and that is said.
	c.Measured = Measured{Conductivity: &k, HeatCapacity: &cp}
	m = mixed(t, c)
	near(t, "k after melting", m.ConductivityMelted[0].At(900), 90, 0, 1e-15)
	near(t, "cp after melting", m.HeatCapacityMelted.At(900), 800, 0, 1e-15)
	if !strings.Contains(strings.Join(m.Notes, "\n"), "before melting only") {
		t.Errorf("half a measurement passes unsaid: %q", m.Notes)
	}
	if strings.Contains(strings.Join(m.MemoryOf, ", "), "zinc") {
		t.Errorf("memory of what was measured: %q", m.MemoryOf)
	}
	c.Measured = Measured{ConductivityMelted: &kMelted}
	m = mixed(t, c)
	near(t, "mixed before", m.Conductivity[0].At(500), before.Conductivity[0].At(500), 0, 1e-15)
	near(t, "measured after", m.ConductivityMelted[0].At(900), 70, 0, 1e-15)
}

func TestCompositeCarriesMemoryOnlyOfWhatItUses(t *testing.T) {
	aluminium, tin, graphite := catalogueEntry(t, "aluminium"), catalogueEntry(t, "tin"), catalogueEntry(t, "graphite-isostatic")
	m := mixed(t, Composite{Name: "c", Matrix: aluminium, Filler: tin, FillerFraction: 0.3, VoidFraction: 0.03})
	if got := strings.Join(m.MemoryOf, ", "); got != "tin conductivity melted" || !m.FromMemory || m.Uncertainty < 0.2 {
		t.Errorf("from memory: %q, uncertainty %g; the aluminium never melts here", got, m.Uncertainty)
	}
	for _, s := range m.Sources {
		if strings.HasPrefix(s, "matrix aluminium, latent") {
			t.Errorf("source of something unused: %s", s)
		}
	}
	m = mixed(t, Composite{Name: "c", Matrix: graphite, Filler: tin, FillerFraction: 0.3, VoidFraction: 0.03})
	if got := strings.Join(m.MemoryOf, ", "); got != "graphite-isostatic density, graphite-isostatic conductivity, tin conductivity melted" {
		t.Errorf("from memory: %q", got)
	}
	own := plain("own", 1500, 1000, 50)
	own.FromMemory, own.Uncertainty = true, 0.25
	m = mixed(t, Composite{Name: "c", Matrix: own, Filler: plain("f", 3000, 500, 20), FillerFraction: 0.3})
	if !m.FromMemory || m.Uncertainty < 0.2 {
		t.Errorf("a user's remembered material is not marked: %+v", m.MemoryOf)
	}
}

func TestMeltWithoutRoomIsNoted(t *testing.T) {
	c := Composite{Name: "c", Matrix: catalogueEntry(t, "graphite-isostatic"), Filler: catalogueEntry(t, "zinc"), FillerFraction: 0.3, VoidFraction: 0.03}
	// 0.3 · 7134/6570 = 0.32575 of the volume, 0.33 offered.
	if notes := strings.Join(mixed(t, c).Notes, "\n"); strings.Contains(notes, "no room") {
		t.Errorf("room enough, yet: %s", notes)
	}
	c.VoidFraction = 0.02
	notes := strings.Join(mixed(t, c).Notes, "\n")
	for _, words := range []string{"no room to expand", "takes 32.6 %", "offer 32.0 %", "at least 2.6 %", "7134", "6570"} {
		if !strings.Contains(notes, words) {
			t.Errorf("note lacks %q: %s", words, notes)
		}
	}
	c.Filler.LiquidDensity = 0
	if notes := strings.Join(mixed(t, c).Notes, "\n"); !strings.Contains(notes, "not known") {
		t.Errorf("unknown expansion passes unsaid: %s", notes)
	}
}

func TestCompositeTakesTheLowestLimit(t *testing.T) {
	m := mixed(t, Composite{Name: "c", Matrix: catalogueEntry(t, "aluminium"), Filler: catalogueEntry(t, "tin"), FillerFraction: 0.3, VoidFraction: 0.03})
	near(t, "limit of an aluminium matrix", m.ServiceLimit, 660.323+iceZero, 1e-9, 0)
	m = mixed(t, Composite{Name: "c", Matrix: catalogueEntry(t, "graphite-extruded"), Filler: catalogueEntry(t, "zinc"), FillerFraction: 0.2, VoidFraction: 0.05})
	near(t, "limit by boiling zinc", m.ServiceLimit, 1180.15, 1e-9, 0)
	near(t, "oxidation onset", m.OxidationOnset, 400+iceZero, 1e-9, 0)
	if !strings.Contains(m.ServiceSource, "filler zinc") || m.OxidationSource == "" {
		t.Errorf("limits without origin: %q, %q", m.ServiceSource, m.OxidationSource)
	}
}

func TestDemoFillWarnsOfItsEutectic(t *testing.T) {
	m := mixed(t, Composite{Name: "tin-in-aluminium", Matrix: catalogueEntry(t, "aluminium"), Filler: catalogueEntry(t, "tin"), FillerFraction: 0.3, VoidFraction: 0.03})
	notes := strings.Join(m.Notes, "\n")
	if !strings.Contains(notes, "eutectic") || !strings.Contains(notes, "228.5 °C") {
		t.Errorf("notes: %q", notes)
	}
	if m.Metal != "tin" {
		t.Errorf("metal is %q, want tin", m.Metal)
	}
}

func TestCompositeIsTheSameEveryTime(t *testing.T) {
	c := Composite{Name: "c", Matrix: catalogueEntry(t, "graphite-isotropic"), Filler: catalogueEntry(t, "zinc"), FillerFraction: 0.22, VoidFraction: 0.04, Mixing: "bruggeman"}
	a, b := mixed(t, c), mixed(t, c)
	for i, v := range a.ConductivityMelted[1].V {
		if v != b.ConductivityMelted[1].V[i] {
			t.Fatalf("point %d: %g and %g", i, v, b.ConductivityMelted[1].V[i])
		}
	}
	if strings.Join(a.Sources, "|") != strings.Join(b.Sources, "|") || strings.Join(a.Notes, "|") != strings.Join(b.Notes, "|") {
		t.Error("sources or notes differ")
	}
}
