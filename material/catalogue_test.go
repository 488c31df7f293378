package material

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestCatalogueIsSortedAndFresh(t *testing.T) {
	a := Catalogue()
	for i := 1; i < len(a); i++ {
		if a[i-1].Name >= a[i].Name {
			t.Errorf("%s stands before %s", a[i-1].Name, a[i].Name)
		}
	}
	a[0].Name, a[0].Sources[0], a[0].HeatCapacity.V[0] = "changed", "changed", -1
	if b := Catalogue(); b[0].Name == "changed" || b[0].Sources[0] == "changed" || b[0].HeatCapacity.V[0] == -1 {
		t.Error("a caller's change reached the catalogue")
	}
}

func TestEveryEntryHasSourceRangeAndPositiveCurves(t *testing.T) {
	for _, e := range Catalogue() {
		if e.Text == "" || e.Kind == "" || strings.ToLower(e.Name) != e.Name || strings.ContainsAny(e.Name, " _") {
			t.Errorf("%s: name, kind or text is not in order", e.Name)
		}
		if err := e.complete(); err != nil {
			t.Error(err)
		}
		if !(e.Low >= 0 && e.High > e.Low && e.High < 5000) {
			t.Errorf("%s: range %g to %g K", e.Name, e.Low, e.High)
		}
		needs := []string{"density", "heat capacity", "conductivity"}
		phases := [][4]*Curve{{&e.HeatCapacity, &e.Conductivity[0], &e.Conductivity[1], &e.Conductivity[2]}}
		if e.Latent > 0 {
			needs = append(needs, "heat capacity melted", "conductivity melted", "latent heat", "melting point", "density of the liquid")
			phases = append(phases, [4]*Curve{&e.HeatCapacityMelted, &e.ConductivityMelted[0], &e.ConductivityMelted[1], &e.ConductivityMelted[2]})
			if !(e.Solidus > 0 && e.Liquidus >= e.Solidus && e.LiquidDensity > 0 && e.LiquidDensity < e.Density) {
				t.Errorf("%s: melting from %g to %g K, liquid %g kg/m³", e.Name, e.Solidus, e.Liquidus, e.LiquidDensity)
			}
		}
		if !math.IsNaN(e.Emissivity) {
			needs = append(needs, "emissivity")
			if !(e.Emissivity > 0 && e.Emissivity <= 1) {
				t.Errorf("%s: emissivity %g", e.Name, e.Emissivity)
			}
		}
		for _, property := range needs {
			if !slices.ContainsFunc(e.Sources, func(s string) bool { return covers(s, property) }) {
				t.Errorf("%s: no source for its %s", e.Name, property)
			}
		}
		for _, phase := range phases {
			for _, c := range phase {
				for T := c.Min; T <= c.Max; T += (c.Max - c.Min) / 500 {
					if v := c.At(T); !(v > 0) || math.IsInf(v, 0) {
						t.Errorf("%s: %g at %g K", e.Name, v, T)
					}
				}
			}
		}
		if (e.ServiceLimit > 0) != (e.ServiceSource != "") || (e.OxidationOnset > 0) != (e.OxidationSource != "") {
			t.Errorf("%s: a limit without source, or a source without limit", e.Name)
		}
		if e.Kind == "graphite" && e.OxidationOnset == 0 {
			t.Errorf("%s: graphite without oxidation onset", e.Name)
		}
	}
}

// covers tells whether a source line, "property, property: source", is about the property.
func covers(source, property string) bool {
	head, _, _ := strings.Cut(source, ":")
	return slices.Contains(strings.Split(head, ", "), property)
}

