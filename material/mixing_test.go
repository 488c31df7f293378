package material

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// mixingCases are evaluated from the formulas of Wiener 1912; Hashin & Shtrikman, J. Appl. Phys. 33 (1962) 3125;
// Maxwell 1873 / Eucken 1932; Bruggeman 1935, by a separate program, to the digits shown.
var mixingCases = []struct {
	k1, k2, phi                                     float64
	series, low, bruggeman, high, parallel, maxwell float64
}{
	{100, 50, 0.2, 83.333333, 87.5, 88.309519, 88.461538, 90, 88.461538},
	{90, 0.03, 0.15, 0.19962293, 0.5366214, 69.761102, 71.171551, 76.5045, 71.171551},
	{60, 105, 0.35, 70.588235, 73.548387, 73.805022, 74.210526, 75.75, 73.548387},
	{120, 110, 0.4, 115.78947, 115.92814, 115.93061, 115.9322, 116, 115.9322},
}

func TestMixingRulesMatchEvaluatedFormulas(t *testing.T) {
	for _, c := range mixingCases {
		for rule, want := range map[string]float64{
			"series": c.series, "hashin-shtrikman-low": c.low, "bruggeman": c.bruggeman,
			"hashin-shtrikman-high": c.high, "parallel": c.parallel, "maxwell-eucken": c.maxwell,
		} {
			got, err := Mix(rule, c.k1, c.k2, c.phi)
			if err != nil {
				t.Errorf("%s: %v", rule, err)
			}
			near(t, rule, got, want, 0, 6e-8) // the rows print eight digits
		}
	}
}

func TestEveryRuleLiesWithinItsBounds(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		k1 := math.Pow(10, rapid.Float64Range(-3, 3).Draw(r, "log k1"))
		k2 := math.Pow(10, rapid.Float64Range(-3, 3).Draw(r, "log k2"))
		phi := rapid.Float64Range(0, 1).Draw(r, "phi")
		mix := func(rule string) float64 {
			k, err := Mix(rule, k1, k2, phi)
			if err != nil {
				r.Fatal(err)
			}
			return k
		}
		slack := 1 + 1e-9 // rounding
		for _, rule := range Rules() {
			k := mix(rule)
			if k*slack < mix("series") || k > mix("parallel")*slack {
				r.Errorf("%s: %g outside Wiener's %g to %g", rule, k, mix("series"), mix("parallel"))
			}
		}
		for _, rule := range []string{"maxwell-eucken", "bruggeman"} {
			k := mix(rule)
			if k*slack < mix("hashin-shtrikman-low") || k > mix("hashin-shtrikman-high")*slack {
				r.Errorf("%s: %g outside Hashin and Shtrikman's %g to %g", rule, k, mix("hashin-shtrikman-low"), mix("hashin-shtrikman-high"))
			}
		}
		// Bruggeman's equation itself, each term scaled by its own size.
		k := mix("bruggeman")
		a, b := (1-phi)*(k1-k)/(k1+2*k), phi*(k2-k)/(k2+2*k)
		if math.Abs(a+b) > 1e-9 {
			r.Errorf("bruggeman: terms %g and %g do not cancel", a, b)
		}
	})
}

func TestMixingEndsAtThePurePhases(t *testing.T) {
	for _, rule := range Rules() {
		for phi, want := range map[float64]float64{0: 80, 1: 25} {
			got, err := Mix(rule, 80, 25, phi)
			if err != nil {
				t.Errorf("%s: %v", rule, err)
			}
			near(t, rule, got, want, 0, 1e-12)
		}
	}
}

func TestMixingRefusesWhatIsNoConductivity(t *testing.T) {
	for _, c := range []struct {
		rule        string
		k1, k2, phi float64
	}{
		{"geometric", 1, 1, 0.5},
		{"", 1, 1, 0.5},
		{"series", 0, 1, 0.5},
		{"series", math.NaN(), 1, 0.5},
		{"series", 1, -1, 0.5},
		{"series", 1, math.Inf(1), 0.5},
		{"parallel", 1, 1, -0.1},
		{"parallel", 1, 1, 1.1},
		{"parallel", 1, 1, math.NaN()},
	} {
		if k, err := Mix(c.rule, c.k1, c.k2, c.phi); err == nil {
			t.Errorf("Mix(%q, %g, %g, %g) = %g, want an error", c.rule, c.k1, c.k2, c.phi, k)
		}
	}
}