func TestWhatComesFromMemorySaysSoAndCarriesTwentyPercent(t *testing.T) {
	remembered := 0
	for _, e := range Catalogue() {
		said := slices.ContainsFunc(e.Sources, func(s string) bool { return strings.Contains(s, "from memory") })
		if e.FromMemory != (len(e.Memory) > 0) || e.Uncertainty != e.Spread.Largest() || !(e.Uncertainty > 0) {
			t.Errorf("%s: memory %v, uncertainty %g", e.Name, e.Memory, e.Uncertainty)
		}
		if e.FromMemory && (!said || e.Uncertainty < 0.2) {
			t.Errorf("%s: from memory, yet its sources do not say so or it carries only %g", e.Name, e.Uncertainty)
		}
		if e.FromMemory {
			remembered++
		}
		carried := map[string]float64{
			"density": e.Spread.Density, "heat capacity": e.Spread.HeatCapacity, "heat capacity melted": e.Spread.HeatCapacityMelted,
			"conductivity": e.Spread.Conductivity, "conductivity melted": e.Spread.ConductivityMelted, "latent heat": e.Spread.Latent,
		}
		for property, spread := range carried {
			// A property whose source says "from memory" is listed, and the other way round. The liquid's density
			// enters no computation but the check of the void, and is told in its source alone.
			fromMemory := slices.ContainsFunc(e.Sources, func(s string) bool { return covers(s, property) && strings.Contains(s, "from memory") })
			if listed := slices.Contains(e.Memory, property); listed != fromMemory || listed && spread < 0.2 {
				t.Errorf("%s: %s from memory %v in the source, %v in the list, carries %g", e.Name, property, fromMemory, listed, spread)
			}
		}
	}
	if remembered == 0 || remembered == len(Catalogue()) {
		t.Errorf("%d entries of %d are from memory", remembered, len(Catalogue()))
	}
}

func TestPublishedConflictsAreToldAndCarried(t *testing.T) {
	for _, c := range []struct {
		entry, words string
		carried      func(Spread) float64
		least        float64
	}{
		{"graphite-extruded", "A second published set differs", func(s Spread) float64 { return s.HeatCapacity }, 0.02},
		{"graphite-extruded", "169.245 in one public source and 169.214", func(s Spread) float64 { return s.Conductivity }, 0.0002},
		{"zinc", "NIST-JANAF gives 112.0", func(s Spread) float64 { return s.Latent }, 0.036},
		{"zinc", "have 33.42 at melting", func(s Spread) float64 { return s.HeatCapacityMelted }, 0.065},
		{"zinc", "3.9 % at the melting point", func(s Spread) float64 { return s.HeatCapacity }, 0.039},
		{"fused-silica", "670 to 720", func(s Spread) float64 { return s.HeatCapacity }, 0.036},
	} {
		e, _ := Lookup(c.entry)
		if !strings.Contains(strings.Join(e.Sources, "\n"), c.words) {
			t.Errorf("%s does not say %q", c.entry, c.words)
		}
		if got := c.carried(e.Spread); got < c.least {
			t.Errorf("%s carries %g for %q, want at least %g", c.entry, got, c.words, c.least)
		}
	}
}

func TestNearestOffersTheNameMeant(t *testing.T) {
	for typed, want := range map[string]string{
		"aluminum": "aluminium", "Aluminium": "aluminium", "tinn": "tin", "stainless_304": "stainless-304", "Stainless 316": "stainless-316",
		"microporus-board": "microporous-board", "ceramic-fiber-blanket": "ceramic-fibre-blanket", "magnesum": "magnesium",
		"borosilicate": "borosilicate-glass", "xyzzy": "", "": "", "q": "",
	} {
		if got := Nearest(typed); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", typed, got, want)
		}
	}
	if _, ok := Lookup("unobtainium"); ok {
		t.Error("Lookup found what is not there")
	}
}

func TestRangeAsksEveryCurveOnlyInItsPhase(t *testing.T) {
	m := benchmarkMedium()
	if low, high := m.Range(); low != 0 || !math.IsInf(high, 1) {
		t.Errorf("constants on request hold from %g to %g K", low, high)
	}
	m.HeatCapacity = points([2]float64{250, 900}, [2]float64{700, 1100})       // beyond the solidus: no bound above
	m.ConductivityMelted[1] = points([2]float64{650, 50}, [2]float64{900, 60}) // from below the liquidus: no bound below
	if low, high := m.Range(); low != 250 || high != 900 {
		t.Errorf("range %g to %g K, want 250 to 900", low, high)
	}
	m.HeatCapacityMelted = points([2]float64{750, 900}, [2]float64{1100, 1100}) // a hole above the liquidus
	if low, high := m.Range(); low != 250 || high != m.Liquidus {
		t.Errorf("range %g to %g K, want 250 to %g", low, high, m.Liquidus)
	}
}
